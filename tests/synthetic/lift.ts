import type { Landmark } from '../../src/capture/landmarks.ts';
import { type ParticleSet, particlePlaces, particleSet } from './bodies.ts';
import { type Course, depthAt, swayAt } from './course.ts';
import { balancedPosture, deepestShank, type Posture, type Setup, shankShare, standingAngles } from './posture.ts';
import { mirrored, type Vector } from './vector.ts';

/** A set of squats: every position is an exact function of time, in lab axes (X forward, Y up, Z right), metres. */
export interface VirtualLift {
  readonly setup: Setup;
  readonly course: Course;
  readonly particles: ParticleSet;
  postureAt(t: number): Posture;
}

export function virtualLift(setup: Setup, course: Course): VirtualLift {
  const { style } = setup;
  const standing = standingAngles(setup);
  const deepest = deepestShank(setup);
  const postureAt = (t: number): Posture => {
    const depth = depthAt(course, t);
    const shankDepth = depthAt(course, t, style.shankLeadS);
    return balancedPosture(
      setup,
      standing.shankRad + (deepest - standing.shankRad) * shankShare(style, shankDepth),
      standing.thighRad + (style.deepestThighRad - standing.thighRad) * depth,
      footPointAt(setup, depth) + swayAt(course, t),
    );
  };
  return { setup, course, particles: particleSet(postureAt(0).bodies), postureAt };
}

/** Foot point at a depth: moves from the standing to the deep point within about the first third of the way. */
export function footPointAt({ style }: Setup, depth: number): number {
  const share = (depth * depth) / (depth * depth + 0.02);
  return style.standingFootPoint + (style.deepFootPoint - style.standingFootPoint) * share;
}

/** Places of all particles, `3 * particle`. */
export const placesAt = (lift: VirtualLift, t: number): Float64Array => particlePlaces(lift.postureAt(t).bodies);

/** Positions of the body's landmarks: joint centres, and skin points of head and feet as they are. */
export function landmarksOf({ legs, upper }: Posture, equipment: Setup['equipment']): Map<Landmark, Vector> {
  const points = new Map<Landmark, Vector>();
  const pairs: readonly (readonly [string, Vector])[] = [
    ['eye', upper.eye],
    ['ear', upper.ear],
    ['shoulder', upper.shoulder],
    ['elbow', upper.elbow],
    ['wrist', upper.wrist],
    ['hip', legs.hip],
    ['knee', legs.knee],
    ['ankle', legs.ankle],
    ['big_toe', legs.bigToe],
    ['small_toe', legs.smallToe],
    ['heel', legs.heel],
    ['hand', upper.knuckle],
  ];
  points.set('nose', upper.nose);
  for (const [name, right] of pairs) {
    points.set(`left_${name}` as Landmark, mirrored(right));
    points.set(`right_${name}` as Landmark, right);
  }
  if (equipment.loadKg > 0) {
    const half = equipment.barLengthM / 2;
    points.set('bar_left_end', [upper.bar[0], upper.bar[1], -half]);
    points.set('bar_right_end', [upper.bar[0], upper.bar[1], half]);
  }
  points.set('head', upper.vertex);
  points.set('neck_base', upper.neckBase);
  points.set('mid_back', upper.midBack);
  return points;
}
