import type { BodyMotion } from '../../body/body-motion.ts';
import { fivePointDifference } from '../../numerics/differences.ts';
import { bodiesOf, demandAdder, isAboveHips } from '../body-wrenches.ts';
import { type Cuts, jointPoint } from '../cut-moments.ts';
import { LOADED_JOINTS, type LoadedJoint } from '../loaded-joints.ts';
import { momentAboutZ } from '../wrench.ts';
import { addSeriesInto } from './add-series.ts';
import { powerTakenUp, turnSeenFromTheSide } from './body-rates.ts';
import { addEnergyInto } from './energy.ts';

/** Watts, one value a frame; positive where muscles add energy (they shorten under load), negative where they take it up. */
export interface JointPowers {
  readonly joints: Readonly<Record<LoadedJoint, Float64Array>>;
}

/**
 * Where the power of a lift comes from and goes, both legs together: hips + knees + ankles + `rest.upperBody` +
 * `rest.besideThePlane` = `rest.energyRate`.
 */
export interface PowerBudget extends JointPowers {
  /** Power that the lifter gives the bar, F · v; null without a bar. */
  readonly bar: Float64Array | null;
  /** What else takes up power, made when it is first asked for: draws never ask. */
  readonly rest: PowerRest;
}

export interface PowerRest {
  /** Rate of change of the mechanical energy of lifter and bar, from the energy itself. */
  readonly energyRate: Float64Array;
  /** Within the upper body: arms, head and bar against the trunk, and a trunk that changes its length. */
  readonly upperBody: Float64Array;
  /** Work out of the lab's sagittal plane (turned-out thighs), legs that do not move alike, feet that move on the floor. */
  readonly besideThePlane: Float64Array;
}

type Segment = 'trunk' | 'thigh' | 'shank' | 'foot';
const BETWEEN: Readonly<Record<LoadedJoint, readonly [above: Segment, below: Segment]>> = {
  hip: ['trunk', 'thigh'],
  knee: ['thigh', 'shank'],
  ankle: ['shank', 'foot'],
};

/**
 * Joint powers of both legs at once and the budget they are part of.
 *
 * P = M_z (ω_above − ω_below), M_z the moment of the lower on the upper part about lab Z through the mid-joint, ω how fast
 * the segments turn as seen from the side, of thighs, shanks and feet the mean of left and right. Winter (2009) ch. 6: power of a net
 * moment is moment times angular velocity of the joint. What each part of the body takes up, F · v + Ḣ · ω, is summed over its
 * bodies; what passes a cut is F · v_mid + M_z ω_z of the segment.
 */
export function powerBudget(motion: BodyMotion, cuts: Cuts): PowerBudget {
  const turns = turnsSeen(motion);
  const joints = powersAt(motion, cuts, turns);
  const { barbell } = motion;
  const bar = barbell && powerTakenUp(barbell, motion, demandAdder(motion));
  let rest: PowerRest | null = null;
  return {
    joints,
    bar,
    get rest() {
      rest ??= powerRest(motion, cuts, joints, turns.trunk);
      return rest;
    },
  };
}

/** The joint powers of both legs at once of any cuts, such as those from measured ground forces. */
export function midJointPowers(motion: BodyMotion, cuts: Cuts): JointPowers {
  return { joints: powersAt(motion, cuts, turnsSeen(motion)) };
}

type Turns = Readonly<Record<Segment, Float64Array>>;

/** How fast the segments turn as seen from the side, rad/s, of thighs, shanks and feet the mean of left and right; NaN without one. */
function turnsSeen({ segments, frames, frameRateHz }: BodyMotion): Turns {
  const bodies = new Map(segments.map((body) => [body.name, body]));
  const turn = (segment: Segment): Float64Array => {
    const names = segment === 'trunk' ? (['trunk'] as const) : ([`left_${segment}`, `right_${segment}`] as const);
    const out = new Float64Array(frames);
    for (const name of names) {
      const seen = turnSeenFromTheSide(bodies.get(name)?.axis, frames, frameRateHz);
      for (let f = 0; f < frames; f++) out[f] += seen[f] / names.length;
    }
    return out;
  };
  return { trunk: turn('trunk'), thigh: turn('thigh'), shank: turn('shank'), foot: turn('foot') };
}

function powersAt(motion: BodyMotion, cuts: Cuts, turns: Turns): JointPowers['joints'] {
  const { frames } = motion;
  const joints = {} as Record<LoadedJoint, Float64Array>;
  for (const joint of LOADED_JOINTS) {
    const point = motion.joints[jointPoint(joint, null)];
    const power = new Float64Array(frames).fill(Number.NaN);
    joints[joint] = power;
    if (!point) continue;
    const [above, below] = BETWEEN[joint];
    const moment = momentAboutZ(cuts[joint].total, point);
    for (let f = 0; f < frames; f++) power[f] = moment[f] * (turns[above][f] - turns[below][f]);
  }
  return joints;
}

/** trunkTurn: rad/s about lab Z, one a frame. */
function powerRest(
  motion: BodyMotion,
  cuts: Cuts,
  joints: Readonly<Record<LoadedJoint, Float64Array>>,
  trunkTurn: Float64Array,
): PowerRest {
  const { frames, frameRateHz } = motion;
  // What passes up through the hips, as the trunk feels it: no part of what is left within the upper body and within the legs.
  const throughHips = new Float64Array(frames).fill(Number.NaN);
  const midHip = motion.joints.mid_hip;
  if (midHip) {
    const { force } = cuts.hip.total;
    const moment = momentAboutZ(cuts.hip.total, midHip);
    const velocity = fivePointDifference(midHip, 3, 1 / frameRateHz);
    for (let f = 0, i = 0; f < frames; f++, i += 3) {
      const byForce = force[i] * velocity[i] + force[i + 1] * velocity[i + 1] + force[i + 2] * velocity[i + 2];
      throughHips[f] = byForce + moment[f] * trunkTurn[f];
    }
  }
  const upperBody = new Float64Array(frames);
  const besideThePlane = new Float64Array(frames);
  const energy = new Float64Array(frames);
  const addDemand = demandAdder(motion);
  for (const body of bodiesOf(motion)) {
    const taken = powerTakenUp(body, motion, addDemand);
    addSeriesInto(isAboveHips(body.name) ? upperBody : besideThePlane, taken, 1);
    addEnergyInto(energy, body, frameRateHz);
  }
  addSeriesInto(upperBody, throughHips, -1);
  addSeriesInto(besideThePlane, throughHips, 1);
  for (const joint of LOADED_JOINTS) addSeriesInto(besideThePlane, joints[joint], -1);
  return { energyRate: fivePointDifference(energy, 1, 1 / frameRateHz), upperBody, besideThePlane };
}
