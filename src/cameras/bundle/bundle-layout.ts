import { choleskyInPlace, solveLowerInPlace } from '../../numerics/block-cholesky.ts';
import type { BundleCamera, BundleProblem, BundleTarget } from '../bundle-problem.ts';
import { lensValue } from '../fit-camera.ts';
import { LENS_PARAMETERS } from '../projection-derivatives.ts';

export const RIGID = 0;
const POINT = 1;
export const ROD = 2;
export const KNOWN = 3;
const KINDS = { rigid: RIGID, point: POINT, rod: ROD, known: KNOWN } as const;

/** Length in the state and in a step, by kind. A pose is 9 + 3 numbers, stepped by a turn δ and a translation. */
const STATE_LENGTH = [12, 3, 6, 0];
export const STEP_LENGTH = [6, 3, 6, 0];

/** Code of the lens parameter 'f' (fx and fy together); the others have their place in LENS_PARAMETERS. */
export const BOTH_FOCAL_LENGTHS = -1;

/** One camera's free parameters: where they lie in the state and in a step. */
export interface CameraPlace {
  readonly poseFree: boolean;
  /** LENS_PARAMETERS index of each free lens parameter, or BOTH_FOCAL_LENGTHS. */
  readonly lens: Int32Array;
  /** 0, 1 (offset) or 2 (offset and drift). */
  readonly clocks: number;
  readonly stateAt: number;
  readonly stepAt: number;
  readonly stepLength: number;
  /** Places within the camera's own state and step. */
  readonly lensState: number;
  readonly lensStep: number;
  /** Index of its list of shared parameters, or −1 where nothing is free. */
  readonly list: number;
  /** Prior, where there is one: mean, and L⁻¹ of its covariance L Lᵀ, so that L⁻¹ (x − mean) has unit covariance. */
  readonly prior: { readonly whiten: Float64Array; readonly mean: Float64Array } | null;
  readonly priorList: number;
  /** Standard deviation of the prior of the clock offset; 0 = none. */
  readonly clockSdS: number;
  readonly clockList: number;
}

export interface TargetPlace {
  readonly kind: number;
  readonly block: number;
  readonly stateAt: number;
}

export interface BundlePlaces {
  readonly cameras: readonly CameraPlace[];
  readonly targets: readonly TargetPlace[];
  readonly lists: readonly Int32Array[];
  readonly sharedCount: number;
  readonly blockSizes: Int32Array;
  readonly parameters: readonly string[];
  readonly start: Float64Array;
  readonly sizes: Float64Array;
}

/** Lays out state, steps and parameter names of a bundle problem. RangeError for a prior that is not positive definite. */
export function bundlePlaces({ cameras, targets }: BundleProblem): BundlePlaces {
  const lists: Int32Array[] = [];
  const parameters: string[] = [];
  const start: number[] = [];
  const sizes: number[] = [];
  const reach = reachOf(cameras, targets);
  const placeCamera = (one: BundleCamera): CameraPlace => {
    const { camera, poseFree, lensFree, clockFree = 'none' } = one;
    const clocks = clockFree === 'none' ? 0 : clockFree === 'offset' ? 1 : 2;
    const lens = Int32Array.from(lensFree, (name) =>
      name === 'f' ? BOTH_FOCAL_LENGTHS : LENS_PARAMETERS.indexOf(name),
    );
    const [stateAt, stepAt] = [start.length, sizes.length];
    const [lensState, lensStep] = poseFree ? [12, 6] : [0, 0];
    const name = (suffix: string) => parameters.push(`${camera.name}.${suffix}`);
    if (poseFree) {
      start.push(...camera.rotation, ...camera.translation);
      sizes.push(1, 1, 1, reach, reach, reach);
      for (const part of ['turn', 'translation']) for (const axis of 'xyz') name(`${part}_${axis}`);
    }
    lensFree.forEach((parameter, k) => {
      start.push(lensValue(camera, parameter));
      sizes.push(lens[k] >= 4 ? 1 : camera.fx);
      name(parameter);
    });
    for (let k = 0; k < clocks; k++) {
      start.push(0);
      sizes.push(1);
      name(['clock_offset', 'clock_drift'][k]);
    }
    const stepLength = sizes.length - stepAt;
    const listOf = (from: number, length: number): number => {
      if (length === 0) return -1;
      lists.push(Int32Array.from({ length }, (_, k) => stepAt + from + k));
      return lists.length - 1;
    };
    const clockSdS = (clocks > 0 && one.clockSdS) || 0;
    return {
      poseFree,
      lens,
      clocks,
      stateAt,
      stepAt,
      stepLength,
      lensState,
      lensStep,
      list: listOf(0, stepLength),
      prior: one.lensPrior === undefined || lens.length === 0 ? null : priorOf(camera.name, one.lensPrior),
      priorList: one.lensPrior === undefined ? -1 : listOf(lensStep, lens.length),
      clockSdS,
      clockList: clockSdS > 0 ? listOf(lensStep + lens.length, 1) : -1,
    };
  };
  const cameraPlaces = cameras.map(placeCamera);
  const sharedCount = sizes.length;
  const blockSizes: number[] = [];
  const targetPlaces = targets.map((target): TargetPlace => {
    const kind = KINDS[target.kind];
    const place = { kind, block: kind === KNOWN ? -1 : blockSizes.length, stateAt: start.length };
    if (kind !== KNOWN) blockSizes.push(STEP_LENGTH[kind]);
    if (target.kind === 'rigid') {
      for (const x of target.start.rotation) start.push(x);
      for (const x of target.start.translation) start.push(x);
      sizes.push(1, 1, 1, reach, reach, reach);
    } else if (target.kind !== 'known') {
      for (const x of target.start) {
        start.push(x);
        sizes.push(reach);
      }
    }
    return place;
  });
  return {
    cameras: cameraPlaces,
    targets: targetPlaces,
    lists,
    sharedCount,
    blockSizes: Int32Array.from(blockSizes),
    parameters,
    start: Float64Array.from(start),
    sizes: Float64Array.from(sizes),
  };
}

/** Where a target's numbers end in the state. */
export const stateLength = (kind: number): number => STATE_LENGTH[kind];

/** Ordinary distance in the scene, metres: the farthest of cameras and targets from the origin. */
function reachOf(cameras: readonly BundleCamera[], targets: readonly BundleTarget[]): number {
  let reach = 0;
  const look = (x: ArrayLike<number>, at: number) => {
    reach = Math.max(reach, Math.hypot(x[at], x[at + 1], x[at + 2]));
  };
  for (const { camera } of cameras) look(camera.translation, 0);
  for (const target of targets) {
    if (target.kind === 'rigid') look(target.start.translation, 0);
    else look(target.kind === 'known' ? target.points : target.start, 0);
  }
  return reach || 1;
}

function priorOf(camera: string, { mean, covariance }: NonNullable<BundleCamera['lensPrior']>) {
  const factor = covariance.slice();
  const n = mean.length;
  if (choleskyInPlace(factor, 0, n, 1e-14) < n) {
    throw new RangeError(`solveBundle: camera ${camera}: covariance of the lens prior is not positive definite`);
  }
  const whiten = new Float64Array(n * n);
  for (let i = 0; i < n; i++) whiten[i * (n + 1)] = 1;
  solveLowerInPlace(factor, 0, n, whiten, 0, n);
  return { whiten, mean };
}
