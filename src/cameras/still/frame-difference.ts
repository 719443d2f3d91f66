import type { GreyImage } from '../../capture/image-file.ts';
import { quantile } from '../../numerics/statistics.ts';
import type { MotionSeries } from './motion-clock.ts';

/** A frame as `src/capture/video` gives it. */
export interface TimedPicture {
  readonly index: number;
  readonly timeS: number;
  readonly image: GreyImage;
}

/** How much the picture of one camera changes from frame to frame. */
export interface FrameDifferences extends MotionSeries {
  readonly frames: Int32Array;
  readonly timesS: Float64Array;
  /** Mean absolute difference of brightness to the frame before over the time between them, grey levels a second; first NaN. */
  readonly motion: Float64Array;
}

/** Reads all frames (small ones do: 160 px wide) and keeps only their differences. */
export async function frameDifferences(camera: string, frames: AsyncIterable<TimedPicture>): Promise<FrameDifferences> {
  const indices: number[] = [];
  const timesS: number[] = [];
  const motion: number[] = [];
  let before: TimedPicture | null = null;
  for await (const frame of frames) {
    indices.push(frame.index);
    timesS.push(frame.timeS);
    motion.push(before ? differencePerSecond(before, frame) : Number.NaN);
    before = frame;
  }
  return {
    camera,
    frames: Int32Array.from(indices),
    timesS: Float64Array.from(timesS),
    motion: Float64Array.from(motion),
  };
}

function differencePerSecond(before: TimedPicture, now: TimedPicture): number {
  const stepS = now.timeS - before.timeS;
  const { pixels } = now.image;
  const earlier = before.image.pixels;
  let sum = 0;
  for (let i = 0; i < pixels.length; i++) {
    const change = pixels[i] - earlier[i];
    sum += change < 0 ? -change : change;
  }
  return stepS > 0 ? sum / pixels.length / stepS : Number.NaN;
}

/** Time over which change is averaged before it is judged, seconds. */
const JUDGED_OVER_S = 0.3;

/**
 * Which frames are in the quieter part of a video: change averaged over JUDGED_OVER_S not above its `share` quantile (0–1).
 * A choice by rank and not by size, since other people in the picture move too and noise differs between cameras.
 */
export function quietFrames({ timesS, motion }: FrameDifferences, share: number): Uint8Array {
  const mean = new Float64Array(motion.length);
  let from = 0;
  let to = 0;
  for (let i = 0; i < motion.length; i++) {
    while (timesS[from] < timesS[i] - JUDGED_OVER_S / 2) from++;
    while (to < motion.length && timesS[to] <= timesS[i] + JUDGED_OVER_S / 2) to++;
    let sum = 0;
    let count = 0;
    for (let k = from; k < to; k++) {
      if (!Number.isFinite(motion[k])) continue;
      sum += motion[k];
      count++;
    }
    mean[i] = count > 0 ? sum / count : Number.POSITIVE_INFINITY;
  }
  const limit = quantile(mean, share);
  return Uint8Array.from(mean, (value) => (value <= limit ? 1 : 0));
}
