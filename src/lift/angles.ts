import type { PointSeries } from '../body/point-series.ts';
import { perFrame } from './per-frame.ts';

const DEGREES = 180 / Math.PI;
const { atan2, sqrt } = Math;

function lengthOf(x: number, y: number): number {
  return sqrt(x * x + y * y);
}

/**
 * Thigh elevation, degrees: atan2(y_hip − y_knee, horizontal hip–knee distance). +90 standing upright, 0 with the hip
 * level with the knee (parallel), negative below. Points `3 * frame`, metres.
 */
export function thighElevation(hip: PointSeries, knee: PointSeries): Float64Array {
  return anglePerFrame(hip, (i) =>
    atan2(hip[i + 1] - knee[i + 1], lengthOf(hip[i] - knee[i], hip[i + 2] - knee[i + 2])),
  );
}

/**
 * Sagittal inclination of the line from `lower` to `upper`, degrees from the vertical in the X–Y plane, positive where
 * the upper end is ahead: trunk (mid-hip to mid-shoulder) and shank (ankle to knee).
 */
export function sagittalInclination(lower: PointSeries, upper: PointSeries): Float64Array {
  return anglePerFrame(lower, (i) => atan2(upper[i] - lower[i], upper[i + 1] - lower[i + 1]));
}

/** Foot inclination, degrees: heel-to-toe line against the floor, positive where the heel is higher than the toe. */
export function footInclination(heel: PointSeries, toe: PointSeries): Float64Array {
  return anglePerFrame(heel, (i) =>
    atan2(heel[i + 1] - toe[i + 1], lengthOf(toe[i] - heel[i], toe[i + 2] - heel[i + 2])),
  );
}

/** Knee flexion, degrees: 180° less the angle hip–knee–ankle in space; 0 = straight. */
export function kneeFlexion(hip: PointSeries, knee: PointSeries, ankle: PointSeries): Float64Array {
  return anglePerFrame(knee, (i) => {
    const ax = hip[i] - knee[i];
    const ay = hip[i + 1] - knee[i + 1];
    const az = hip[i + 2] - knee[i + 2];
    const bx = ankle[i] - knee[i];
    const by = ankle[i + 1] - knee[i + 1];
    const bz = ankle[i + 2] - knee[i + 2];
    // atan2 of cross and dot keeps its precision near a straight knee, where acos does not.
    const x = ay * bz - az * by;
    const y = az * bx - ax * bz;
    const z = ax * by - ay * bx;
    const cross = sqrt(x * x + y * y + z * z);
    return Math.PI - atan2(cross, ax * bx + ay * by + az * bz);
  });
}

/** Angle of the foot (heel to toe) from straight ahead in the floor plane, degrees, outward positive. */
export function toeOut(heel: PointSeries, toe: PointSeries, side: 'left' | 'right'): Float64Array {
  const outward = side === 'right' ? 1 : -1;
  return anglePerFrame(heel, (i) => atan2(outward * (toe[i + 2] - heel[i + 2]), toe[i] - heel[i]));
}

/** Line from mid-ear to mid-eye against the horizontal, seen from the side, degrees; eyes higher (face up) positive. */
export function headTilt(ear: PointSeries, eye: PointSeries): Float64Array {
  return anglePerFrame(ear, (i) => atan2(eye[i + 1] - ear[i + 1], eye[i] - ear[i]));
}

/** Slope of the line from a left to a right point, seen from the front, degrees; right end higher positive. */
export function frontSlope(left: PointSeries, right: PointSeries): Float64Array {
  return anglePerFrame(left, (i) => atan2(right[i + 1] - left[i + 1], right[i + 2] - left[i + 2]));
}

/** By how much the line from `middle` to `upper` leans further forward than that from `lower` to `middle`, seen from the side, degrees. */
export function backBend(lower: PointSeries, middle: PointSeries, upper: PointSeries): Float64Array {
  return anglePerFrame(
    middle,
    (i) =>
      atan2(upper[i] - middle[i], upper[i + 1] - middle[i + 1]) -
      atan2(middle[i] - lower[i], middle[i + 1] - lower[i + 1]),
  );
}

/** Distance of a knee from the upright plane through heel and toe, metres; outward (away from the other leg) positive. */
export function outwardOfFoot(
  knee: PointSeries,
  heel: PointSeries,
  toe: PointSeries,
  side: 'left' | 'right',
): Float64Array {
  const outward = side === 'right' ? 1 : -1;
  return perFrame(knee.length / 3, (f) => {
    const i = 3 * f;
    const x = toe[i] - heel[i];
    const z = toe[i + 2] - heel[i + 2];
    return (outward * (x * (knee[i + 2] - heel[i + 2]) - z * (knee[i] - heel[i]))) / lengthOf(x, z);
  });
}

/** Distance between two points in space, metres. */
export function distance(a: PointSeries, b: PointSeries): Float64Array {
  return perFrame(a.length / 3, (f) => {
    const i = 3 * f;
    const x = a[i] - b[i];
    const y = a[i + 1] - b[i + 1];
    const z = a[i + 2] - b[i + 2];
    return sqrt(x * x + y * y + z * z);
  });
}

/** An angle a frame, radians in, degrees out; NaN stays NaN. `i` is the index of the frame's x. */
function anglePerFrame(points: PointSeries, angle: (i: number) => number): Float64Array {
  return perFrame(points.length / 3, (f) => DEGREES * angle(3 * f));
}
