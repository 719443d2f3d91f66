import { axesFrom } from '../../body/attitudes/axes.ts';
import { hipLine } from '../../body/attitudes/hip-line.ts';
import type { BodyMotion } from '../../body/body-motion.ts';
import { fivePointDifference } from '../../numerics/differences.ts';
import { bodiesOf, demandAdder, isAboveHips } from '../body-wrenches.ts';
import { type Cuts, jointPoint } from '../cut-moments.ts';
import { LOADED_JOINTS, type LoadedJoint } from '../loaded-joints.ts';
import { momentAbout } from '../wrench.ts';
import { addSeriesInto } from './add-series.ts';
import { powerTakenUp, spinOfInto, turnOfInto } from './body-rates.ts';
import { addEnergyInto } from './energy.ts';
import type { JointPowers } from './joint-powers.ts';

const SIDES = ['left', 'right'] as const;
type Side = (typeof SIDES)[number];

/**
 * Joint powers of one leg in three dimensions, watts: the moment about the joint's own centre times the angular velocity of
 * the upper against the lower segment (Winter 2009 ch. 6).
 *
 * The spin of segments about their long axes is not seen and has no part (that of solids is a convention); what it leaves out at
 * one end of a segment it leaves out with the other sign at the other end, so that the sum over the leg is whole.
 */
export function legPowers(motion: BodyMotion, cuts: Cuts, side: Side): JointPowers {
  const { frames } = motion;
  const turns = {
    hip: [trunkTurn(motion), turnOf(motion, `${side}_thigh`)],
    knee: [turnOf(motion, `${side}_thigh`), turnOf(motion, `${side}_shank`)],
    ankle: [turnOf(motion, `${side}_shank`), turnOf(motion, `${side}_foot`)],
  } as const;
  const joints = {} as Record<LoadedJoint, Float64Array>;
  for (const joint of LOADED_JOINTS) {
    const point = motion.joints[jointPoint(joint, side)];
    const [above, below] = turns[joint];
    const moment = point ? momentAbout(cuts[joint].total, point) : new Float64Array(3 * frames).fill(Number.NaN);
    const power = new Float64Array(frames);
    for (let f = 0, i = 0; f < frames; f++, i += 3)
      for (let k = i; k < i + 3; k++) power[f] += moment[k] * (above[k] - below[k]);
    joints[joint] = power;
  }
  return { joints };
}

/** The joints of both legs, one by one, and what else takes up power: all parts add up to `energyRate`. Watts. */
export interface LegPowerBalance {
  readonly left: JointPowers;
  readonly right: JointPowers;
  /** Arms, head and bar against the trunk, and a trunk that changes its length. */
  readonly upperBody: Float64Array;
  /** Limbs that change their length, and feet that move on the floor: nothing where neither happens. */
  readonly stretch: Float64Array;
  /** Rate of change of the mechanical energy of lifter and bar, from the energy itself. */
  readonly energyRate: Float64Array;
}

/** The power balance of a lift, leg by leg: Σ M · ω over all joints against the rate of change of kinetic and potential energy. */
export function legPowerBalance(motion: BodyMotion, cuts: Readonly<Record<Side, Cuts>>): LegPowerBalance {
  const { frames, frameRateHz } = motion;
  const powers = { left: legPowers(motion, cuts.left, 'left'), right: legPowers(motion, cuts.right, 'right') };
  const upperBody = new Float64Array(frames);
  const stretch = new Float64Array(frames);
  const energy = new Float64Array(frames);
  const addDemand = demandAdder(motion);
  for (const body of bodiesOf(motion)) {
    addSeriesInto(isAboveHips(body.name) ? upperBody : stretch, powerTakenUp(body, motion, addDemand), 1);
    addEnergyInto(energy, body, frameRateHz);
  }
  const trunk = trunkTurn(motion);
  for (const side of SIDES) {
    const through = throughHip(motion, cuts[side], side, trunk);
    addSeriesInto(upperBody, through, -1);
    addSeriesInto(stretch, through, 1);
    for (const joint of LOADED_JOINTS) addSeriesInto(stretch, powers[side].joints[joint], -1);
  }
  return { ...powers, upperBody, stretch, energyRate: fivePointDifference(energy, 1, 1 / frameRateHz) };
}

/** What passes up through a hip, as the trunk feels it: F · v + M · ω. */
function throughHip(motion: BodyMotion, cuts: Cuts, side: Side, trunk: Float64Array): Float64Array {
  const { frames, frameRateHz } = motion;
  const out = new Float64Array(frames).fill(Number.NaN);
  const point = motion.joints[`${side}_hip`];
  if (!point) return out;
  const { force } = cuts.hip.total;
  const moment = momentAbout(cuts.hip.total, point);
  const velocity = fivePointDifference(point, 3, 1 / frameRateHz);
  for (let f = 0, i = 0; f < frames; f++, i += 3) {
    out[f] = 0;
    for (let k = i; k < i + 3; k++) out[f] += force[k] * velocity[k] + moment[k] * trunk[k];
  }
  return out;
}

/** How the trunk turns: its line, and about it the line from hip to hip. */
function trunkTurn(motion: BodyMotion): Float64Array {
  const { frames, frameRateHz } = motion;
  const out = new Float64Array(3 * frames).fill(Number.NaN);
  const trunk = motion.segments.find(({ name }) => name === 'trunk');
  const across = hipLine(motion.joints);
  if (trunk && across) spinOfInto(out, axesFrom(1, trunk.axis, 2, across), 1 / frameRateHz);
  return out;
}

/** How a segment's long axis turns. The spin about it is left out of solids too: their frame about it is a convention, not measured. */
function turnOf(motion: BodyMotion, name: BodyMotion['segments'][number]['name']): Float64Array {
  const body = motion.segments.find((segment) => segment.name === name);
  const out = new Float64Array(3 * motion.frames).fill(Number.NaN);
  if (body) turnOfInto(out, body.axis, 1 / motion.frameRateHz);
  return out;
}
