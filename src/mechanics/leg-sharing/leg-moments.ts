import { type Cuts, EXTENSOR_SIGN } from '../cut-moments.ts';
import { LOADED_JOINTS, type LoadedJoint } from '../joint-loads.ts';
import { momentAbout } from '../wrench.ts';
import type { LegJoints } from './leg-joints.ts';

/** Moments about the joint centres of one leg, by joint: that of the lower on the upper part, lab axes, `3 * frame`, N·m. */
export type LegMoments = Readonly<Record<LoadedJoint, Float64Array>>;

/** M − P × F of every cut of a leg, all three components; NaN where a joint centre or the force is not known. */
export function legMoments(joints: LegJoints, cuts: Cuts, side: 'left' | 'right'): LegMoments {
  const moments = {} as Record<LoadedJoint, Float64Array>;
  for (const joint of LOADED_JOINTS) {
    const { total } = cuts[joint];
    const point = joints[`${side}_${joint}`];
    moments[joint] = point ? momentAbout(total, point) : new Float64Array(total.moment.length).fill(Number.NaN);
  }
  return moments;
}

/** Moment about the lab's medio-lateral axis, extensor (ankle: plantarflexor) positive, N·m, one a frame. */
export function extensorOf(moments: LegMoments, joint: LoadedJoint): Float64Array {
  return component(moments[joint], 2, EXTENSOR_SIGN[joint]);
}

/**
 * Moment about the lab's forward axis, positive where the leg's own muscles and ligaments pull the part below outward
 * (abductor), N·m, one a frame: where the floor presses inward of a right leg's joint, r × F has +X there; mirrored on the left.
 */
export function abductorOf(moments: LegMoments, joint: LoadedJoint, side: 'left' | 'right'): Float64Array {
  return component(moments[joint], 0, side === 'right' ? 1 : -1);
}

function component(vector: Float64Array, axis: number, sign: 1 | -1): Float64Array {
  const out = new Float64Array(vector.length / 3);
  for (let frame = 0; frame < out.length; frame++) out[frame] = sign * vector[3 * frame + axis];
  return out;
}
