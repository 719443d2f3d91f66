import type { SegmentKind } from './segment-table.ts';
import { meanLengthsFor } from './table-for.ts';

export interface LengthLimits {
  readonly shortestM: number;
  readonly longestM: number;
}

/**
 * Shares of the mean adult length outside which a measured length is not believed; common practice, no source. Wide enough
 * for a child of 1.2 m, for a giant, and for markers on the trochanters; narrow enough that a wrong unit, a wrong rig or
 * swapped names do not pass.
 */
export const SHORTEST_SHARE = 0.5;
export const LONGEST_SHARE = 1.6;

/** Limits of a segment's median length, metres: shares of the mean of women's and men's lengths in de Leva (1996), Table 4. */
export function lengthLimits(kind: SegmentKind): LengthLimits {
  const mean = meanLengthM(kind);
  return { shortestM: SHORTEST_SHARE * mean, longestM: LONGEST_SHARE * mean };
}

function meanLengthM(kind: SegmentKind): number {
  const lengths = meanLengthsFor('unknown');
  switch (kind) {
    case 'trunk':
      return lengths.trunkM;
    case 'upper_arm':
      return lengths.upperArmM;
    case 'forearm':
      return lengths.forearmM;
    case 'hand':
      return lengths.handM;
    case 'thigh':
      return lengths.thighM;
    case 'shank':
      return lengths.shankM;
    case 'foot':
      return lengths.footM;
    default:
      throw new RangeError(`no length limits for the ${kind}: it is placed by one point`);
  }
}
