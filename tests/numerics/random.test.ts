import { describe, expect, test } from '@jest/globals';
import { hashSeed, murmur3, nextWord, seededRandom, splitMix64 } from '../../src/numerics/random.ts';
import { correlation, mean, quantile } from '../../src/numerics/statistics.ts';
import { studentQuantile } from '../../src/numerics/student.ts';
import { expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';

interface KnownAnswers {
  generator: string;
  state: number[];
  outputs: number[];
}
const known = reference<KnownAnswers>('numerics-random-known-answers');
const hashes = known.murmur3 as { text: string; seed: number; hash: number }[];
const splitMix = known.splitMix64 as { seed: number; outputs: string[] };

describe('known answers', () => {
  test.each(known.cases)('$generator from state $state', ({ state, outputs }) => {
    const words = Uint32Array.from(state);
    expect(outputs.map(() => nextWord(words))).toEqual(outputs);
  });

  test('SplitMix64', () => {
    expect(splitMix64(BigInt(splitMix.seed), splitMix.outputs.length).map(String)).toEqual(splitMix.outputs);
  });

  test.each(hashes)('MurmurHash3 of "$text", seed $seed', ({ text, seed, hash }) => {
    expect(murmur3(new TextEncoder().encode(text), seed)).toBe(hash);
  });
});

const draws = 60_000;
const sample = (draw: () => number, n = draws) => Float64Array.from({ length: n }, draw);
/** Moments of a sample of n have standard error SD/√n; five of them leave one false alarm in two million. */
const fiveErrors = (variance: number) => 5 * Math.sqrt(variance / draws);

describe('distributions (moments against theory, within five standard errors)', () => {
  test('uniform: mean 1/2, variance 1/12, within [0, 1), neighbours uncorrelated', () => {
    const x = sample(seededRandom(1).uniform);
    expectClose(mean(x), 0.5, fiveErrors(1 / 12), 'mean');
    expectClose(mean(x.map((v) => (v - 0.5) ** 2)), 1 / 12, fiveErrors(1 / 180), 'variance');
    expect(x.every((v) => v >= 0 && v < 1)).toBe(true);
    expectClose(correlation(x.subarray(1), x.subarray(0, -1)), 0, fiveErrors(1), 'lag 1');
  });

  test('normal: mean 0, variance 1, skewness 0, fourth moment 3, neighbours uncorrelated', () => {
    const x = sample(seededRandom(2).normal);
    expectClose(mean(x), 0, fiveErrors(1), 'mean');
    expectClose(mean(x.map((v) => v ** 2)), 1, fiveErrors(2), 'second moment');
    expectClose(mean(x.map((v) => v ** 3)), 0, fiveErrors(15), 'third moment');
    expectClose(mean(x.map((v) => v ** 4)), 3, fiveErrors(96), 'fourth moment');
    expectClose(correlation(x.subarray(1), x.subarray(0, -1)), 0, fiveErrors(1), 'lag 1');
    expectClose(correlation(x.subarray(1).map(Math.abs), x.subarray(0, -1).map(Math.abs)), 0, fiveErrors(1), 'sizes');
  });

  test.each([1, 3, 5.5, 40])('Student t, %s degrees of freedom: shares below the theoretical quantiles', (nu) => {
    const random = seededRandom(3);
    const x = sample(() => random.studentT(nu));
    for (const p of [0.01, 0.2, 0.5, 0.9, 0.999]) {
      const at = studentQuantile(p, nu);
      const share = x.reduce((count, v) => count + (v <= at ? 1 : 0), 0) / draws;
      expectClose(share, p, fiveErrors(p * (1 - p)), `share below quantile ${p}`);
    }
  });

  test('Student t with infinite degrees of freedom is normal', () => {
    const a = seededRandom(8);
    const b = seededRandom(8);
    expect(a.studentT(Number.POSITIVE_INFINITY)).toBe(b.normal());
  });

  test('integers: every value equally often (χ² with 6 degrees of freedom below its 1 − 1e-6 quantile, 38.3)', () => {
    const random = seededRandom(4);
    const counts = new Float64Array(7);
    for (let i = 0; i < draws; i++) counts[random.integer(7)]++;
    const expected = draws / 7;
    expect(counts.reduce((sum, c) => sum + (c - expected) ** 2 / expected, 0)).toBeLessThan(38.3);
  });

  test('no modulo bias: 3 · 2^30 values, the upper quarter of the words must not fall on the first third', () => {
    const random = seededRandom(5);
    const x = sample(() => random.integer(3 * 2 ** 30), draws);
    const low = x.reduce((count, v) => count + (v < 2 ** 30 ? 1 : 0), 0) / draws;
    expectClose(low, 1 / 3, 5 * Math.sqrt(2 / 9 / draws), 'share of the first third');
  });
});

describe('seeds', () => {
  test('equal seeds, equal streams; neighbouring seeds, uncorrelated streams', () => {
    expect(sample(seededRandom(7).normal, 50)).toEqual(sample(seededRandom(7).normal, 50));
    for (let seed = 0; seed < 20; seed++) {
      const a = sample(seededRandom(seed).normal, 5000);
      const b = sample(seededRandom(seed + 1).normal, 5000);
      expectClose(correlation(a, b), 0, 5 / Math.sqrt(5000), `seeds ${seed} and ${seed + 1}`);
    }
  });

  test('first draws over many seeds are uniform', () => {
    const first = Float64Array.from({ length: 20_000 }, (_, seed) => seededRandom(seed).uniform());
    for (const p of [0.1, 0.5, 0.9]) expectClose(quantile(first, p), p, 5 * Math.sqrt((p * (1 - p)) / 20_000), `${p}`);
  });

  test('a hash of parts: whole, unsigned, different for different parts and their division', () => {
    const seeds = [
      hashSeed('a', 'bc'),
      hashSeed('ab', 'c'),
      hashSeed('abc'),
      hashSeed(1),
      hashSeed('1'),
      hashSeed(1, 2),
      hashSeed(12),
    ];
    expect(new Set(seeds).size).toBe(seeds.length);
    for (const seed of seeds) expect(Number.isInteger(seed) && seed >= 0 && seed < 2 ** 32).toBe(true);
    expect(hashSeed('study', 3, 'é')).toBe(hashSeed('study', 3, 'é'));
    expect(new Set(Array.from({ length: 5000 }, (_, i) => hashSeed('study', i))).size).toBeGreaterThan(4990);
  });

  test.each([-1, 1.5, Number.NaN, 2 ** 53])('seed %s is refused', (seed) => {
    expect(() => seededRandom(seed)).toThrow(RangeError);
  });

  test('what has no meaning is refused', () => {
    expect(() => hashSeed(Number.NaN)).toThrow(RangeError);
    expect(() => seededRandom(1).integer(0)).toThrow(RangeError);
    expect(() => seededRandom(1).studentT(0)).toThrow(RangeError);
  });
});
