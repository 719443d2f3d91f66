import { MENS_BAR_KG, WOMENS_BAR_KG } from '../body/barbell.ts';
import type { BarPosition, Load, SegmentTableName, Sex } from '../capture/recording.ts';
import { jointLoads } from '../mechanics/joint-loads-from-motion.ts';
import { postureUnbalanced } from '../messages/plan.ts';
import { rotationAboutY } from '../numerics/rotation.ts';
import type { LimbLengths } from './build.ts';
import { placePoints, plannedLandmarks, type SquatAngles, type Stance } from './place-points.ts';
import { type LoadedLifter, type Posture, pointOf, posturesAsMotion } from './posture.ts';

/** Length of the men's and women's bar, metres: IWF Technical and Competition Rules (restated specification). */
export const MENS_BAR_M = 2.2;
export const WOMENS_BAR_M = 2.01;

/** A lifter whose squat is foreseen, not measured. */
export interface ForeseenLifter {
  readonly sex: Sex;
  readonly massKg: number;
  readonly lengths: LimbLengths;
  readonly stance: Stance;
  readonly load: Load;
  readonly segments: SegmentTableName;
}

export interface ForeseenPosture extends Posture {
  readonly angles: SquatAngles;
}

const rad = (degrees: number) => (degrees * Math.PI) / 180;

/**
 * Shank inclination at parallel and at the bottom, degrees. A bar low on the back is squatted with more upright shanks.
 * Common practice, no source; measured habits replace them once there are any.
 */
const SHANK_DEG: Readonly<Record<BarPosition, readonly [parallel: number, bottom: number]>> = {
  'front rack': [28, 32],
  'high back': [26, 29],
  'low back': [21, 24],
  overhead: [30, 34],
  hands: [26, 29],
  none: [28, 32],
};

/** Thigh elevation at the bottom and when standing, and the shank when standing, degrees. Common practice, no source. */
export const BOTTOM_THIGH_DEG = -15;
export const STANDING_THIGH_DEG = 84;
const STANDING_SHANK_DEG = 2;

/** Leans tried, degrees; a squat outside is none. */
const LEAST_LEAN_DEG = -15;
const LARGEST_LEAN_DEG = 80;
/** Trials a pass: three passes leave an error far below a thousandth of a degree. */
const TRIALS = 39;
const PASSES = 3;

/**
 * Posture of a squat at a thigh elevation (degrees), foreseen from balance.
 *
 * A planar chain with straight trunk. The shank follows the thigh along a parabola through standing, parallel and bottom
 * (SHANK_DEG); the lean is the one that puts the centre of mass of lifter and bar over the middle of the foot, with the
 * segment table and barbell of the analysis itself. Static balance; left and right alike.
 * Errors: posture-unbalanced.
 */
export function squatPosture(lifter: ForeseenLifter, thighElevationDeg: number): ForeseenPosture {
  const thighElevationRad = rad(thighElevationDeg);
  const shankRad = rad(shankDeg(lifter, thighElevationDeg));
  const leanRad = balancedLean(lifter, (lean) => ({ shankRad, thighElevationRad, leanRad: lean }));
  const angles = { shankRad, thighElevationRad, leanRad };
  return { landmarks: plannedLandmarks(lifter.load.totalKg > 0), position: pointsOf(lifter, angles), angles };
}

/** Points, mass and load of a foreseen lifter for the analysis: the load at the bar the plan assumes. */
export function loadedLifter({ sex, massKg, load, segments }: ForeseenLifter): LoadedLifter {
  return { sex, massKg, load, segments };
}

/** Bar length, m, and mass, kg, where the plan does not state them. */
export function barOf({ sex, load }: Pick<ForeseenLifter, 'sex' | 'load'>): { lengthM: number; massKg: number } {
  return {
    lengthM: load.bar.lengthM ?? (sex === 'female' ? WOMENS_BAR_M : MENS_BAR_M),
    massKg: Math.min(load.totalKg, load.bar.massKg ?? (sex === 'female' ? WOMENS_BAR_KG : MENS_BAR_KG)),
  };
}

/** Lagrange's parabola through standing, parallel (0°) and bottom. */
function shankDeg({ load }: ForeseenLifter, thighDeg: number): number {
  const [parallel, bottom] = SHANK_DEG[load.totalKg > 0 ? load.bar.position : 'none'];
  const nodes = [STANDING_THIGH_DEG, 0, BOTTOM_THIGH_DEG];
  const values = [STANDING_SHANK_DEG, parallel, bottom];
  let sum = 0;
  for (let i = 0; i < 3; i++) {
    let weight = values[i];
    for (let j = 0; j < 3; j++) if (j !== i) weight *= (thighDeg - nodes[j]) / (nodes[i] - nodes[j]);
    sum += weight;
  }
  return sum;
}

function pointsOf(lifter: ForeseenLifter, angles: SquatAngles): Float64Array {
  const { load } = lifter;
  const bar = load.totalKg > 0 ? { position: load.bar.position, lengthM: barOf(lifter).lengthM } : null;
  return placePoints(lifter.lengths, lifter.stance, bar, angles);
}

/**
 * The lean, radians, at which the centre of mass stands over mid-foot: all trials at once as frames of one motion, the
 * bracket narrowed PASSES times, linear within the last.
 */
function balancedLean(lifter: ForeseenLifter, anglesAt: (lean: number) => SquatAngles): number {
  let low = rad(LEAST_LEAN_DEG);
  let high = rad(LARGEST_LEAN_DEG);
  for (let pass = 0; ; pass++) {
    const offset = offsets(lifter, low, high, anglesAt);
    const step = (high - low) / (TRIALS - 1);
    const i = offset.findIndex((value, k) => k + 1 < TRIALS && Math.sign(value) !== Math.sign(offset[k + 1]));
    if (i < 0) throw postureUnbalanced(LEAST_LEAN_DEG, LARGEST_LEAN_DEG, 100 * offset[0], 100 * offset[TRIALS - 1]);
    if (pass + 1 === PASSES) return low + step * (i + offset[i] / (offset[i] - offset[i + 1]));
    [low, high] = [low + step * i, low + step * (i + 1)];
  }
}

/** Centre of mass ahead of mid-foot, metres, for TRIALS leans. */
function offsets(
  lifter: ForeseenLifter,
  low: number,
  high: number,
  anglesAt: (lean: number) => SquatAngles,
): readonly number[] {
  const landmarks = plannedLandmarks(lifter.load.totalKg > 0);
  const size = 3 * landmarks.length;
  const position = new Float64Array(size * TRIALS);
  for (let k = 0; k < TRIALS; k++) {
    position.set(pointsOf(lifter, anglesAt(low + ((high - low) * k) / (TRIALS - 1))), size * k);
  }
  const motion = posturesAsMotion(loadedLifter(lifter), landmarks, position);
  const { centreOfMass } = jointLoads(motion, [], rotationAboutY(0));
  const feet: Posture = { landmarks, position: position.subarray(0, size) };
  const middle = (pointOf(feet, 'right_heel')[0] + pointOf(feet, 'right_big_toe')[0]) / 2;
  return Array.from({ length: TRIALS }, (_, k) => centreOfMass![3 * k] - middle);
}
