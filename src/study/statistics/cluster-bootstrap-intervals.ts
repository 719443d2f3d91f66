import { reliabilityReasons } from '../../messages/reliability.ts';
import { normalProbability } from '../../numerics/normal.ts';
import { mean } from '../../numerics/statistics.ts';
import { normalQuantile } from '../../numerics/student.ts';
import { quantileOfSorted } from '../../uncertainty/intervals.ts';

export interface Ends {
  readonly lower: number;
  readonly upper: number;
}

export interface BootstrapIntervals {
  /** Quantiles of the resamples. */
  readonly percentile: Ends;
  /** 2 value − quantiles, ends changed over. */
  readonly basic: Ends;
  /** Quantiles corrected for bias and acceleration; NaN where `reason` says why. */
  readonly bca: Ends;
  /** z₀: how far the resamples' middle lies from the value; a: how their spread changes with the value. */
  readonly bias: number;
  readonly acceleration: number;
  readonly reason: string;
}

const NONE: Ends = { lower: Number.NaN, upper: Number.NaN };

/**
 * Percentile, basic and BCa intervals (Efron & Tibshirani 1993, An Introduction to the Bootstrap, ch. 13 and 14, eq. 14.9–14.15).
 * A resample equal to the value counts half in z₀. Quantiles at the place (B + 1) p of the sorted resamples.
 *
 * drawn: the statistic of each resample, finite, in any order; none: NaN throughout. without: the statistic with one cluster left out each.
 */
export function intervalsFromResamples(
  drawn: readonly number[],
  value: number,
  without: readonly number[],
  level: number,
): BootstrapIntervals {
  if (drawn.length === 0)
    return {
      percentile: NONE,
      basic: NONE,
      bca: NONE,
      bias: Number.NaN,
      acceleration: Number.NaN,
      reason: reliabilityReasons.noSpread(),
    };
  const sorted = Float64Array.from(drawn).sort();
  const tail = (1 - level) / 2;
  const [low, high] = [quantileOfSorted(sorted, tail), quantileOfSorted(sorted, 1 - tail)];
  let below = 0;
  for (const one of sorted) below += one < value ? 1 : one === value ? 0.5 : 0;
  const bias = normalQuantile(below / sorted.length);
  const acceleration = accelerationOf(without);
  const corrected = (p: number) => {
    const z = bias + normalQuantile(p);
    return normalProbability(bias + z / (1 - acceleration * z));
  };
  const [from, to] = [corrected(tail), corrected(1 - tail)];
  const inside = from > 0.5 / sorted.length && to < 1 - 0.5 / sorted.length && from < to;
  return {
    percentile: { lower: low, upper: high },
    basic: { lower: 2 * value - high, upper: 2 * value - low },
    bca: inside ? { lower: quantileOfSorted(sorted, from), upper: quantileOfSorted(sorted, to) } : NONE,
    bias,
    acceleration,
    reason: inside
      ? ''
      : Number.isNaN(acceleration)
        ? reliabilityReasons.noAcceleration()
        : reliabilityReasons.edgeOfResamples(),
  };
}

/** Σ u³ / (6 (Σ u²)^1.5), u = mean of the values with one cluster left out, less each of them (eq. 14.15). */
function accelerationOf(without: readonly number[]): number {
  const centre = mean(without);
  let [squares, cubes] = [0, 0];
  for (const one of without) {
    squares += (centre - one) ** 2;
    cubes += (centre - one) ** 3;
  }
  return cubes / (6 * squares ** 1.5);
}
