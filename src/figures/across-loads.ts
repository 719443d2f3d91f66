import type { ColumnTable } from 'arquero';
import { SPEEDS } from '../study/set-changes.ts';
import { changePanel } from './change-panel.ts';
import { CHANGE_PANELS, changeFromLoad, loadAxis, loadSubtitle, loadTitle } from './change-words.ts';
import { CONFIG, type Figure } from './look.ts';

/** Panels at most: speed against load, and what changes. */
const PANELS = 4;

interface Row {
  readonly measure: string;
  readonly side: string;
  readonly at: string;
  readonly load_kg: number;
  readonly effort_rpe: number | null;
  readonly value: number;
  readonly lower: number | null;
  readonly upper: number | null;
  readonly changes_from_kg: number | null;
}

/**
 * Values against the load, one panel a measure: speed first, then those that change, the change marked; the effort as rated
 * stands at the foot. null where no panel has two loads.
 *
 * @param changes table with the columns of load-changes.csv: one athlete, kind of lift, place of the bar and condition
 */
export function acrossLoads(changes: ColumnTable): Figure | null {
  const rows = changes.objects({ limit: Number.POSITIVE_INFINITY }) as Row[];
  const known = (value: number | null): value is number => value !== null && Number.isFinite(value);
  const speed = SPEEDS.find((name) => rows.some(({ measure }) => measure === name));
  const panels = CHANGE_PANELS.flatMap((panel) => {
    if (SPEEDS.includes(panel.measure) && panel.measure !== speed) return [];
    const own = rows
      .filter(({ measure, side, at }) => measure === panel.measure && side === panel.side && at === panel.at)
      .sort((a, b) => a.load_kg - b.load_kg);
    if (own.length < 2) return [];
    const from = own[0].changes_from_kg;
    const before = own.filter(({ load_kg }) => known(from) && load_kg < from).at(-1);
    const marks = own.map(({ load_kg, value, lower, upper, effort_rpe }) => ({
      x: load_kg,
      value: panel.factor * value,
      lower: known(lower) ? panel.factor * lower : null,
      upper: known(upper) ? panel.factor * upper : null,
      word: known(effort_rpe) ? String(Math.round(2 * effort_rpe) / 2) : '',
    }));
    const spec = changePanel({
      title: `${panel.words} (${panel.unit})`,
      note: '',
      xTitle: loadAxis(),
      marks,
      change: known(from) && before ? { x: (before.load_kg + from) / 2, words: changeFromLoad(from) } : null,
    });
    return [{ first: panel.unit === 'm/s', changed: known(from), spec }];
  });
  if (panels.length === 0) return null;
  const rank = ({ first, changed }: (typeof panels)[number]) => (first ? 0 : changed ? 1 : 2);
  const chosen = [...panels].sort((a, b) => rank(a) - rank(b));
  return {
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    config: CONFIG,
    title: { text: loadTitle(), subtitle: loadSubtitle(rows.some(({ effort_rpe }) => known(effort_rpe))) },
    columns: 2,
    spacing: 26,
    concat: chosen.slice(0, PANELS).map(({ spec }) => spec),
  } as unknown as Figure;
}
