import { solveBundle } from '../bundle.ts';
import type {
  BundleCamera,
  BundleObservations,
  BundleProblem,
  BundleSolution,
  BundleTarget,
} from '../bundle-problem.ts';
import type { FreeLensParameter } from '../fit-camera.ts';
import { lensValue } from '../fit-camera.ts';
import { pointFromViews } from '../point-from-views.ts';
import type { Pose } from '../pose.ts';
import type { Camera } from '../rig.ts';
import { type CorrelationTime, correlationTime } from './correlation.ts';
import type { Moments } from './image-tracks.ts';

/** A camera's lens as known beforehand, with what is not certain about it. A KnownLensRecord fits. */
export interface MovingLens {
  readonly camera: Camera;
  /** Parameters of `covariance` (square, row-major); empty where the lens counts as exact. */
  readonly parameters: readonly FreeLensParameter[];
  readonly covariance: Float64Array;
}

export interface RodInMoments {
  /** Indices of its ends among the moments' points. */
  readonly ends: readonly [number, number];
  readonly lengthM: number;
  readonly scatterM: number;
}

/** Per point of the moments: standard deviation of its pixels, and how many moments make one independent moment. */
export interface PointNoise {
  readonly sdPx: Float64Array;
  readonly correlation: Float64Array;
}

export interface JointFitSettings {
  readonly rods: readonly RodInMoments[];
  readonly noise: PointNoise;
  /** Clock offsets of all cameras but the first are fitted, with this prior standard deviation, seconds; null = as given. */
  readonly clockSdS: number | null;
  /** True: `parameters` of each lens are refined under their prior. */
  readonly lensesFree: boolean;
}

export interface JointFit {
  readonly solution: BundleSolution;
  readonly problem: BundleProblem;
  /** What each target is: moment, and index of the point, or of the rod. */
  readonly of: readonly { readonly moment: number; readonly point: number; readonly rod: number }[];
  /** −2 ln of the likelihood, up to what all fits share: Σ ρ(s²) with the noise of the settings. */
  readonly deviance: number;
}

/** Huber's loss bends at this many true standard deviations of a pixel. Common practice, no source. */
const HUBER_SD = 2.5;

/** Steps below a millionth of a standard deviation change nothing that is reported. */
const SOLVER = { maxIterations: 100, costTolerance: 1e-10 };

/** Every fifth moment's rod is left out of the fit, so that its length can be checked against the rig. */
export const heldOut = (moment: number): boolean => moment % 5 === 2;

/**
 * All moments at once: rods at their known length, other points free, all cameras but the first free in pose, lenses under
 * their prior. Standard deviations of pixels are widened by √correlation, so that n correlated moments weigh as n /
 * correlation independent ones against the priors, and the covariance comes out as wide as it is. Rods' scatter likewise.
 */
export function fitJointly(
  moments: Moments,
  lenses: readonly MovingLens[],
  poses: readonly Pose[],
  settings: JointFitSettings,
): JointFit {
  const { rods, noise, clockSdS, lensesFree } = settings;
  // A pose may be a whole camera: its lens must not come along.
  const cameras = lenses.map(({ camera }, c): Camera => {
    const { rotation, translation } = poses[c];
    return { ...camera, rotation, translation };
  });
  const widen = noise.correlation.map(Math.sqrt);
  const { targets, of } = targetsOf(moments, cameras, rods, widen);
  const observations = observationsOf(moments, targets, of, rods, noise, widen);
  const bundleCameras = lenses.map((lens, c): BundleCamera => {
    const free = lensesFree ? lens.parameters : [];
    return {
      camera: cameras[c],
      poseFree: c > 0,
      lensFree: free,
      ...(free.length > 0 && {
        lensPrior: {
          mean: Float64Array.from(free, (parameter) => lensValue(lens.camera, parameter)),
          covariance: lens.covariance,
        },
      }),
      ...(clockSdS !== null && c > 0 && { clockFree: 'offset' as const, clockSdS }),
    };
  });
  const problem: BundleProblem = {
    cameras: bundleCameras,
    targets,
    observations,
    loss: { kind: 'huber', scale: HUBER_SD / Math.min(...widen) },
  };
  const solution = solveBundle(problem, SOLVER);
  return { solution, problem, of, deviance: 2 * solution.cost };
}

function targetsOf(moments: Moments, cameras: readonly Camera[], rods: readonly RodInMoments[], widen: Float64Array) {
  const { points, timeS, pixel } = moments;
  const place = (k: number, p: number): Float64Array | null => {
    const seen = cameras.flatMap((_, c) => {
      const o = 2 * ((k * cameras.length + c) * points.length + p);
      return [pixel[o], pixel[o + 1]];
    });
    return pointFromViews(cameras, seen);
  };
  const targets: BundleTarget[] = [];
  const of: { moment: number; point: number; rod: number }[] = [];
  const isEnd = new Set(rods.flatMap(({ ends }) => ends));
  for (let k = 0; k < timeS.length; k++) {
    rods.forEach(({ ends, lengthM, scatterM }, rod) => {
      const [a, b] = ends.map((p) => place(k, p));
      if (heldOut(k) || a === null || b === null) return;
      targets.push({
        kind: 'rod',
        label: `rod ${rod} at ${timeS[k].toFixed(2)} s`,
        start: Float64Array.of(...a, ...b),
        lengthM,
        lengthSdM: scatterM * widen[ends[0]],
      });
      of.push({ moment: k, point: -1, rod });
    });
    for (let p = 0; p < points.length; p++) {
      if (isEnd.has(p)) continue;
      const start = place(k, p);
      if (start === null) continue;
      targets.push({ kind: 'point', label: `${points[p]} at ${timeS[k].toFixed(2)} s`, start });
      of.push({ moment: k, point: p, rod: -1 });
    }
  }
  return { targets, of };
}

function observationsOf(
  moments: Moments,
  targets: readonly BundleTarget[],
  of: readonly { moment: number; point: number; rod: number }[],
  rods: readonly RodInMoments[],
  noise: PointNoise,
  widen: Float64Array,
): BundleObservations {
  const { cameras, points } = moments;
  const camera: number[] = [];
  const target: number[] = [];
  const point: number[] = [];
  const pixel: number[] = [];
  const velocity: number[] = [];
  const sdPx: number[] = [];
  const timeS: number[] = [];
  targets.forEach((_, t) => {
    const { moment, point: free, rod } = of[t];
    const names = rod >= 0 ? rods[rod].ends : [free];
    names.forEach((p, index) => {
      for (let c = 0; c < cameras.length; c++) {
        const o = 2 * ((moment * cameras.length + c) * points.length + p);
        if (!Number.isFinite(moments.pixel[o])) continue;
        camera.push(c);
        target.push(t);
        point.push(index);
        pixel.push(moments.pixel[o], moments.pixel[o + 1]);
        velocity.push(moments.velocity[o], moments.velocity[o + 1]);
        sdPx.push(noise.sdPx[p] * widen[p], noise.sdPx[p] * widen[p]);
        timeS.push(moments.timeS[moment]);
      }
    });
  });
  return {
    camera: Int32Array.from(camera),
    target: Int32Array.from(target),
    point: Int32Array.from(point),
    pixel: Float64Array.from(pixel),
    sdPx: Float64Array.from(sdPx),
    velocity: Float64Array.from(velocity),
    timeS: Float64Array.from(timeS),
  };
}

/** Index of a moments' point for each observation of a fit. */
export function pointOfObservation(
  { problem: { observations }, of }: JointFit,
  rods: readonly RodInMoments[],
): Int32Array {
  return Int32Array.from(observations.target, (t, i) => {
    const { point, rod } = of[t];
    return rod >= 0 ? rods[rod].ends[observations.point[i]] : point;
  });
}

/** Least standard deviation that a point's pixels are given: residuals of few moments may vanish by chance. */
const LEAST_SD_PX = 0.05;

/**
 * Noise as the residuals of a fit show it: Σ w r² over the equations each point has in excess (2 per view less 3; a rod 2 per
 * view less 5, shared by its ends), per point name; correlation over the moments of one camera's residuals of one point.
 * Weights of the robust loss keep mis-detections from counting as noise.
 */
export function noiseOf(fit: JointFit, moments: Moments, rods: readonly RodInMoments[]): PointNoise {
  const { solution, problem } = fit;
  const { observations, targets } = problem;
  const { points, timeS } = moments;
  const owner = pointOfObservation(fit, rods);
  const views = new Int32Array(targets.length);
  for (const t of observations.target) views[t]++;
  const squares = new Float64Array(points.length);
  const freedom = new Float64Array(points.length);
  const series = new Map<number, Float64Array>();
  for (let i = 0; i < owner.length; i++) {
    const t = observations.target[i];
    const isRod = fit.of[t].rod >= 0;
    const w = solution.weights[i];
    const [du, dv] = solution.residuals.subarray(2 * i, 2 * i + 2);
    squares[owner[i]] += w * (du * du + dv * dv);
    freedom[owner[i]] += (2 * views[t] - (isRod ? 5 : 3)) / views[t];
    for (let k = 0; k < 2; k++) {
      const key = 2 * (observations.camera[i] * points.length + owner[i]) + k;
      let own = series.get(key);
      if (own === undefined) {
        own = new Float64Array(timeS.length).fill(Number.NaN);
        series.set(key, own);
      }
      own[fit.of[t].moment] = Math.sqrt(w) * solution.residuals[2 * i + k];
    }
  }
  const sdPx = Float64Array.from(points, (_, p) => Math.max(LEAST_SD_PX, Math.sqrt(squares[p] / freedom[p])));
  const known = sdPx.filter(Number.isFinite);
  const middle = known.reduce((sum, x) => sum + x, 0) / known.length;
  // Every series in units of its own noise, so that loud points do not speak for all. Ends of rods and other points apart:
  // joints may be off for good (not the same spot from two sides), ends of a bar are what they are.
  const isEnd = new Set(rods.flatMap(({ ends }) => ends));
  const groupTime = (ends: boolean) =>
    correlationTime(
      [...series].flatMap(([key, own]) => {
        const p = Math.floor(key / 2) % points.length;
        return isEnd.has(p) === ends ? [own.map((x) => x / sdPx[p])] : [];
      }),
    );
  const [ends, others] = [groupTime(true), groupTime(false)];
  const endTime = raisedTime(ends, isEnd.size < points.length ? others.steps : Number.POSITIVE_INFINITY);
  return {
    sdPx: sdPx.map((x) => (Number.isFinite(x) ? x : middle)),
    correlation: Float64Array.from(points, (_, p) => (isEnd.has(p) ? endTime : others.steps)),
  };
}

/** Equations in excess over rows of a rod that two cameras see: 8 − 5 of 8. */
const ROD_EXCESS = 3 / 8;

/**
 * The two ends of a rod are few series, and their τ is uncertain by a fifth to a third: it is raised by its standard error,
 * though not beyond the τ of all other points, who share the detector's slow noise and may have lasting shifts on top.
 */
function raisedTime({ steps, relativeError }: CorrelationTime, others: number): number {
  const raised = steps * (1 + relativeError / Math.sqrt(ROD_EXCESS));
  return Math.max(steps, Math.min(raised, others));
}
