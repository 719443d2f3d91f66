import type { BodyMotion, SegmentMotion } from '../body/body-motion.ts';
import { secondDifferenceInto } from '../numerics/differences.ts';
import { addBodyInto, addRestingBodyInto, addSolidInto, secondMomentOf, type Wrench, zeroWrench } from './wrench.ts';

/** What a body, or a sum of bodies, needs from its surroundings: moving as it does, and frozen in the same posture. */
export interface Demand {
  readonly total: Wrench;
  readonly gravity: Wrench;
}

export type BodyName = SegmentMotion['name'];

export function zeroDemand(frames: number): Demand {
  return { total: zeroWrench(frames), gravity: zeroWrench(frames) };
}

/**
 * Returns the function that adds a body's demand to a sum of demands. Accelerations by the compact second difference; NaN in
 * the first and last frame. Its scratch is made once and serves every body.
 */
export function demandAdder({ frames, frameRateHz }: BodyMotion): (sum: Demand, body: SegmentMotion) => void {
  const acceleration = new Float64Array(3 * frames);
  const axisAcceleration = new Float64Array(3 * frames);
  let rotationAcceleration: Float64Array | null = null;
  return (sum, body) => {
    const { solid, massKg, centre } = body;
    secondDifferenceInto(acceleration, centre, 3, 1 / frameRateHz);
    if (solid) {
      rotationAcceleration ??= new Float64Array(9 * frames);
      secondDifferenceInto(rotationAcceleration, solid.labFromSegment, 9, 1 / frameRateHz);
      const secondMoment = secondMomentOf(solid.inertiaKgM2);
      addSolidInto(sum.total, massKg, secondMoment, centre, acceleration, solid.labFromSegment, rotationAcceleration);
    } else {
      if (body.transverseInertiaKgM2 !== 0) secondDifferenceInto(axisAcceleration, body.axis, 3, 1 / frameRateHz);
      addBodyInto(sum.total, body, acceleration, axisAcceleration);
    }
    addRestingBodyInto(sum.gravity, massKg, centre);
  };
}

/** All bodies: the segments and, where a load is carried, the barbell. */
export function bodiesOf(motion: BodyMotion): readonly SegmentMotion[] {
  return motion.barbell ? [...motion.segments, motion.barbell] : motion.segments;
}

/** True for a body above the hips. */
export function isAboveHips(name: BodyName): boolean {
  return !/_(thigh|shank|foot)$/.test(name);
}
