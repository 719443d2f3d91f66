import { median } from '../../numerics/statistics.ts';

/** How equally spaced the frames of a video are. */
export interface FrameSpacing {
  /** 1 / median interval. */
  readonly medianHz: number;
  /** Rate of the equally spaced grid that fits best, dropped frames counted: the camera's own rate. */
  readonly gridHz: number;
  /** Largest distance of a frame from that grid, seconds. */
  readonly largestDeviationS: number;
  /** Places of the grid without a frame. */
  readonly dropped: number;
  /** Frames less than half an interval after the one before: doubled, or squeezed in. */
  readonly crowded: number;
  /** Equally spaced as far as the file's time stamps can tell: nothing dropped or crowded, deviation within one tick. */
  readonly constant: boolean;
}

/**
 * Spacing of frames at ascending times (seconds). `tickS`: step of the file's time stamps.
 *
 * Each interval is rounded to whole medians, which gives every frame its place on a grid (not the time since the start: an
 * error of the median would add up); start and step of the grid are the least-squares line through (place, time). With one
 * frame there is no rate: NaN.
 */
export function frameSpacing(timesS: Float64Array, tickS: number): FrameSpacing {
  const count = timesS.length;
  if (count < 2) {
    return { medianHz: Number.NaN, gridHz: Number.NaN, largestDeviationS: 0, dropped: 0, crowded: 0, constant: true };
  }
  const intervals = Array.from({ length: count - 1 }, (_, i) => timesS[i + 1] - timesS[i]);
  const stepS = median(intervals.filter((interval) => interval > 0));
  const place = new Float64Array(count);
  let dropped = 0;
  let crowded = 0;
  for (let i = 1; i < count; i++) {
    const steps = intervals[i - 1] / stepS;
    if (steps < 0.5) crowded++;
    const whole = Math.max(steps < 0.5 ? 0 : 1, Math.round(steps));
    dropped += Math.max(0, whole - 1);
    place[i] = place[i - 1] + whole;
  }
  const line = lineThrough(place, timesS);
  let largestDeviationS = 0;
  for (let i = 0; i < count; i++) {
    largestDeviationS = Math.max(largestDeviationS, Math.abs(timesS[i] - line.start - line.step * place[i]));
  }
  const constant = dropped === 0 && crowded === 0 && largestDeviationS <= tickS * (1 + 1e-6) + 1e-9;
  return { medianHz: 1 / stepS, gridHz: 1 / line.step, largestDeviationS, dropped, crowded, constant };
}

function lineThrough(x: Float64Array, y: Float64Array): { start: number; step: number } {
  let meanX = 0;
  let meanY = 0;
  for (let i = 0; i < x.length; i++) {
    meanX += x[i] / x.length;
    meanY += y[i] / x.length;
  }
  let xx = 0;
  let xy = 0;
  for (let i = 0; i < x.length; i++) {
    xx += (x[i] - meanX) ** 2;
    xy += (x[i] - meanX) * (y[i] - meanY);
  }
  const step = xx > 0 ? xy / xx : Number.NaN;
  return { start: meanY - step * meanX, step };
}
