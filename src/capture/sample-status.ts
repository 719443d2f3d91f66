/**
 * Why a sample is what it is; stored as a `Uint8Array` beside every position array. A sample whose status is neither
 * `seen`, `filled` nor `edge` is NaN.
 */
export const SampleStatus = {
  /** Measured. */
  seen: 0,
  /** No view (or not enough views) reported the point. */
  occluded: 1,
  /** Reported, below the least confidence accepted. */
  lowConfidence: 2,
  /** The rays meet behind a camera. */
  behindCamera: 3,
  /** The rays are too nearly parallel to meet anywhere certain. */
  parallelRays: 4,
  /** Far from where the other views put it. */
  outlier: 5,
  /** Interpolated across a gap shorter than the stated limit. */
  filled: 6,
  /** Within one filter memory (1 / cut-off) of the end of a stretch: shown, kept out of findings. */
  edge: 7,
  /** Outside the volume a lifter can occupy. */
  beyondRange: 8,
} as const;

export type SampleStatusCode = (typeof SampleStatus)[keyof typeof SampleStatus];

/** Name of a status code, for tables and messages. */
export function statusName(code: number): string {
  const found = Object.entries(SampleStatus).find(([, value]) => value === code);
  return found ? found[0] : `code ${code}`;
}

/** True where a position with this status is a number. */
export function isUsable(code: number): boolean {
  return code === SampleStatus.seen || code === SampleStatus.filled || code === SampleStatus.edge;
}
