import { GRAVITY_M_PER_S2 } from '../../src/numerics/constants.ts';
import { imageOf, type SyntheticCamera } from './camera.ts';
import type { VirtualLift } from './lift.ts';
import { mirrored, subtract, type Vector } from './vector.ts';

/**
 * What white pixel noise must do to points and moments, worked out by hand: the expectation that the analyser's errors are
 * held against. Linear propagation; nothing here comes from the analyser but its cut-off frequencies.
 */

/** Standard deviation of a least-squares point along lab X, Y, Z for 1 px in every coordinate of every view. */
export function pointSd(cameras: readonly SyntheticCamera[], at: Vector): Vector {
  // Normal matrix Σ Jᵀ J of the image coordinates, by central differences; 3 × 3, inverted by cofactors.
  const n = [0, 0, 0, 0, 0, 0, 0, 0, 0];
  const h = 1e-4;
  for (const camera of cameras) {
    const columns = [0, 1, 2].map((axis) => {
      const step = [0, 0, 0];
      step[axis] = h;
      const a = imageOf(camera, subtract(at, step as unknown as Vector))!;
      const b = imageOf(camera, [at[0] + step[0], at[1] + step[1], at[2] + step[2]])!;
      return [(b[0] - a[0]) / (2 * h), (b[1] - a[1]) / (2 * h)];
    });
    for (let i = 0; i < 3; i++) {
      for (let j = 0; j < 3; j++) n[3 * i + j] += columns[i][0] * columns[j][0] + columns[i][1] * columns[j][1];
    }
  }
  const minor = (a: number, b: number, c: number, d: number) => n[a] * n[d] - n[b] * n[c];
  const determinant = n[0] * minor(4, 5, 7, 8) - n[1] * minor(3, 5, 6, 8) + n[2] * minor(3, 4, 6, 7);
  return [
    Math.sqrt(minor(4, 5, 7, 8) / determinant),
    Math.sqrt(minor(0, 2, 6, 8) / determinant),
    Math.sqrt(minor(0, 1, 3, 4) / determinant),
  ];
}

/**
 * Noise left of white noise of variance 1 after a forward–backward second-order Butterworth filter with −3 dB at `cutoffHz`
 * altogether (gain 1/(1 + w⁴), w the ratio of the tangents of half the digital frequencies, w = 0.80224 at the cut-off) and
 * the three-point second difference (gain (2 fs sin(π f/fs))²): variances of the position, of the second difference (s⁻⁴),
 * and minus their covariance (s⁻²), by integration over frequency.
 */
export function filteredVariances(
  cutoffHz: number,
  rateHz: number,
): { readonly position: number; readonly covariance: number; readonly acceleration: number } {
  const steps = 2000;
  const design = Math.tan((Math.PI * cutoffHz) / rateHz) / 0.80224;
  let position = 0;
  let covariance = 0;
  let acceleration = 0;
  for (let i = 0; i < steps; i++) {
    const half = (Math.PI / 2) * ((i + 0.5) / steps);
    const power = 1 / (1 + (Math.tan(half) / design) ** 4) ** 2 / steps;
    const twice = (2 * rateHz * Math.sin(half)) ** 2;
    position += power;
    covariance += power * twice;
    acceleration += power * twice * twice;
  }
  return { position, covariance, acceleration };
}

export interface Cutoffs {
  readonly legsHz: number;
  readonly trunkHz: number;
  readonly barHz: number;
}

export interface PropagatedMoment {
  readonly total: number;
  readonly gravity: number;
}

/**
 * Expected rms error of the moments about the mid-joints, N·m, for 1 px of white noise, mean over the lift.
 *
 * The bodies above a cut are shared out to the midpoints that place them (trunk by its centre between mid-shoulder and
 * mid-hip, and so on); arms and head are counted with the shoulders. A midpoint of two points has 1/√2 of their noise. With
 * M = Σ m [(x − x_P)(g + a_y) − (y − y_P) a_x] the error is Σ m [g (δx − δx_P) − (y − y_P) δa_x + (x − x_P) δa_y]. The
 * lifter's turn of a few degrees in the world is neglected. `hipsHz`: cut-off of the hips.
 */
export function propagatedMoments(
  lift: VirtualLift,
  cameras: readonly SyntheticCamera[],
  cutoffs: Cutoffs & { readonly hipsHz: number },
  rateHz: number,
): Readonly<Record<'hip' | 'knee' | 'ankle', PropagatedMoment>> {
  const { massKg, segments } = lift.setup.lifter;
  const share = (name: 'trunk' | 'thigh' | 'shank') => segments[name].centrePct / 100;
  const { trunk, thigh, shank } = massKg;
  const arms = 2 * (massKg.upperArm + massKg.forearm + massKg.hand) + massKg.head;
  const bar = { at: 'bar', kg: lift.setup.equipment.loadKg, hz: cutoffs.barHz } as const;
  const shoulders = { at: 'shoulder', kg: arms + trunk * (1 - share('trunk')), hz: cutoffs.trunkHz } as const;
  const hips = (kg: number) => ({ at: 'hip', kg, hz: cutoffs.hipsHz }) as const;
  const knees = (kg: number) => ({ at: 'knee', kg, hz: cutoffs.legsHz }) as const;
  const ankles = (kg: number) => ({ at: 'ankle', kg, hz: cutoffs.legsHz }) as const;
  const hipOfTrunk = trunk * share('trunk');
  const hipAll = hipOfTrunk + 2 * thigh * (1 - share('thigh'));
  const kneeOfThigh = 2 * thigh * share('thigh');
  const chains = {
    hip: [bar, shoulders, hips(hipOfTrunk)],
    knee: [bar, shoulders, hips(hipAll), knees(kneeOfThigh)],
    ankle: [
      bar,
      shoulders,
      hips(hipAll),
      knees(kneeOfThigh + 2 * shank * (1 - share('shank'))),
      ankles(2 * shank * share('shank')),
    ],
  };
  const result = { hip: { total: 0, gravity: 0 }, knee: { total: 0, gravity: 0 }, ankle: { total: 0, gravity: 0 } };
  const times = Array.from({ length: 40 }, (_, i) => (lift.course.durationS * (i + 0.5)) / 40);
  for (const joint of ['hip', 'knee', 'ankle'] as const) {
    let total = 0;
    let gravity = 0;
    const chain = chains[joint];
    const above = chain.reduce((sum, { kg }) => sum + kg, 0);
    for (const t of times) {
      const { legs, upper } = lift.postureAt(t);
      const barEnd: Vector = [upper.bar[0], upper.bar[1], lift.setup.equipment.barLengthM / 2];
      const places = { bar: barEnd, shoulder: upper.shoulder, hip: legs.hip, knee: legs.knee, ankle: legs.ankle };
      const pivotIsLast = chain[chain.length - 1].at === joint;
      const all = pivotIsLast ? chain : [...chain, { at: joint, kg: 0, hz: cutoffs.legsHz }];
      for (const { at, kg, hz } of all) {
        const v = filteredVariances(hz, rateHz);
        const place = subtract(places[at], places[joint]);
        const weight = GRAVITY_M_PER_S2 * (at === joint ? kg - above : kg);
        const right = pointSd(cameras, places[at]);
        const left = pointSd(cameras, mirrored(places[at]));
        const sx = (right[0] ** 2 + left[0] ** 2) / 4;
        const sy = (right[1] ** 2 + left[1] ** 2) / 4;
        gravity += weight ** 2 * v.position * sx;
        total +=
          sx *
            (weight ** 2 * v.position +
              2 * weight * kg * place[1] * v.covariance +
              (kg * place[1]) ** 2 * v.acceleration) +
          sy * (kg * place[0]) ** 2 * v.acceleration;
      }
    }
    result[joint] = { total: Math.sqrt(total / times.length), gravity: Math.sqrt(gravity / times.length) };
  }
  return result;
}
