import { decimalsOf, type Estimated, halfWidth, numberText, type Shown, valueText } from '../../study/shown.ts';
import { withPlus } from './publication.ts';

/** No end of an interval is worth more decimals. */
const MOST_DECIMALS = 4;

/**
 * Decimals of an effect with its interval: as many as the interval is worth, and more where an end would read as no effect at all
 * although it is not: '(−12 to 0), differs from 0' contradicts itself.
 */
export function effectDecimals(estimated: Estimated, shown: Shown, none = 0): number {
  const ends = [estimated.lower, estimated.upper].filter((end) => Number.isFinite(end) && end !== none);
  const readsAsNone = (end: number, decimals: number) =>
    numberText(end * shown.factor, decimals) === numberText(none * shown.factor, decimals);
  let decimals = decimalsOf(estimated, shown);
  while (decimals < MOST_DECIMALS && ends.some((end) => readsAsNone(end, decimals))) decimals++;
  return decimals;
}

/** '−3.5° (−4.7 to −2.4)', a plus where it is above 0. `none`: what stands for no effect, 1 for a factor. */
export function effectText(estimated: Estimated, shown: Shown, none = 0): string {
  const decimals = effectDecimals(estimated, shown, none);
  const value = valueText({ value: estimated.value, lower: Number.NaN, upper: Number.NaN }, { ...shown, decimals });
  if (!Number.isFinite(halfWidth(estimated))) return none === 0 ? withPlus(value) : value;
  const [low, high] = [estimated.lower, estimated.upper].map((end) => numberText(end * shown.factor, decimals));
  return `${none === 0 ? withPlus(value) : value} (${low} to ${high})`;
}
