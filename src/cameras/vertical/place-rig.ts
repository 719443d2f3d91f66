import { multiply3, transpose3 } from '../../numerics/rotation.ts';
import { median } from '../../numerics/statistics.ts';
import { composePoses, type Pose, turned } from '../pose.ts';
import type { Camera } from '../rig.ts';
import { dot } from './vertical-estimate.ts';

/** Where the floor is: points that lie (or stay) at one height above it, or not known. Rig frame, metres. */
export type FloorEvidence = {
  /** 3 × n, n ≥ 1: heels or ankles of all moments, marks on the floor; NaN is skipped. */
  readonly points: Float64Array;
  /** Height of those points above the floor, metres. */
  readonly heightM: number;
} | null;

export interface PlacedRig {
  /** worldFromRig. */
  readonly world: Pose;
  readonly cameras: readonly Camera[];
}

/**
 * The rig turned so that `up` is +Y, the floor at Y = 0, X along the horizontal part of the first camera's viewing
 * direction, Z = X × Y; the origin on the floor below the first camera (without a floor: the first camera's own height is 0).
 * Heading and origin carry no meaning: the lifter's own are found later.
 */
export function placeRig(cameras: readonly Camera[], up: ArrayLike<number>, floor: FloorEvidence): PlacedRig {
  const r = cameras[0].rotation;
  const centre = turned(transpose3(r), cameras[0].translation).map((x) => -x);
  let forward = acrossUp([r[6], r[7], r[8]], up);
  // A camera that looks straight down has no heading: its picture's upward direction serves.
  if (Math.hypot(...forward) < 1e-6) forward = acrossUp([-r[3], -r[4], -r[5]], up);
  const length = Math.hypot(...forward);
  const x = forward.map((value) => value / length);
  const z = [x[1] * up[2] - x[2] * up[1], x[2] * up[0] - x[0] * up[2], x[0] * up[1] - x[1] * up[0]];
  const rotation = Float64Array.of(...x, up[0], up[1], up[2], ...z);
  const translation = turned(rotation, centre).map((value) => -value);
  if (floor !== null) translation[1] = -(floorHeight(floor.points, up) - floor.heightM);
  const world: Pose = { rotation, translation };
  const rigFromWorld: Pose = {
    rotation: transpose3(rotation),
    translation: turned(transpose3(rotation), translation).map((value) => -value),
  };
  return { world, cameras: cameras.map((camera) => ({ ...camera, ...composePoses(camera, rigFromWorld) })) };
}

/** Points, 3 × n, by a pose. */
export function movedPoints(points: Float64Array, { rotation, translation }: Pose): Float64Array {
  const out = new Float64Array(points.length);
  for (let o = 0; o < points.length; o += 3) {
    const at = turned(rotation, points.subarray(o, o + 3));
    for (let k = 0; k < 3; k++) out[o + k] = at[k] + translation[k];
  }
  return out;
}

/** Median height: neither a lifted foot nor a wild point moves the floor, and noise does not sink it as it would sink a minimum. */
function floorHeight(points: Float64Array, up: ArrayLike<number>): number {
  const heights: number[] = [];
  for (let o = 0; o < points.length; o += 3) {
    const height = dot(points.subarray(o, o + 3), up);
    if (Number.isFinite(height)) heights.push(height);
  }
  return median(heights);
}

function acrossUp(v: readonly number[], up: ArrayLike<number>): number[] {
  const along = dot(v, up);
  return v.map((x, k) => x - along * up[k]);
}

/** Rotation part of worldFromRig applied to a symmetric 3 × 3 covariance. */
export function turnedCovariance(rotation: Float64Array, covariance: Float64Array): Float64Array {
  return multiply3(rotation, multiply3(covariance, transpose3(rotation)));
}
