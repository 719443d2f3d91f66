import { centreOfMass, legBodies, particleSet, upperBodies } from './bodies.ts';
import { type Course, depthAt } from './course.ts';
import type { VirtualLift } from './lift.ts';
import {
  balancedPosture,
  deepestShank,
  type Legs,
  type Posture,
  placeLegs,
  placeUpper,
  type Setup,
  shankShare,
  standingAngles,
  type Upper,
} from './posture.ts';
import { add, inLeaning, type Vector } from './vector.ts';

/** Taken out of the global object once: where globals are intercepted, each look-up costs more than the arithmetic. */
const { abs } = Math;

/**
 * Lifters for whom something other than in `lift.ts` is given, and something else is solved.
 *
 * There the foot point is given and the lean solved. Here: the lean given and the foot point a result; or the bar on the
 * upper back and the lean solved.
 */

/** Where the centre of mass of lifter and bar stands along the foot, 0 heel, 1 toe. */
export function footPointOf({ legs, bodies }: Posture): number {
  return (centreOfMass(bodies)[0] - legs.heel[0]) / (legs.bigToe[0] - legs.heel[0]);
}

/** Lean of the trunk against depth, 0 standing, 1 deepest, radians. */
export type LeanHabit = (depth: number) => number;

/** The lean that keeps this lifter in balance over the standing foot point, however deep, as a habit to be kept. */
export function balancedLean(setup: Setup): LeanHabit {
  const { style } = setup;
  const standing = standingAngles(setup);
  const deepest = deepestShank(setup);
  return (depth) => {
    const shank = standing.shankRad + (deepest - standing.shankRad) * shankShare(style, depth);
    const thigh = standing.thighRad + (style.deepestThighRad - standing.thighRad) * depth;
    return balancedPosture(setup, shank, thigh, style.standingFootPoint).leanRad;
  };
}

/**
 * A lift in which the trunk leans by habit, as a front rack makes it. Where the centre of mass then stands over the foot is
 * no input: it follows from where legs, trunk and bar are.
 */
export function leanHeldLift(setup: Setup, course: Course, habit: LeanHabit): VirtualLift {
  return liftBy(setup, course, (legs, depth) => {
    const leanRad = habit(depth);
    return postureOf(setup, legs, placeUpper(setup, legs.midHip, leanRad), leanRad);
  });
}

/** The lift of the same lifter with the bar on the upper back, in balance over the foot point of standing throughout. */
export function backBarLift(setup: Setup, course: Course): VirtualLift {
  const target = setup.style.standingFootPoint;
  return liftBy(setup, course, (legs) => {
    const at = (leanRad: number) =>
      postureOf(setup, legs, withBarOnBack(setup, placeUpper(setup, legs.midHip, leanRad)), leanRad);
    const offset = (posture: Posture) => footPointOf(posture) - target;
    let [previous, posture] = [at(0.2), at(0.45)];
    // Secant, down to rounding, as in posture.ts.
    for (let iteration = 0; iteration < 40; iteration++) {
      const [before, here] = [offset(previous), offset(posture)];
      const step = (here * (posture.leanRad - previous.leanRad)) / (here - before);
      if (!Number.isFinite(step)) break;
      previous = posture;
      posture = at(posture.leanRad - step);
      if (abs(step) < 1e-11) break;
    }
    return posture;
  });
}

/** Leg angles over time as `virtualLift` has them; the rest of the posture as `posed` says. */
function liftBy(setup: Setup, course: Course, posed: (legs: Legs, depth: number) => Posture): VirtualLift {
  const { style } = setup;
  const standing = standingAngles(setup);
  const deepest = deepestShank(setup);
  const postureAt = (t: number): Posture => {
    const depth = depthAt(course, t);
    const share = shankShare(style, depthAt(course, t, style.shankLeadS));
    const shank = standing.shankRad + (deepest - standing.shankRad) * share;
    const thigh = standing.thighRad + (style.deepestThighRad - standing.thighRad) * depth;
    return posed(placeLegs(setup, shank, thigh), depth);
  };
  return { setup, course, particles: particleSet(postureAt(0).bodies), postureAt };
}

const postureOf = (setup: Setup, legs: Legs, upper: Upper, leanRad: number): Posture => ({
  legs,
  upper,
  leanRad,
  bodies: [...upperBodies(setup, upper), ...legBodies(setup, legs)],
});

/**
 * Bar across the top of the shoulder blades, hands on it, elbows below and behind it. Places are invented: 5.5 cm behind
 * and 2 cm above the middle of the shoulders.
 */
function withBarOnBack(setup: Setup, upper: Upper): Upper {
  const { upperArm, forearm, hand } = setup.lifter.lengths;
  const thorax = upper.pieceLeanRad[2];
  const along = (from: Vector, length: number, forward: number, up: number, outward: number): Vector => {
    const size = Math.hypot(forward, up, outward);
    return add(from, inLeaning(thorax, (length * forward) / size, (length * up) / size, (length * outward) / size));
  };
  const elbow = along(upper.shoulder, upperArm, -0.35, -0.8, 0.5);
  const wrist = along(elbow, forearm, 0.1, 0.9, 0.3);
  return {
    ...upper,
    bar: add(upper.midShoulder, inLeaning(thorax, -0.055, 0.02)),
    elbow,
    wrist,
    knuckle: along(wrist, hand, 0.1, 0.9, 0.3),
  };
}
