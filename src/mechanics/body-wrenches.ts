import type { BodyMotion, SegmentMotion } from '../body/body-motion.ts';
import { secondDifferenceInto } from '../numerics/differences.ts';
import { addBodyInto, addRestingBodyInto, type Wrench, zeroWrench } from './wrench.ts';

/** What a body, or a sum of bodies, needs from its surroundings: moving as it does, and frozen in the same posture. */
export interface Demand {
  readonly total: Wrench;
  readonly gravity: Wrench;
}

export type BodyName = SegmentMotion['name'];

/** The demand of every segment and of the barbell, by name. Accelerations by the compact second difference; NaN in the first and last frame. */
export function bodyWrenches(motion: BodyMotion): ReadonlyMap<BodyName, Demand> {
  const { frames, frameRateHz } = motion;
  const acceleration = new Float64Array(3 * frames);
  const axisAcceleration = new Float64Array(3 * frames);
  const found = new Map<BodyName, Demand>();
  for (const body of bodiesOf(motion)) {
    const demand = { total: zeroWrench(frames), gravity: zeroWrench(frames) };
    secondDifferenceInto(acceleration, body.centre, 3, 1 / frameRateHz);
    if (body.transverseInertiaKgM2 !== 0) secondDifferenceInto(axisAcceleration, body.axis, 3, 1 / frameRateHz);
    addBodyInto(demand.total, body, acceleration, axisAcceleration);
    addRestingBodyInto(demand.gravity, body.massKg, body.centre);
    found.set(body.name, demand);
  }
  return found;
}

/** All bodies: the segments and, where a load is carried, the barbell. */
export function bodiesOf(motion: BodyMotion): readonly SegmentMotion[] {
  return motion.barbell ? [...motion.segments, motion.barbell] : motion.segments;
}

/** True for a body above the hips. */
export function isAboveHips(name: BodyName): boolean {
  return !/_(thigh|shank|foot)$/.test(name);
}
