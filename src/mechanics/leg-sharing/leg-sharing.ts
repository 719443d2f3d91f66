import type { BodyMotion } from '../../body/body-motion.ts';
import type { LegSharingName } from '../../capture/recording.ts';
import { sharingNotes, sharingReasons } from '../../messages/leg-sharing.ts';
import { GRAVITY_M_PER_S2 } from '../../numerics/constants.ts';
import { type Cuts, cutsFromBelow, type LegDemands, legDemands } from '../cut-moments.ts';
import type { JointLoads } from '../joint-loads.ts';
import { LEAST_PRESSED_SHARE } from '../joint-loads-from-motion.ts';
import { addWrenchInto, copyWrench, type Wrench, zeroWrench } from '../wrench.ts';
import { againstMeasured, type SharedAgainstMeasured } from './against-measured.ts';
import { HIP_CENTRES_APART_M, type SharingAssumptions, USUAL_ASSUMPTIONS } from './assumptions.ts';
import { footLines } from './feet.ts';
import { leastEffort } from './least-effort.ts';
import { legJoints } from './leg-joints.ts';
import { type LegMoments, legMoments } from './leg-moments.ts';
import { type PressedPlaces, pressedPlaces, SharingStatus } from './pressed-places.ts';
import { addCancellingInto, assumedCancelling, proportionalGround } from './proportional.ts';

/** One foot's part of the floor's force, and what it asks of the joints of its leg. Assumed, not measured. */
export interface SharedLeg {
  readonly ground: Wrench;
  /** On the floor, `3 * frame`, metres; of a foot that carries nothing: where it would press. */
  readonly centreOfPressure: Float64Array;
  /** Force and moment at hip, knee and ankle, of the lower on the upper part; null where nothing is shared. */
  readonly cuts: Cuts | null;
  /** The same moments about the leg's own joint centres, all three components, lab axes, N·m. */
  readonly moments: LegMoments;
}

export interface LegSharing {
  readonly choice: Exclude<LegSharingName, 'none'>;
  readonly left: SharedLeg;
  readonly right: SharedLeg;
  /** Part of the vertical force on the left foot, 0–1, one a frame; NaN where not shared. */
  readonly shareLeft: Float64Array;
  /** SharingStatus, one a frame. */
  readonly status: Uint8Array;
  /** Why frames are not shared: what holds for most of them; '' where all are. */
  readonly reason: string;
  readonly quality: LegSharingQuality;
}

export interface LegSharingQuality {
  readonly choice: LegSharingName;
  readonly framesShared: number;
  /** Frames whose quadratic programme ended at the bounds of friction; null where none was solved. */
  readonly framesAtBounds: number | null;
  /** Shared less measured moments, where a force plate stands under each foot. */
  readonly againstMeasured: SharedAgainstMeasured | null;
  readonly notes: readonly string[];
}

/**
 * Loads of each leg without force plates: the total ground reaction shared between two feet.
 *
 * Determined by the movement alone: the total force (three components), the total moment (three), with them the total centre
 * of pressure and free moment, and the moment of both legs together about each mid-joint in the medio-lateral axis. Determined
 * once the sideways places of the two feet's pressure are given: the vertical share. The other unknowns of the twelve, against six
 * equations, are assumed; `assumptions` says how far from what is usual. Any choice fulfils the six equations exactly.
 *
 * 'proportional': shear and free moment by the vertical share. 'least effort': those for which hips, knees and ankles work least
 * within friction. Null for 'none'. docs/method/leg-sharing.md.
 */
export function legSharing(
  loads: JointLoads,
  choice: LegSharingName,
  assumptions: SharingAssumptions = USUAL_ASSUMPTIONS,
): LegSharing | null {
  const { motion } = loads;
  if (choice === 'none') return null;
  const { feet, needs } = footLines(motion);
  if (!feet) return notShared(motion, choice, sharingReasons.needsFeet(needs));
  if (!loads.cuts.above || !hasLegs(motion)) return notShared(motion, choice, sharingReasons.noTotal());
  const floorM = motion.trajectories.floorHeightM;
  const leastVerticalN = LEAST_PRESSED_SHARE * motion.bodyMassKg * GRAVITY_M_PER_S2;
  const { joints, drawnIn } = legJoints(motion);
  const demands = legDemands(motion);
  const total = movedSideways(totalOnFloor(loads.cuts.above.ankle.total, demands), assumptions.sidewaysM);
  const places = pressedPlaces(total, feet, floorM, leastVerticalN, assumptions);
  const ground = proportionalGround(total, places, floorM);
  const legOf = (side: 'left' | 'right'): SharedLeg => {
    const cuts = cutsFromBelow(motion, demands, ground[side], side);
    return { ground: ground[side], centreOfPressure: places[side], cuts, moments: legMoments(joints, cuts, side) };
  };
  let [left, right] = [legOf('left'), legOf('right')];

  const towardsLeastEffort = choice === 'least effort' ? 1 - assumptions.towardsOther : assumptions.towardsOther;
  const least =
    towardsLeastEffort === 0
      ? null
      : leastEffort(joints, total, places, feet, { left: left.moments, right: right.moments });
  if (least) {
    addCancellingInto(ground, places, least.cancelling, towardsLeastEffort);
    markUnsolved(places, least.cancelling);
  }
  addCancellingInto(ground, places, assumedCancelling(total, places, assumptions), 1);
  if (least || isCancelling(assumptions)) [left, right] = [legOf('left'), legOf('right')];

  const { shareLeft, status } = places;
  for (let frame = 0; frame < status.length; frame++)
    if (status[frame] !== SharingStatus.shared) shareLeft[frame] = Number.NaN;
  const reason = reasonOf(status);
  return {
    choice,
    left,
    right,
    shareLeft,
    status,
    reason,
    quality: {
      choice,
      framesShared: status.reduce((sum, one) => sum + (one === SharingStatus.shared ? 1 : 0), 0),
      framesAtBounds: least?.framesAtBounds ?? null,
      againstMeasured: againstMeasured(loads, { left, right }),
      notes: [
        sharingNotes.assumed(choice),
        ...(drawnIn ? [sharingNotes.hipsDrawnIn(HIP_CENTRES_APART_M)] : []),
        ...(reason === '' ? [] : [sharingNotes.notEverywhere(reason)]),
      ],
    },
  };
}

function hasLegs({ segments }: BodyMotion): boolean {
  return (['left', 'right'] as const).every((side) =>
    ['thigh', 'shank', 'foot'].every((part) => segments.some(({ name }) => name === `${side}_${part}`)),
  );
}

function isCancelling({ squeezeShare, twistShare, freeMomentM }: SharingAssumptions): boolean {
  return squeezeShare !== 0 || twistShare !== 0 || freeMomentM !== 0;
}

/** The ground reaction: what the feet's own bodies need beside what the ankles give. */
function totalOnFloor(aboveAnkles: Wrench, demands: LegDemands): Wrench {
  const total = copyWrench(aboveAnkles);
  for (const side of ['left', 'right'] as const) addWrenchInto(total, demands.get(`${side}_foot`)!.total);
  return total;
}

/** The wrench acting `byM` further to the right: M + (0, 0, byM) × F. */
function movedSideways(total: Wrench, byM: number): Wrench {
  if (byM === 0) return total;
  const { force } = total;
  const moment = total.moment.slice();
  for (let i = 0; i < moment.length; i += 3) {
    moment[i] -= byM * force[i + 1];
    moment[i + 1] += byM * force[i];
  }
  return { force, moment };
}

function markUnsolved({ status }: PressedPlaces, cancelling: Float64Array): void {
  for (let frame = 0; frame < status.length; frame++)
    if (status[frame] === SharingStatus.shared && Number.isNaN(cancelling[3 * frame]))
      status[frame] = SharingStatus.slips;
}

const REASONS: Readonly<Record<SharingStatus, () => string>> = {
  [SharingStatus.shared]: () => '',
  [SharingStatus.unknown]: sharingReasons.pointsMissing,
  [SharingStatus.unloaded]: sharingReasons.unloaded,
  [SharingStatus.feetUnfit]: sharingReasons.feetUnfit,
  [SharingStatus.outside]: sharingReasons.outside,
  [SharingStatus.slips]: sharingReasons.slips,
};

/** The reason of most frames that are not shared. The first and the last frame, whose accelerations nothing tells, do not count by themselves. */
function reasonOf(status: Uint8Array): string {
  const counts = new Map<number, number>();
  for (const one of status) if (one !== SharingStatus.shared) counts.set(one, (counts.get(one) ?? 0) + 1);
  const told = [...counts].filter(([one, count]) => one !== SharingStatus.unknown || count > 2);
  const [most] = (told.length > 0 ? told : [...counts]).sort((a, b) => b[1] - a[1]);
  return most === undefined ? '' : REASONS[most[0] as SharingStatus]();
}

function notShared(motion: BodyMotion, choice: Exclude<LegSharingName, 'none'>, reason: string): LegSharing {
  const series = (width: number) => new Float64Array(width * motion.frames).fill(Number.NaN);
  const leg = (): SharedLeg => {
    const ground = zeroWrench(motion.frames);
    ground.force.fill(Number.NaN);
    ground.moment.fill(Number.NaN);
    return {
      ground,
      centreOfPressure: series(3),
      cuts: null,
      moments: { hip: series(3), knee: series(3), ankle: series(3) },
    };
  };
  return {
    choice,
    left: leg(),
    right: leg(),
    shareLeft: series(1),
    status: new Uint8Array(motion.frames).fill(SharingStatus.unknown),
    reason,
    quality: { choice, framesShared: 0, framesAtBounds: null, againstMeasured: null, notes: [reason] },
  };
}
