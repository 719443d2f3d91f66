/**
 * Departures from the placing rules of this folder, for draws of what the rules cannot know. All zero = the rules as they
 * are written. Metres, in the trunk's sagittal axes: forward is square to the line mid-hip to mid-shoulder, up along it.
 */
export interface BodyShifts {
  /** Centre of mass of the trunk in front of its line: constant, and times the sine of the trunk's lean. */
  readonly trunkForwardM: number;
  readonly trunkForwardPerSineM: number;
  /** The same up its line, times the sine of the lean. */
  readonly trunkUpPerSineM: number;
  /** Added to the share of the published lumbar flexion that the lift uses, 1; no effect on a straight trunk. */
  readonly trunkBendShare: number;
  /** Centres of mass of thighs and shanks in front of the line of their joints. */
  readonly thighForwardM: number;
  readonly shankForwardM: number;
  /** An untracked bar against its stated place. */
  readonly barForwardM: number;
  readonly barUpM: number;
}

export const NO_SHIFTS: BodyShifts = {
  trunkForwardM: 0,
  trunkForwardPerSineM: 0,
  trunkUpPerSineM: 0,
  trunkBendShare: 0,
  thighForwardM: 0,
  shankForwardM: 0,
  barForwardM: 0,
  barUpM: 0,
};

/**
 * Moves points (in place, `3 * frame`) square to the trunk's line in the sagittal plane by `constantM + perSineM · sin(lean)`,
 * forward positive, and along it by `upM + upPerSineM · sin(lean)`. axis: unit vectors of the trunk, hips to shoulders; for the trunk direction
 * (s, c) in the sagittal plane, forward is (c, −s).
 */
export function shiftForward(
  points: Float64Array,
  axis: Float64Array,
  constantM: number,
  perSineM: number,
  upM: number,
  upPerSineM = 0,
): void {
  if (constantM === 0 && perSineM === 0 && upM === 0 && upPerSineM === 0) return;
  const { sqrt } = Math;
  for (let i = 0; i < points.length; i += 3) {
    const x = axis[i];
    const y = axis[i + 1];
    const scale = 1 / sqrt(x * x + y * y);
    const sine = x * scale;
    const cosine = y * scale;
    const forward = constantM + perSineM * sine;
    const up = upM + upPerSineM * sine;
    points[i] += forward * cosine + up * sine;
    points[i + 1] += up * cosine - forward * sine;
  }
}
