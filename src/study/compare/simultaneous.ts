import { hashSeed, seededRandom } from '../../numerics/random.ts';
import { studentProbability } from '../../numerics/student.ts';
import { eigenSymmetric } from '../../numerics/symmetric-eigen.ts';
import { quantileOfSorted } from '../../uncertainty/intervals.ts';
import { criticalValue, type Differences } from './differences.ts';

/** Draws of the largest standardised error along a curve: the 95 % of the band is then known within 0.5 %. */
const BAND_DRAWS = 2000;
const LEVEL = 0.95;

/** Ends of the band per member, in the order of `members`; NaN where the difference has no interval. */
export interface Band {
  readonly lower: Float64Array;
  readonly upper: Float64Array;
}

/**
 * A band that holds the whole of a curve's true difference 19 times out of 20: middle ± c · spread with one c, the 95 %
 * quantile of the largest |error| / standard deviation over the depths (the simultaneous band by the maximum of the
 * standardised process: Knafl, Sacks & Ylvisaker 1985, J Am Stat Assoc 80:683; Montiel Olea & Plagborg-Møller 2019, J Appl
 * Econometrics 34:1). A depth at which it leaves out 0 is a difference, however many depths were looked at.
 *
 * First order: errors are drawn normal with the covariance of effects and noise over the depths; c is then carried to
 * Student's distribution at the freedom of each depth, at the same probability. Joint draws: from the draws themselves.
 *
 * @param members numbers of one curve
 */
export function simultaneousBand(differences: Differences, members: readonly number[]): Band {
  const { sd, spread, middle, freedom } = differences;
  const lower = new Float64Array(members.length).fill(Number.NaN);
  const upper = lower.slice();
  const known = members.filter((i) => Number.isFinite(sd[i]) && sd[i] > 0);
  const c = differences.drawn ? fromDraws(differences, known) : fromCovariance(differences, known);
  const p = studentProbability(c, Number.POSITIVE_INFINITY);
  members.forEach((i, m) => {
    if (!Number.isFinite(sd[i])) return;
    const half = sd[i] > 0 ? criticalValue(p, freedom[i]) * spread[i] : 0;
    lower[m] = middle[i] - half;
    upper[m] = middle[i] + half;
  });
  return { lower, upper };
}

function fromDraws({ drawn, draws, count, sd }: Differences, known: readonly number[]): number {
  const means = known.map((i) => {
    let sum = 0;
    let n = 0;
    for (let d = 0; d < draws; d++) {
      const value = drawn![d * count + i];
      if (Number.isNaN(value)) continue;
      sum += value;
      n++;
    }
    return sum / n;
  });
  const largest = new Float64Array(draws);
  for (let d = 0; d < draws; d++) {
    for (let m = 0; m < known.length; m++) {
      const t = Math.abs(drawn![d * count + known[m]] - means[m]) / sd[known[m]];
      if (t > largest[d]) largest[d] = t;
    }
  }
  return quantileOfSorted(largest.sort(), LEVEL);
}

function fromCovariance(differences: Differences, known: readonly number[]): number {
  const n = known.length;
  if (n === 0) return criticalValue((1 + LEVEL) / 2, Number.POSITIVE_INFINITY);
  const factor = correlationFactor(differences, known);
  const random = seededRandom(hashSeed('band across depth', n));
  const largest = new Float64Array(BAND_DRAWS);
  const z = new Float64Array(n);
  for (let d = 0; d < BAND_DRAWS; d++) {
    for (let k = 0; k < n; k++) z[k] = random.normal();
    let most = 0;
    for (let i = 0; i < n; i++) {
      let t = 0;
      for (let k = 0; k < n; k++) t += factor[i * n + k] * z[k];
      if (Math.abs(t) > most) most = Math.abs(t);
    }
    largest[d] = most;
  }
  return quantileOfSorted(largest.sort(), LEVEL);
}

/** F with F Fᵀ the correlation of the errors of the known members, `member * n + direction`. */
function correlationFactor({ effects, unknowns, count, noise, sd }: Differences, known: readonly number[]) {
  const n = known.length;
  const correlation = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = i; j < n; j++) {
      const [a, b] = [known[i], known[j]];
      let sum = 0;
      for (let k = 0; k < unknowns; k++) sum += effects[k * count + a] * effects[k * count + b];
      for (const { rows, draws } of noise) {
        let products = 0;
        for (let d = 0; d < draws; d++) products += rows[d * count + a] * rows[d * count + b];
        if (draws > 1) sum += products / (draws - 1);
      }
      correlation[i * n + j] = correlation[j * n + i] = i === j ? 1 : sum / (sd[a] * sd[b]);
    }
  }
  const { values, vectors } = eigenSymmetric(correlation, n);
  const factor = new Float64Array(n * n);
  for (let k = 0; k < n; k++) {
    const root = Math.sqrt(Math.max(0, values[k]));
    for (let i = 0; i < n; i++) factor[i * n + k] = vectors[i * n + k] * root;
  }
  return factor;
}
