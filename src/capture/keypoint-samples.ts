import type { Landmark } from './landmarks.ts';

/**
 * Highest confidence accepted. Confidence runs from 0 to 1; COCO annotations made by hand write 1 or 2 ("labelled",
 * "visible") and some detectors slightly more than 1: all those count as 1. Anything above is another scale.
 */
export const MOST_CONFIDENCE = 2;

/** The contents of one keypoint file, before it is joined with the other files of its view. */
export interface KeypointSamples {
  readonly file: string;
  /** Last frame in the file + 1. */
  readonly frames: number;
  readonly landmarks: readonly Landmark[];
  /** `2 * (frame * landmarks.length + landmark)`, pixels; NaN where not found. */
  readonly pixel: Float64Array;
  /** `frame * landmarks.length + landmark`, 0–1; 0 where not found. */
  readonly confidence: Float64Array;
}
