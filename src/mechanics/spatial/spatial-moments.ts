import type { MomentAxes } from '../../capture/recording.ts';
import { ARM_LOADED_JOINTS } from '../arm-loads.ts';
import type { Cut, Cuts } from '../cut-moments.ts';
import { type JointLoads, LOADED_JOINTS } from '../joint-loads.ts';
import { legJoints } from '../leg-sharing/leg-joints.ts';
import { momentAbout } from '../wrench.ts';
import { momentAxes, type SpatialJoint } from './moment-axes.ts';

/** Where the forces at a joint come from. */
export type MomentWay = 'above' | 'measured' | 'shared';

/** Components of a joint's internal moment. Their names and signs: `COMPONENT_NAMES`. */
export interface SpatialMoment {
  readonly joint: SpatialJoint;
  readonly side: 'left' | 'right' | 'both';
  readonly way: MomentWay;
  readonly axes: MomentAxes;
  /** N·m, one value a frame; NaN where not known. */
  readonly components: readonly [extension: Float64Array, sideways: Float64Array, turning: Float64Array];
  /** Why it is unknown where it is; '' where nothing general can be said. */
  readonly reason: string;
}

/** Positive: extension (ankle: plantarflexion); adduction (ankle: inversion) or bending to the right; turning inward or to the left. */
export const COMPONENT_NAMES: Readonly<Record<SpatialJoint, readonly [string, string, string]>> = {
  hip: ['extension', 'adduction', 'internal_rotation'],
  knee: ['extension', 'adduction', 'internal_rotation'],
  ankle: ['plantarflexion', 'inversion', 'internal_rotation'],
  lumbosacral: ['extension', 'right_bend', 'left_turn'],
  shoulder: ['extension', 'adduction', 'internal_rotation'],
  elbow: ['extension', 'adduction', 'internal_rotation'],
};

/**
 * Sense of flexion about the flexion axis (+Z, to the right) of the part that is moved: +1 where it turns forward (thigh, foot,
 * arm), −1 backward (shank) or where it is the trunk, which bends forward about −Z.
 */
const FLEXES: Readonly<Record<SpatialJoint, 1 | -1>> = {
  hip: 1,
  knee: -1,
  ankle: 1,
  lumbosacral: -1,
  shoulder: 1,
  elbow: 1,
};

/** Loads of the two legs by assumption, where no force plate measured them. */
export type SharedCuts = Readonly<Record<'left' | 'right', Cuts | null>>;

/**
 * Net moments at every joint in three dimensions, each as components along the axes asked for.
 *
 * The moment that muscles and ligaments give the part beyond the joint (thigh, shank, foot, arm; at L5/S1 the trunk), projected
 * onto the axes: with axes of the joint, component times rate of its angle is power. Left and right alike: what adducts or
 * turns inward is positive on both. Legs from measured ground forces where there are, about their own joint centres, else from
 * `shared`, about the centres that leg sharing takes (hip points over the trochanters drawn in); L5/S1, shoulders and elbows from above. Newton–Euler as in `jointLoads`.
 */
export function spatialMoments(
  loads: JointLoads,
  axes: MomentAxes,
  shared: SharedCuts | null,
): readonly SpatialMoment[] {
  const { motion, cuts, lumbosacral, arms } = loads;
  const out: SpatialMoment[] = [];
  // Hip points over the trochanters are drawn in to the centres, measured or shared: sideways moments hang on it.
  const { joints } = legJoints(motion);
  for (const side of ['left', 'right'] as const) {
    const measured = cuts[side];
    const legs = measured ?? shared?.[side] ?? null;
    if (!legs) continue;
    const way = measured ? 'measured' : 'shared';
    for (const joint of LOADED_JOINTS) {
      const point = joints[`${side}_${joint}`];
      // The cut holds what the lower part gives the upper; its opposite acts on the part beyond the joint.
      if (point) out.push(moment(joint, side, way, legs[joint], point, -1));
    }
  }
  if (lumbosacral) out.push(moment('lumbosacral', 'both', 'above', lumbosacral.cut, lumbosacral.point, 1));
  for (const joint of ARM_LOADED_JOINTS) {
    for (const { side, cut, reason } of arms.filter((arm) => arm.joint === joint)) {
      const point = motion.joints[`${side}_${joint}`];
      if (cut && point) out.push(moment(joint, side, 'above', cut, point, 1, reason));
    }
  }
  return out;

  function moment(
    joint: SpatialJoint,
    side: SpatialMoment['side'],
    way: MomentWay,
    { total }: Cut,
    point: Float64Array,
    sign: 1 | -1,
    why = '',
  ): SpatialMoment {
    const { axes: triple, reason } = momentAxes(motion, axes, joint, side);
    const about = momentAbout(total, point);
    const mirrored = side === 'left' ? -1 : 1;
    const signs = [-FLEXES[joint] * sign, mirrored * sign, mirrored * sign];
    const components = triple.map((axis, c) => along(about, axis, signs[c])) as unknown as SpatialMoment['components'];
    return { joint, side, way, axes, components, reason: reason || why };
  }
}

/** sign · M · axis, one value a frame. */
function along(moment: Float64Array, axis: Float64Array, sign: number): Float64Array {
  const out = new Float64Array(moment.length / 3);
  for (let f = 0, i = 0; f < out.length; f++, i += 3)
    out[f] = sign * (moment[i] * axis[i] + moment[i + 1] * axis[i + 1] + moment[i + 2] * axis[i + 2]);
  return out;
}
