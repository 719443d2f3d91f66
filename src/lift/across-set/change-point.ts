import { studentQuantile } from '../../numerics/student.ts';
import { beyond, welchFreedom } from './welch.ts';

/** False alarms of one measure in one set in which nothing changes: at most this share. */
export const FALSE_ALARM = 0.05;

/**
 * One measure over the full repetitions of a set, in their order, and what its doubt is made of. What a cause does to all
 * repetitions alike is in `effects` too: it cancels here.
 */
export interface RepeatedMeasure {
  readonly values: ArrayLike<number>;
  /** What one standard deviation of each cause does to each value, `value * causes + cause`. */
  readonly effects: ArrayLike<number>;
  readonly causes: number;
  /** Variance of the noise of one value, and the freedom it is known with. */
  readonly noiseVariance: number;
  readonly noiseFreedom: number;
}

/**
 * `changed`: beyond the doubt of the measurement and beyond the scatter from repetition to repetition. `different`: the
 * repetitions differ beyond the doubt of the measurement, but not beyond what they scatter anyway. Else `cannot tell`.
 */
export type ChangeVerdict = 'changed' | 'different' | 'cannot tell';

/** How a change sets in: all at once, or more with each repetition. */
export type ChangeShape = 'at once' | 'little by little';

export interface ChangePoint {
  /** Place in `values` of the first one that is changed, at least 1: where a change is likeliest, whether there is one or not. */
  readonly from: number;
  readonly shape: ChangeShape;
  /** How far the last value lies from the first ones by that shape: at once, the mean from there on less the mean before. */
  readonly difference: number;
  /** 95 % interval of the difference, widened for the number of places and shapes looked at, the scatter between repetitions in it; NaN below three values. */
  readonly lower: number;
  readonly upper: number;
  /** Probability, at most, of so large a change at any place and in any shape where there is none; scatter between repetitions in it; NaN below three values. */
  readonly probability: number;
  readonly verdict: ChangeVerdict;
}

/**
 * Where a measure begins to change within a set. Looked at are a step at each repetition but the first, and a straight drift
 * that begins after each repetition but the last two; the one that stands out most against its standard error is taken (for
 * steps: the likelihood ratio test for a shift in the mean of normal values with unknown variance, Worsley 1979 J Am Stat
 * Assoc 74:365–367; a drift is a line that breaks, fitted in the same way).
 *
 * The difference is a weighted sum of the values, Σ wᵢ yᵢ. Its variance = Σ over causes (Σ wᵢ effectᵢ)² + s² Σ wᵢ², s² the
 * variance of the values about the fitted shape, but never less than that of the noise alone; Student's t with the freedom of
 * Welch and Satterthwaite. 2 n − 3 shapes are looked at, so each is judged at FALSE_ALARM / (2 n − 3): by Bonferroni's inequality
 * a set without a change is called changed in no more than FALSE_ALARM. `different` is judged in the same way with the doubt of
 * the measurement alone. null below two values.
 */
export function changePoint(measure: RepeatedMeasure): ChangePoint | null {
  const n = measure.values.length;
  if (n < 2) return null;
  const fits: Fit[] = [];
  for (let from = 1; from < n; from++) fits.push(fitOf(measure, from, 'at once'));
  for (let from = 1; from < n - 1; from++) fits.push(fitOf(measure, from, 'little by little'));
  const looks = fits.length;
  const best = fits.reduce((a, b) => (ratio(b) > ratio(a) ? b : a));
  const { from, shape, difference, sd, freedom } = best;
  const judged = n >= 3;
  const probability = judged ? Math.min(1, looks * beyond(ratio(best), freedom)) : Number.NaN;
  const half = judged ? studentQuantile(1 - FALSE_ALARM / looks / 2, freedom) * sd : Number.NaN;
  const apart = fits.some(
    (fit) => beyond(Math.abs(fit.difference) / fit.measuredSd, fit.measuredFreedom) * looks < FALSE_ALARM,
  );
  return {
    from,
    shape,
    difference,
    lower: difference - half,
    upper: difference + half,
    probability,
    verdict: probability < FALSE_ALARM ? 'changed' : apart ? 'different' : 'cannot tell',
  };
}

interface Fit {
  readonly from: number;
  readonly shape: ChangeShape;
  readonly difference: number;
  /** With the scatter of the values about the shape, and by the doubt of the measurement alone. */
  readonly sd: number;
  readonly freedom: number;
  readonly measuredSd: number;
  readonly measuredFreedom: number;
}

/** A difference against its doubt; 0 where there is neither. */
function ratio({ difference, sd, measuredSd }: Fit): number {
  const size = Math.abs(difference);
  return size === 0 ? 0 : size / (sd > 0 ? sd : measuredSd);
}

/** Least squares of a constant and a shape that is 0 before `from` and 1 at the last value. */
function fitOf(measure: RepeatedMeasure, from: number, shape: ChangeShape): Fit {
  const { values, effects, causes, noiseVariance, noiseFreedom } = measure;
  const n = values.length;
  const form = Float64Array.from({ length: n }, (_, i) =>
    i < from ? 0 : shape === 'at once' ? 1 : (i - from + 1) / (n - from),
  );
  const [centre, mean] = [meanOf(form), meanOf(values)];
  let spread = 0;
  for (let i = 0; i < n; i++) spread += (form[i] - centre) ** 2;
  const weight = form.map((x) => (x - centre) / spread);
  let difference = 0;
  for (let i = 0; i < n; i++) difference += weight[i] * values[i];
  let common = 0;
  for (let k = 0; k < causes; k++) {
    let effect = 0;
    for (let i = 0; i < n; i++) effect += weight[i] * effects[i * causes + k];
    common += effect * effect;
  }
  let squares = 0;
  for (let i = 0; i < n; i++) squares += (values[i] - mean - difference * (form[i] - centre)) ** 2;
  const scatter = n > 2 ? squares / (n - 2) : 0;
  const measured = common + noiseVariance / spread;
  // Scatter that comes out below the noise is chance: a few values may lie close to a line by it.
  const random = Math.max(scatter, noiseVariance) / spread;
  return {
    from,
    shape,
    difference,
    sd: Math.sqrt(common + random),
    freedom: welchFreedom(common + random, random ** 2 / (n - 2)),
    measuredSd: Math.sqrt(measured),
    measuredFreedom: welchFreedom(measured, (noiseVariance / spread) ** 2 / noiseFreedom),
  };
}

function meanOf(values: ArrayLike<number>): number {
  let sum = 0;
  for (let i = 0; i < values.length; i++) sum += values[i];
  return sum / values.length;
}
