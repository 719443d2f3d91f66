import { copyTracker, follow, misfit, pointTracker, type TrackingScale } from './point-tracker.ts';

/** What an exchange at the first frame costs, a change, and each exchanged frame: logarithms of prior odds. Common practice, no source. */
export interface SwapPrior {
  readonly start: number;
  readonly change: number;
  readonly frame: number;
}

/** Left and right points of some pairs in one view: `values[frame]` is `2 * point`, pair p at points 2 p (left), 2 p + 1 (right). */
export interface PairValues {
  readonly pairs: number;
  readonly frames: number;
  /** `4 * pairs * frame + 4 * pair`: left u, left v, right u, right v, px; NaN = not seen. */
  readonly pixel: Float64Array;
  timeS(frame: number): number;
}

/**
 * In which frames the pairs are exchanged, all together: the most probable path of two states, kept and exchanged
 * (Viterbi 1967, IEEE Trans. Inf. Theory 13:260), 1 = exchanged.
 *
 * Each state carries its own tracks: its points follow the values as that path names them (per-survivor processing; Raheli,
 * Polydoros & Tzou 1995, IEEE Trans. Commun. 43:354), and a frame costs what its values miss the expected places by.
 * Where left and right lie within the noise of each other both states cost the same and the path stays as it was.
 */
export function swapPath(values: PairValues, scale: TrackingScale, prior: SwapPrior): Uint8Array {
  const { pairs, frames, pixel } = values;
  if (!mayBeExchanged(values, scale)) return new Uint8Array(frames);
  const points = 2 * pairs;
  let tracks = [pointTracker(points), pointTracker(points)];
  let next = [pointTracker(points), pointTracker(points)];
  const named = [new Float64Array(2 * points), new Float64Array(2 * points)];
  const cameFrom = new Uint8Array(2 * frames);
  let kept = 0;
  let exchanged = prior.start;
  for (let k = 0; k < frames; k++) {
    const timeS = values.timeS(k);
    nameInto(named[0], named[1], pixel, 4 * pairs * k, pairs);
    const cost00 = kept + misfit(tracks[0], named[0], timeS, scale);
    const cost01 = kept + prior.change + misfit(tracks[0], named[1], timeS, scale);
    const cost10 = exchanged + prior.change + misfit(tracks[1], named[0], timeS, scale);
    const cost11 = exchanged + misfit(tracks[1], named[1], timeS, scale);
    const toKept = cost10 < cost00 ? 1 : 0;
    const toExchanged = cost01 <= cost11 ? 0 : 1;
    cameFrom[2 * k] = toKept;
    cameFrom[2 * k + 1] = toExchanged;
    copyTracker(next[0], tracks[toKept]);
    copyTracker(next[1], tracks[toExchanged]);
    follow(next[0], named[0], timeS, scale);
    follow(next[1], named[1], timeS, scale);
    [tracks, next] = [next, tracks];
    kept = toKept === 1 ? cost10 : cost00;
    exchanged = (toExchanged === 0 ? cost01 : cost11) + prior.frame;
  }
  const path = new Uint8Array(frames);
  let state = exchanged < kept ? 1 : 0;
  for (let k = frames - 1; k >= 0; k--) {
    path[k] = state;
    state = cameFrom[2 * k + state];
  }
  return path;
}

/** A frame in which exchanging saves less than this (a log-likelihood) begins no exchange: a tenth of what a change costs. */
const LEAST_SAVED = 0.5;

/** Whether on the tracks as labelled there is any frame that would fit better exchanged: most recordings have none. */
function mayBeExchanged({ pairs, frames, pixel, timeS }: PairValues, scale: TrackingScale): boolean {
  const tracker = pointTracker(2 * pairs);
  const kept = new Float64Array(4 * pairs);
  const exchanged = new Float64Array(4 * pairs);
  for (let k = 0; k < frames; k++) {
    nameInto(kept, exchanged, pixel, 4 * pairs * k, pairs);
    const time = timeS(k);
    if (misfit(tracker, kept, time, scale) - misfit(tracker, exchanged, time, scale) > LEAST_SAVED) return true;
    follow(tracker, kept, time, scale);
  }
  return false;
}

/** Values as labelled, and with left and right exchanged. */
function nameInto(kept: Float64Array, exchanged: Float64Array, pixel: Float64Array, from: number, pairs: number): void {
  for (let i = 0; i < 4 * pairs; i += 4) {
    for (let c = 0; c < 2; c++) {
      const left = pixel[from + i + c];
      const right = pixel[from + i + 2 + c];
      kept[i + c] = left;
      kept[i + 2 + c] = right;
      exchanged[i + c] = right;
      exchanged[i + 2 + c] = left;
    }
  }
}
