import { inverse, Matrix } from 'ml-matrix';
import { projectInto } from '../../src/cameras/camera-model.ts';
import { movedCameras } from '../../src/cameras/moving-points/scale-sd.ts';
import { POSE_PARAMETERS } from '../../src/cameras/pose-covariance.ts';
import type { Camera, MeasuredQuality } from '../../src/cameras/rig.ts';
import { scaleFrom } from '../../src/cameras/rig-quality.ts';
import type { SyntheticCamera } from './camera.ts';
import { add, cross, dot, scale, type Vector } from './vector.ts';

/** How well a rig is known: what its file would state, and what the truth is drawn from. */
export interface RigDoubt {
  /** Square, row-major, of `parameters`. */
  readonly parameters: readonly string[];
  readonly covariance: Float64Array;
  /** Angle within which the true vertical lies with probability 95 %, alike to all sides, degrees. */
  readonly verticalHalfWidth95Deg: number;
  readonly scaleSdShare: number;
}

export const VERTICAL_HALF_WIDTH_95_DEG = 0.5;
export const SCALE_SD_SHARE = 0.003;
/** Standard deviations to the angle that holds 95 % of a direction's errors alike to all sides: √(−2 ln 0.05) (Rayleigh). */
export const ROUND_95 = Math.sqrt(-2 * Math.log(0.05));

/** Control points of the room of a squat, metres, and how well their places and their images are known. */
const POINTS_M: readonly Vector[] = [-0.7, 0, 0.7].flatMap((x) =>
  [0.05, 0.7, 1.4, 2].flatMap((y) => [-0.8, 0.8].map((z): Vector => [x, y, z])),
);
const POINT_SD_M = 0.003;
const PIXEL_SD = 0.5;

const LENS = ['f', 'cx', 'cy'] as const;
export const CAMERA_PARAMETERS = [...LENS, ...POSE_PARAMETERS] as const;

/**
 * Joint covariance of cameras calibrated by control points that a tape measured to 3 mm and a hand clicked to half a pixel:
 * C = (Σ Jᵀ V⁻¹ J)⁻¹ with V the pixel errors of both cameras at one point, which its misplacing makes alike
 * (V = σ²I + s² P Pᵀ, P the images' derivative by the point). Derivatives are central differences.
 */
export function controlPointDoubt(cameras: readonly Camera[]): RigDoubt {
  const parameters = cameras.flatMap(({ name }) => CAMERA_PARAMETERS.map((kind) => `${name}.${kind}`));
  const n = parameters.length;
  const rows = 2 * cameras.length;
  const steps = parameters.map((name) => (/\.(f|cx|cy)$/.test(name) ? 0.1 : 1e-5));
  let normal = Matrix.zeros(n, n);
  for (const point of POINTS_M) {
    const byCamera = new Matrix(rows, n);
    parameters.forEach((name, column) => {
      const h = steps[column];
      const [low, high] = [-h, h].map((step) => imagesOf(movedCameras(cameras, name, step)!, point));
      for (let r = 0; r < rows; r++) byCamera.set(r, column, (high[r] - low[r]) / (2 * h));
    });
    const byPoint = new Matrix(rows, 3);
    for (let axis = 0; axis < 3; axis++) {
      const step: Vector = [axis === 0 ? 1e-4 : 0, axis === 1 ? 1e-4 : 0, axis === 2 ? 1e-4 : 0];
      const [low, high] = [scale(step, -1), step].map((by) => imagesOf(cameras, add(point, by)));
      for (let r = 0; r < rows; r++) byPoint.set(r, axis, (high[r] - low[r]) / 2e-4);
    }
    const variance = Matrix.eye(rows, rows)
      .mul(PIXEL_SD ** 2)
      .add(byPoint.mmul(byPoint.transpose()).mul(POINT_SD_M ** 2));
    normal = Matrix.add(normal, byCamera.transpose().mmul(inverse(variance)).mmul(byCamera));
  }
  // Metres, radians and pixels are brought to one size before the inverse.
  const size = Array.from({ length: n }, (_, i) => Math.sqrt(normal.get(i, i)));
  const scaled = new Matrix(n, n);
  for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) scaled.set(i, j, normal.get(i, j) / (size[i] * size[j]));
  const inverted = inverse(scaled);
  return {
    parameters,
    covariance: Float64Array.from({ length: n * n }, (_, k) => {
      const [i, j] = [Math.floor(k / n), k % n];
      return (inverted.get(i, j) + inverted.get(j, i)) / (2 * size[i] * size[j]);
    }),
    verticalHalfWidth95Deg: VERTICAL_HALF_WIDTH_95_DEG,
    scaleSdShare: SCALE_SD_SHARE,
  };
}

function imagesOf(cameras: readonly Camera[], [x, y, z]: Vector): Float64Array {
  const out = new Float64Array(2 * cameras.length);
  cameras.forEach((camera, c) => {
    projectInto(out, 2 * c, camera, x, y, z);
  });
  return out;
}

/** What the rig's file says of that; a rig without a stated part says null there. */
export function statedQuality(
  doubt: RigDoubt,
  said: { readonly cameras: boolean; readonly vertical: boolean; readonly scale: boolean },
): MeasuredQuality {
  const n = doubt.parameters.length;
  return {
    cameras: [],
    heldOutLength: null,
    vertical: said.vertical ? { from: 'invented', halfWidth95Deg: doubt.verticalHalfWidth95Deg } : null,
    scale: said.scale ? scaleFrom({ 'length of the invented board': doubt.scaleSdShare }) : null,
    volumeM: [-0.7, 0.05, -0.8, 0.7, 2, 0.8],
    covariance: said.cameras
      ? {
          parameters: doubt.parameters,
          lowerTriangle: Array.from({ length: n }, (_, i) => [
            ...doubt.covariance.subarray(i * n, i * n + i + 1),
          ]).flat(),
        }
      : null,
  };
}

/** Changes of one camera, named as in a covariance: px, radians (R becomes exp(turn) R), metres. */
export type CameraChange = Readonly<Record<(typeof CAMERA_PARAMETERS)[number], number>>;

/** The synthetic camera with those changes. Written here on its own: the analyser's rotations are not used. */
export function changedCamera(camera: SyntheticCamera, change: CameraChange): SyntheticCamera {
  const turn: Vector = [change.turn_x, change.turn_y, change.turn_z];
  const shift: Vector = [change.translation_x, change.translation_y, change.translation_z];
  const columns = ([0, 1, 2] as const).map(
    (c): Vector => rotated([camera.axes[0][c], camera.axes[1][c], camera.axes[2][c]], turn),
  );
  const axes = ([0, 1, 2] as const).map(
    (r): Vector => [columns[0][r], columns[1][r], columns[2][r]],
  ) as unknown as SyntheticCamera['axes'];
  const t = ([0, 1, 2] as const).map((r) => -dot(camera.axes[r], camera.centre) + shift[r]);
  return {
    ...camera,
    focalPx: camera.focalPx + change.f,
    principalPointPx: [camera.principalPointPx[0] + change.cx, camera.principalPointPx[1] + change.cy],
    axes,
    centre: ([0, 1, 2] as const).map(
      (c) => -(axes[0][c] * t[0] + axes[1][c] * t[1] + axes[2][c] * t[2]),
    ) as unknown as Vector,
  };
}

/** v turned by the rotation vector `turn` (Rodrigues). */
export function rotated(v: Vector, turn: Vector): Vector {
  const angle = Math.sqrt(dot(turn, turn));
  if (angle === 0) return v;
  const axis = scale(turn, 1 / angle);
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  return add(add(scale(v, c), scale(cross(axis, v), s)), scale(axis, dot(axis, v) * (1 - c)));
}

/**
 * The camera in a world that is turned and scaled against the one it was stated in: a point that the stated rig finds at
 * X truly lies at `rotated(X, turn) / scaleFound`.
 */
export function inTrueWorld(camera: SyntheticCamera, turn: Vector, scaleFound: number): SyntheticCamera {
  const axes = camera.axes.map((axis) => rotated(axis, turn)) as unknown as SyntheticCamera['axes'];
  return { ...camera, axes, centre: scale(rotated(camera.centre, turn), 1 / scaleFound) };
}
