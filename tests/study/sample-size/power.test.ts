import { describe, expect, test } from '@jest/globals';
import chisquareQuantile from '@stdlib/stats-base-dists-chisquare-quantile';
import { seededRandom } from '../../../src/numerics/random.ts';
import { type PowerDesign, simulatePower, wilson } from '../../../src/study/sample-size/power.ts';
import { expectClose } from '../../expect-close.ts';
import { reference } from '../../reference.ts';

interface PowerCase {
  readonly design: PowerDesign;
  readonly d: number;
  readonly athletes: number;
  readonly alpha: number;
  readonly power: number;
}

const scipy = reference<PowerCase>('study-sample-size-power');
const STUDIES = 20_000;
const sdOf = (power: number) => Math.sqrt((power * (1 - power)) / STUDIES);

describe('simulated power against the non-central t', () => {
  test.each(scipy.cases)(
    '$design, d = $d, $athletes athletes, alpha $alpha',
    ({ design, d, athletes, alpha, power }) => {
      const question = [{ effects: d, wanted: 2 }];
      const [found] = simulatePower(design, question, alpha, STUDIES, athletes, athletes, seededRandom(4));
      expectClose(found.power[athletes - 2], power, scipy.tolerance * sdOf(power), 'power');
    },
  );

  test.each(scipy.averaged as { freedom: number; d: number; athletes: number; power: number }[])(
    'averaged over a variance of $freedom degrees of freedom',
    ({ freedom, d, athletes, power }) => {
      const random = seededRandom(9);
      const effects = Float64Array.from(
        { length: STUDIES },
        () => d * Math.sqrt(chisquareQuantile(random.uniform(), freedom) / freedom),
      );
      const [found] = simulatePower('paired', [{ effects, wanted: 2 }], 0.05, STUDIES, athletes, athletes, random);
      expectClose(found.power[athletes - 2], power, scipy.tolerance * sdOf(power), 'power');
    },
  );

  test.each(scipy.needed as { design: PowerDesign; d: number; athletes: number; published: number }[])(
    '$design, d = $d, power 0.80: $published as published, as closely as the simulation can tell',
    ({ design, d, athletes, published }) => {
      expect(athletes).toBe(published);
      const question = [{ effects: d, wanted: 0.8 }];
      const [{ power, needed }] = simulatePower(design, question, 0.05, STUDIES, 200, 80, seededRandom(6));
      const first = (enough: (share: number) => boolean) => power.findIndex(enough) + 2;
      // The first number whose interval reaches 0.80, and the first whose whole interval lies above.
      expect(first((share) => wilson(share, STUDIES)[1] >= 0.8)).toBeLessThanOrEqual(published);
      expect(first((share) => wilson(share, STUDIES)[0] >= 0.8)).toBeGreaterThanOrEqual(published);
      expect(Math.abs(needed! - published)).toBeLessThanOrEqual(1);
    },
  );
});

describe('the simulation', () => {
  test('without effect it finds alpha; a larger effect never needs more athletes (common random numbers)', () => {
    const questions = [0, 0.4, 0.5, 0.6, 1].map((effects) => ({ effects, wanted: 0.7 }));
    const found = simulatePower('paired', questions, 0.05, 4000, 60, 10, seededRandom(1));
    expectClose(found[0].power[20], 0.05, 4.5 * Math.sqrt((0.05 * 0.95) / 4000), 'level');
    expect(found[0].needed).toBeNull();
    const needed = found.slice(1).map((one) => one.needed!);
    expect([...needed].sort((a, b) => b - a)).toEqual(needed);
  });

  test('Wilson interval of 81 in 263 (Newcombe 1998, table I: 0.2553 to 0.3662; from memory)', () => {
    const [lower, upper] = wilson(81 / 263, 263);
    expectClose(lower, 0.2553, 0.00005, 'lower');
    expectClose(upper, 0.3662, 0.00005, 'upper');
  });
});
