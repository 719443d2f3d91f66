/**
 * Loss ρ on the squared length s of a residual: 'none' ρ = s; 'huber' (Huber 1964) and 'cauchy' with their scale a > 0, in
 * the units of the length. All have ρ ≈ s near 0, so that a cost ½ Σ ρ is comparable between them.
 */
export type RobustLoss = { readonly kind: 'none' } | { readonly kind: 'huber' | 'cauchy'; readonly scale: number };

/** ρ(s). NaN stays NaN. */
export function lossValue(loss: RobustLoss, s: number): number {
  if (loss.kind === 'none') return s;
  const a = loss.scale;
  if (loss.kind === 'cauchy') return a * a * Math.log1p(s / (a * a));
  return s > a * a ? 2 * a * Math.sqrt(s) - a * a : s;
}

/** ρ′(s), 0–1: the weight that the residual has in the normal equations. */
export function lossWeight(loss: RobustLoss, s: number): number {
  if (loss.kind === 'none') return 1;
  const a = loss.scale;
  if (loss.kind === 'cauchy') return 1 / (1 + s / (a * a));
  return s > a * a ? a / Math.sqrt(s) : 1;
}

/**
 * 1 + 2 s ρ″(s) / ρ′(s), ≤ 1: curvature along the residual as a share of that across it (Triggs et al. 2000, §4.3).
 * Huber: 0 outside the scale. Cauchy: (1 − s/a²) / (1 + s/a²), negative outside it.
 */
export function lossCurvature(loss: RobustLoss, s: number): number {
  if (loss.kind === 'none') return 1;
  const q = s / (loss.scale * loss.scale);
  if (loss.kind === 'cauchy') return (1 - q) / (1 + q);
  return q > 1 ? 0 : 1;
}

/** RangeError unless the scale is a positive number. */
export function requireLoss(loss: RobustLoss): void {
  if (loss.kind === 'none') return;
  if (!(loss.scale > 0 && Number.isFinite(loss.scale))) {
    throw new RangeError(`${loss.kind} loss: scale ${loss.scale}; a positive number wanted`);
  }
}
