import type { Calibration } from '../../../src/cameras/calibration.ts';
import type { MovingLens } from '../../../src/cameras/moving-points/joint-fit.ts';
import { rigFromMovingPoints } from '../../../src/cameras/moving-points/moving-points-rig.ts';
import { measuredRod } from '../../../src/cameras/moving-points/scale-budget.ts';
import { movedCameras } from '../../../src/cameras/moving-points/scale-sd.ts';
import { pointFromViews } from '../../../src/cameras/point-from-views.ts';
import { composePoses, invertPose } from '../../../src/cameras/pose.ts';
import type { Camera } from '../../../src/cameras/rig.ts';
import { DataError } from '../../../src/errors.ts';
import { multiply3, transpose3, vectorFromRotation } from '../../../src/numerics/rotation.ts';
import type { PixelNoise } from '../../synthetic/noise.ts';
import { placed, type RigError, rigError } from './rig-error.ts';
import {
  analysedCamera,
  boardRig,
  type CameraBias,
  calibratedLens,
  filmSet,
  POINTS,
  type Turning,
  trueSet,
} from './simulated-gym.ts';

/** Corner noise of board images, px. */
const CORNER_PX = 0.25;

export interface BarRun {
  readonly board: RigError;
  /** null: refused, with the code. */
  readonly bar: RigError | null;
  readonly refused: string | null;
  /** Errors of the second camera's relative turn over their standard deviations, three axes; hip–knee vector likewise. */
  readonly turnZ: readonly number[];
  readonly hipKneeZ: readonly number[];
  /** Scale error over the statistical standard deviation that the rig states. */
  readonly scaleZ: number;
  readonly statedScaleSd: number;
}

export interface BarRunSettings {
  readonly recording: string;
  readonly turning: Turning;
  readonly noise: PixelNoise;
  readonly seed: number;
  readonly bias?: CameraBias;
  /** Empty: the bar alone. */
  readonly points?: readonly string[];
}

/** One simulated set filmed with one draw of noise and lens calibration: the bar's rig and a board's rig, side by side. */
export function barRun({ recording, turning, noise, seed, bias, points }: BarRunSettings): BarRun {
  const set = trueSet(recording, turning);
  const { tracks, exact } = filmSet(set, noise, seed, bias);
  const unbiased = bias === undefined ? exact : filmSet(set, noise, seed).exact;
  const lenses = set.cameras.map((camera) => calibratedLens(camera, CORNER_PX, seed));
  const trueCameras = set.cameras.map(analysedCamera);
  const truth = placed(trueCameras, unbiased);
  const board = rigError(boardRig(set, lenses, CORNER_PX, seed), tracks, unbiased, truth);
  const rod = measuredRod(['bar_left_end', 'bar_right_end'], set.barLengthM, 0.0005);
  let calibration: Calibration;
  try {
    calibration = rigFromMovingPoints(
      tracks,
      lenses,
      { rods: [rod], seed, ...(points && { points }) },
      'barbell and joints',
    );
  } catch (error) {
    if (!(error instanceof DataError)) throw error;
    return { board, bar: null, refused: error.code, turnZ: [], hipKneeZ: [], scaleZ: 0, statedScaleSd: 0 };
  }
  const bar = rigError(calibration.rig.cameras, tracks, unbiased, truth);
  const statedScaleSd = calibration.rig.quality.measured!.scale!.causes['pixel noise and geometry'];
  return {
    board,
    bar,
    refused: null,
    ...scores(
      calibration,
      lenses,
      trueCameras,
      exact.map(({ pixel }) => pixel),
    ),
    scaleZ: bar.scaleShare / statedScaleSd,
    statedScaleSd,
  };
}

/** Errors over standard deviations, in the frame of the first camera (which the rig holds). */
function scores(
  calibration: Calibration,
  lenses: readonly MovingLens[],
  truth: readonly Camera[],
  pixels: readonly Float64Array[],
) {
  const cameras = calibration.rig.cameras;
  const inFirst = (all: readonly Camera[]): Camera[] => {
    const back = invertPose(all[0]);
    return all.map((camera) => ({ ...camera, ...composePoses(camera, back) }));
  };
  const [found, right] = [inFirst(cameras), inFirst(truth)];
  const { parameters, lowerTriangle } = calibration.rig.quality.measured!.covariance!;
  const n = parameters.length;
  const c = (i: number, j: number) => {
    const [a, b] = i >= j ? [i, j] : [j, i];
    return lowerTriangle[(a * (a + 1)) / 2 + b];
  };
  const second = lenses[1].camera.name;
  const turn = vectorFromRotation(multiply3(found[1].rotation, transpose3(right[1].rotation)));
  const turnZ = ['x', 'y', 'z'].map((axis, k) => {
    const i = parameters.indexOf(`${second}.turn_${axis}`);
    return turn[k] / Math.sqrt(c(i, i));
  });
  // Hip and knee in the middle of the first descent, from exact pixels: only the rig errs.
  const frame = 108;
  const viewOf = (name: string) => {
    const o = 2 * (frame * POINTS.length + POINTS.indexOf(name as never));
    return Float64Array.of(pixels[0][o], pixels[0][o + 1], pixels[1][o], pixels[1][o + 1]);
  };
  // Both cameras' frames shown to one pair of cameras: the moments differ by 13 ms, which bends truth and estimate alike.
  const vector = (all: readonly Camera[]) => {
    const [hip, knee] = ['left_hip', 'left_knee'].map((name) => pointFromViews(all, viewOf(name))!);
    return [0, 1, 2].map((k) => knee[k] - hip[k]);
  };
  const [v, w] = [vector(cameras), vector(truth)];
  const toFirst = (r: Float64Array, x: readonly number[]) =>
    [0, 1, 2].map((k) => r[3 * k] * x[0] + r[3 * k + 1] * x[1] + r[3 * k + 2] * x[2]);
  const error = toFirst(cameras[0].rotation, v).map((x, k) => x - toFirst(truth[0].rotation, w)[k]);
  const gradient = parameters.map((name, i) => {
    const h = 0.1 * Math.sqrt(c(i, i));
    const moved = movedCameras(cameras, name, h);
    if (moved === null) return [0, 0, 0];
    const u = vector(moved);
    return toFirst(
      cameras[0].rotation,
      u.map((x, k) => (x - v[k]) / h),
    );
  });
  const hipKneeZ = [0, 1, 2].map((k) => {
    let variance = 0;
    for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) variance += gradient[i][k] * gradient[j][k] * c(i, j);
    return error[k] / Math.sqrt(variance);
  });
  return { turnZ, hipKneeZ };
}

/** Share of scores within ± 1.96. */
export const coverage = (z: readonly number[]): number => z.filter((x) => Math.abs(x) <= 1.959964).length / z.length;
