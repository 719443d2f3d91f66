import { type ComparedDepths, levelName } from './curve-rows.ts';
import { shownDifference, shownOutcome, stepOf } from './names.ts';
import { known, said } from './publication.ts';

/* What the two value axes of a figure across depth show, and whether a band goes beyond. */

interface Ends {
  readonly lower: number | null;
  readonly upper: number | null;
}

export interface ValueDomain {
  readonly domain: readonly [number, number];
  /** Some band goes beyond it and is cut at the frame. */
  readonly cut: boolean;
}

/** Bands may reach this many median widths beyond the lines: at the deepest depths, which few athletes reach, they may be many times as wide. */
const REACH = 1.5;

export const scaled = (value: number | null, factor: number): number | null => (known(value) ? factor * value : null);

/** Unit of the quantity, as in the table. */
export const unitOf = ({ groups }: Pick<ComparedDepths, 'groups'>): string => said(groups.flat()[0]?.unit);

/** The mean curves with their bands. */
export function meanDomain({ test, groups }: ComparedDepths): ValueDomain {
  const { factor } = shownOutcome(test.quantity, unitOf({ groups }));
  const rows = groups.flat();
  const { domain, cut } = domainOf(
    rows.map(({ mean }) => scaled(mean, factor)),
    rows.map((row) => ({ lower: scaled(row.band_lower, factor), upper: scaled(row.band_upper, factor) })),
  );
  const [low, high] = domain;
  // Room for the bar along the axis with its word, and for 'parallel' at the top.
  return { domain: [low - 0.14 * (high - low), high + 0.06 * (high - low)], cut };
}

/** The difference, factor or slope with both bands; null where there is none. */
export function differenceDomain(compared: ComparedDepths): ValueDomain | null {
  const { test, curves } = compared;
  if (!curves.some(({ estimate }) => known(estimate))) return null;
  const factor = differenceFactor(compared);
  const own = curves.map((row) => ({ lower: scaled(row.band_lower, factor), upper: scaled(row.band_upper, factor) }));
  const wide = curves.map((row) => ({
    lower: scaled(row.widened_band_lower, factor),
    upper: scaled(row.widened_band_upper, factor),
  }));
  const none = test.scale === 'factor' ? 1 : 0;
  return domainOf([...curves.map(({ estimate }) => scaled(estimate, factor)), none], [...own, ...wide]);
}

/** What an estimate is multiplied by to be shown; a slope is for a step that happens. */
export function differenceFactor({ test, groups }: ComparedDepths): number {
  if (test.scale === 'factor') return 1;
  const { factor } = shownDifference(test.quantity, unitOf({ groups }));
  return test.design === 'covariate' ? factor * (stepOf(said(test.by), said(test.per))?.size ?? 1) : factor;
}

/** Names of the two levels, the level first. */
export const levelNames = ({ test }: ComparedDepths): readonly [string, string] => [
  levelName(test.by, test.level),
  levelName(test.by, test.reference),
];

function domainOf(lines: readonly (number | null)[], bands: readonly Ends[]): ValueDomain {
  const drawn = lines.filter(known);
  const [low, high] = [Math.min(...drawn), Math.max(...drawn)];
  const ends = bands.filter(({ lower, upper }) => known(lower) && known(upper)) as { lower: number; upper: number }[];
  const widths = ends.map(({ lower, upper }) => upper - lower).sort((a, b) => a - b);
  const reach = REACH * (widths.length > 0 ? widths[Math.floor(widths.length / 2)] : 0);
  const lowest = Math.min(low, ...ends.map(({ lower }) => lower));
  const highest = Math.max(high, ...ends.map(({ upper }) => upper));
  const [from, to] = [Math.max(lowest, low - reach), Math.min(highest, high + reach)];
  const margin = 0.03 * (to - from || Math.abs(to) || 1);
  return { domain: [from - margin, to + margin], cut: lowest < from - margin || highest > to + margin };
}
