import type { CurveName, CurvePlace, CurveScale } from './athlete-curves.ts';
import type { Arrangements } from './sign-flips.ts';

export type CurveDesign = 'paired' | 'groups' | 'covariate';

export interface CurveTestPoint extends CurvePlace {
  /** Athletes known here, and of those taking part how many are not; of two groups also each. */
  readonly n: number;
  readonly missing: number;
  readonly nOfGroups: readonly [number, number] | null;
  /** Mean difference B − A, or change of the curve for one unit of the covariate; on the scale of the test. */
  readonly estimate: number;
  readonly standardError: number;
  readonly freedom: number;
  /** estimate / standardError; NaN where not defined, `reason` says why. */
  readonly t: number;
  /** Family-wise: share of rearrangements whose largest |t| over all depths is at least this. NaN where not tested. */
  readonly adjustedP: number;
  /** Smallest adjusted p that this many athletes can reach. */
  readonly smallestP: number;
  /** Student's interval at this depth alone, 1 − alpha. */
  readonly lower: number;
  readonly upper: number;
  /** Simultaneous band: holds the whole true curve with probability 1 − alpha. |t| beyond `criticalT` leaves out 0. */
  readonly criticalT: number;
  readonly bandLower: number;
  readonly bandUpper: number;
  readonly verdict: 'different' | 'cannot tell' | 'not tested';
  readonly reason: string;
}

export interface CurveTest extends CurveName {
  readonly design: CurveDesign;
  readonly scale: CurveScale;
  readonly alpha: number;
  /** Ids of those who take part; of two groups those of A first. */
  readonly athletes: readonly string[];
  /** Number of athletes of group A; 0 in the other designs. */
  readonly sizeOfA: number;
  /** The covariate of the slope, then those allowed for: one number an athlete each. Empty in the other designs. */
  readonly covariates: readonly Float64Array[];
  /** `athlete * points + point`: 1 where the athlete is known. */
  readonly known: Uint8Array;
  readonly leftOut: readonly { readonly athlete: string; readonly reason: string }[];
  readonly leastAthletes: number;
  readonly points: readonly CurveTestPoint[];
  readonly ranges: readonly CurveRange[];
  readonly arrangements: Arrangements;
  /** Largest level not above alpha that p can take: exact tests of few athletes move in steps. */
  readonly attainableLevel: number;
  readonly smallestP: number;
  /** false: no data whatever could be significant; at least `athletesNeeded` (in each of two equal groups) would be. */
  readonly canBeSignificant: boolean;
  readonly athletesNeeded: number;
  /** Smallest adjusted p over the depths; NaN where none was tested. */
  readonly p: number;
}

/** Neighbouring depths of one phase that differ, all on the same side of 0. */
export interface CurveRange {
  readonly phase: 'descent' | 'ascent';
  /** Shallow end first, on the grid of the curve. */
  readonly from: number;
  readonly to: number;
  readonly depths: number;
  readonly sign: 1 | -1;
  /** Smallest adjusted p in it, and the depth of the largest |t| (or of the smallest p where t is not defined). */
  readonly smallestP: number;
  readonly peak: CurveTestPoint;
}
