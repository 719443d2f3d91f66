import type { SessionMeasure } from './session-measure.ts';

/** Loads further apart than this share of the lighter one are not compared; common practice, no source. */
export const SAME_LOAD_SHARE = 0.025;

/** Rows of one athlete, kind of lift, place of the bar, condition and heel whose loads are as good as the same. */
export interface LoadGroup {
  readonly rows: readonly SessionMeasure[];
  /** Loads of the same athlete and task that lie in other groups, kg, ascending. */
  readonly otherLoads: readonly number[];
}

/**
 * Parts the dated rows of one task into groups in which no two loads differ by more than `share` of the lighter: the window of
 * loads with the most days first (then the most rows, then the heavier one), then the next among what is left.
 */
export function sameLoadGroups(rows: readonly SessionMeasure[], share: number): LoadGroup[] {
  const loads = [...new Set(rows.map(({ loadKg }) => loadKg))].sort((a, b) => a - b);
  const groups: LoadGroup[] = [];
  let left = rows;
  while (left.length > 0) {
    const windows = [...new Set(left.map(({ loadKg }) => loadKg))].map((lightest) => {
      // A trace of rounding: 102.5 kg is 2.5 % above 100 kg.
      const within = left.filter(({ loadKg }) => loadKg >= lightest && loadKg <= lightest * (1 + share) * (1 + 1e-12));
      return { lightest, within, days: new Set(within.map(({ date }) => date)).size };
    });
    windows.sort((a, b) => b.days - a.days || b.within.length - a.within.length || b.lightest - a.lightest);
    const chosen = new Set(windows[0].within);
    const own = new Set(windows[0].within.map(({ loadKg }) => loadKg));
    groups.push({ rows: windows[0].within, otherLoads: loads.filter((load) => !own.has(load)) });
    left = left.filter((row) => !chosen.has(row));
  }
  return groups;
}
