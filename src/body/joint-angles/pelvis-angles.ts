/** The pelvis against the lab, radians, one value a frame. */
export interface PelvisAngles {
  /** Turned about the vertical, to the left positive. */
  readonly rotation: Float64Array;
  /** Leaning sideways, to the right positive: the right hip lower. */
  readonly obliquity: Float64Array;
  /** Tilted forward (front of the pelvis down) positive. */
  readonly tilt: Float64Array;
}

/**
 * Sequence rotation, obliquity, tilt (Baker 2001): R = Ry(rotation) Rx(obliquity) Rz(−tilt). The first two need only the Z axis of
 * the pelvis, which two hip centres show; tilt needs the whole pelvis (`labFromPelvis`, null = not known).
 */
export function pelvisAngles(rightward: Float64Array, labFromPelvis: Float64Array | null): PelvisAngles {
  const { asin, atan2, max, min } = Math;
  const frames = rightward.length / 3;
  const rotation = new Float64Array(frames);
  const obliquity = new Float64Array(frames);
  const tilt = new Float64Array(frames).fill(Number.NaN);
  for (let f = 0, i = 0, m = 0; f < frames; f++, i += 3, m += 9) {
    rotation[f] = atan2(rightward[i], rightward[i + 2]);
    obliquity[f] = -asin(max(-1, min(1, rightward[i + 1])));
    if (labFromPelvis) tilt[f] = -atan2(labFromPelvis[m + 3], labFromPelvis[m + 4]);
  }
  return { rotation, obliquity, tilt };
}
