import { createRequire } from 'node:module';
import { describe, expect, test } from '@jest/globals';
import type { SegmentMotion } from '../../src/body/body-motion.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { cubicSpline } from '../../src/numerics/interpolation.ts';
import { expectClose } from '../expect-close.ts';
import { makeMotion, NO_TURN } from './made-motion.ts';

/** The general-purpose `numeric` package (CommonJS, no types): an independent integrator. */
const numeric = createRequire(import.meta.url)('numeric') as {
  dopri(
    from: number,
    to: number,
    start: number[],
    rate: (t: number, state: number[]) => number[],
    tolerance: number,
    maxSteps: number,
  ): { at(t: number): number[]; x: number[] };
};

/*
 * Two links about a fixed knee, in the plane: thigh (angle a of knee → hip from forward) and trunk (angle b of hip →
 * shoulder). Lagrangian, absolute angles, written here from T and V alone:
 *   T = ½ (I1 + m1 c1² + m2 L²) a'² + ½ (I2 + m2 c2²) b'² + m2 L c2 cos(a − b) a' b'
 *   V = (m1 c1 + m2 L) g sin a + m2 c2 g sin b
 *   Q_a = (I1 + m1 c1² + m2 L²) a" + m2 L c2 (cos(a − b) b" + sin(a − b) b'²) + (m1 c1 + m2 L) g cos a
 *   Q_b = (I2 + m2 c2²) b" + m2 L c2 (cos(a − b) a" − sin(a − b) a'²) + m2 c2 g cos b
 * The thigh does the work of (moment of the ground on it) − (moment of it on the trunk): Q_a = K − H, Q_b = H.
 */
const [m1, c1, I1, L] = [18, 0.26, 0.35, 0.42];
const [m2, c2, I2] = [46, 0.29, 2.4];
const G = 9.80665;
const coupling = m2 * L * c2;
const inertiaA = I1 + m1 * c1 ** 2 + m2 * L ** 2;
const inertiaB = I2 + m2 * c2 ** 2;

const RATE = 1000;
const FRAMES = 1001;
/** A given motion, with its derivatives by hand: angle, rate, acceleration. */
const thigh = (t: number) => [2.1 + 0.5 * Math.sin(3 * t), 1.5 * Math.cos(3 * t), -4.5 * Math.sin(3 * t)];
const trunk = (t: number) => [1.1 + 0.4 * Math.cos(4 * t), -1.6 * Math.sin(4 * t), -6.4 * Math.cos(4 * t)];

function closedForm(t: number): { hip: number; knee: number; hipStill: number } {
  const [a, da, dda] = thigh(t);
  const [b, db, ddb] = trunk(t);
  const hip =
    inertiaB * ddb + coupling * (Math.cos(a - b) * dda - Math.sin(a - b) * da ** 2) + m2 * c2 * G * Math.cos(b);
  const forA =
    inertiaA * dda +
    coupling * (Math.cos(a - b) * ddb + Math.sin(a - b) * db ** 2) +
    (m1 * c1 + m2 * L) * G * Math.cos(a);
  return { hip, knee: forA + hip, hipStill: m2 * c2 * G * Math.cos(b) };
}

function computed() {
  const [kneeX, kneeY] = [0.13, 0.47];
  const series = () => new Float64Array(3 * FRAMES);
  const [knee, hip, thighCentre, trunkCentre, thighAxis, trunkAxis] = [
    series(),
    series(),
    series(),
    series(),
    series(),
    series(),
  ];
  for (let f = 0; f < FRAMES; f++) {
    const [a] = thigh(f / RATE);
    const [b] = trunk(f / RATE);
    thighAxis.set([Math.cos(a), Math.sin(a), 0], 3 * f);
    trunkAxis.set([Math.cos(b), Math.sin(b), 0], 3 * f);
    knee.set([kneeX, kneeY, 0.1], 3 * f);
    for (let k = 0; k < 3; k++) {
      const i = 3 * f + k;
      thighCentre[i] = knee[i] + c1 * thighAxis[i];
      hip[i] = knee[i] + L * thighAxis[i];
      trunkCentre[i] = hip[i] + c2 * trunkAxis[i];
    }
  }
  const link = (
    name: SegmentMotion['name'],
    massKg: number,
    inertia: number,
    centre: Float64Array,
    axis: Float64Array,
  ) => ({
    name,
    massKg,
    centre,
    axis,
    transverseInertiaKgM2: inertia,
    lengthM: 1,
    lengthVariation: 0,
    placedBy: null,
  });
  const links = [link('trunk', m2, I2, trunkCentre, trunkAxis), link('left_thigh', m1, I1, thighCentre, thighAxis)];
  return jointLoads(makeMotion(FRAMES, RATE, m1 + m2, links, { mid_hip: hip, mid_knee: knee }, true), [], NO_TURN)
    .fromAbove!;
}

describe('double pendulum', () => {
  const { hip, knee } = computed();

  test('moments equal the Lagrangian equations', () => {
    // Truncation of the second difference: dt²/12 · x⁗ ≤ 1e-6/12 · 102 (0.4 · 4⁴) · 10 kg·m² of inertia: below 1e-4 N·m.
    for (let f = 1; f < FRAMES - 1; f++) {
      const expected = closedForm(f / RATE);
      expectClose(hip.total[f], expected.hip, 1e-3, `hip, frame ${f}`);
      expectClose(knee.total[f], -expected.knee, 1e-3, `knee (extensor = −z), frame ${f}`);
      expectClose(hip.gravity[f], expected.hipStill, 1e-9, `hip, gravity, frame ${f}`);
      expectClose(hip.gravity[f] + hip.inertial[f], hip.total[f], 1e-9, `sum, frame ${f}`);
    }
  });

  test('forward integration (numeric.dopri) under the computed moments returns the motion', () => {
    const inner = Array.from({ length: FRAMES - 2 }, (_, k) => k + 1);
    const times = inner.map((f) => f / RATE);
    const hipAt = cubicSpline(
      times,
      inner.map((f) => hip.total[f]),
    );
    const kneeAt = cubicSpline(
      times,
      inner.map((f) => -knee.total[f]),
    );
    const rate = (t: number, [a, b, da, db]: number[]) => {
      const H = hipAt(t);
      const rightA = kneeAt(t) - H - coupling * Math.sin(a - b) * db ** 2 - (m1 * c1 + m2 * L) * G * Math.cos(a);
      const rightB = H + coupling * Math.sin(a - b) * da ** 2 - m2 * c2 * G * Math.cos(b);
      const cross = coupling * Math.cos(a - b);
      const determinant = inertiaA * inertiaB - cross ** 2;
      return [
        da,
        db,
        (inertiaB * rightA - cross * rightB) / determinant,
        (inertiaA * rightB - cross * rightA) / determinant,
      ];
    };
    const [from, to] = [times[0], times[times.length - 1]];
    const start = [thigh(from)[0], trunk(from)[0], thigh(from)[1], trunk(from)[1]];
    const solution = numeric.dopri(from, to, start, rate, 1e-10, 20000);
    expectClose(solution.x[solution.x.length - 1], to, 1e-9, 'integrated to the end, s');
    for (const t of [0.25, 0.5, 0.75, to]) {
      const [a, b] = solution.at(t);
      // The moments' truncation error (below 1e-4 N·m over about 10 kg·m²), grown by the upright links' instability over 1 s.
      expectClose(a, thigh(t)[0], 1e-4, `thigh at ${t} s, rad`);
      expectClose(b, trunk(t)[0], 1e-4, `trunk at ${t} s, rad`);
    }
    expect(Math.abs(thigh(0.5)[0] - thigh(0)[0])).toBeGreaterThan(0.3);
  });
});
