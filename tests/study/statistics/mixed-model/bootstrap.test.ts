import { describe, expect, test } from '@jest/globals';
import chiSquareQuantile from '@stdlib/stats-base-dists-chisquare-quantile';
import { DataError } from '../../../../src/errors.ts';
import { seededRandom } from '../../../../src/numerics/random.ts';
import { caseBootstrap } from '../../../../src/study/statistics/mixed-model/case-bootstrap.ts';
import { mixedModel } from '../../../../src/study/statistics/mixed-model/fit.ts';
import { parametricBootstrap } from '../../../../src/study/statistics/mixed-model/parametric-bootstrap.ts';
import { expectClose } from '../../../expect-close.ts';
import { MODEL, madeStudy } from './made-study.ts';

const DRAWS = 600;
/** Four standard errors of a standard deviation from so many draws. */
const SD_TOLERANCE = 4 / Math.sqrt(2 * DRAWS);

/** Balanced one-way data, far from the edge: 12 groups of 6 rows. */
const random = seededRandom(12);
const groups = Array.from({ length: 12 }, () => 50 + 6 * random.normal());
const oneWay = {
  y: groups.flatMap((centre) => Array.from({ length: 6 }, () => centre + 2 * random.normal())),
  g: groups.flatMap((_, i) => Array.from({ length: 6 }, () => `g${i}`)),
};
const plain = mixedModel(oneWay, { response: 'y', fixed: [], random: { group: 'g' } });

describe('balanced one-way data, where the answer is known', () => {
  test('parametric: the mean is normal with its SE, the residual variance has χ² of m(r − 1)', () => {
    const { fixed, residualSd, failed, singular } = parametricBootstrap(plain, { draws: DRAWS, seed: 1 });
    expect([failed, singular]).toEqual([0, 0]);
    const [{ estimate, se }] = plain.fixedEffects;
    expectClose(fixed[0].sd / se, 1, SD_TOLERANCE, 'SD of the mean');
    // A 2.5 % quantile of a normal from n draws has SE √(p(1 − p)/n) / φ(1.96) = 2.67 / √n.
    const quantileTolerance = (4 * 2.67) / Math.sqrt(DRAWS);
    expectClose((fixed[0].lower - estimate) / se, -1.96, quantileTolerance, 'lower');
    expectClose((fixed[0].upper - estimate) / se, 1.96, quantileTolerance, 'upper');
    const at = (p: number) => plain.residualSd * Math.sqrt(chiSquareQuantile(p, 60) / 60);
    const sdOfSd = plain.residualSd / Math.sqrt(120);
    expectClose(residualSd.lower, at(0.025), quantileTolerance * sdOfSd, 'residual lower');
    expectClose(residualSd.upper, at(0.975), quantileTolerance * sdOfSd, 'residual upper');
  });

  test('cases: the mean of resampled groups has √((m − 1)/m) of the SE', () => {
    const { fixed, failed } = caseBootstrap(plain, { draws: DRAWS, seed: 1 });
    expect(failed).toBe(0);
    expectClose(fixed[0].sd / plain.fixedEffects[0].se, Math.sqrt(11 / 12), SD_TOLERANCE, 'SD of the mean');
  });
});

describe.each([
  ['parametric', parametricBootstrap],
  ['cases', caseBootstrap],
] as const)('%s, slopes and contrasts', (_, bootstrap) => {
  const fit = mixedModel(madeStudy(5), MODEL);
  const contrasts = [{ name: 'wide at 20 mm', weights: { heel_height_mm: 20, 'stance[wide]': 1 } }];

  test('names, estimates and spread beside the fit', () => {
    const found = bootstrap(fit, { draws: 120, seed: 3, contrasts });
    expect(found.fixed.map(({ name }) => name)).toEqual([
      '(intercept)',
      'heel_height_mm',
      'stance[wide]',
      'wide at 20 mm',
    ]);
    found.fixed.slice(0, 3).forEach(({ estimate, sd, lower, upper }, j) => {
      expectClose(estimate, fit.fixedEffects[j].estimate, 1e-12, 'estimate');
      expect(lower < estimate && estimate < upper).toBe(true);
      // Cases assume nothing of the model: of 10 athletes their SD is within a factor of two.
      expect(sd / fit.fixedEffects[j].se).toBeGreaterThan(0.5);
      expect(sd / fit.fixedEffects[j].se).toBeLessThan(2);
    });
    expect(found.randomSds.map(({ name }) => name)).toEqual(['(intercept)', 'heel_height_mm']);
    for (const { lower, upper } of [...found.randomSds, found.residualSd])
      expect(0 <= lower && lower < upper).toBe(true);
  });

  test('equal seeds give equal intervals, other seeds others', () => {
    const [a, b, c] = [3, 3, 4].map((seed) => bootstrap(fit, { draws: 100, seed }));
    expect(a).toEqual(b);
    expect(a.fixed[0].lower).not.toBe(c.fixed[0].lower);
  });

  test('too few draws are refused', () => {
    expect(() => bootstrap(fit, { draws: 99, seed: 1 })).toThrow(DataError);
  });
});

test('cases: draws that lose the only athletes of a level are counted as failed, not as fits', () => {
  const base = madeStudy(5);
  const sex = base.athlete_id.map((id) => (id === 'A3' ? 'female' : 'male'));
  const fit = mixedModel(
    { ...base, sex },
    { ...MODEL, fixed: ['heel_height_mm', 'sex'], random: { group: 'athlete_id' } },
  );
  const found = caseBootstrap(fit, { draws: 300, seed: 2 });
  // (9/10)¹⁰ = 0.349 of the draws, within four standard errors.
  expectClose(found.failed / 300, 0.9 ** 10, 4 * Math.sqrt((0.349 * 0.651) / 300), 'failed');
});
