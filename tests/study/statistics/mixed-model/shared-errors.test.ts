import { describe, expect, test } from '@jest/globals';
import { Matrix } from 'ml-matrix';
import { DataError } from '../../../../src/errors.ts';
import { seededRandom } from '../../../../src/numerics/random.ts';
import { mixedModel } from '../../../../src/study/statistics/mixed-model/fit.ts';
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
