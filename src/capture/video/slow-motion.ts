/** A file whose pictures were taken faster than its time stamps say. */
export interface SlowMotion {
  readonly captureHz: number;
  readonly playHz: number;
  /** The tag that says so, as written in the file. */
  readonly tag: string;
}

/** Share by which capture and play rate must differ to count: 119.88 against 120 does not. Common practice, no source. */
const LEAST_DIFFERENCE = 0.05;

/** Tags whose value is the rate at which pictures were taken, frames a second; names in small letters. From files at hand and memory. */
const RATE_TAGS = /(^|[._])capture[._]?(fps|rate|frame_?rate)$/;

/**
 * Slow motion as a file's tags reveal it: a capture rate beside another play rate. Null says only that no tag tells; some
 * phones write none, and then only the stated rate of the recording can show it.
 */
export function slowMotionFromTags(tags: Readonly<Record<string, string>>, playHz: number): SlowMotion | null {
  for (const [name, value] of Object.entries(tags)) {
    if (!RATE_TAGS.test(name.toLowerCase())) continue;
    const captureHz = Number.parseFloat(value);
    if (!(captureHz > 0) || !(playHz > 0)) continue;
    if (Math.abs(captureHz / playHz - 1) > LEAST_DIFFERENCE) return { captureHz, playHz, tag: `${name}=${value}` };
  }
  return null;
}
