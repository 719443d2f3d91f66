import { multiply3, rotationFromVector } from '../../numerics/rotation.ts';
import type { BundleSolution } from '../bundle-problem.ts';
import { type FreeLensParameter, lensValue, withLensValues } from '../fit-camera.ts';
import { pointFromViews } from '../point-from-views.ts';
import { POSE_PARAMETERS } from '../pose-covariance.ts';
import type { Camera } from '../rig.ts';

/** Sets of pixels triangulated for each derivative; they only have to span the volume. */
const MOST_POINTS = 60;

/**
 * Standard deviation of the scale that the cameras give to the space they saw, from their joint covariance, as a share.
 *
 * Scale = spread of the points about their centroid against that of the solution (the scale of a similarity fit). Its
 * derivative by each camera parameter is taken by placing the points again with that parameter moved by a tenth of its
 * standard deviation. So a baseline that is uncertain together with the turn of a camera is not counted as scale.
 *
 * views: 2 × cameras numbers per point, px, NaN where not seen.
 */
export function scaleSd(solution: BundleSolution, views: readonly Float64Array[]): number {
  const { parameters, covariance, cameras } = solution;
  const step = Math.max(1, Math.floor(views.length / MOST_POINTS));
  const chosen = views.filter((_, i) => i % step === 0);
  const base = chosen.map((pixels) => pointFromViews(cameras, pixels));
  const spread0 = spreadOf(base);
  const n = parameters.length;
  const gradient = parameters.map((name, i) => {
    const sd = Math.sqrt(covariance[i * n + i]);
    if (!(sd > 0)) return 0;
    const h = 0.1 * sd;
    const moved = movedCameras(cameras, name, h);
    if (moved === null) return 0;
    const points = chosen.map((pixels, k) => (base[k] === null ? null : pointFromViews(moved, pixels)));
    return (spreadOf(points) / spread0 - 1) / h;
  });
  let variance = 0;
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      const part = gradient[i] * gradient[j];
      if (part !== 0) variance += part * covariance[i * n + j];
    }
  }
  return Math.sqrt(Math.max(0, variance));
}

/** The cameras with one named parameter moved by h; null for a clock, which does not move points in space. */
export function movedCameras(cameras: readonly Camera[], parameter: string, h: number): Camera[] | null {
  const owner = cameras.find(({ name }) => parameter.startsWith(`${name}.`));
  if (owner === undefined) return null;
  const kind = parameter.slice(owner.name.length + 1);
  const change = (camera: Camera): Camera | null => {
    const pose = POSE_PARAMETERS.indexOf(kind as (typeof POSE_PARAMETERS)[number]);
    if (pose >= 0 && pose < 3) {
      const turn = [0, 0, 0];
      turn[pose] = h;
      return { ...camera, rotation: multiply3(rotationFromVector(turn), camera.rotation) };
    }
    if (pose >= 3) return { ...camera, translation: camera.translation.map((t, k) => (k === pose - 3 ? t + h : t)) };
    if (kind.startsWith('clock')) return null;
    const lens = kind as FreeLensParameter;
    return withLensValues(camera, [lens], [lensValue(camera, lens) + h], 0);
  };
  const changed = change(owner);
  return changed && cameras.map((camera) => (camera === owner ? changed : camera));
}

/** Root mean square distance of points from their centroid. */
function spreadOf(points: readonly (Float64Array | null)[]): number {
  const known = points.filter((point) => point !== null);
  const centre = [0, 1, 2].map((k) => known.reduce((sum, point) => sum + point[k] / known.length, 0));
  let squares = 0;
  for (const point of known) for (let k = 0; k < 3; k++) squares += (point[k] - centre[k]) ** 2;
  return Math.sqrt(squares / known.length);
}
