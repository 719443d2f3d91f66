import type { BodyMotion, JointName } from '../body/body-motion.ts';
import { type BodyName, bodiesOf, type Demand, demandAdder, isAboveHips, zeroDemand } from './body-wrenches.ts';
import { LOADED_JOINTS, type LoadedJoint, type MomentSeries } from './loaded-joints.ts';
import { addWrenchInto, copyWrench, momentAboutZ, type Wrench, zeroWrench } from './wrench.ts';

export type JointMoments = Readonly<Record<LoadedJoint, MomentSeries>>;

/** What the part below a cut gives the part above it, and the share of it that a frozen lifter would need; null = not known. */
export interface Cut {
  readonly total: Wrench;
  readonly gravity: Wrench | null;
}

export type Cuts = Readonly<Record<LoadedJoint, Cut>>;

/**
 * Sign that makes the moment about +Z, exerted by the part below the joint on the part above it, positive for extension:
 * a hip moment about +Z turns the trunk from forward to upright; a knee moment about −Z turns the thigh forward over the
 * shank; an ankle moment about +Z turns the shank back (plantarflexion).
 */
export const EXTENSOR_SIGN: Readonly<Record<LoadedJoint, 1 | -1>> = { hip: 1, knee: -1, ankle: 1 };

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
export function momentsFromAbove(motion: BodyMotion): {
  readonly moments: JointMoments;
  readonly cuts: Cuts;
  readonly ground: Demand;
} {
  const above = zeroDemand(motion.frames);
  const addDemand = demandAdder(motion);
  const bodies = bodiesOf(motion);
  const add = (isWanted: (name: BodyName) => boolean) => {
    for (const body of bodies) if (isWanted(body.name)) addDemand(above, body);
  };
  const cuts = {} as Record<LoadedJoint, Cut>;
  add(isAboveHips);
  for (const joint of LOADED_JOINTS) {
    const segment = SEGMENT_ABOVE[joint];
    if (segment) add((name) => name.endsWith(segment));
    cuts[joint] = { total: copyWrench(above.total), gravity: copyWrench(above.gravity) };
  }
  add((name) => name.endsWith('foot'));
  return { moments: momentsOf(motion, cuts, null), cuts, ground: above };
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
 * Cuts from the ground reaction up: foot, shank, thigh, from the far end to the near one. What the floor gives and the
 * bodies below the cut do not use reaches the part above: F = F_ground − Σ m(a − g).
 *
 * `side` null: both legs at once. The gravity part is not known from below: the ground's force holds the upper body's
 * inertia, which cannot be told from its weight without knowing where its mass is.
 */
export function cutsFromBelow(
  motion: BodyMotion,
  demands: LegDemands,
  ground: Wrench,
  side: 'left' | 'right' | null,
): Cuts {
  const reaching = zeroWrench(motion.frames);
  addWrenchInto(reaching, ground);
  const cuts = {} as Record<LoadedJoint, Cut>;
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
    cuts[joint] = { total: copyWrench(reaching), gravity: null };
  }
  return cuts;
}

/** The same as moments: of one leg about its own joint centres, of both (`side` null) about the mid-joints. */
export function momentsFromBelow(
  motion: BodyMotion,
  demands: LegDemands,
  ground: Wrench,
  side: 'left' | 'right' | null,
): JointMoments {
  return momentsOf(motion, cutsFromBelow(motion, demands, ground, side), side);
}

/** Extensor moments about lab Z at the joints of one leg, or (null) at the mid-joints. */
export function momentsOf(motion: BodyMotion, cuts: Cuts, side: 'left' | 'right' | null): JointMoments {
  const moments = {} as Record<LoadedJoint, MomentSeries>;
  for (const joint of LOADED_JOINTS) {
    moments[joint] = extensorMoment(
      cuts[joint],
      motion.joints[jointPoint(joint, side)],
      EXTENSOR_SIGN[joint],
      motion.frames,
    );
  }
  return moments;
}

/** The point a cut's moment is taken about. */
export function jointPoint(joint: LoadedJoint, side: 'left' | 'right' | null): JointName | `mid_${LoadedJoint}` {
  return side ? `${side}_${joint}` : `mid_${joint}`;
}

/** Moment of a cut about `sign` times lab Z through a moving point, with its gravity and inertial parts; NaN without a point. */
export function extensorMoment(
  { total, gravity }: Cut,
  point: Float64Array | undefined,
  sign: 1 | -1,
  frames: number,
): MomentSeries {
  const unknown = () => new Float64Array(frames).fill(Number.NaN);
  if (!point) return { total: unknown(), gravity: unknown(), inertial: unknown() };
  const whole = momentAboutZ(total, point, sign);
  if (!gravity) return { total: whole, gravity: unknown(), inertial: unknown() };
  const still = momentAboutZ(gravity, point, sign);
  const inertial = new Float64Array(frames);
  for (let frame = 0; frame < frames; frame++) inertial[frame] = whole[frame] - still[frame];
  return { total: whole, gravity: still, inertial };
}
