import { freeFallShort, freeFallWrong } from '../../messages/moving-points.ts';
import { GRAVITY_M_PER_S2 } from '../../numerics/constants.ts';
import { type LeastSquaresProblem, leastSquares } from '../../numerics/least-squares.ts';
import { projectInto } from '../camera-model.ts';
import { pointFromViews } from '../point-from-views.ts';
import { deriveProjectionInto, projectionDerivatives } from '../projection-derivatives.ts';
import type { Camera } from '../rig.ts';
import { type VerticalEstimate, verticalEstimate } from './vertical-estimate.ts';

/** One object in free flight, marked frame by frame in one camera. */
export interface FlightTrack {
  readonly camera: string;
  /** Common clock, seconds; n of them. */
  readonly timeS: Float64Array;
  /** 2 × n, px; NaN where not seen. */
  readonly pixel: Float64Array;
}

export interface FreeFall {
  readonly vertical: VerticalEstimate;
  /** m/s², in the rig's scale, with its standard deviation. */
  readonly accelerationMPerS2: number;
  readonly accelerationSd: number;
  /** True length / rig's length that 9.80665 m/s² asks for, with its standard deviation: a check of scale. */
  readonly scale: number;
  readonly scaleSd: number;
  readonly residualRmsPx: number;
  /** Pixels seen less the nine parameters of the flight. */
  readonly degreesOfFreedom: number;
}

export interface FreeFallOptions {
  readonly what?: string;
  /**
   * What bends the track and is not gravity (air, spin, lens), standard deviation per axis over g. A dense object the size
   * of a fist thrown gently: drag at 4 m/s is about 1 % of its weight (½ ρ c_d A v² = 0.5·1.2·0.5·0.003·16 N = 15 mN against
   * 1.5 N of 150 g).
   */
  readonly otherForcesShare?: number;
  /** Least standard deviation of a pixel: a smooth wrong track has small residuals. */
  readonly leastPixelSd?: number;
}

const OTHER_FORCES = 0.01;
const LEAST_PIXEL_SD = 0.5;
/** Below this number of moments in flight no acceleration is fitted. Common practice, no source. */
const FEWEST_MOMENTS = 5;
/** Shortest flight, seconds: 0.25 s is 0.3 m of fall from rest. Common practice, no source. */
const SHORTEST_S = 0.25;
/** Acceleration further from g than this share is no free fall (or the scale is grossly wrong). Common practice, no source. */
const FARTHEST_FROM_G = 0.3;

/**
 * Straight up from an object in free flight: x(t) = x0 + v0 t + ½ a t² fitted to the pixels of all cameras at once; a points
 * straight down, and |a| against 9.80665 m/s² checks the scale without any ruler.
 *
 * The direction errs by the covariance of a (scaled by the residuals, and no less than `leastPixelSd`) and by other forces.
 * A pair of cameras is blind along its epipolar lines, so that a small residual does not prove a good direction.
 */
export function verticalFromFreeFall(
  cameras: readonly Camera[],
  tracks: readonly FlightTrack[],
  { what = 'thrown object', otherForcesShare = OTHER_FORCES, leastPixelSd = LEAST_PIXEL_SD }: FreeFallOptions = {},
): FreeFall {
  const seen = samplesOf(cameras, tracks);
  const times = [...new Set(seen.map(({ t }) => t))].sort((a, b) => a - b);
  const lastedS = times.length > 0 ? times[times.length - 1] - times[0] : 0;
  if (times.length < FEWEST_MOMENTS || lastedS < SHORTEST_S || new Set(seen.map(({ camera }) => camera)).size < 2) {
    throw freeFallShort(what, times.length, lastedS, FEWEST_MOMENTS, SHORTEST_S);
  }
  const middle = (times[0] + times[times.length - 1]) / 2;
  const problem = flightProblem(seen, middle);
  const start = startOf(seen, middle);
  if (start === null) throw freeFallShort(what, times.length, lastedS, FEWEST_MOMENTS, SHORTEST_S);
  const fit = leastSquares(problem, start);
  const degreesOfFreedom = problem.residualCount - 9;
  const found = Math.sqrt(fit.residualSumOfSquares / Math.max(1, degreesOfFreedom));
  const widen = Math.max(1, leastPixelSd / found) ** 2;
  const a = fit.parameters.subarray(6, 9);
  const size = Math.hypot(a[0], a[1], a[2]);
  const other = (otherForcesShare * GRAVITY_M_PER_S2) ** 2;
  const covariance = Float64Array.from({ length: 9 }, (_, k) => {
    const [i, j] = [Math.floor(k / 3), k % 3];
    return widen * fit.covariance[9 * (6 + i) + 6 + j] + (i === j ? other : 0);
  });
  if (!covariance.every(Number.isFinite)) throw freeFallShort(what, times.length, lastedS, FEWEST_MOMENTS, SHORTEST_S);
  if (Math.abs(size / GRAVITY_M_PER_S2 - 1) > FARTHEST_FROM_G) throw freeFallWrong(what, size, FARTHEST_FROM_G);
  let variance = 0;
  for (let i = 0; i < 3; i++) for (let j = 0; j < 3; j++) variance += (a[i] * covariance[3 * i + j] * a[j]) / size ** 2;
  const scale = GRAVITY_M_PER_S2 / size;
  return {
    vertical: verticalEstimate(
      what,
      [-a[0], -a[1], -a[2]],
      covariance.map((x) => x / size ** 2),
    ),
    accelerationMPerS2: size,
    accelerationSd: Math.sqrt(variance),
    scale,
    scaleSd: (scale * Math.sqrt(variance)) / size,
    residualRmsPx: Math.sqrt(fit.residualSumOfSquares / seen.length),
    degreesOfFreedom,
  };
}

interface Sample {
  readonly camera: Camera;
  readonly t: number;
  readonly u: number;
  readonly v: number;
}

function samplesOf(cameras: readonly Camera[], tracks: readonly FlightTrack[]): Sample[] {
  return tracks.flatMap(({ camera: name, timeS, pixel }) => {
    const camera = cameras.find((one) => one.name === name);
    if (camera === undefined) return [];
    return Array.from(timeS, (t, i) => ({ camera, t, u: pixel[2 * i], v: pixel[2 * i + 1] })).filter(
      ({ u, v }) => Number.isFinite(u) && Number.isFinite(v),
    );
  });
}

function flightProblem(seen: readonly Sample[], middle: number): LeastSquaresProblem {
  const uv = new Float64Array(2);
  const derivatives = projectionDerivatives();
  const placeAt = (p: Float64Array, t: number, k: number) => p[k] + p[3 + k] * t + 0.5 * p[6 + k] * t * t;
  return {
    residualCount: 2 * seen.length,
    parameterCount: 9,
    residualsInto(out, p) {
      seen.forEach(({ camera, t, u, v }, i) => {
        const s = t - middle;
        projectInto(uv, 0, camera, placeAt(p, s, 0), placeAt(p, s, 1), placeAt(p, s, 2));
        out[2 * i] = uv[0] - u;
        out[2 * i + 1] = uv[1] - v;
      });
    },
    jacobianInto(out, p) {
      seen.forEach(({ camera, t }, i) => {
        const s = t - middle;
        deriveProjectionInto(derivatives, camera, placeAt(p, s, 0), placeAt(p, s, 1), placeAt(p, s, 2));
        for (let row = 0; row < 2; row++) {
          const o = 9 * (2 * i + row);
          for (let k = 0; k < 3; k++) {
            const g = derivatives.point[3 * row + k];
            out[o + k] = g;
            out[o + 3 + k] = g * s;
            out[o + 6 + k] = 0.5 * g * s * s;
          }
        }
      });
    },
  };
}

/** Place from the samples nearest the middle, at rest: the fit needs no more. Null where those rays do not meet. */
function startOf(seen: readonly Sample[], middle: number): Float64Array | null {
  const names = [...new Set(seen.map(({ camera }) => camera.name))];
  const nearest = names.map((name) =>
    seen
      .filter(({ camera }) => camera.name === name)
      .reduce((x, y) => (Math.abs(x.t - middle) <= Math.abs(y.t - middle) ? x : y)),
  );
  const point = pointFromViews(
    nearest.map(({ camera }) => camera),
    Float64Array.from(nearest.flatMap(({ u, v }) => [u, v])),
  );
  return point && Float64Array.of(point[0], point[1], point[2], 0, 0, 0, 0, 0, 0);
}
