import { mirroredSides, segmentOutsideHumanRange, sidewaysAxes, upsideDownAxes } from '../messages/capture.ts';
import { facingOf, finiteMedian, NamedPoints } from './facing.ts';
import type { Landmark } from './landmarks.ts';
import { checkMarkers } from './marker-checks.ts';
import type { LengthUnit, PointTrack } from './recording.ts';

/**
 * Median lengths, metres, between which every lifter's segments lie. Wide on purpose: the limits find wrong units and
 * swapped names, not unusual people (common practice, no source; adult thighs and shanks are about 0.30–0.53 m).
 */
export const SEGMENT_LIMITS_M = {
  thigh: [0.2, 0.7],
  shank: [0.2, 0.7],
  'side of the trunk': [0.25, 0.9],
} as const;

/**
 * Least height over the ankles, metres, median over the recording: shoulders and hips of a lifter who stands, squats or
 * hinges are higher (common practice, no source).
 */
export const LEAST_HEIGHT_M = { shoulder: 0.3, hip: 0.05 } as const;

/** Least cosine between the left-to-right line and the lateral direction at which a verdict is given. */
const LEAST_AGREEMENT = 0.3;

const SEGMENT_ENDS: readonly (readonly [keyof typeof SEGMENT_LIMITS_M, Landmark, Landmark])[] = [
  ['thigh', 'left_hip', 'left_knee'],
  ['thigh', 'right_hip', 'right_knee'],
  ['shank', 'left_knee', 'left_ankle'],
  ['shank', 'right_knee', 'right_ankle'],
  ['side of the trunk', 'left_shoulder', 'left_hip'],
  ['side of the trunk', 'right_shoulder', 'right_hip'],
];

/**
 * Refuses points that cannot be a lifter: segments outside human lengths (wrong unit or scale), shoulders or hips below
 * the ankles (upside-down axes), shoulders hardly above the ankles (the up axis lies down), left and right exchanged
 * against the facing (mirrored), markers that contradict the joints. `position`: `3 * (frame * landmarks.length + landmark)`, metres, Y up, any heading; NaN
 * where missing. What the landmarks give no evidence for is not judged.
 */
export function checkPlausibleLifter(
  file: string,
  landmarks: readonly Landmark[],
  position: Float64Array,
  frames: number,
  source: 'points' | 'views',
): void {
  const points = new NamedPoints(landmarks, position, frames);
  for (const [segment, proximal, distal] of SEGMENT_ENDS) {
    if (!points.has(proximal, distal)) continue;
    const lengthM = medianDistance(points, proximal, distal);
    const [low, high] = SEGMENT_LIMITS_M[segment];
    if (!(lengthM < low || lengthM > high)) continue;
    const side = proximal.startsWith('left') ? 'left' : 'right';
    const meant = source === 'points' ? unitMeant(lengthM, low, high) : null;
    throw segmentOutsideHumanRange(file, `${side} ${segment}`, lengthM, low, high, source, meant);
  }
  checkUpright(file, points, source);
  checkSides(file, points, source);
  checkMarkers(file, points);
}

/** The checks of `checkPlausibleLifter` on points as read from a file. */
export function checkPoints(points: PointTrack): void {
  checkPlausibleLifter(points.file, points.landmarks, points.position, points.frames, 'points');
}

function medianDistance(points: NamedPoints, from: Landmark, to: Landmark): number {
  const [x, y, z] = ([0, 1, 2] as const).map((axis) => points.difference(axis, [to], [from]));
  return finiteMedian(x.map((dx, frame) => Math.hypot(dx, y[frame], z[frame])));
}

/** How many times too long (or short) a length is when a unit was mistaken for another. */
const UNIT_MISTAKES: readonly (readonly [number, LengthUnit, LengthUnit])[] = [
  [1000, 'm', 'mm'],
  [100, 'm', 'cm'],
  [10, 'cm', 'mm'],
  [0.1, 'mm', 'cm'],
  [0.01, 'cm', 'm'],
  [0.001, 'mm', 'm'],
];

/** The units stated and meant where one of the usual mistakes explains the length; null where none does. */
function unitMeant(lengthM: number, low: number, high: number): { stated: LengthUnit; meant: LengthUnit } | null {
  for (const [factor, stated, meant] of UNIT_MISTAKES) {
    if (lengthM / factor >= low && lengthM / factor <= high) return { stated, meant };
  }
  return null;
}

function checkUpright(file: string, points: NamedPoints, source: 'points' | 'views'): void {
  const ankles: readonly Landmark[] = ['left_ankle', 'right_ankle'];
  if (!points.has(...ankles)) return;
  for (const part of ['shoulder', 'hip'] as const) {
    const upper: readonly Landmark[] = [`left_${part}`, `right_${part}`];
    if (!points.has(...upper)) continue;
    const heightM = finiteMedian(points.difference(1, upper, ankles));
    const leastM = LEAST_HEIGHT_M[part];
    if (heightM <= -leastM) throw upsideDownAxes(file, `${part}s`, heightM, source);
    if (heightM < leastM) throw sidewaysAxes(file, `${part}s`, heightM, leastM, source);
  }
}

/** Right = forward × up in a right-handed frame with Y up: (x, 0, z) × (0, 1, 0) = (−z, 0, x). */
function checkSides(file: string, points: NamedPoints, source: 'points' | 'views'): void {
  const facing = facingOf(points);
  if (!facing) return;
  for (const part of ['hip', 'ankle', 'shoulder'] as const) {
    if (!points.has(`left_${part}`, `right_${part}`)) continue;
    const x = points.difference(0, [`right_${part}`], [`left_${part}`]);
    const z = points.difference(2, [`right_${part}`], [`left_${part}`]);
    const agreement = finiteMedian(
      x.map((dx, frame) => (-facing.z * dx + facing.x * z[frame]) / Math.hypot(dx, z[frame])),
    );
    if (!(Math.abs(agreement) >= LEAST_AGREEMENT)) continue;
    if (agreement < 0) throw mirroredSides(file, part, facing.evidence, source);
    return;
  }
}
