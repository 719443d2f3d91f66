import type { BodyMotion } from '../body/body-motion.ts';
import type { Landmark } from '../capture/landmarks.ts';
import { sagittalInclination, thighElevation } from '../lift/angles.ts';
import { hipShare } from '../lift/shares.ts';
import { jointLoads } from '../mechanics/joint-loads-from-motion.ts';
import { apply3Into, rotationAboutY, rotationFromVector } from '../numerics/rotation.ts';
import { type LoadedLifter, type Posture, posturesAsMotion } from '../predict/posture.ts';

/** What is foreseen of a posture beside its points; names and units as in the tables of results. */
export const POSTURE_QUANTITIES = [
  'trunk_lean_deg',
  'thigh_elevation_both_deg',
  'hip_moment_gravity_both_nm',
  'knee_moment_gravity_both_nm',
  'hip_share_gravity_both',
] as const;
export type PostureQuantity = (typeof POSTURE_QUANTITIES)[number];

export interface PostureSensitivity {
  readonly landmarks: readonly Landmark[];
  /** NaN where not defined: hip share where hip and knee moment together are near zero. */
  readonly values: Readonly<Record<PostureQuantity, number>>;
  /** By the points, `3 * landmark`, unit of the quantity per metre. */
  readonly byPoint: Readonly<Record<PostureQuantity, Float64Array>>;
  /** By a vertical that is wrong by one degree in the sagittal plane (points turned about Z); unit of the quantity per degree. */
  readonly perDegreeOfVertical: Readonly<Record<PostureQuantity, number>>;
}

/** Half a step of the central differences, metres and degrees: error of second order, 1e-8 of the quantity. */
const STEP_M = 1e-4;
const STEP_DEG = 0.05;

/**
 * A posture's lean, thigh elevation, gravity-only moments (both legs about the mid-joints) and hip share, and their first
 * derivatives by every coordinate of every point.
 *
 * All displaced postures go as frames of one motion through the analysis's own body and mechanics: whatever rule places a
 * segment there is in the derivative. Lengths that the analysis takes as medians over the frames stay those of the posture.
 */
export function postureSensitivity(lifter: LoadedLifter, posture: Posture): PostureSensitivity {
  const { landmarks } = posture;
  const size = 3 * landmarks.length;
  const frames = 2 * size + 3;
  const position = new Float64Array(size * frames);
  for (let f = 0; f < frames; f++) position.set(posture.position, size * f);
  for (let i = 0; i < size; i++) {
    position[size * (2 * i + 1) + i] += STEP_M;
    position[size * (2 * i + 2) + i] -= STEP_M;
  }
  for (const [frame, sign] of [
    [frames - 2, 1],
    [frames - 1, -1],
  ]) {
    // Points leaning further forward: a turn about −Z.
    const turn = rotationFromVector([0, 0, (-sign * STEP_DEG * Math.PI) / 180]);
    for (let l = 0; l < landmarks.length; l++) {
      const at = size * frame + 3 * l;
      apply3Into(position, at, turn, position, at);
    }
  }
  const series = postureQuantityValues(posturesAsMotion(lifter, landmarks, position), lifter);
  const each = <T>(of: (values: Float64Array) => T) =>
    Object.fromEntries(POSTURE_QUANTITIES.map((name) => [name, of(series[name])])) as Record<PostureQuantity, T>;
  return {
    landmarks,
    values: each((values) => values[0]),
    byPoint: each((values) =>
      Float64Array.from({ length: size }, (_, i) => (values[2 * i + 1] - values[2 * i + 2]) / (2 * STEP_M)),
    ),
    perDegreeOfVertical: each((values) => (values[frames - 2] - values[frames - 1]) / (2 * STEP_DEG)),
  };
}

/** The quantities of every frame of a motion made of postures. */
export function postureQuantityValues(motion: BodyMotion, lifter: LoadedLifter): Record<PostureQuantity, Float64Array> {
  const { joints, frames } = motion;
  const { fromAbove } = jointLoads(motion, [], rotationAboutY(0));
  const unknown = new Float64Array(frames).fill(Number.NaN);
  const hip = fromAbove?.hip.gravity ?? unknown;
  const knee = fromAbove?.knee.gravity ?? unknown;
  const systemKg = lifter.massKg + motion.barMassKg;
  const elevation = (side: 'left' | 'right') => {
    const [from, to] = [joints[`${side}_hip`], joints[`${side}_knee`]];
    return from && to ? thighElevation(from, to) : unknown;
  };
  const left = elevation('left');
  const right = elevation('right');
  return {
    trunk_lean_deg:
      joints.mid_hip && joints.mid_shoulder ? sagittalInclination(joints.mid_hip, joints.mid_shoulder) : unknown,
    thigh_elevation_both_deg: left.map((value, f) => (value + right[f]) / 2),
    hip_moment_gravity_both_nm: hip,
    knee_moment_gravity_both_nm: knee,
    hip_share_gravity_both: hip.map((moment, f) => hipShare(moment, knee[f], systemKg)),
  };
}
