import type { Landmark } from '../../src/capture/landmarks.ts';
import { type ParticleSet, particlePlaces, particleSet } from './bodies.ts';
import { landmarksOfSides } from './both-sides.ts';
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

/** Departures from the habit over time: of the depth (share), shank and thigh (radians), and the foot point (share of the foot). */
export interface Steering {
  depth?(t: number): number;
  shankRad?(t: number): number;
  thighRad?(t: number): number;
  footPoint?(t: number): number;
}

export function virtualLift(setup: Setup, course: Course, steering: Steering = {}): VirtualLift {
  const { style } = setup;
  const standing = standingAngles(setup);
  const deepest = deepestShank(setup);
  const postureAt = (t: number): Posture => {
    const deeper = steering.depth?.(t) ?? 0;
    const depth = depthAt(course, t) + deeper;
    const shankDepth = depthAt(course, t, style.shankLeadS) + deeper;
    return balancedPosture(
      setup,
      standing.shankRad + (deepest - standing.shankRad) * shankShare(style, shankDepth) + (steering.shankRad?.(t) ?? 0),
      standing.thighRad + (style.deepestThighRad - standing.thighRad) * depth + (steering.thighRad?.(t) ?? 0),
      footPointAt(setup, depth) + swayAt(course, t) + (steering.footPoint?.(t) ?? 0),
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

type RightPoint = (posture: Posture) => Vector;
const PAIRS: readonly (readonly [left: Landmark, right: Landmark, place: RightPoint])[] = (
  [
    ['eye', ({ upper }) => upper.eye],
    ['ear', ({ upper }) => upper.ear],
    ['shoulder', ({ upper }) => upper.shoulder],
    ['elbow', ({ upper }) => upper.elbow],
    ['wrist', ({ upper }) => upper.wrist],
    ['hip', ({ legs }) => legs.hip],
    ['knee', ({ legs }) => legs.knee],
    ['ankle', ({ legs }) => legs.ankle],
    ['big_toe', ({ legs }) => legs.bigToe],
    ['small_toe', ({ legs }) => legs.smallToe],
    ['heel', ({ legs }) => legs.heel],
    ['hand', ({ upper }) => upper.knuckle],
  ] as readonly (readonly [string, RightPoint])[]
).map(([name, place]) => [`left_${name}` as Landmark, `right_${name}` as Landmark, place]);

/** Positions of the body's landmarks: joint centres, and skin points of head and feet as they are. */
export function landmarksOf(posture: Posture, equipment: Setup['equipment']): Map<Landmark, Vector> {
  if (posture.sides) return landmarksOfSides(posture.sides, equipment.loadKg > 0);
  const { upper } = posture;
  const points = new Map<Landmark, Vector>();
  points.set('nose', upper.nose);
  for (const [leftName, rightName, place] of PAIRS) {
    const right = place(posture);
    points.set(leftName, mirrored(right));
    points.set(rightName, right);
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
