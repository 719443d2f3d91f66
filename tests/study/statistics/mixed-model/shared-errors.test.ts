import { describe, expect, test } from '@jest/globals';
import { inverse, Matrix } from 'ml-matrix';
import { DataError } from '../../../../src/errors.ts';
import { seededRandom } from '../../../../src/numerics/random.ts';
import type { Weights } from '../../../../src/study/statistics/mixed-model/contrast.ts';
import { mixedModel } from '../../../../src/study/statistics/mixed-model/fit.ts';
import { jointTest } from '../../../../src/study/statistics/mixed-model/joint-test.ts';
import { type SharedCause, withSharedErrors } from '../../../../src/study/statistics/mixed-model/shared-errors.ts';
import { expectClose } from '../../../expect-close.ts';
import { dense } from './dense.ts';
import { MODEL, madeStudy } from './made-study.ts';

const base = madeStudy(5);
const n = base.stance.length;
const fit = mixedModel(base, MODEL);
const random = seededRandom(4);
const wobble = Array.from({ length: n }, () => random.normal());

describe('against A E Eᵀ Aᵀ written out', () => {
  const { weights } = dense(fit);
  test.each<[string, SharedCause['sharedBy'], (row: number) => string]>([
    ['the whole study', 'study', () => ''],
    ['each athlete', 'group', (row) => base.athlete_id[row]],
    ['two rigs across athletes', base.stance.map((_, i) => `rig ${i % 2}`), (row) => `rig ${row % 2}`],
  ])('shared by %s', (_, sharedBy, keyOf) => {
    const keys = [...new Set(base.stance.map((_, row) => keyOf(row)))];
    const e = new Matrix(base.stance.map((_, row) => keys.map((key) => (keyOf(row) === key ? wobble[row] : 0))));
    const moved = weights.mmul(e);
    const found = withSharedErrors(fit, [{ name: 'wobble', sharedBy, effects: wobble }]);
    found.forEach(({ sharedSd, with: added, without, causes }, j) => {
      const expected = Math.sqrt(moved.getRow(j).reduce((sum, value) => sum + value * value, 0));
      expectClose(sharedSd, expected, 1e-9, fit.fixedEffects[j].name);
      expectClose(added.se ** 2, without.se ** 2 + expected ** 2, 1e-9, 'variance');
      expect(without).toEqual(fit.fixedEffects[j]);
      expect(causes).toEqual([{ name: 'wobble', sd: sharedSd }]);
    });
  });
});

test('an error that is one of the effects moves that effect by just its SD, and no other', () => {
  const scale = { name: 'scale', sharedBy: 'study' as const, effects: base.heel_height_mm.map((h) => 0.07 * h) };
  const offset = { name: 'offset', sharedBy: 'study' as const, effects: base.stance.map(() => 1.5) };
  const [intercept, height, stance] = withSharedErrors(fit, [scale, offset]);
  expectClose(height.sharedSd, 0.07, 1e-10, 'height');
  expectClose(intercept.sharedSd, 1.5, 1e-10, 'intercept');
  expectClose(stance.sharedSd, 0, 1e-10, 'stance');
  expect(height.with.upper - height.with.lower).toBeGreaterThan(height.without.upper - height.without.lower);
});

test('freedom of the sum: (v + a)² / (v² / ν), the shared part known', () => {
  const offset = { name: 'offset', sharedBy: 'study' as const, effects: base.stance.map(() => fit.fixedEffects[0].se) };
  const [{ with: added, without }] = withSharedErrors(fit, [offset]);
  expectClose(added.se, Math.SQRT2 * without.se, 1e-9, 'SE');
  expectClose(added.freedom, 4 * without.freedom, 1e-6, 'freedom');
});

test('a contrast of which the error cancels', () => {
  const effects = base.heel_height_mm.map((h, i) => h + (base.stance[i] === 'wide' ? 20 : 0));
  const [{ sharedSd }] = withSharedErrors(
    fit,
    [{ name: 'both', sharedBy: 'study', effects }],
    [{ name: 'wide less 20 mm', weights: { 'stance[wide]': 1, heel_height_mm: -20 } }],
  );
  expectClose(sharedSd, 0, 1e-9, 'cancelled');
});

test('rows that were not used are not read', () => {
  const heights: (number | null)[] = base.heel_height_mm.slice();
  heights[2] = null;
  const gap = mixedModel({ ...base, heel_height_mm: heights }, MODEL);
  const effects = base.heel_height_mm.map((h, i) => (i === 2 ? Number.NaN : h));
  expectClose(withSharedErrors(gap, [{ name: 'scale', sharedBy: 'study', effects }])[1].sharedSd, 1, 1e-10, 'height');
});

test.each<[string, SharedCause]>([
  ['too few effects', { name: 'x', sharedBy: 'study', effects: [1] }],
  ['too few keys', { name: 'x', sharedBy: ['a'], effects: wobble }],
  ['an unknown effect', { name: 'x', sharedBy: 'study', effects: wobble.map((w, i) => (i === 3 ? Number.NaN : w)) }],
])('refused: %s', (_, cause) => {
  expect(() => withSharedErrors(fit, [cause])).toThrow(DataError);
});

describe('several contrasts at once', () => {
  const wobbles = [
    { name: 'wobble', sharedBy: 'group' as const, effects: wobble },
    { name: 'scale', sharedBy: 'study' as const, effects: base.heel_height_mm.map((h) => 0.1 * h) },
  ];
  const contrasts: Weights[] = [{ heel_height_mm: 1 }, { 'stance[wide]': 1 }];

  test('one contrast is the t test with the shared part', () => {
    const [{ with: added }] = withSharedErrors(fit, wobbles, [{ name: 'height', weights: contrasts[0] }]);
    const joint = jointTest(fit, [contrasts[0]], wobbles);
    expectClose(joint.f, added.t ** 2, 1e-9, 'F');
    expectClose(joint.freedom2, added.freedom, 1e-9, 'freedom');
    expectClose(joint.p, added.p, 1e-9, 'p');
  });

  test('F with the sum of both covariances written out', () => {
    const { weights } = dense(fit);
    const athletes = [...new Set(base.athlete_id)];
    const e = new Matrix(
      base.stance.map((_, row) => [
        ...athletes.map((id) => (base.athlete_id[row] === id ? wobble[row] : 0)),
        wobbles[1].effects[row],
      ]),
    );
    const moved = weights.mmul(e);
    const p = fit.fixedEffects.length;
    const c = Array.from(fit.fixedCovariance);
    const total = new Matrix(Array.from({ length: p }, (_, i) => c.slice(i * p, (i + 1) * p))).add(
      moved.mmul(moved.transpose()),
    );
    const at = ['heel_height_mm', 'stance[wide]'].map((name) => fit.fixedEffects.findIndex((one) => one.name === name));
    const beta = Matrix.columnVector(at.map((i) => fit.fixedEffects[i].estimate));
    const f =
      beta
        .transpose()
        .mmul(inverse(total.selection(at, at)))
        .mmul(beta)
        .get(0, 0) / 2;
    expectClose(jointTest(fit, contrasts, wobbles).f, f, 1e-8 * f, 'F');
  });

  test('300 studies without an effect, all filmed with one rig whose scale is off: 5 % found, and far more where that is left out', () => {
    const draws = seededRandom(21);
    const height = Array.from({ length: 36 }, (_, i) => 10 * (i % 3));
    const athlete = height.map((_, i) => `a${Math.floor(i / 3)}`);
    const rig = { name: 'rig', sharedBy: 'study' as const, effects: height.map((h) => 0.05 * h) };
    let found = 0;
    let foundWithout = 0;
    for (let study = 0; study < 300; study++) {
      const own = Array.from({ length: 12 }, () => 4 * draws.normal());
      const off = 0.05 * draws.normal();
      const y = height.map((h, i) => 30 + own[Math.floor(i / 3)] + draws.normal() + off * h);
      const one = mixedModel(
        { athlete, height, y },
        { response: 'y', fixed: ['height'], random: { group: 'athlete' }, factors: { height: {} } },
      );
      const levels: Weights[] = [{ 'height[10]': 1 }, { 'height[20]': 1 }];
      if (jointTest(one, levels, [rig]).p < 0.05) found++;
      if (jointTest(one, levels).p < 0.05) foundWithout++;
    }
    // 5 % of 300, within three standard deviations of a count.
    expectClose(found, 15, 3 * Math.sqrt(300 * 0.05 * 0.95), 'found');
    expect(foundWithout).toBeGreaterThan(60);
  });
});
