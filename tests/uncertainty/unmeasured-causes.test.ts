import { expect, test } from '@jest/globals';
import type { LiftRecord } from '../../src/lift/lift-record.ts';
import { UNMEASURED_SD } from '../../src/lift/unmeasured.ts';
import { normalQuantile } from '../../src/numerics/student.ts';
import { causesOf } from '../../src/uncertainty/causes/all-causes.ts';
import { chainOf } from '../../src/uncertainty/chain.ts';
import { liftUncertainty } from '../../src/uncertainty/lift-uncertainty.ts';
import { expectClose } from '../expect-close.ts';
import { drawnWorld } from '../synthetic/drawn-world.ts';
import { drawnStyle } from '../synthetic/styles.ts';
import { analysedWorld } from '../validation/coverage-runs.ts';

const run = analysedWorld(drawnWorld(drawnStyle(0), 1, new Set()), { smoothing: { kind: 'none' } });
const isCrease = (m: LiftRecord['measures'][number]) => m.measure === 'hip_crease_above_knee' && m.side === 'both';

test('what lies over the joints moves the estimate of the depth rule by its own size, and no other number', () => {
  const causes = causesOf(run, ['segments'])[0].causes;
  for (const [key, byM] of [
    ['crease of the hip', UNMEASURED_SD.creaseM],
    ['top of the knee', -UNMEASURED_SD.kneeTopM],
  ] as const) {
    const z = causes.map((cause) => (cause.key.endsWith(`/${key}`) ? 1 : 0));
    expect(z.filter((one) => one === 1)).toHaveLength(1);
    const drawn = chainOf(run, false)(causes, z, null);
    drawn.measures.forEach((m, i) => {
      const { value } = run.record.measures[i];
      if (m.measure === 'hip_crease_above_knee') expectClose(m.value - value, byM, 1e-12, m.side);
      else expect(Object.is(m.value, value)).toBe(true);
    });
  }
});

test('the interval holds it: of all segments’ doubt nothing else is in this number', () => {
  const { record } = liftUncertainty(run, { mode: 'linear', draws: 0, seed: 1, groups: ['segments'], curves: false });
  const { value, lower, upper } = record.measures.find(isCrease)!;
  const half = normalQuantile(0.975) * Math.hypot(UNMEASURED_SD.creaseM, UNMEASURED_SD.kneeTopM);
  expectClose(upper - value, half, 1e-9);
  expectClose(value - lower, half, 1e-9);
});

test('the survey is in doubt too, for every lifter alike; a percentile’s interval ends at none and all', () => {
  const { record } = liftUncertainty(run, { mode: 'linear', draws: 0, seed: 1, groups: ['segments'], curves: false });
  const { value, lower, upper } = record.measures.find(({ measure }) => measure === 'thigh_percentile')!;
  expect(lower).toBeLessThan(value);
  expect(upper).toBeGreaterThan(value);
  expect(lower).toBeGreaterThanOrEqual(0);
  expect(upper).toBeLessThanOrEqual(1);
  expect([lower, upper].some((end) => end === 0 || end === 1)).toBe(true);
});
