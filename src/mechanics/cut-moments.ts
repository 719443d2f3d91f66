import type { BodyMotion, JointName } from '../body/body-motion.ts';
import { type BodyName, bodiesOf, type Demand, demandAdder, isAboveHips, zeroDemand } from './body-wrenches.ts';
import { LOADED_JOINTS, type LoadedJoint, type MomentSeries } from './joint-loads.ts';
import { addWrenchInto, momentAboutZ, type Wrench, zeroWrench } from './wrench.ts';

export type JointMoments = Readonly<Record<LoadedJoint, MomentSeries>>;

/**
 * Sign that makes the moment about +Z, exerted by the part below the joint on the part above it, positive for extension:
 * a hip moment about +Z turns the trunk from forward to upright; a knee moment about −Z turns the thigh forward over the
 * shank; an ankle moment about +Z turns the shank back (plantarflexion).
 */
const EXTENSOR_SIGN: Readonly<Record<LoadedJoint, 1 | -1>> = { hip: 1, knee: -1, ankle: 1 };

/** The segment that joins the part above the cut when it moves down to this joint. */
const SEGMENT_ABOVE: Readonly<Record<LoadedJoint, 'thigh' | 'shank' | null>> = {
  hip: null,
  knee: 'thigh',
  ankle: 'shank',
};

/**
 * Moments summed from the bar down, both legs cut at once about the mid-joint, and the whole body's demand on the ground.
 *
 * At each cut the lower part gives the upper part the sum of its bodies' demands: F = Σ m(a − g), M_P = Σ (r − P) × F + Ḣ.
 */
export function momentsFromAbove(motion: BodyMotion): { readonly moments: JointMoments; readonly ground: Demand } {
  const above = zeroDemand(motion.frames);
  const addDemand = demandAdder(motion);
  const bodies = bodiesOf(motion);
  const add = (isWanted: (name: BodyName) => boolean) => {
    for (const body of bodies) if (isWanted(body.name)) addDemand(above, body);
  };
  const moments = {} as Record<LoadedJoint, MomentSeries>;
  add(isAboveHips);
  for (const joint of LOADED_JOINTS) {
    const segment = SEGMENT_ABOVE[joint];
    if (segment) add((name) => name.endsWith(segment));
    moments[joint] = extensorMoment(motion, joint, `mid_${joint}`, above.total, above.gravity);
  }
  add((name) => name.endsWith('foot'));
  return { moments, ground: above };
}

/** The demands of thighs, shanks and feet, by name. */
export type LegDemands = ReadonlyMap<BodyName, Demand>;

export function legDemands(motion: BodyMotion): LegDemands {
  const addDemand = demandAdder(motion);
  const demands = new Map<BodyName, Demand>();
  for (const body of motion.segments) {
    if (isAboveHips(body.name)) continue;
    const demand = zeroDemand(motion.frames);
    addDemand(demand, body);
    demands.set(body.name, demand);
  }
  return demands;
}

/**
 * Moments from the measured ground reaction up: foot, shank, thigh, from the far end to the near one. What the floor gives
 * and the bodies below the cut do not use reaches the part above: F = F_ground − Σ m(a − g).
 *
 * `side` null: both legs at once about the mid-joint. The gravity part is not known from below (NaN): the measured force
 * holds the upper body's inertia, which cannot be told from its weight without knowing where its mass is.
 */
export function momentsFromBelow(
  motion: BodyMotion,
  demands: LegDemands,
  ground: Wrench,
  side: 'left' | 'right' | null,
): JointMoments {
  const reaching = zeroWrench(motion.frames);
  addWrenchInto(reaching, ground);
  const moments = {} as Record<LoadedJoint, MomentSeries>;
  for (const [joint, segment] of [
    ['ankle', 'foot'],
    ['knee', 'shank'],
    ['hip', 'thigh'],
  ] as const) {
    for (const leg of side ? [side] : (['left', 'right'] as const)) {
      const demand = demands.get(`${leg}_${segment}`);
      if (!demand) throw new RangeError(`body motion without a ${leg} ${segment}`);
      addWrenchInto(reaching, demand.total, -1);
    }
    moments[joint] = extensorMoment(motion, joint, side ? `${side}_${joint}` : `mid_${joint}`, reaching, null);
  }
  return moments;
}

function extensorMoment(
  motion: BodyMotion,
  joint: LoadedJoint,
  centre: JointName | `mid_${LoadedJoint}`,
  total: Wrench,
  gravity: Wrench | null,
): MomentSeries {
  const unknown = () => new Float64Array(motion.frames).fill(Number.NaN);
  const point = motion.joints[centre];
  if (!point) return { total: unknown(), gravity: unknown(), inertial: unknown() };
  const sign = EXTENSOR_SIGN[joint];
  const whole = momentAboutZ(total, point, sign);
  if (!gravity) return { total: whole, gravity: unknown(), inertial: unknown() };
  const still = momentAboutZ(gravity, point, sign);
  const inertial = new Float64Array(motion.frames);
  for (let frame = 0; frame < inertial.length; frame++) inertial[frame] = whole[frame] - still[frame];
  return { total: whole, gravity: still, inertial };
}
