import type { ColumnTable } from 'arquero';
import type { Recording } from '../capture/recording.ts';
import { withPlus } from '../figures/cohort/publication.ts';
import { PER_CENT, type Shown, shownAs, valueWithInterval } from '../study/shown.ts';
import { type Html, html } from './html.ts';
import { dataTable } from './page.ts';
import { orderIsStated, taskOf } from './task.ts';
import * as say from './wording-doubt.ts';
import { differsBriefly } from './wording-task.ts';

/** A share of the hip + knee effort differs by points, not by per cent. */
const POINTS: Shown = { ...PER_CENT, unit: 'points' };

/** What the index compares; comparisons.csv has every measure. */
const COMPARED: readonly {
  readonly measure: string;
  readonly at: string;
  readonly words: string;
  readonly shown: Shown;
}[] = [
  { measure: 'hip_share', at: 'parallel', words: 'Hips’ part at parallel', shown: POINTS },
  { measure: 'trunk_lean', at: 'parallel', words: 'Lean at parallel', shown: shownAs('deg') },
  { measure: 'knee_over_toe', at: 'bottom', words: 'Knee ahead of the toe, bottom', shown: shownAs('m') },
  { measure: 'bar_velocity_peak', at: 'ascent', words: 'Largest bar speed', shown: shownAs('m_per_s') },
];

interface ComparisonRow {
  readonly athlete_id: string;
  readonly recording_id: string;
  readonly against_recording_id: string;
  readonly measure: string;
  readonly side: string;
  readonly at: string;
  readonly difference: number | null;
  readonly lower: number | null;
  readonly upper: number | null;
  readonly cancelled_share: number | null;
  readonly verdict: string;
}

/**
 * For every lifter with two recordings or more: each recording against the one before and the first; where none could be compared, why.
 * null where no lifter has two.
 *
 * @param comparisons table with the columns of comparisons.csv
 * @param recordings of the study: what else differs between two of them
 * @param intervals false where they were switched off
 */
export function comparisonSection(
  comparisons: ColumnTable,
  recordings: readonly Recording[],
  intervals: boolean,
): Html | null {
  const rows = (comparisons.objects({ limit: Number.POSITIVE_INFINITY }) as ComparisonRow[]).filter(isOnIndex);
  const pairs = pairsOf(rows);
  if (pairs.length === 0) {
    const lifters = new Set(recordings.map(({ athlete }) => athlete.id));
    return lifters.size === recordings.length
      ? null
      : html`<section><h2>${say.comparisonHeading()}</h2><p>${say.nothingCompared(intervals)}</p></section>`;
  }
  const columns = [...say.comparisonColumns(), ...COMPARED.map(({ words }) => words)];
  const byId = new Map(recordings.map((recording) => [recording.id, recording]));
  const known = rows.filter((row) => row.verdict !== '' && pairs.some((pair) => isOf(row, pair))).length;
  return html`<section><h2>${say.comparisonHeading()}</h2>
<p class="quiet">${say.comparisonNote(known)}</p>
${dataTable(
  columns.map((title) => ({ title, numeric: false })),
  pairs.map((pair) => [
    say.againstWords(pair.recording_id, pair.against_recording_id),
    alsoDiffers(byId.get(pair.recording_id), byId.get(pair.against_recording_id)),
    ...COMPARED.map(({ measure, at, shown }) =>
      cell(
        rows.find((row) => isOf(row, pair) && row.measure === measure && row.at === at),
        shown,
      ),
    ),
  ]),
  say.comparisonHeading(),
  true,
)}</section>`;
}

/** Whether the index shows a row of comparisons.csv: of a large study nothing else need be held in memory for it. */
export const isOnIndex = ({ side, measure, at }: Pick<ComparisonRow, 'side' | 'measure' | 'at'>): boolean =>
  (side === 'both' || side === '') && COMPARED.some((one) => one.measure === measure && one.at === at);

type Pair = Pick<ComparisonRow, 'recording_id' | 'against_recording_id'>;

const isOf = (row: ComparisonRow, pair: Pair): boolean =>
  row.recording_id === pair.recording_id && row.against_recording_id === pair.against_recording_id;

/** Each recording against the first and the last of the earlier ones, in the order of the table. */
function pairsOf(rows: readonly ComparisonRow[]): Pair[] {
  const earlier = new Map<string, Set<string>>();
  for (const { recording_id: later, against_recording_id: against } of rows) {
    earlier.set(later, (earlier.get(later) ?? new Set()).add(against));
  }
  return [...earlier].flatMap(([recording_id, all]) => {
    const ids = [...all];
    return [...new Set([ids[0], ids[ids.length - 1]])].map((against_recording_id) => ({
      recording_id,
      against_recording_id,
    }));
  });
}

/** Load, condition, place of the bar and heel where they differ, and whether it is stated which came first. */
function alsoDiffers(now: Recording | undefined, against: Recording | undefined): Html {
  if (!now || !against) return html`${say.verdictWords('')}`;
  const differs = [
    ...differsBriefly(taskOf(now), taskOf(against)),
    ...(orderIsStated(now, against) ? [] : [say.orderNotStated()]),
  ];
  return html`${differs.length === 0 ? say.nothingElse() : differs.join('; ')}`;
}

function cell(row: ComparisonRow | undefined, shown: Shown): Html {
  const { difference, lower, upper, cancelled_share: cancelled } = row ?? {};
  if (!row || !isNumber(difference) || !isNumber(lower) || !isNumber(upper)) return html`${say.verdictWords('')}`;
  const estimated = { value: difference, lower, upper };
  const verdict = say.verdictWords(row.verdict);
  return html`<div class="cmp">${row.verdict === 'different' ? html`<strong>${verdict}</strong>` : html`<span>${verdict}</span>`}
<span>${withPlus(valueWithInterval(estimated, shown))}</span>${
    isNumber(cancelled) ? html`<span class="hint">${say.cancelledWords(cancelled)}</span>` : null
  }</div>`;
}

const isNumber = (value: unknown): value is number => typeof value === 'number' && Number.isFinite(value);
