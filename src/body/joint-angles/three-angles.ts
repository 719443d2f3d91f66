/**
 * How a distal part is turned against a proximal one, radians, right-handed about each axis, one value a frame.
 *
 * Joint coordinate system of Grood and Suntay (1983): e1 is the Z axis of the proximal part, e3 the Y axis of the distal part,
 * e2 square to both (floating). As an ordered sequence it is Z–X–Y: R = Rz(aboutE1) Rx(aboutE2) Ry(aboutE3), with R = proximalᵀ
 * distal; the three turns may be carried out in any order, since each is about its own axis of the mechanism.
 */
export interface ThreeAngles {
  readonly aboutE1: Float64Array;
  readonly aboutE2: Float64Array;
  readonly aboutE3: Float64Array;
}

/**
 * Where |cos(aboutE2)| is smaller, e1 and e3 lie near one line, and the turns about them cannot be told apart (5 times the error
 * of the axes and more): both NaN. At hip and knee this is an adduction beyond 78°.
 */
export const LEAST_JOINT_COSINE = 0.2;

/**
 * The three angles. Each needs only what it is made of, and is NaN where that is not known:
 *
 * - aboutE1 (flexion): X and Y of the proximal part, e3: atan2(−Xp·e3, Yp·e3);
 * - aboutE2 (adduction): e1 and e3 alone: asin(e1·e3);
 * - aboutE3 (axial rotation): e1, X and Z of the distal part: atan2(−e1·Xd, e1·Zd).
 *
 * So the unknown tilt of a pelvis seen as a line hides flexion only, and the unknown turn of a straight leg hides rotation only.
 * proximal, distal: labFromPart, `9 * frame`; null = not known. e1, e3: unit vectors, `3 * frame`, lab frame.
 */
export function threeAngles(
  proximal: Float64Array | null,
  e1: Float64Array,
  distal: Float64Array | null,
  e3: Float64Array,
): ThreeAngles {
  const { asin, atan2, max, min } = Math;
  const frames = e1.length / 3;
  const aboutE1 = new Float64Array(frames).fill(Number.NaN);
  const aboutE2 = new Float64Array(frames);
  const aboutE3 = new Float64Array(frames).fill(Number.NaN);
  for (let f = 0, i = 0, m = 0; f < frames; f++, i += 3, m += 9) {
    const sine = max(-1, min(1, e1[i] * e3[i] + e1[i + 1] * e3[i + 1] + e1[i + 2] * e3[i + 2]));
    aboutE2[f] = asin(sine);
    if (!(1 - sine * sine >= LEAST_JOINT_COSINE * LEAST_JOINT_COSINE)) continue;
    if (proximal)
      aboutE1[f] = atan2(
        -(proximal[m] * e3[i] + proximal[m + 3] * e3[i + 1] + proximal[m + 6] * e3[i + 2]),
        proximal[m + 1] * e3[i] + proximal[m + 4] * e3[i + 1] + proximal[m + 7] * e3[i + 2],
      );
    if (distal)
      aboutE3[f] = atan2(
        -(e1[i] * distal[m] + e1[i + 1] * distal[m + 3] + e1[i + 2] * distal[m + 6]),
        e1[i] * distal[m + 2] + e1[i + 1] * distal[m + 5] + e1[i + 2] * distal[m + 8],
      );
  }
  return { aboutE1, aboutE2, aboutE3 };
}
