import type { CurveRange, CurveTestPoint } from './curve-test-result.ts';

/** Ranges of depths called different: each depth by itself at the family-wise level, so a range of any length is. */
export function rangesOf(points: readonly CurveTestPoint[]): CurveRange[] {
  const ranges: CurveRange[] = [];
  let open: CurveRange | null = null;
  const close = () => {
    if (open) ranges.push(open);
    open = null;
  };
  for (const point of points) {
    const sign = point.estimate > 0 ? 1 : -1;
    if (point.verdict !== 'different') close();
    else if (open === null || open.phase !== point.phase || open.sign !== sign) {
      close();
      const { phase, depth, adjustedP } = point;
      open = { phase, from: depth, to: depth, depths: 1, sign, smallestP: adjustedP, peak: point };
    } else {
      open = extended(open, point);
    }
  }
  close();
  return ranges;
}

function extended(range: CurveRange, point: CurveTestPoint): CurveRange {
  const smallestP = Math.min(range.smallestP, point.adjustedP);
  const larger = Math.abs(point.t) > Math.abs(range.peak.t) || point.adjustedP < range.peak.adjustedP;
  return { ...range, to: point.depth, depths: range.depths + 1, smallestP, peak: larger ? point : range.peak };
}
