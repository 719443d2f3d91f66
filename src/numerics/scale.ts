/**
 * Scales on which the errors of a ratio a / b are even, where those of the ratio itself are not.
 *
 * `share`: a / (a + b), from the ratio r by r / (1 + r); a ratio grows without end as b nears 0, its share does not.
 * `logarithm`: ln r, for ratios of lengths, which are above 0.
 */
export type Scale = 'share' | 'logarithm';

/** The ratio on the scale; NaN where it has no place there. */
export function toScale(scale: Scale, ratio: number): number {
  if (scale === 'logarithm') return ratio > 0 ? Math.log(ratio) : Number.NaN;
  return ratio > -1 ? ratio / (1 + ratio) : Number.NaN;
}

/** The ratio at a place of the scale; a share of 1 and more belongs to no finite ratio: Infinity. */
export function fromScale(scale: Scale, place: number): number {
  if (scale === 'logarithm') return Math.exp(place);
  return place >= 1 ? Number.POSITIVE_INFINITY : place / (1 - place);
}

/** How much the ratio grows by a unit of the scale, at `ratio`. */
export function ratioPerUnit(scale: Scale, ratio: number): number {
  return scale === 'logarithm' ? ratio : (1 + ratio) ** 2;
}
