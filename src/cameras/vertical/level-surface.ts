import { levelSurfaceUndetermined } from '../../messages/moving-points.ts';
import { eigenSymmetric } from '../../numerics/symmetric-eigen.ts';
import { cameraCentre } from '../camera-model.ts';
import { pointFromViews } from '../point-from-views.ts';
import type { Camera } from '../rig.ts';
import { crossed, dot, roundCovariance, type VerticalEstimate, verticalEstimate } from './vertical-estimate.ts';

/** Marks on a level surface (the floor, a board or a spirit level's edge lying on it), seen by two cameras or more. */
export interface LevelMarks {
  readonly cameras: readonly string[];
  /** 2 × cameras × n, mark-major: `2 * (mark * cameras.length + camera)`, px; NaN where not seen. */
  readonly pixel: Float64Array;
}

export interface LevelOptions {
  readonly what?: string;
  /** How level the surface itself is, standard deviation per axis, degrees. */
  readonly levelSdDeg: number;
  readonly pixelSdPx: number;
}

/** Second extent of the marks below which they are a line, metres. Common practice, no source. */
const NARROWEST_M = 0.1;

/**
 * Straight up as the normal of the plane through marks on a level surface, on the side of the first camera. The covariance
 * is the spread of the normal when every pixel moves by its standard deviation in turn (a numerical Jacobian), plus the
 * levelness of the surface itself, which is as a rule the larger part.
 */
export function verticalFromLevelMarks(
  cameras: readonly Camera[],
  marks: LevelMarks,
  { what = 'level surface', levelSdDeg, pixelSdPx }: LevelOptions,
): VerticalEstimate {
  const seeing = marks.cameras
    .map((name) => cameras.find((camera) => camera.name === name))
    .filter((c) => c !== undefined);
  const per = 2 * marks.cameras.length;
  const count = marks.pixel.length / per;
  const pointsOf = (pixel: Float64Array) =>
    Array.from({ length: count }, (_, i) => pointFromViews(seeing, pixel.subarray(per * i, per * (i + 1))));
  const points = pointsOf(marks.pixel);
  const usable = points.map((point) => point !== null);
  const { normal, widths } = planeThrough(points.filter((point) => point !== null));
  const found = usable.filter(Boolean).length;
  if (seeing.length < marks.cameras.length || found < 3 || !(widths[1] >= NARROWEST_M)) {
    throw levelSurfaceUndetermined(what, found, widths[1], NARROWEST_M);
  }
  const centre = cameraCentre(cameras[0]);
  const towards = [0, 1, 2].map((k) => centre[k] - points[usable.indexOf(true)]![k]);
  const up = dot(normal, towards) < 0 ? normal.map((x) => -x) : normal;
  const covariance = roundCovariance(up, (levelSdDeg * Math.PI) / 180);
  const moved = points.slice();
  for (let i = 0; i < count; i++) {
    if (!usable[i]) continue;
    for (let o = per * i; o < per * (i + 1); o++) {
      if (!Number.isFinite(marks.pixel[o])) continue;
      const pixel = marks.pixel.slice(per * i, per * (i + 1));
      pixel[o - per * i] += pixelSdPx;
      moved[i] = pointFromViews(seeing, pixel);
      const turn = crossed(up, planeThrough(moved.filter((point) => point !== null)).normal);
      for (let k = 0; k < 9; k++) covariance[k] += turn[Math.floor(k / 3)] * turn[k % 3];
    }
    moved[i] = points[i];
  }
  // So far the covariance of the turn; turn × up is the change of up: the same numbers, axes exchanged.
  return verticalEstimate(what, up, turnToDirection(up, covariance, roundCovariance(up, (levelSdDeg * Math.PI) / 180)));
}

/** Covariance of u from that of a turn δ about axes across u: du = δ × u; the round part stays as it is. */
function turnToDirection(up: readonly number[], turn: Float64Array, round: Float64Array): Float64Array {
  const x = [0, up[2], -up[1], -up[2], 0, up[0], up[1], -up[0], 0];
  const out = new Float64Array(9);
  for (let a = 0; a < 3; a++) {
    for (let b = 0; b < 3; b++) {
      out[3 * a + b] = round[3 * a + b];
      for (let i = 0; i < 3; i++) {
        for (let j = 0; j < 3; j++)
          out[3 * a + b] += x[3 * a + i] * (turn[3 * i + j] - round[3 * i + j]) * x[3 * b + j];
      }
    }
  }
  return out;
}

function planeThrough(points: readonly Float64Array[]): { normal: number[]; widths: number[] } {
  const n = points.length;
  const mean = [0, 1, 2].map((k) => points.reduce((sum, p) => sum + p[k] / n, 0));
  const scatter = new Float64Array(9);
  for (const p of points) {
    for (let k = 0; k < 9; k++) {
      const [i, j] = [Math.floor(k / 3), k % 3];
      scatter[k] += ((p[i] - mean[i]) * (p[j] - mean[j])) / n;
    }
  }
  if (n < 3) return { normal: [0, 0, 0], widths: [0, 0] };
  const { values, vectors } = eigenSymmetric(scatter, 3);
  return {
    normal: [vectors[0], vectors[3], vectors[6]],
    widths: [2 * Math.sqrt(Math.max(0, values[2])), 2 * Math.sqrt(Math.max(0, values[1]))],
  };
}
