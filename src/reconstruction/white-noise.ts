import type { KeypointTrack } from '../capture/recording.ts';
import { SampleStatus } from '../capture/sample-status.ts';
import { median, SD_PER_MEDIAN_ABSOLUTE_DEVIATION } from '../numerics/statistics.ts';
import { LEAST_DIFFERENCES_FOR_NOISE } from './limits.ts';

/** Fourth differences beyond this many robust standard deviations are glitches, not noise. Common practice, no source. */
const GLITCH_SCALES = 5;

/** 1, −4, 6, −4, 1 over √70: annihilates cubics, leaves white noise its variance. */
const STENCIL = [1, -4, 6, -4, 1].map((weight) => weight / Math.sqrt(70));

/** Autocorrelation of the stencil at lags 0 … 4. */
const STENCIL_CORRELATION = [1, -56 / 70, 28 / 70, -8 / 70, 1 / 70];

/** Rounding steps that are looked for, px, coarse to fine. */
const ROUNDING_STEPS_PX = [1, 0.5, 0.1, 0.01, 0.001];

/** Frame-to-frame variance of the columns of one view, on the view's own frames. */
export interface FrameToFrame {
  /** Per column, px² of one coordinate: variance of the fourth difference, scaled so that white noise keeps its own. */
  readonly variance: Float64Array;
  /** Differences it rests on, both coordinates counted; 0 where there are none. */
  readonly count: Float64Array;
}

/**
 * What changes from frame to frame and is no motion: variance of the fourth differences of each track, both coordinates
 * together. Five seen samples within LONGEST_SPAN_FRAMES are needed; unequal times take the divided difference. Values beyond
 * GLITCH_SCALES robust scales (median absolute value / 0.6745) are left out.
 *
 * A squat's own fourth difference is below 1e-3 px at 60 frames a second. A first-order process of variance s² adds
 * `slowLeak` · s².
 */
export function frameToFrame(track: KeypointTrack): FrameToFrame {
  const columns = track.landmarks.length;
  const variance = new Float64Array(columns);
  const count = new Float64Array(columns);
  const values = new Float64Array(2 * track.frames);
  const weight = Float64Array.from(STENCIL);
  for (let column = 0; column < columns; column++) {
    const found = differencesInto(values, weight, track, column);
    count[column] = found;
    variance[column] = found === 0 ? Number.NaN : varianceWithoutGlitches(values.subarray(0, found));
  }
  return { variance, count };
}

function differencesInto(out: Float64Array, weight: Float64Array, track: KeypointTrack, column: number): number {
  const { pixel, status, frames } = track;
  const columns = track.landmarks.length;
  const last = new Int32Array(5);
  let found = 0;
  let seen = 0;
  for (let k = 0; k < frames; k++) {
    if (status[k * columns + column] !== SampleStatus.seen) continue;
    last.copyWithin(0, 1);
    last[4] = k;
    seen++;
    if (seen < 5 || k - last[0] > LONGEST_SPAN_FRAMES) continue;
    if (track.frameTimesS || k - last[0] > 4) dividedInto(weight, track, last);
    else weight.set(STENCIL);
    let u = 0;
    let v = 0;
    for (let i = 0; i < 5; i++) {
      const at = 2 * (last[i] * columns + column);
      u += weight[i] * pixel[at];
      v += weight[i] * pixel[at + 1];
    }
    out[found++] = u;
    out[found++] = v;
  }
  return found;
}

/** Five samples further apart than this (frames) are no longer frame to frame: every second frame seen is the least. */
const LONGEST_SPAN_FRAMES = 8;

/** Five times within this share of their spacing of equal steps are equally spaced. */
const SAME_STEP = 1e-6;

/** Weights of the divided difference of five times, scaled to a sum of squares of 1. */
function dividedInto(weight: Float64Array, track: KeypointTrack, frames: Int32Array): void {
  const time = (i: number) => (track.frameTimesS ? track.frameTimesS[frames[i]] : frames[i]);
  if (areEqualSteps(time)) {
    weight.set(STENCIL);
    return;
  }
  let squares = 0;
  for (let i = 0; i < 5; i++) {
    let product = 1;
    for (let m = 0; m < 5; m++) if (m !== i) product *= time(i) - time(m);
    weight[i] = 1 / product;
    squares += weight[i] * weight[i];
  }
  const scale = 1 / Math.sqrt(squares);
  for (let i = 0; i < 5; i++) weight[i] *= scale;
}

function areEqualSteps(time: (i: number) => number): boolean {
  const step = (time(4) - time(0)) / 4;
  for (let i = 1; i < 4; i++) {
    if (!(Math.abs(time(i) - time(0) - i * step) < SAME_STEP * step)) return false;
  }
  return true;
}

/** Mean square of values about 0, without those beyond GLITCH_SCALES robust scales. */
export function varianceWithoutGlitches(values: Float64Array): number {
  const scale = SD_PER_MEDIAN_ABSOLUTE_DEVIATION * median(values.map(Math.abs));
  // A still point rounded to whole pixels changes in less than half of its frames: no scale, nothing to be left out.
  const limit = scale > 0 ? GLITCH_SCALES * scale : Number.POSITIVE_INFINITY;
  let sum = 0;
  let count = 0;
  for (let i = 0; i < values.length; i++) {
    if (Math.abs(values[i]) > limit) continue;
    sum += values[i] * values[i];
    count++;
  }
  return sum / count;
}

/** Share of the variance of a first-order process (correlation exp(−|t| / slowS)) that fourth differences keep. */
export function slowLeak(frameRateHz: number, slowS: number): number {
  const a = Math.exp(-1 / (frameRateHz * slowS));
  return STENCIL_CORRELATION.reduce((sum, weight, lag) => sum + (lag === 0 ? 1 : 2) * weight * a ** lag, 0);
}

/** Standard deviation that rounding alone gives the coordinates of a view, px: step / √12; 0 where they are not rounded. */
export function roundingSd(track: KeypointTrack): number {
  for (const step of ROUNDING_STEPS_PX) if (isRoundedTo(track, step)) return step / Math.sqrt(12);
  return 0;
}

function isRoundedTo({ pixel, status }: KeypointTrack, step: number): boolean {
  for (let s = 0; s < status.length; s++) {
    if (status[s] !== SampleStatus.seen) continue;
    for (let c = 0; c < 2; c++) {
      const steps = pixel[2 * s + c] / step;
      if (Math.abs(steps - Math.round(steps)) > 1e-6) return false;
    }
  }
  return true;
}

/**
 * Fills what is seen too rarely to tell its own variance: ln variance = part of the view + part of the landmark, both
 * means over those that can tell. `variance`, `count`: `landmark * views + view`. Returns which were borrowed.
 */
export function borrowVariances(variance: Float64Array, count: Float64Array, views: number): Uint8Array {
  const cells = variance.length;
  const borrowed = new Uint8Array(cells);
  const isOwn = (cell: number) => count[cell] >= LEAST_DIFFERENCES_FOR_NOISE && variance[cell] > 0;
  const meanOf = (wanted: (cell: number) => boolean, value: (cell: number) => number): number => {
    let sum = 0;
    let found = 0;
    for (let cell = 0; cell < cells; cell++) {
      if (!isOwn(cell) || !wanted(cell)) continue;
      sum += value(cell);
      found++;
    }
    return found > 0 ? sum / found : Number.NaN;
  };
  const orElse = (value: number, other: number) => (Number.isNaN(value) ? other : value);
  const whole = meanOf(
    () => true,
    (cell) => Math.log(variance[cell]),
  );
  const ofView = Array.from({ length: views }, (_, v) =>
    orElse(
      meanOf(
        (cell) => cell % views === v,
        (cell) => Math.log(variance[cell]),
      ),
      whole,
    ),
  );
  const filled = new Float64Array(cells);
  for (let cell = 0; cell < cells; cell++) {
    if (isOwn(cell)) continue;
    if (count[cell] >= LEAST_DIFFERENCES_FOR_NOISE) {
      filled[cell] = 0;
      continue;
    }
    const landmark = Math.floor(cell / views);
    const ofLandmark = orElse(
      meanOf(
        (other) => Math.floor(other / views) === landmark,
        (other) => Math.log(variance[other]) - ofView[other % views],
      ),
      0,
    );
    filled[cell] = Number.isNaN(whole) ? 0 : Math.exp(ofView[cell % views] + ofLandmark);
    borrowed[cell] = 1;
  }
  for (let cell = 0; cell < cells; cell++) if (!isOwn(cell)) variance[cell] = filled[cell];
  return borrowed;
}
