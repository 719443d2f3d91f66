import { RACK_OFFSETS } from '../body/barbell.ts';
import { COCO_BODY_AND_FEET_COUNT, LANDMARKS, type Landmark } from '../capture/landmarks.ts';
import type { BarPosition } from '../capture/recording.ts';
import type { LimbLengths } from './build.ts';

type Point = readonly [number, number, number];

/** Where the feet stand. Metres and radians; ankle centres are `ankleDistanceM` apart. */
export interface Stance {
  readonly ankleDistanceM: number;
  readonly toeOutRad: number;
}

/** The three angles of a squat posture, radians. */
export interface SquatAngles {
  /** Shank from the vertical, forward positive, in the vertical plane through the foot. */
  readonly shankRad: number;
  /** atan2(hip above knee, horizontal distance of hip and knee). */
  readonly thighElevationRad: number;
  /** Mid-hip to mid-shoulder from the vertical, forward positive. */
  readonly leanRad: number;
}

/** Ankle centre and toe joints along the foot from the heel, shares of its length; heights above the floor. Common practice, no source. */
const ANKLE_ALONG_FOOT = 0.25;
const SMALL_TOE_ALONG_FOOT = 0.83;
const FOOT_POINT_HEIGHT_M = 0.03;
const BIG_TOE_INWARD_M = 0.02;
const SMALL_TOE_OUTWARD_M = 0.05;
/** Half the breadth of the head at the ears, and eyes and nose from there. Common practice, no source. */
const EAR_SIDEWAYS_M = 0.075;
const EYE_M = [0.075, 0.03, 0.032] as const;
const NOSE_M = [0.105, -0.012] as const;
/** Hands on the bar outside the shoulder centres. Common practice, no source. */
const GRIP_OUTSIDE_M = 0.1;
const OVERHEAD_GRIP_OUTSIDE_M = 0.3;
/** Share of the lean that the head keeps: lifters look ahead. Common practice, no source. */
const HEAD_LEAN_SHARE = 0.4;
/** Reach of a nearly straight arm. */
const STRAIGHT_ARM = 0.97;

/** Right-hand points; the left ones are their mirror images. */
const SIDED = [
  'eye',
  'ear',
  'shoulder',
  'elbow',
  'wrist',
  'hip',
  'knee',
  'ankle',
  'big_toe',
  'small_toe',
  'heel',
] as const;
type Sided = (typeof SIDED)[number];

/** Landmarks of a planned posture: body and feet, and the bar's ends where there is a load. */
export function plannedLandmarks(withBar: boolean): readonly Landmark[] {
  const body = LANDMARKS.slice(0, COCO_BODY_AND_FEET_COUNT);
  return withBar ? [...body, 'bar_left_end', 'bar_right_end'] : body;
}

/**
 * All points of one posture, `3 * landmark` in the order of `plannedLandmarks`, metres, lab axes; the origin lies on the
 * floor midway between the ankles.
 *
 * Feet flat and turned out; shank in the vertical plane of its foot; thigh from the knee to a hip at half the hip width; one
 * straight trunk; bar at the stated offset from the shoulders (overhead: above mid-foot); arms reach the bar.
 */
export function placePoints(
  lengths: LimbLengths,
  stance: Stance,
  bar: { readonly position: BarPosition; readonly lengthM: number } | null,
  angles: SquatAngles,
): Float64Array {
  const right = {} as Record<Sided, Point>;
  const { midHip } = placeLeg(right, lengths, stance, angles);
  const lean = [Math.sin(angles.leanRad), Math.cos(angles.leanRad)] as const;
  const shoulders = [midHip[0] + lengths.trunk * lean[0], midHip[1] + lengths.trunk * lean[1]] as const;
  right.shoulder = [shoulders[0], shoulders[1], lengths.shoulderWidth / 2];
  placeHead(right, lengths, shoulders, angles.leanRad);
  const barAt = bar && placeBar(bar.position, lengths, shoulders, angles.leanRad, midFoot(right));
  placeArm(right, lengths, shoulders, angles.leanRad, barAt, bar?.position ?? 'none');

  const landmarks = plannedLandmarks(bar !== null);
  const out = new Float64Array(3 * landmarks.length);
  const put = (name: Landmark, x: number, y: number, z: number) => out.set([x, y, z], 3 * landmarks.indexOf(name));
  put('nose', ...noseOf(right.ear, angles.leanRad));
  for (const name of SIDED) {
    const [x, y, z] = right[name];
    put(`right_${name}`, x, y, z);
    put(`left_${name}`, x, y, -z);
  }
  if (bar && barAt) {
    put('bar_left_end', barAt[0], barAt[1], -bar.lengthM / 2);
    put('bar_right_end', barAt[0], barAt[1], bar.lengthM / 2);
  }
  return out;
}

const midFoot = (right: Readonly<Record<Sided, Point>>): number => (right.heel[0] + right.big_toe[0]) / 2;

function placeLeg(
  right: Record<Sided, Point>,
  lengths: LimbLengths,
  { ankleDistanceM, toeOutRad }: Stance,
  { shankRad, thighElevationRad }: SquatAngles,
): { midHip: readonly [number, number] } {
  const [ahead, aside] = [Math.cos(toeOutRad), Math.sin(toeOutRad)];
  const onFoot = (along: number, out: number, height: number): Point => [
    along * ahead - out * aside,
    height,
    ankleDistanceM / 2 + along * aside + out * ahead,
  ];
  const fromAnkle = (share: number) => (share - ANKLE_ALONG_FOOT) * lengths.foot;
  right.heel = onFoot(fromAnkle(0), 0, FOOT_POINT_HEIGHT_M);
  right.big_toe = onFoot(fromAnkle(1), -BIG_TOE_INWARD_M, FOOT_POINT_HEIGHT_M);
  right.small_toe = onFoot(fromAnkle(SMALL_TOE_ALONG_FOOT), SMALL_TOE_OUTWARD_M, FOOT_POINT_HEIGHT_M);
  right.ankle = onFoot(0, 0, lengths.ankleHeight);
  const level = lengths.shank * Math.sin(shankRad);
  const knee = onFoot(level, 0, lengths.ankleHeight + lengths.shank * Math.cos(shankRad));
  const sideways = lengths.hipWidth / 2 - knee[2];
  const horizontal = Math.max(lengths.thigh * Math.cos(thighElevationRad), Math.abs(sideways));
  const hipX = knee[0] - Math.sqrt(horizontal ** 2 - sideways ** 2);
  const hipY = knee[1] + Math.sign(thighElevationRad) * Math.sqrt(Math.max(0, lengths.thigh ** 2 - horizontal ** 2));
  right.knee = knee;
  right.hip = [hipX, hipY, lengths.hipWidth / 2];
  return { midHip: [hipX, hipY] };
}

/** Forward and up in a part that leans. */
function inLean(leanRad: number, forward: number, up: number): readonly [number, number] {
  const [s, c] = [Math.sin(leanRad), Math.cos(leanRad)];
  return [forward * c + up * s, up * c - forward * s];
}

function placeHead(
  right: Record<Sided, Point>,
  lengths: LimbLengths,
  shoulders: readonly [number, number],
  leanRad: number,
): void {
  const [dx, dy] = inLean(HEAD_LEAN_SHARE * leanRad, 0, lengths.shouldersToEars);
  right.ear = [shoulders[0] + dx, shoulders[1] + dy, EAR_SIDEWAYS_M];
  const [ex, ey] = inLean(HEAD_LEAN_SHARE * leanRad, EYE_M[0], EYE_M[1]);
  right.eye = [right.ear[0] + ex, right.ear[1] + ey, EYE_M[2]];
}

function noseOf(ear: Point, leanRad: number): Point {
  const [dx, dy] = inLean(HEAD_LEAN_SHARE * leanRad, NOSE_M[0], NOSE_M[1]);
  return [ear[0] + dx, ear[1] + dy, 0];
}

function placeBar(
  position: BarPosition,
  lengths: LimbLengths,
  shoulders: readonly [number, number],
  leanRad: number,
  midFootX: number,
): readonly [number, number] {
  if (position === 'front rack' || position === 'high back' || position === 'low back') {
    const [dx, dy] = inLean(leanRad, RACK_OFFSETS[position].forwardM, RACK_OFFSETS[position].upM);
    return [shoulders[0] + dx, shoulders[1] + dy];
  }
  const arm = STRAIGHT_ARM * (lengths.upperArm + lengths.forearm);
  if (position !== 'overhead') return [shoulders[0], shoulders[1] - arm - lengths.hand];
  const along = midFootX - shoulders[0];
  const up = Math.sqrt(Math.max(0, arm ** 2 - along ** 2 - OVERHEAD_GRIP_OUTSIDE_M ** 2));
  return [midFootX, shoulders[1] + up + lengths.hand];
}

function placeArm(
  right: Record<Sided, Point>,
  lengths: LimbLengths,
  shoulders: readonly [number, number],
  leanRad: number,
  bar: readonly [number, number] | null,
  position: BarPosition,
): void {
  const reach = STRAIGHT_ARM * (lengths.upperArm + lengths.forearm);
  const outside = position === 'overhead' ? OVERHEAD_GRIP_OUTSIDE_M : GRIP_OUTSIDE_M;
  const handBelow = position === 'overhead' ? -lengths.hand : position === 'hands' ? lengths.hand : 0.02;
  const wanted: Point = bar
    ? [bar[0], bar[1] + handBelow, lengths.shoulderWidth / 2 + outside]
    : [shoulders[0] + reach, shoulders[1], lengths.shoulderWidth / 2];
  const towards: Point =
    position === 'front rack'
      ? [...inLean(leanRad, 1, -0.3), 0.2]
      : position === 'high back' || position === 'low back'
        ? [...inLean(leanRad, -0.4, -1), 0.1]
        : [0, -1, 0.5];
  const { elbow, wrist } = twoBones(right.shoulder, wanted, lengths.upperArm, lengths.forearm, reach, towards);
  right.elbow = elbow;
  right.wrist = wrist;
}

/** Elbow and wrist of an arm that reaches for a point, as far as it goes, its elbow bent towards a direction. */
function twoBones(from: Point, wanted: Point, upper: number, fore: number, reach: number, towards: Point) {
  const gap = [0, 1, 2].map((i) => wanted[i] - from[i]);
  const far = Math.hypot(gap[0], gap[1], gap[2]);
  const distance = Math.min(reach, Math.max(far, 1.05 * Math.abs(upper - fore)));
  const axis = gap.map((value) => value / far);
  const along = (upper ** 2 - fore ** 2 + distance ** 2) / (2 * distance);
  const off = Math.sqrt(Math.max(0, upper ** 2 - along ** 2));
  const onAxis = axis[0] * towards[0] + axis[1] * towards[1] + axis[2] * towards[2];
  const out = [0, 1, 2].map((i) => towards[i] - onAxis * axis[i]);
  const size = Math.hypot(out[0], out[1], out[2]);
  const at = (a: number, b: number): Point => [
    from[0] + a * axis[0] + (b * out[0]) / size,
    from[1] + a * axis[1] + (b * out[1]) / size,
    from[2] + a * axis[2] + (b * out[2]) / size,
  ];
  return { elbow: at(along, off), wrist: at(distance, 0) };
}
