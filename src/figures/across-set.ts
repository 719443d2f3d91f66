import type { ColumnTable } from 'arquero';
import { SPEEDS } from '../study/set-changes.ts';
import { changePanel } from './change-panel.ts';
import {
  CHANGE_PANELS,
  changeFromRepetition,
  repetitionAxis,
  setSubtitle,
  setTitle,
  unknownRepetitions,
} from './change-words.ts';
import { CONFIG, type Figure } from './look.ts';

/** Panels at most: a page shows them in pairs. */
const PANELS = 4;

interface Row {
  readonly measure: string;
  readonly side: string;
  readonly at: string;
  readonly repetition: number;
  readonly value: number;
  readonly lower: number | null;
  readonly upper: number | null;
  readonly from_repetition: number | null;
  readonly shape: string;
  readonly verdict: string;
  readonly effort_rpe: number | null;
}

/**
 * Values over the repetitions of a set, one panel a measure: those that change first, the change marked. null where no panel
 * has two repetitions. A full repetition that some measure knows and this one does not is named.
 *
 * @param changes table with the columns of set-changes.csv, one recording
 * @param shown names of measures that may be marked as changed, as `watchedChanges` gives them; all of the table's verdicts where left out
 */
export function acrossSet(changes: ColumnTable, shown?: ReadonlySet<string>): Figure | null {
  const rows = changes.objects({ limit: Number.POSITIVE_INFINITY }) as Row[];
  const repetitions = [...new Set(rows.map(({ repetition }) => repetition))].sort((a, b) => a - b);
  const speed = SPEEDS.find((name) => rows.some(({ measure }) => measure === name));
  const panels = CHANGE_PANELS.flatMap((panel) => {
    if (SPEEDS.includes(panel.measure) && panel.measure !== speed) return [];
    const own = rows.filter(
      ({ measure, side, at }) => measure === panel.measure && side === panel.side && at === panel.at,
    );
    if (own.length < 2) return [];
    const { from_repetition: from, shape, verdict } = own[0];
    const changed = verdict === 'changed' && from !== null && (shown === undefined || shown.has(panel.measure));
    const scaled = (value: number | null) => (value !== null && Number.isFinite(value) ? panel.factor * value : null);
    const marks = own.map(({ repetition, value, lower, upper }) => ({
      x: repetition,
      value: panel.factor * value,
      lower: scaled(lower),
      upper: scaled(upper),
      word: '',
    }));
    const spec = changePanel({
      title: `${panel.words} (${panel.unit})`,
      note: unknownRepetitions(repetitions.filter((one) => marks.every(({ x }) => x !== one))),
      xTitle: repetitionAxis(),
      marks,
      ticks: marks.map(({ x }) => x),
      change: changed ? { x: from - 0.5, words: changeFromRepetition(from, shape === 'little by little') } : null,
    });
    return [{ changed, spec }];
  });
  if (panels.length === 0) return null;
  const chosen = [...panels.filter(({ changed }) => changed), ...panels.filter(({ changed }) => !changed)];
  return {
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    config: CONFIG,
    title: { text: setTitle(), subtitle: setSubtitle(rows[0].effort_rpe) },
    columns: 2,
    spacing: 26,
    concat: chosen.slice(0, PANELS).map(({ spec }) => spec),
  } as unknown as Figure;
}
