import { describe, expect, test } from '@jest/globals';
import { zeroLagFilterPlan, zeroLagLowPass } from '../../src/numerics/butterworth.ts';
import type { PlannedSmoother } from '../../src/numerics/planned-smoother.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { smoothingSplinePlan } from '../../src/numerics/smoothing-spline.ts';
import { type SmoothnessOrder, smoothnessWeight, splineGain } from '../../src/numerics/spline-bandwidth.ts';
import { stateSpacePlan } from '../../src/numerics/state-space-smoother.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';

interface SmootherCase {
  case: string;
  t: number[];
  y: number[];
  w: number[];
  lambda: number;
  orders: { order: SmoothnessOrder; states: number[][]; variances: number[]; spline: number[]; slope?: number[] }[];
}
const published = reference<SmootherCase>('numerics-smoothers');
const everyOrder = published.cases.flatMap((one) => one.orders.map((expected) => ({ ...one, ...expected })));
const ORDERS: readonly SmoothnessOrder[] = [2, 3];
const evenly = (n: number, rateHz = 1) => Float64Array.from({ length: n }, (_, i) => i / rateHz);

/** y smoothed; where the weight is 0 the sample is NaN, to show that it is not read. */
function run(plan: PlannedSmoother, y: ArrayLike<number>, weights?: ArrayLike<number>): Float64Array {
  const x = Float64Array.from(y, (value, i) => (weights?.[i] === 0 ? Number.NaN : value));
  plan.applyInto(x, 0, x, 0, 1);
  return x;
}

describe('smoothing spline', () => {
  test.each(everyOrder)('$case, m = $order: as SciPy', ({ t, y, w, lambda, order, spline }) => {
    expectAllClose(run(smoothingSplinePlan(t, lambda, order, w), y, w), spline, published.tolerance, 'spline');
  });

  test.each(everyOrder.filter(({ slope }) => slope))('$case: slope as SciPy', ({ t, y, w, lambda, order, slope }) => {
    const at = smoothingSplinePlan(t, lambda, order, w).fit(y);
    expectAllClose(
      t.map((time) => at(time, 1)),
      slope!,
      published.tolerance,
      'slope',
    );
  });

  test('the fifth-degree one has value, slope and second derivative of the Kalman states', () => {
    const { t, y, w, lambda, states } = everyOrder.find(({ order }) => order === 3)!;
    const at = smoothingSplinePlan(t, lambda, 3, w).fit(y);
    for (const derivative of [0, 1, 2]) {
      t.forEach((time, i) => {
        expectClose(
          at(time, derivative),
          states[i][derivative],
          published.tolerance,
          `derivative ${derivative} at ${time}`,
        );
      });
    }
  });
});

describe('state-space smoother', () => {
  // 60-digit reference; double precision leaves some hundred roundings of values of order 1.
  test.each(everyOrder)('$case, m = $order: states as the Kalman filter', ({ t, y, w, lambda, order, states }) => {
    const plan = stateSpacePlan(t, lambda, order, w);
    expectAllClose(
      run(plan, y, w),
      states.map(([value]) => value),
      1e-12,
      'value',
    );
    expectAllClose(plan.states(y), states.flat(), 1e-12, 'states');
  });

  test.each(everyOrder)('$case, m = $order: variances', ({ t, w, lambda, order, variances }) => {
    expectAllClose(stateSpacePlan(t, lambda, order, w).variances(), variances, 1e-12, 'variance');
  });

  test('the variance grows into a gap and is least in its absence', () => {
    const weights = evenly(60).map((i) => (i >= 25 && i < 35 ? 0 : 1));
    const variances = stateSpacePlan(evenly(60), 30, 2, weights).variances();
    for (let i = 24; i < 29; i++) expect(variances[i + 1]).toBeGreaterThan(variances[i]);
    for (let i = 30; i < 35; i++) expect(variances[i + 1]).toBeLessThan(variances[i]);
  });

  test.each(ORDERS)('m = %i: scatter of the smoothed samples of white noise on a random motion as stated', (order) => {
    // The definition: error of the estimate of a motion that is such a random walk. 200 runs: 10 % (1 SD).
    const random = seededRandom(5);
    const [n, lambda] = [40, 10];
    const plan = stateSpacePlan(evenly(n), lambda, order);
    let squares = 0;
    for (let r = 0; r < 200; r++) {
      // A fine walk: 10 steps of Euler a sample stand for continuous white noise.
      const states = new Float64Array(order);
      const motion = new Float64Array(n);
      for (let i = 0; i < n; i++) {
        motion[i] = states[0];
        for (let s = 0; s < 10; s++) {
          for (let d = 0; d + 1 < order; d++) states[d] += states[d + 1] / 10;
          states[order - 1] += random.normal() / Math.sqrt(10 * lambda);
        }
      }
      squares +=
        (run(
          plan,
          motion.map((x) => x + random.normal()),
        )[20] -
          motion[20]) **
        2;
    }
    expectClose(squares / 200 / plan.variances()[20], 1, 0.3, 'variance ratio');
  });
});

describe.each(ORDERS)('m = %i: both, one meaning of bandwidth', (order) => {
  const plans = { spline: smoothingSplinePlan, 'state space': stateSpacePlan };

  test.each([
    [60, 3],
    [60, 6],
    [100, 25],
    [240, 4],
  ])('%i Hz, −3 dB at %s Hz: a sine comes out as the closed form says, at the cut-off at 1/√2', (rateHz, cutoffHz) => {
    const n = 2 * Math.round((10 * rateHz) / cutoffHz) + 1;
    const lambda = smoothnessWeight(cutoffHz, rateHz, order);
    for (const make of Object.values(plans)) {
      const plan = make(evenly(n, rateHz), lambda, order);
      for (const share of [0.5, 1, 1.7]) {
        const hz = share * cutoffHz;
        const wave = (i: number) => Math.cos((2 * Math.PI * hz * (i - (n - 1) / 2)) / rateHz);
        const gain = share === 1 ? Math.SQRT1_2 : splineGain(hz, cutoffHz, rateHz, order);
        // Ten periods of the cut-off from the ends: their influence, e^(−2π · 10 · sin 30° / 0.86) at most, is long gone.
        const out = run(
          plan,
          Float64Array.from({ length: n }, (_, i) => wave(i)),
        );
        for (let i = (n - 5) / 2; i < (n + 5) / 2; i++) {
          expectClose(out[Math.round(i)], gain * wave(Math.round(i)), 1e-8, `${hz} Hz, sample ${i}`);
        }
      }
    }
  });

  test('polynomials of degree m − 1 pass, running time backward changes nothing', () => {
    const random = seededRandom(8);
    const t = evenly(90, 60);
    const lambda = smoothnessWeight(3, 60, order);
    const line = t.map((s) => 1 - 2 * s + (order === 3 ? 3 * s * s : 0));
    const noise = t.map(() => random.normal());
    for (const make of Object.values(plans)) {
      const plan = make(t, lambda, order);
      expectAllClose(run(plan, line), line, 1e-11, 'polynomial');
      expectAllClose(run(plan, noise.slice().reverse()).reverse(), run(plan, noise), 1e-11, 'reversed');
    }
  });

  test('far above the cut-off the state-space form keeps its digits where the spline is refused', () => {
    const rateHz = 2000;
    const t = evenly(8001, rateHz);
    const lambda = smoothnessWeight(1, rateHz, order);
    const wave = t.map((s) => Math.cos(2 * Math.PI * (s - 2)));
    expectClose(run(stateSpacePlan(t, lambda, order), wave)[4000], Math.SQRT1_2, 1e-3, 'two periods from the ends');
    if (order === 3) expect(() => smoothingSplinePlan(t, lambda, order)).toThrow(/cut-off too low/);
  });
});

test('the closed form of the gain is that of the aliased sum', () => {
  for (const order of ORDERS) {
    for (const [hz, cutoffHz, rateHz] of [
      [2, 3, 60],
      [20, 6, 60],
      [49, 20, 100],
    ]) {
      const power = (f: number) => {
        let sum = 0;
        for (let k = -20000; k <= 20000; k++) sum += (f + k * rateHz) ** (-2 * order);
        return sum;
      };
      const expected = 1 / (1 + ((Math.SQRT2 - 1) * power(cutoffHz)) / power(hz));
      expectClose(splineGain(hz, cutoffHz, rateHz, order), expected, 1e-12, `m = ${order}, ${hz} Hz`);
    }
  }
  expect(splineGain(0, 3, 60, 3)).toBe(1);
});

describe('planned zero-lag filter', () => {
  const { rateHz, cutoffHz, x, y } = published.filter as { rateHz: number; cutoffHz: number; x: number[]; y: number[] };

  test('ends and all as scipy.signal.sosfiltfilt', () => {
    expectAllClose(run(zeroLagFilterPlan(x.length, rateHz, cutoffHz), x), y, 1e-12, 'y');
  });

  test('every second of interleaved values, in place or not, bit for bit as alone; run twice the same', () => {
    const random = seededRandom(2);
    const alone = Float64Array.from({ length: 90 }, () => random.normal());
    const both = new Float64Array(180).fill(7);
    alone.forEach((value, i) => {
      both[2 * i + 1] = value;
    });
    const plan = zeroLagFilterPlan(90, 60, 4);
    const out = new Float64Array(180).fill(7);
    for (let round = 0; round < 2; round++) plan.applyInto(out, 1, both, 1, 2);
    plan.applyInto(both, 1, both, 1, 2);
    const expected = zeroLagLowPass(alone, 60, 4);
    for (let i = 0; i < 90; i++)
      expect([out[2 * i + 1], both[2 * i + 1], out[2 * i]]).toEqual([expected[i], expected[i], 7]);
  });
});

test.each<[string, () => unknown]>([
  ['times that stand still', () => smoothingSplinePlan([0, 1, 1, 2], 1, 2)],
  ['times that stand still', () => stateSpacePlan([0, 1, 1, 2], 1, 2)],
  ['a weight below 0', () => smoothingSplinePlan([0, 1, 2, 3], 1, 2, [1, 1, -1, 1])],
  ['a weight below 0', () => stateSpacePlan([0, 1, 2, 3], 1, 2, [1, 1, -1, 1])],
  ['two samples for a fifth-degree', () => smoothingSplinePlan([0, 1, 2, 3], 1, 3, [1, 0, 0, 1])],
  ['two samples for white jerk', () => stateSpacePlan([0, 1, 2, 3], 1, 3, [1, 0, 0, 1])],
  ['λ = 0', () => smoothingSplinePlan([0, 1, 2, 3], 0, 2)],
  ['λ = 0', () => stateSpacePlan([0, 1, 2, 3], 0, 2)],
  ['a cut-off above half the rate', () => smoothnessWeight(31, 60, 2)],
])('%s is refused', (_, make) => {
  expect(make).toThrow(RangeError);
});
