import { boardMotionUnclear } from '../../messages/still-moments.ts';

/** Amount of movement in one camera's video over its own time: board speed, or difference of pictures; NaN = not known. */
export interface MotionSeries {
  readonly camera: string;
  readonly timesS: ArrayLike<number>;
  readonly motion: ArrayLike<number>;
}

export interface MotionOffset {
  /** Seconds added to the second camera's own time to give the first's. */
  readonly offsetS: number;
  /** Correlation of the movements at that offset, and the best at any other offset farther than OTHER_PEAK_S. */
  readonly correlation: number;
  readonly rival: number;
}

/** Step of the common grid, seconds. */
const STEP_S = 0.02;
/** Movement is averaged over this time: frames of two cameras never fall together. */
const SMOOTH_S = 0.1;
const OTHER_PEAK_S = 0.5;
/** Common practice, no source. */
const LEAST_CORRELATION = 0.5;
const LEAST_LEAD = 0.1;
/** Least time that both videos must share at an offset, seconds, and share of the shorter one. */
const LEAST_SHARED_S = 5;
const LEAST_SHARED = 0.4;

/**
 * Clock offset of two videos of one moving board from the amount of movement alone: normalised cross-correlation of the
 * logarithm of movement (perspective multiplies it by a factor that changes slowly), best of all offsets up to `mostS`,
 * refined by a parabola. Accuracy: docs/method/video.md. Error board-motion-unclear: too little agreement, or two
 * offsets nearly as good (movement that repeats itself).
 */
export function offsetFromMotion(first: MotionSeries, second: MotionSeries, mostS: number): MotionOffset {
  const a = onGrid(first);
  const b = onGrid(second);
  const startShift = Math.round((a.startS - b.startS) / STEP_S);
  const most = Math.round(mostS / STEP_S);
  const least = Math.max(LEAST_SHARED_S / STEP_S, LEAST_SHARED * Math.min(a.values.length, b.values.length));
  const found = new Float64Array(2 * most + 1).fill(Number.NaN);
  // Sample i of a is at the time of sample i + startShift − lag of b, when b's clock is put forward by lag steps.
  for (let lag = -most; lag <= most; lag++) found[lag + most] = agreement(a.values, b.values, startShift - lag, least);
  let best = -1;
  for (let i = 0; i < found.length; i++) if (best < 0 ? found[i] > -2 : found[i] > found[best]) best = i;
  let rival = Number.NaN;
  for (let i = 0; i < found.length; i++) {
    if (Math.abs(i - best) * STEP_S > OTHER_PEAK_S && !(found[i] <= rival))
      rival = Number.isNaN(found[i]) ? rival : found[i];
  }
  const top = best < 0 ? Number.NaN : found[best];
  const lead = Number.isNaN(rival) ? Number.POSITIVE_INFINITY : top - rival;
  if (!(top >= LEAST_CORRELATION) || !(lead >= LEAST_LEAD)) {
    const limits = { correlation: LEAST_CORRELATION, lead: LEAST_LEAD };
    throw boardMotionUnclear(first.camera, second.camera, top || 0, rival || 0, limits);
  }
  return { offsetS: (best - most + peakShift(found, best)) * STEP_S, correlation: top, rival };
}

/** Mean logarithm of movement on a grid of STEP_S, running mean over SMOOTH_S; NaN in cells without movement known. */
function onGrid({ timesS, motion }: MotionSeries): { startS: number; values: Float64Array } {
  const startS = timesS[0];
  const count = Math.max(1, Math.round((timesS[timesS.length - 1] - startS) / STEP_S) + 1);
  const floor = noiseFloor(motion);
  const values = new Float64Array(count).fill(Number.NaN);
  // Movement in sample i is between sample i − 1 and i: its middle is half an interval earlier. Filled from there by lines.
  let beforeS = Number.NaN;
  let before = Number.NaN;
  for (let i = 1; i < timesS.length; i++) {
    const atS = (timesS[i] + timesS[i - 1]) / 2;
    const value = Math.log(floor + motion[i]);
    if (Number.isFinite(value) && Number.isFinite(before) && atS - beforeS < 0.3) {
      for (let k = Math.ceil((beforeS - startS) / STEP_S); k <= (atS - startS) / STEP_S && k < count; k++) {
        values[k] = before + ((value - before) * (startS + k * STEP_S - beforeS)) / (atS - beforeS);
      }
    }
    beforeS = atS;
    before = value;
  }
  return { startS, values: centred(smoothed(values, Math.round(SMOOTH_S / STEP_S / 2))) };
}

/** A tenth of the typical movement: keeps the logarithm of rest from being all noise. */
function noiseFloor(motion: ArrayLike<number>): number {
  let sum = 0;
  let count = 0;
  for (let i = 0; i < motion.length; i++) {
    if (!Number.isFinite(motion[i])) continue;
    sum += motion[i];
    count++;
  }
  return count > 0 && sum > 0 ? (0.1 * sum) / count : 1;
}

/** Less its mean, so that sums of squares lose no digits. */
function centred(values: Float64Array): Float64Array {
  const known = values.filter((value) => Number.isFinite(value));
  const mean = known.reduce((sum, value) => sum + value, 0) / known.length;
  return values.map((value) => value - mean);
}

function smoothed(values: Float64Array, half: number): Float64Array {
  return values.map((_, i) => {
    let sum = 0;
    for (let k = i - half; k <= i + half; k++) sum += values[k] ?? Number.NaN;
    return sum / (2 * half + 1);
  });
}

/** Pearson's correlation of a[i] with b[i + shift] where both are known; NaN for fewer than `least` pairs. `a`, `b`: around 0. */
function agreement(a: Float64Array, b: Float64Array, shift: number, least: number): number {
  let [n, x, y, xx, yy, xy] = [0, 0, 0, 0, 0, 0];
  const last = Math.min(a.length, b.length - shift);
  for (let i = Math.max(0, -shift); i < last; i++) {
    const u = a[i];
    const v = b[i + shift];
    const product = u * v;
    if (Number.isNaN(product)) continue;
    n++;
    x += u;
    y += v;
    xx += u * u;
    yy += v * v;
    xy += product;
  }
  if (n < least) return Number.NaN;
  return (n * xy - x * y) / Math.sqrt((n * xx - x * x) * (n * yy - y * y));
}

/** Place of the maximum between samples, in steps, from a parabola through the peak and its neighbours. */
function peakShift(values: Float64Array, at: number): number {
  const before = values[at - 1];
  const after = values[at + 1];
  const bend = before - 2 * values[at] + after;
  const shift = (before - after) / (2 * bend);
  return Math.abs(shift) <= 1 ? shift : 0;
}
