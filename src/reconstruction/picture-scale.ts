import type { KeypointTrack } from '../capture/recording.ts';
import { SampleStatus } from '../capture/sample-status.ts';
import { median } from '../numerics/statistics.ts';

/** Frames with fewer points do not show a height. Common practice, no source. */
const LEAST_POINTS = 5;

/** Median over frames of the height that the seen points of a view span, px; 0 where no frame has LEAST_POINTS. */
export function heightPx({ frames, landmarks, pixel, status }: KeypointTrack): number {
  const count = landmarks.length;
  const heights = new Float64Array(frames);
  let found = 0;
  for (let k = 0; k < frames; k++) {
    let top = Number.POSITIVE_INFINITY;
    let bottom = Number.NEGATIVE_INFINITY;
    let seen = 0;
    for (let s = k * count; s < (k + 1) * count; s++) {
      if (status[s] !== SampleStatus.seen) continue;
      seen++;
      const row = pixel[2 * s + 1];
      if (row < top) top = row;
      if (row > bottom) bottom = row;
    }
    if (seen >= LEAST_POINTS) heights[found++] = bottom - top;
  }
  return found > 0 ? median(heights.subarray(0, found)) : 0;
}
