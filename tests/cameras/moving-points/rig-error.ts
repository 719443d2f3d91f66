import type { ImageTrack } from '../../../src/cameras/moving-points/image-tracks.ts';
import { momentsOf } from '../../../src/cameras/moving-points/image-tracks.ts';
import { pointFromViews } from '../../../src/cameras/point-from-views.ts';
import type { Camera } from '../../../src/cameras/rig.ts';
import { multiply3, nearestRotation, transpose3 } from '../../../src/numerics/rotation.ts';
import { POINTS } from './simulated-gym.ts';

/** Points, 3 × n, of all names at all moments as the cameras place them; NaN where not placed. */
export function placed(cameras: readonly Camera[], tracks: readonly ImageTrack[]): Float64Array {
  const { timeS, points, pixel } = momentsOf(tracks, POINTS);
  const out = new Float64Array(3 * timeS.length * points.length).fill(Number.NaN);
  for (let k = 0; k < timeS.length; k++) {
    for (let p = 0; p < points.length; p++) {
      const view = cameras.flatMap((_, c) => {
        const o = 2 * ((k * cameras.length + c) * points.length + p);
        return [pixel[o], pixel[o + 1]];
      });
      const point = pointFromViews(cameras, view);
      if (point !== null) out.set(point, 3 * (k * points.length + p));
    }
  }
  return out;
}

/** Rotation, translation and scale that carry `from` to `to` (Umeyama 1991), over points finite in both. */
export function aligned(from: Float64Array, to: Float64Array) {
  const at: number[] = [];
  for (let o = 0; o < from.length; o += 3) if (Number.isFinite(from[o]) && Number.isFinite(to[o])) at.push(o);
  const mean = (x: Float64Array) => [0, 1, 2].map((k) => at.reduce((sum, o) => sum + x[o + k] / at.length, 0));
  const [a, b] = [mean(from), mean(to)];
  const m = new Float64Array(9);
  let spread = 0;
  for (const o of at) {
    for (let i = 0; i < 3; i++) {
      spread += (from[o + i] - a[i]) ** 2;
      for (let j = 0; j < 3; j++) m[3 * i + j] += (to[o + i] - b[i]) * (from[o + j] - a[j]);
    }
  }
  const rotation = nearestRotation(m);
  const turnedBack = multiply3(transpose3(rotation), m);
  const scale = (turnedBack[0] + turnedBack[4] + turnedBack[8]) / spread;
  return { rotation, scale };
}

export interface RigError {
  /** Root mean square error of the vectors hip → knee, both sides, after rigid alignment (no scale), metres. */
  readonly hipKneeM: number;
  /** The same where pixels carry no noise: what the rig alone does. */
  readonly hipKneeRigOnlyM: number;
  /** Scale of the rig against truth, as a share: 0 = right. */
  readonly scaleShare: number;
}

/** Errors of a rig on a filmed set. `truth`: points of the same moments placed by the true cameras from exact pixels. */
export function rigError(
  cameras: readonly Camera[],
  tracks: readonly ImageTrack[],
  exact: readonly ImageTrack[],
  truth: Float64Array,
): RigError {
  const clean = placed(cameras, exact);
  const noisy = placed(cameras, tracks);
  return {
    hipKneeM: hipKneeError(noisy, truth),
    hipKneeRigOnlyM: hipKneeError(clean, truth),
    scaleShare: 1 / aligned(clean, truth).scale - 1,
  };
}

function hipKneeError(points: Float64Array, truth: Float64Array): number {
  const { rotation: r } = aligned(points, truth);
  let squares = 0;
  let count = 0;
  for (let k = 0; k < points.length / 3 / POINTS.length; k++) {
    for (const side of ['left', 'right'] as const) {
      const [h, n] = [`${side}_hip`, `${side}_knee`].map(
        (name) => 3 * (k * POINTS.length + POINTS.indexOf(name as never)),
      );
      const v = [0, 1, 2].map((i) => points[n + i] - points[h + i]);
      const w = [0, 1, 2].map((i) => truth[n + i] - truth[h + i]);
      if (!v.every(Number.isFinite) || !w.every(Number.isFinite)) continue;
      for (let i = 0; i < 3; i++) squares += (r[3 * i] * v[0] + r[3 * i + 1] * v[1] + r[3 * i + 2] * v[2] - w[i]) ** 2;
      count++;
    }
  }
  return Math.sqrt(squares / count);
}
