import { frameTime } from '../../capture/frame-time.ts';
import type { KeypointTrack } from '../../capture/recording.ts';
import { SampleStatus } from '../../capture/sample-status.ts';
import { heightPx } from '../picture-scale.ts';
import { frameToFrame } from '../white-noise.ts';
import { LAG, type TrackingScale } from './point-tracker.ts';
import { SIDE_PAIRS, type SidePair } from './side-pairs.ts';
import { type PairValues, type SwapPrior, swapPath } from './swap-path.ts';

/** Frames in which one pair of one view was exchanged and put right. */
export interface SideSwaps {
  readonly camera: string;
  readonly pair: string;
  readonly frames: number;
}

/**
 * Pairs that are exchanged together, and one pair alone (which must be surer). A start costs little, so that of an exchange
 * from the first frame on and one to the last, the shorter is taken. Common practice, no source.
 */
const TOGETHER: SwapPrior = { start: 1, change: 6, frame: 0.02 };
const ALONE: SwapPrior = { start: 1, change: 8, frame: 0.02 };

/**
 * Variance of a prediction: this many times a value's frame-to-frame variance (1.5 for white noise, more for slow noise and
 * heavy tails), at least one pixel's, and the lag under acceleration. Common practice, no source.
 */
const PREDICTION_VARIANCES = 2.5;
const LEAST_VARIANCE_PX2 = 1;
/** Acceleration of a lifter's joint, m/s²; the picture's scale from a height of points of 1.5 m. Common practice, no source. */
const ACCELERATION_M_PER_S2 = 5;
const HEIGHT_OF_POINTS_M = 1.5;
/** Expected places older than this are forgotten, seconds. Common practice, no source. */
const LONGEST_S = 0.5;

/**
 * One view with passing exchanges of left and right put right: first the legs and the upper body, each as a whole, then
 * every pair alone. Frames stay where a pair cannot be told. An exchange of the whole recording is no change and stays:
 * the facing shows it.
 */
export function repairSwaps(track: KeypointTrack): { readonly track: KeypointTrack; readonly swaps: SideSwaps[] } {
  const pairs = SIDE_PAIRS.filter(
    ({ left, right }) => track.landmarks.includes(left) && track.landmarks.includes(right),
  );
  if (pairs.length === 0) return { track, swaps: [] };
  const mended = {
    ...track,
    pixel: track.pixel.slice(),
    confidence: track.confidence.slice(),
    status: track.status.slice(),
  };
  const noise = frameToFrame(track).variance;
  const acceleration = (ACCELERATION_M_PER_S2 * heightPx(track)) / HEIGHT_OF_POINTS_M;
  const exchanged = pairs.map(() => new Uint8Array(track.frames));
  const look = (indices: readonly number[], prior: SwapPrior): void => {
    const group = indices.map((i) => pairs[i]);
    const path = swapPath(pairValues(mended, group), scaleOf(track, group, noise, acceleration), prior);
    for (const i of indices) exchangeWhere(mended, pairs[i], path, exchanged[i]);
  };
  for (const part of ['legs', 'upper body'] as const) {
    const indices = pairs.flatMap((pair, i) => (pair.part === part ? [i] : []));
    if (indices.length > 1) look(indices, TOGETHER);
  }
  pairs.forEach((_, i) => {
    look([i], ALONE);
  });
  const swaps = pairs.flatMap(({ name }, i) => {
    const frames = exchanged[i].reduce((sum, one) => sum + one, 0);
    return frames > 0 ? [{ camera: track.camera, pair: name, frames }] : [];
  });
  return { track: swaps.length > 0 ? mended : track, swaps };
}

function pairValues(track: KeypointTrack, pairs: readonly SidePair[]): PairValues {
  const count = track.landmarks.length;
  const columns = pairs.flatMap(({ left, right }) => [track.landmarks.indexOf(left), track.landmarks.indexOf(right)]);
  const pixel = new Float64Array(2 * columns.length * track.frames).fill(Number.NaN);
  for (let k = 0; k < track.frames; k++) {
    for (let p = 0; p < columns.length; p++) {
      const from = k * count + columns[p];
      if (track.status[from] !== SampleStatus.seen) continue;
      const to = 2 * (k * columns.length + p);
      pixel[to] = track.pixel[2 * from];
      pixel[to + 1] = track.pixel[2 * from + 1];
    }
  }
  return { pairs: pairs.length, frames: track.frames, pixel, timeS: (frame) => frameTime(track, frame) };
}

function scaleOf(
  track: KeypointTrack,
  pairs: readonly SidePair[],
  noise: Float64Array,
  acceleration: number,
): TrackingScale {
  const own = (column: number) => (Number.isNaN(noise[column]) ? 0 : noise[column]);
  const lag = (LAG * acceleration) / track.frameRateHz ** 2;
  const variance = new Float64Array(2 * pairs.length);
  pairs.forEach(({ left, right }, p) => {
    const both = (own(track.landmarks.indexOf(left)) + own(track.landmarks.indexOf(right))) / 2;
    variance.fill(Math.max(LEAST_VARIANCE_PX2, PREDICTION_VARIANCES * both) + lag * lag, 2 * p, 2 * p + 2);
  });
  return { variance, acceleration, longestS: LONGEST_S };
}

/** Exchanges the two points where the path says so; `exchanged` keeps what is exchanged in all and has a value. */
function exchangeWhere(track: KeypointTrack, { left, right }: SidePair, path: Uint8Array, exchanged: Uint8Array): void {
  const count = track.landmarks.length;
  const [l, r] = [track.landmarks.indexOf(left), track.landmarks.indexOf(right)];
  for (let k = 0; k < path.length; k++) {
    if (path[k] === 0) continue;
    const a = k * count + l;
    const b = k * count + r;
    exchange(track.pixel, 2 * a, 2 * b);
    exchange(track.pixel, 2 * a + 1, 2 * b + 1);
    exchange(track.confidence, a, b);
    exchange(track.status, a, b);
    if (track.status[a] === SampleStatus.seen || track.status[b] === SampleStatus.seen) exchanged[k] ^= 1;
  }
}

function exchange(values: Float64Array | Uint8Array, a: number, b: number): void {
  const kept = values[a];
  values[a] = values[b];
  values[b] = kept;
}
