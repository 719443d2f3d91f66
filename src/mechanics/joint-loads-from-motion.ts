import type { BodyMotion, SegmentMotion } from '../body/body-motion.ts';
import type { Landmark } from '../capture/landmarks.ts';
import type { ForcePlateTrack } from '../capture/recording.ts';
import { forcePlateNotes } from '../messages/force-plates.ts';
import { GRAVITY_M_PER_S2 } from '../numerics/constants.ts';
import { median } from '../numerics/statistics.ts';
import { markEdgesInto } from '../reconstruction/edge-frames.ts';
import { armLoads } from './arm-loads.ts';
import { type Cuts, cutsFromBelow, legDemands, momentsFromAbove, momentsOf } from './cut-moments.ts';
import { forceMismatch } from './force-mismatch.ts';
import { checkForcePlateSides } from './force-plate-sides.ts';
import { soleHeight } from './force-plates/sole-height.ts';
import { type GroundReaction, groundReaction } from './ground-wrench.ts';
import type { JointLoads } from './joint-loads.ts';
import { lumbosacralLoad } from './lumbosacral.ts';
import { powerBalanceQuality } from './power/balance-quality.ts';
import { midJointPowers, powerBudget } from './power/joint-powers.ts';
import { legPowers } from './power/leg-powers.ts';
import { centreOfPressure, type Wrench } from './wrench.ts';

/** Share of the lifter's weight below which a vertical force has no centre of pressure; common practice, no source. */
export const LEAST_PRESSED_SHARE = 0.05;

/**
 * Net joint moments of a lift, with the ground reaction they belong to.
 *
 * Internal moments, N·m, extensor (ankle: plantarflexor) positive, about the medio-lateral axis (+Z) of the lab frame.
 * Newton–Euler after Winter (2009) ch. 5, on three-dimensional points; from above as in ch. 7 for a chain that ends free.
 * Differs from Winter: both legs are cut at once, about the point midway between the two joints, because without force
 * plates nothing else is determined (docs/method/mechanics.md).
 *
 * turn: labFromWorld that the reconstruction applied to the points, row-major 3 × 3, applied here to the force plates.
 * Throws 'force-without-centre', 'force-plate-apart', 'force-plate-too-slow', 'force-plates-exchanged'.
 */
export function jointLoads(
  motion: BodyMotion,
  forcePlates: readonly ForcePlateTrack[],
  turn: Float64Array,
): JointLoads {
  const floorM = motion.trajectories.floorHeightM;
  const leastVerticalN = LEAST_PRESSED_SHARE * motion.bodyMassKg * GRAVITY_M_PER_S2;
  const above = motion.upperBodyKnown ? momentsFromAbove(motion) : null;
  const predicted = above?.ground.total ?? null;
  const sole = soleHeight(forcePlates);
  const pressedM = sole ? sole.surfaceM + sole.thicknessM : floorM;
  const predictedCentre = predicted && centreOfPressure(predicted, pressedM, leastVerticalN);

  const cutoffHz = forceCutoffHz(motion);
  const ground = forcePlates.length > 0 ? groundReaction(forcePlates, turn, motion, cutoffHz) : null;
  if (ground) checkForcePlateSides(ground, forcePlates, motion, leastVerticalN);
  const demands = ground && legDemands(motion);
  const cutsOf = (side: 'left' | 'right' | null, wrench: Wrench | null | undefined): Cuts | null =>
    wrench && demands ? cutsFromBelow(motion, demands, wrench, side) : null;
  const measuredCuts = {
    both: cutsOf(null, ground?.both),
    left: cutsOf('left', ground?.left),
    right: cutsOf('right', ground?.right),
  };
  const momentsAt = (side: 'left' | 'right' | null, cuts: Cuts | null) => cuts && momentsOf(motion, cuts, side);
  const fromBelow = ground && {
    both: momentsAt(null, measuredCuts.both),
    left: momentsAt('left', measuredCuts.left),
    right: momentsAt('right', measuredCuts.right),
  };
  const measured = ground?.both ?? null;
  const measuredCentre = measured && centreOfPressure(measured, pressedM, leastVerticalN);

  const centres = above && centresOfMass(motion);
  const edge = filterEdges(motion, ground);
  const mismatch =
    above && predicted && predictedCentre && measured && measuredCentre && fromBelow?.both
      ? forceMismatch(
          { force: predicted.force, centreOfPressure: predictedCentre, moments: above.moments },
          { force: measured.force, centreOfPressure: measuredCentre, moments: fromBelow.both },
          edge,
          motion.bodyMassKg,
        )
      : null;
  const budget = above && powerBudget(motion, above.cuts);
  const primary = above ? 'above' : fromBelow?.both ? 'below' : 'none';
  return {
    frameRateHz: motion.frameRateHz,
    frames: motion.frames,
    startS: motion.startS,
    motion,
    primary,
    fromAbove: above?.moments ?? null,
    fromBelow,
    cuts: { above: above?.cuts ?? null, left: measuredCuts.left, right: measuredCuts.right },
    lumbosacral: above && lumbosacralLoad(motion, above.cuts.hip),
    arms: above ? armLoads(motion) : [],
    powers: {
      both: budget,
      bothFromBelow: measuredCuts.both && midJointPowers(motion, measuredCuts.both),
      left: measuredCuts.left && legPowers(motion, measuredCuts.left, 'left'),
      right: measuredCuts.right && legPowers(motion, measuredCuts.right, 'right'),
    },
    centreOfMass: centres?.system ?? null,
    bodyCentreOfMass: centres?.body ?? null,
    groundForce: predicted?.force ?? null,
    centreOfPressure: predictedCentre,
    measuredForce: measured?.force ?? null,
    measuredCentreOfPressure: measuredCentre,
    quality: {
      // Asked for once a recording, never by draws.
      get powerBalance() {
        return budget && powerBalanceQuality(budget, edge);
      },
      mismatch,
      meanVerticalShare: predicted && meanVerticalShare(predicted.force, motion, edge),
      notes: notesOf(motion, forcePlates, ground, cutoffHz, primary, measured),
    },
  };
}

/** Mass-weighted means of the centres, of the lifter and of lifter and bar, `3 * frame`, metres; NaN where a body is not placed. */
function centresOfMass({ segments, barbell, frames }: BodyMotion): {
  readonly body: Float64Array;
  readonly system: Float64Array;
} {
  const sum = new Float64Array(3 * frames);
  let massKg = 0;
  const add = ({ massKg: ownKg, centre }: SegmentMotion) => {
    massKg += ownKg;
    for (let i = 0; i < sum.length; i++) sum[i] += ownKg * centre[i];
  };
  const mean = () => {
    const out = new Float64Array(sum.length);
    for (let i = 0; i < out.length; i++) out[i] = sum[i] / massKg;
    return out;
  };
  for (const segment of segments) add(segment);
  const body = mean();
  if (!barbell) return { body, system: body };
  add(barbell);
  return { body, system: mean() };
}

/** The trunk's cut-off: forces follow the trunk, which holds most of the mass. NaN where the points were not filtered. */
export function forceCutoffHz(motion: BodyMotion): number {
  return medianCutoffHz(motion, ['left_shoulder', 'right_shoulder', 'left_hip', 'right_hip']);
}

/** The legs' cut-off where it is another than the force's; null where it is the same. */
function legsCutoffHz(motion: BodyMotion, forceHz: number): number | null {
  const legsHz = medianCutoffHz(motion, ['left_knee', 'right_knee', 'left_ankle', 'right_ankle']);
  return Number.isFinite(legsHz) && Math.abs(legsHz - forceHz) > 0.005 ? legsHz : null;
}

function medianCutoffHz({ trajectories: { landmarks, cutoffHz } }: BodyMotion, names: readonly Landmark[]): number {
  const known = names.map((name) => cutoffHz[landmarks.indexOf(name)] ?? Number.NaN).filter(Number.isFinite);
  return known.length > 0 ? median(known) : Number.NaN;
}

/** 1 where a joint, or a force plate, is within its filter's memory of an end; one a frame. */
function filterEdges(motion: BodyMotion, ground: GroundReaction | null): Uint8Array {
  const edge = ground ? Uint8Array.from(ground.edge) : new Uint8Array(motion.frames);
  markEdgesInto(edge, motion.trajectories);
  return edge;
}

/** Mean vertical force over the weight of lifter and bar; a lifter who begins and ends at rest averages 1. */
function meanVerticalShare(force: Float64Array, motion: BodyMotion, edge: Uint8Array): number | null {
  let sum = 0;
  let count = 0;
  for (let frame = 0; frame < edge.length; frame++) {
    if (edge[frame] || !Number.isFinite(force[3 * frame + 1])) continue;
    sum += force[3 * frame + 1];
    count++;
  }
  return count > 0 ? sum / count / ((motion.bodyMassKg + motion.barMassKg) * GRAVITY_M_PER_S2) : null;
}

/** Share of the weight that measured forces must carry on average; below it the feet were not wholly on the force plates. Common practice, no source. */
const LEAST_CARRIED_SHARE = 0.9;

function notesOf(
  motion: BodyMotion,
  forcePlates: readonly ForcePlateTrack[],
  ground: GroundReaction | null,
  cutoffHz: number,
  primary: JointLoads['primary'],
  measured: Wrench | null,
): readonly string[] {
  const notes: string[] = [];
  if (primary === 'above')
    notes.push(
      'Moments of both legs together are summed from the bar and upper body down, about the point midway between left and right joint.',
    );
  if (primary === 'below')
    notes.push(
      'The upper body is not known: moments are summed from the measured ground force up; their gravity part is not known.',
    );
  if (primary === 'none')
    notes.push(
      !ground
        ? 'No moments: hips or shoulders are missing, and there are no force plates.'
        : 'No moments of both legs: hips or shoulders are missing, and only one foot is on a force plate.',
    );
  if (!ground) return notes;
  notes.push(
    Number.isFinite(cutoffHz)
      ? forcePlateNotes.matched(cutoffHz, legsCutoffHz(motion, cutoffHz))
      : 'Force plates: resampled to the frames without a filter, as the points.',
  );
  if (forcePlates.some((forcePlate) => !forcePlate.hasFreeMoment))
    notes.push(
      'No free moment was recorded: it has no part in the moments about the medio-lateral axis, but is missing from moments of a leg about the vertical and about turned axes.',
    );
  if (!ground.both) notes.push('Only one foot is on a force plate: the total ground force was not measured.');
  if (ground.both && !ground.left && !ground.right)
    notes.push('A force plate carries both feet: no moments of one leg.');
  const carried = measured && meanVerticalShare(measured.force, motion, ground.edge);
  if (carried !== null && carried < LEAST_CARRIED_SHARE)
    notes.push(
      `The force plates carry ${(100 * carried).toFixed(0)} % of the weight of lifter and bar on average: were both feet on them throughout?`,
    );
  return notes;
}
