import type { ColumnTable } from 'arquero';
import { shareColumn } from '../study/means-table.ts';
import { PER_CENT, plusMinusWithUnit, type Shown, shownAs } from '../study/shown.ts';
import { CAUSE_GROUPS, type CauseGroup } from '../uncertainty/causes/cause.ts';
import { COLOUR, CONFIG, type Figure } from './look.ts';
import { CAUSE_WORDS, doubtMeasureWords, doubtSubtitle, doubtTitle } from './words.ts';

/** The numbers whose doubt is taken apart: those a reader decides by. */
export const DOUBTED: readonly {
  readonly measure: string;
  readonly at: string;
  readonly word: string;
  readonly shown: Shown;
}[] = [
  { measure: 'hip_share', at: 'parallel', word: doubtMeasureWords.shareParallel, shown: PER_CENT },
  { measure: 'hip_share', at: 'bottom', word: doubtMeasureWords.shareBottom, shown: PER_CENT },
  { measure: 'hip_moment_peak', at: 'largest', word: doubtMeasureWords.hipPeak, shown: shownAs('nm') },
  { measure: 'knee_moment_peak', at: 'largest', word: doubtMeasureWords.kneePeak, shown: shownAs('nm') },
  { measure: 'trunk_lean', at: 'parallel', word: doubtMeasureWords.lean, shown: shownAs('deg') },
  { measure: 'knee_over_toe', at: 'bottom', word: doubtMeasureWords.knee, shown: shownAs('m') },
  { measure: 'bar_velocity_peak', at: 'ascent', word: doubtMeasureWords.barSpeed, shown: shownAs('m_per_s') },
];

interface MeanRow {
  readonly measure: string;
  readonly at: string;
  readonly side: string;
  readonly mean: number | null;
  readonly lower: number | null;
  readonly upper: number | null;
  readonly [column: string]: unknown;
}

/** Width of the bars and height of a line, pixels. */
const WIDTH = 340;
const STEP = 50;
const BAR = 20;

/** Mean width of a character of a label, pixels (see render-svg.ts), and the room to leave beside it. */
const CHARACTER = 0.56 * 12;
const BESIDE = 8;

const UNIT_SCALE = { domain: [0, 1], nice: false };

/** Whether a text has room in a part of a bar. */
const fits = (text: string, share: number) => CHARACTER * text.length + BESIDE <= share * WIDTH;

/**
 * For the numbers that matter, how much each kind of doubt has in the variance of the set mean: a bar a number, a part a
 * cause, named in the bar. Causes too small for their name stand together at the end. null where no number has an interval.
 *
 * @param means table with the columns of means.csv, one recording
 */
export function doubtShares(means: ColumnTable): Figure | null {
  const rows = (means.objects({ limit: Number.POSITIVE_INFINITY }) as MeanRow[]).filter(
    ({ side }) => side === 'both' || side === '',
  );
  const notCounted = new Set<CauseGroup>();
  const bars = DOUBTED.flatMap(({ measure, at, word, shown }) => {
    const row = rows.find((one) => one.measure === measure && one.at === at);
    const [value, lower, upper] = [row?.mean, row?.lower, row?.upper];
    if (!row || !isKnown(value) || !isKnown(lower) || !isKnown(upper)) return [];
    const shares = CAUSE_GROUPS.map((cause) => ({ cause, share: row[shareColumn(cause)] }));
    for (const { cause, share } of shares) if (!isKnown(share)) notCounted.add(cause);
    const known = shares.flatMap(({ cause, share }) => (isKnown(share) ? [{ cause, share }] : []));
    if (known.length === 0) return [];
    const estimated = { value, lower, upper };
    return [{ word, said: plusMinusWithUnit(estimated, shown), parts: partsOf(known) }];
  });
  if (bars.length === 0) return null;
  const left = bars.some(({ parts }) => parts.some(({ cause }) => cause === 'rest'));
  const y = { field: 'word', type: 'nominal', sort: bars.map(({ word }) => word), axis: null } as const;
  const x = { type: 'quantitative', scale: UNIT_SCALE, axis: null } as const;
  const data = {
    values: bars.flatMap(({ word, parts }) => parts.map((part) => ({ word, ...part }))),
  };
  const lines = { values: bars.map(({ word, said }) => ({ word, said, from: 0, to: 1 })) };
  const above = { type: 'text', baseline: 'bottom', dy: -4, fontSize: 13, color: COLOUR.ink } as const;
  return {
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    config: CONFIG,
    title: { text: doubtTitle(), subtitle: doubtSubtitle(left, [...notCounted]) },
    width: WIDTH,
    height: { step: STEP },
    encoding: { y },
    layer: [
      {
        data,
        mark: { type: 'bar', height: BAR, yOffset: BAR / 2 + 1, stroke: COLOUR.quiet, strokeWidth: 1 },
        encoding: {
          x: { ...x, field: 'from' },
          x2: { field: 'to' },
          color: {
            field: 'cause',
            type: 'nominal',
            scale: {
              domain: [...CAUSE_GROUPS, 'rest'],
              range: [...CAUSE_GROUPS.map((cause) => FILL[cause]), '#ffffff'],
            },
            legend: null,
          },
        },
      },
      {
        data: { values: data.values.filter(({ label }) => label !== '') },
        mark: { type: 'text', yOffset: BAR / 2 + 1, baseline: 'middle', fontSize: 12, color: COLOUR.ink },
        encoding: { x: { ...x, field: 'middle' }, text: { field: 'label' } },
      },
      {
        data: lines,
        mark: { ...above, align: 'left' },
        encoding: { x: { ...x, field: 'from' }, text: { field: 'word' } },
      },
      {
        data: lines,
        mark: { ...above, align: 'right' },
        encoding: { x: { ...x, field: 'to' }, text: { field: 'said' } },
      },
    ],
  };
}

/** Light enough for text on them; names stand in the bars, so no colour has to be told from another. */
const FILL: Readonly<Record<CauseGroup, string>> = {
  noise: COLOUR.fillBlue,
  calibration: COLOUR.fillGreen,
  vertical: COLOUR.fillRose,
  clocks: COLOUR.fillGreen,
  keypoints: COLOUR.fillSand,
  segments: COLOUR.fillGrey,
  'body mass': COLOUR.fillRose,
  load: COLOUR.fillBlue,
  'leg sharing': COLOUR.fillSand,
};

interface Part {
  readonly cause: CauseGroup | 'rest';
  readonly from: number;
  readonly to: number;
  readonly middle: number;
  readonly label: string;
}

/** Largest first; those whose name has no room are added up at the end. */
function partsOf(shares: readonly { readonly cause: CauseGroup; readonly share: number }[]): Part[] {
  const sorted = [...shares].sort((a, b) => b.share - a.share);
  const parts: Part[] = [];
  let from = 0;
  for (const { cause, share } of sorted) {
    const word = CAUSE_WORDS[cause];
    const full = `${word} ${Math.round(100 * share)} %`;
    const label = fits(full, share) ? full : fits(word, share) ? word : '';
    if (label === '') break;
    parts.push({ cause, from, to: from + share, middle: from + share / 2, label });
    from += share;
  }
  if (1 - from > 1e-3) parts.push({ cause: 'rest', from, to: 1, middle: (from + 1) / 2, label: '' });
  return parts;
}

const isKnown = (value: unknown): value is number => typeof value === 'number' && Number.isFinite(value);
