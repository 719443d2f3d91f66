import type { Random } from '../../numerics/random.ts';
import { studentQuantile } from '../../numerics/student.ts';

// Hoisted: some test runners make every look-up of a global slow.
const { abs, sqrt } = Math;

export type PowerDesign = 'paired' | 'groups';

/** One question to the simulation: effect / standard deviation of one athlete's number, one a simulated study or one for all. */
export interface PowerQuestion {
  readonly effects: Float64Array | number;
  /** Power at which the question is answered: it is then asked no more. */
  readonly wanted: number;
}

export interface PowerAnswer {
  /** Fewest athletes (in each group) with the wanted power; null where `most` are not enough. */
  readonly needed: number | null;
  /** Share of studies that are significant, from 2 athletes on: index n − 2; as far as the question was asked. */
  readonly power: readonly number[];
}

/**
 * Power of the two-sided t test for growing numbers of athletes, by simulation with common random numbers: every study grows athlete by
 * athlete, and all questions see the same athletes, so that they differ by what is asked and not by chance.
 *
 * Only mean and standard deviation of standard normal values are needed: t = √n (δ + z̄) / s (pairs), and
 * (δ + z̄_B − z̄_A) / (s √(2/n)) with pooled s (groups), δ the standardised effect of the study.
 *
 * @param least athletes up to which every question is asked, though answered
 */
export function simulatePower(
  design: PowerDesign,
  questions: readonly PowerQuestion[],
  alpha: number,
  studies: number,
  most: number,
  least: number,
  random: Random,
): PowerAnswer[] {
  const answers = questions.map(() => ({ needed: null as number | null, power: [] as number[] }));
  const [sumA, squaresA] = [new Float64Array(studies), new Float64Array(studies)];
  const [sumB, squaresB] = [new Float64Array(studies), new Float64Array(studies)];
  const [mean, spread] = [new Float64Array(studies), new Float64Array(studies)];
  for (let n = 1; n <= most; n++) {
    grow(sumA, squaresA, random);
    if (design === 'groups') grow(sumB, squaresB, random);
    if (n === 1) continue;
    // t = (δ + mean) / spread
    if (design === 'paired') {
      for (let s = 0; s < studies; s++) {
        mean[s] = sumA[s] / n;
        spread[s] = sqrt((squaresA[s] - n * mean[s] * mean[s]) / (n - 1) / n);
      }
    } else {
      for (let s = 0; s < studies; s++) {
        const [a, b] = [sumA[s] / n, sumB[s] / n];
        mean[s] = b - a;
        spread[s] = sqrt(((squaresA[s] + squaresB[s] - n * (a * a + b * b)) / (2 * n - 2)) * (2 / n));
      }
    }
    const critical = studentQuantile(1 - alpha / 2, design === 'paired' ? n - 1 : 2 * n - 2);
    let open = false;
    questions.forEach(({ effects, wanted }, q) => {
      const answer = answers[q];
      if (answer.needed !== null && n > least) return;
      const power = shareBeyond(effects, mean, spread, critical);
      answer.power.push(power);
      if (answer.needed === null && power >= wanted) answer.needed = n;
      if (answer.needed === null) open = true;
    });
    if (!open && n >= least) break;
  }
  return answers;
}

function grow(sum: Float64Array, squares: Float64Array, random: Random): void {
  for (let s = 0; s < sum.length; s++) {
    const z = random.normal();
    sum[s] += z;
    squares[s] += z * z;
  }
}

function shareBeyond(
  effects: Float64Array | number,
  mean: Float64Array,
  spread: Float64Array,
  critical: number,
): number {
  const studies = typeof effects === 'number' ? mean.length : effects.length;
  let significant = 0;
  for (let s = 0; s < studies; s++) {
    const effect = typeof effects === 'number' ? effects : effects[s];
    if (abs(effect + mean[s]) > critical * spread[s]) significant++;
  }
  return significant / studies;
}

/** 95 % interval of a share counted in `of` studies (Wilson 1927, J. Am. Stat. Assoc. 22:209). */
export function wilson(share: number, of: number): readonly [number, number] {
  const z2 = 1.959963984540054 ** 2;
  const middle = (share + z2 / (2 * of)) / (1 + z2 / of);
  const half = Math.sqrt((z2 / of) * (share * (1 - share) + z2 / (4 * of))) / (1 + z2 / of);
  return [Math.max(0, middle - half), Math.min(1, middle + half)];
}
