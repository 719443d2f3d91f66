/** The upper arm against the trunk, radians, one value a frame (ISB, Wu et al. 2005: Y–X–Y). */
export interface ShoulderAngles {
  /** Plane in which the arm is raised: 0 straight out to the side, +90° straight ahead, negative behind. */
  readonly plane: Float64Array;
  /** Angle between the arm and the trunk's line downward: 0 hanging, 90° level, 180° overhead. */
  readonly elevation: Float64Array;
  /** Turn of the upper arm about its length, inward positive. */
  readonly rotation: Float64Array;
}

/**
 * Nearer to the trunk's line than this (arm hanging or straight overhead) plane and rotation turn about one line and are not
 * defined: NaN. At 20° errors of 5 mm in each coordinate of shoulder and elbow (0.28 m apart) turn the plane by 4.2°.
 */
export const LEAST_SHOULDER_ELEVATION_DEG = 20;

const LEAST_SINE = Math.sin((LEAST_SHOULDER_ELEVATION_DEG * Math.PI) / 180);

/**
 * R = trunkᵀ arm = Ry(plane) Rx(−elevation) Ry(rotation) on the right side; the left is mirrored first (`outward` −1), so that a
 * mirrored lift gives equal values. ISB counts the elevation negative; here it is positive.
 *
 * trunk, arm: labFromPart, `9 * frame`; arm null or NaN = its turn is not known. armAxis: unit vector elbow to shoulder, `3 * frame`.
 */
export function shoulderAngles(
  trunk: Float64Array,
  arm: Float64Array | null,
  armAxis: Float64Array,
  outward: 1 | -1,
): ShoulderAngles {
  const { atan2, sqrt } = Math;
  const frames = armAxis.length / 3;
  const plane = new Float64Array(frames).fill(Number.NaN);
  const elevation = new Float64Array(frames);
  const rotation = new Float64Array(frames).fill(Number.NaN);
  for (let f = 0, i = 0, m = 0; f < frames; f++, i += 3, m += 9) {
    // The arm, shoulder to elbow, in the axes of the trunk: ahead, up, outward.
    const ahead = -(trunk[m] * armAxis[i] + trunk[m + 3] * armAxis[i + 1] + trunk[m + 6] * armAxis[i + 2]);
    const up = -(trunk[m + 1] * armAxis[i] + trunk[m + 4] * armAxis[i + 1] + trunk[m + 7] * armAxis[i + 2]);
    const out = -outward * (trunk[m + 2] * armAxis[i] + trunk[m + 5] * armAxis[i + 1] + trunk[m + 8] * armAxis[i + 2]);
    const sine = sqrt(ahead * ahead + out * out);
    elevation[f] = atan2(sine, -up);
    if (!(sine >= LEAST_SINE)) continue;
    plane[f] = atan2(ahead, out);
    if (!arm) continue;
    // Row of the trunk's Y in the axes of the arm: (−sin e · sin r, cos e, sin e · cos r).
    const x = trunk[m + 1] * arm[m] + trunk[m + 4] * arm[m + 3] + trunk[m + 7] * arm[m + 6];
    const z = trunk[m + 1] * arm[m + 2] + trunk[m + 4] * arm[m + 5] + trunk[m + 7] * arm[m + 8];
    rotation[f] = atan2(-x, outward * z);
  }
  return { plane, elevation, rotation };
}
