import { comAlongFoot, comRearShift, copAlongFoot } from './along-foot.ts';
import {
  barVelocityMean,
  barVelocityPeak,
  hipVelocityMean,
  hipVelocityPeak,
  placedBarVelocityMean,
  placedBarVelocityPeak,
} from './ascent-velocity.ts';
import { bottomThighElevation, hipDrop } from './depth-reached.ts';
import { extraLean } from './extra-lean.ts';
import { hipImpulseShare } from './hip-impulse-share.ts';
import { hipKneeRatio, hipMinusKnee, hipShare, hipShareGravity } from './hip-to-knee.ts';
import { kneeOnsetLead } from './knee-onset-lead.ts';
import { kneeOverToe } from './knee-over-toe.ts';
import { kneeShareOfStart } from './knee-share-of-start.ts';
import { leanGainedInDrive } from './lean-gained-in-drive.ts';
import { femurPerTibia, femurPerTrunk, footPerFemur, forearmPerUpperArm, legPerTrunk } from './limb-ratios.ts';
import type { Measure } from './measure.ts';
import { peakAnkleMoment, peakHipMoment, peakKneeMoment, peakSupportMoment } from './peak-moments.ts';
import { shankInclination } from './shank-inclination.ts';
import {
  hipLeftMinusRight,
  kneeAbductorShared,
  kneeLeftMinusRight,
  peakKneeMomentShared,
  verticalShareLeft,
} from './shared-legs.ts';
import {
  stanceAnkleDistance,
  stanceHeelDistance,
  stancePerHipWidth,
  stancePerLegLength,
  stancePerShoulderWidth,
} from './stance-width.ts';
import { ascentTime, bottomPause, descentTime } from './tempo.ts';
import { toeOut } from './toe-out.ts';
import { trunkLean } from './trunk-lean.ts';
import { trunkMinusShank } from './trunk-minus-shank.ts';
import {
  ankleImpulse,
  ankleWork,
  barWork,
  hipImpulse,
  hipWork,
  kneeImpulse,
  kneeWork,
  peakBarPower,
  peakHipPower,
  peakKneePower,
} from './work-and-power.ts';

/** A heading of the documentation, and the measures under it. */
export interface MeasureGroup {
  readonly title: string;
  readonly measures: readonly Measure[];
}

/** Every measure, in the order of the documentation. A new one is added here and nowhere else. */
export const MEASURE_GROUPS: readonly MeasureGroup[] = [
  { title: 'Hip and knee', measures: [hipShare, hipShareGravity, hipMinusKnee, hipKneeRatio, hipImpulseShare] },
  { title: 'Largest moments', measures: [peakHipMoment, peakKneeMoment, peakAnkleMoment, peakSupportMoment] },
  {
    title: 'Left and right by assumption',
    measures: [verticalShareLeft, peakKneeMomentShared, hipLeftMinusRight, kneeLeftMinusRight, kneeAbductorShared],
  },
  {
    title: 'Work, power and impulse',
    measures: [
      hipWork,
      kneeWork,
      ankleWork,
      barWork,
      peakHipPower,
      peakKneePower,
      peakBarPower,
      hipImpulse,
      kneeImpulse,
      ankleImpulse,
    ],
  },
  { title: 'Trunk', measures: [trunkLean, extraLean, leanGainedInDrive] },
  { title: 'Initiation', measures: [kneeShareOfStart, kneeOnsetLead] },
  { title: 'Legs', measures: [kneeOverToe, shankInclination, trunkMinusShank] },
  { title: 'Foot', measures: [comAlongFoot, copAlongFoot, comRearShift] },
  { title: 'Depth', measures: [bottomThighElevation, hipDrop] },
  {
    title: 'Stance',
    measures: [
      stanceAnkleDistance,
      stanceHeelDistance,
      stancePerHipWidth,
      stancePerShoulderWidth,
      stancePerLegLength,
      toeOut,
    ],
  },
  {
    title: 'Tempo and velocity',
    measures: [
      descentTime,
      bottomPause,
      ascentTime,
      barVelocityMean,
      barVelocityPeak,
      placedBarVelocityMean,
      placedBarVelocityPeak,
      hipVelocityMean,
      hipVelocityPeak,
    ],
  },
  {
    title: 'Body proportions',
    measures: [femurPerTrunk, femurPerTibia, legPerTrunk, forearmPerUpperArm, footPerFemur],
  },
];

export const MEASURES: readonly Measure[] = MEASURE_GROUPS.flatMap(({ measures }) => measures);
