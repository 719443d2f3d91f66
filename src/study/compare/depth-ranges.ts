import type { CurveDifference } from './compare-lifts.ts';

/** Neighbouring depths of one curve and phase whose band leaves out 0, on the same side of it. */
export interface DepthRange {
  readonly phase: 'descent' | 'ascent';
  /** Shallow end first, degrees of thigh elevation or per cent of the drop. */
  readonly from: number;
  readonly to: number;
  /** 1: B larger throughout; −1: smaller. */
  readonly sign: 1 | -1;
  /** Difference of largest size in it. */
  readonly largest: CurveDifference;
}

/** @param points one quantity, side and grid, in the order of depth */
export function rangesThatDiffer(points: readonly CurveDifference[]): DepthRange[] {
  return (['descent', 'ascent'] as const).flatMap((phase) => {
    const ranges: DepthRange[] = [];
    let open = false;
    for (const point of points) {
      if (point.phase !== phase) continue;
      const sign = point.verdict === 'different' ? (point.difference > 0 ? 1 : -1) : 0;
      const last = ranges.at(-1);
      if (sign === 0) open = false;
      else if (open && last?.sign === sign) {
        const largest = Math.abs(point.difference) > Math.abs(last.largest.difference) ? point : last.largest;
        ranges[ranges.length - 1] = { ...last, to: point.depth, largest };
      } else {
        ranges.push({ phase, from: point.depth, to: point.depth, sign, largest: point });
        open = true;
      }
    }
    return ranges;
  });
}

/** The depths that both have, by phase; null where there is none. */
export function sharedDepths(
  points: readonly CurveDifference[],
  phase: 'descent' | 'ascent',
): { readonly from: number; readonly to: number } | null {
  const both = points.filter((point) => point.phase === phase && Number.isFinite(point.difference));
  return both.length === 0 ? null : { from: both[0].depth, to: both[both.length - 1].depth };
}

/** The points of one curve on the grid of thigh angles. */
export function curveOf(
  curves: readonly CurveDifference[],
  quantity: string,
  side: CurveDifference['side'],
): CurveDifference[] {
  return curves.filter((p) => p.quantity === quantity && p.side === side && p.grid === 'thigh_elevation_deg');
}
