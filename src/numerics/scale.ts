/**
 * Scales on which the errors of a ratio a / b are even, where those of the ratio itself are not.
 *
 * `share`: a / (a + b), from the ratio r by r / (1 + r); a ratio grows without end as b nears 0, its share does not.
 * `logarithm`: ln r, for ratios of lengths, which are above 0. `reciprocal`: 1 / r, where the doubt is that of b.
 */
export type Scale = 'share' | 'logarithm' | 'reciprocal';

/** The ratio on the scale; NaN where it has no place there. Reciprocals stand negative, so that order stays. */
export function toScale(scale: Scale, ratio: number): number {
  switch (scale) {
    case 'share':
      return ratio > -1 ? ratio / (1 + ratio) : Number.NaN;
    case 'logarithm':
      return ratio > 0 ? Math.log(ratio) : Number.NaN;
    case 'reciprocal':
      return ratio > 0 ? -1 / ratio : Number.NaN;
  }
}

/** The ratio at a place of the scale; Infinity where no finite ratio has it (a share of 1, a reciprocal of 0 and beyond). */
export function fromScale(scale: Scale, place: number): number {
  switch (scale) {
    case 'share':
      return place >= 1 ? Number.POSITIVE_INFINITY : place / (1 - place);
    case 'logarithm':
      return Math.exp(place);
    case 'reciprocal':
      return place >= 0 ? Number.POSITIVE_INFINITY : -1 / place;
  }
}

/** How much the ratio grows by a unit of the scale, at `ratio`. */
export function ratioPerUnit(scale: Scale, ratio: number): number {
  switch (scale) {
    case 'share':
      return (1 + ratio) ** 2;
    case 'logarithm':
      return ratio;
    case 'reciprocal':
      return ratio ** 2;
  }
}
