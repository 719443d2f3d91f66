import type { Scale } from '../../numerics/scale.ts';
import { ankleDorsiflexion } from './ankle-dorsiflexion.ts';
import { ankleImpulse } from './ankle-impulse.ts';
import { peakAnkleMoment } from './ankle-moment-peak.ts';
import { ankleWork } from './ankle-work.ts';
import { ascentTime } from './ascent-time.ts';
import { barAboveShoulders } from './bar-above-shoulders.ts';
import { barAheadOfNeck } from './bar-ahead-of-neck.ts';
import { barAheadOfShoulders } from './bar-ahead-of-shoulders.ts';
import { barDrift } from './bar-drift.ts';
import { barOverMidfoot } from './bar-over-midfoot.ts';
import { barPathWidth } from './bar-path-width.ts';
import { peakBarPower } from './bar-power-peak.ts';
import { barSlip } from './bar-slip.ts';
import { barTilt } from './bar-tilt.ts';
import { barTurn } from './bar-turn.ts';
import { barVelocityMean } from './bar-velocity-mean.ts';
import { barVelocityPeak } from './bar-velocity-peak.ts';
import { barWork } from './bar-work.ts';
import { bottomPause } from './bottom-pause.ts';
import { bottomThighElevation } from './bottom-thigh-elevation.ts';
import { chordShortening } from './chord-shortening.ts';
import { comAlongFoot } from './com-along-foot.ts';
import { comRearShift } from './com-rear-shift.ts';
import { copAlongFoot } from './cop-along-foot.ts';
import { depthLoss } from './depth-loss.ts';
import { descentTime } from './descent-time.ts';
import { descentVelocityMean } from './descent-velocity-mean.ts';
import { descentVelocityPeak } from './descent-velocity-peak.ts';
import { doubleBounce } from './double-bounce.ts';
import { elbowThighClearance } from './elbow-thigh-clearance.ts';
import { elbowWidth } from './elbow-width.ts';
import { extraLean } from './extra-lean.ts';
import { feetMoved } from './feet-moved.ts';
import { femurPerTibia } from './femur-per-tibia.ts';
import { femurPerTrunk } from './femur-per-trunk.ts';
import { footPerFemur } from './foot-per-femur.ts';
import { forearmPerUpperArm } from './forearm-per-upper-arm.ts';
import { handSpacing } from './hand-spacing.ts';
import { headTilt } from './head-tilt.ts';
import { heelLift } from './heel-lift.ts';
import { hipCreaseAboveKnee } from './hip-crease-above-knee.ts';
import { hipDrop } from './hip-drop.ts';
import { hipImpulse } from './hip-impulse.ts';
import { hipImpulseShare } from './hip-impulse-share.ts';
import { hipKneeRatio } from './hip-knee-ratio.ts';
import { hipMinusKnee } from './hip-minus-knee.ts';
import { peakHipMoment } from './hip-moment-peak.ts';
import { hipLeftMinusRight } from './hip-moment-shared-left-minus-right.ts';
import { peakHipPower } from './hip-power-peak.ts';
import { hipShare } from './hip-share.ts';
import { hipShareGravity } from './hip-share-gravity.ts';
import { hipShift } from './hip-shift.ts';
import { hipVelocityMean } from './hip-velocity-mean.ts';
import { hipVelocityPeak } from './hip-velocity-peak.ts';
import { hipWidth } from './hip-width.ts';
import { hipWork } from './hip-work.ts';
import { hipsTilt } from './hips-tilt.ts';
import { kneeAbductorShared } from './knee-abductor-moment-shared.ts';
import { kneeFlexionBottom } from './knee-flexion-bottom.ts';
import { kneeImpulse } from './knee-impulse.ts';
import { peakKneeMoment } from './knee-moment-peak.ts';
import { kneeLeftMinusRight } from './knee-moment-shared-left-minus-right.ts';
import { peakKneeMomentShared } from './knee-moment-shared-peak.ts';
import { kneeOnsetLead } from './knee-onset-lead.ts';
import { kneeOverToe } from './knee-over-toe.ts';
import { peakKneePower } from './knee-power-peak.ts';
import { kneeReturn } from './knee-return.ts';
import { kneeShareOfStart } from './knee-share-of-start.ts';
import { kneeTrack } from './knee-track.ts';
import { kneeWork } from './knee-work.ts';
import { largestLeanDepth } from './largest-lean-depth.ts';
import { leanBack } from './lean-back.ts';
import { leanGainedInDrive } from './lean-gained-in-drive.ts';
import { leftMinusRightKneeOverToe } from './left-minus-right-knee-over-toe.ts';
import { leftMinusRightThigh } from './left-minus-right-thigh.ts';
import { legPerTrunk } from './leg-per-trunk.ts';
import type { Measure } from './measure.ts';
import { pelvicTuck } from './pelvic-tuck.ts';
import { pelvisAhead } from './pelvis-ahead.ts';
import { placedBarVelocityMean } from './placed-bar-velocity-mean.ts';
import { placedBarVelocityPeak } from './placed-bar-velocity-peak.ts';
import { shankInclination } from './shank-inclination.ts';
import { shankPercentile } from './shank-percentile.ts';
import { shoulderWidth } from './shoulder-width.ts';
import { shouldersTilt } from './shoulders-tilt.ts';
import { stallHeight } from './stall-height.ts';
import { stanceAnkleDistance } from './stance-ankle-distance.ts';
import { stanceHeelDistance } from './stance-heel-distance.ts';
import { stancePerHipWidth } from './stance-per-hip-width.ts';
import { stancePerLegLength } from './stance-per-leg-length.ts';
import { stancePerShoulderWidth } from './stance-per-shoulder-width.ts';
import { stanceStagger } from './stance-stagger.ts';
import { stickingDuration } from './sticking-duration.ts';
import { stickingHeight } from './sticking-height.ts';
import { stickingSpeedLoss } from './sticking-speed-loss.ts';
import { peakSupportMoment } from './support-moment-peak.ts';
import { thighPercentile } from './thigh-percentile.ts';
import { toeLift } from './toe-lift.ts';
import { toeOut } from './toe-out.ts';
import { trunkLean } from './trunk-lean.ts';
import { trunkMinusShank } from './trunk-minus-shank.ts';
import { trunkRounding } from './trunk-rounding.ts';
import { upperArmDrop } from './upper-arm-drop.ts';
import { upperArmElevation } from './upper-arm-elevation.ts';
import { velocityLoss } from './velocity-loss.ts';
import { verticalShareLeft } from './vertical-share-left.ts';
import { wristExtension } from './wrist-extension.ts';

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
  { title: 'Start', measures: [pelvisAhead, leanBack, headTilt, barOverMidfoot] },
  { title: 'Initiation', measures: [kneeShareOfStart, kneeOnsetLead] },
  {
    title: 'Trunk',
    measures: [trunkLean, extraLean, leanGainedInDrive, largestLeanDepth, chordShortening, trunkRounding, pelvicTuck],
  },
  {
    title: 'Legs',
    measures: [kneeOverToe, kneeReturn, kneeTrack, shankInclination, trunkMinusShank, ankleDorsiflexion],
  },
  { title: 'Foot', measures: [comAlongFoot, copAlongFoot, comRearShift, toeLift, heelLift, feetMoved] },
  {
    title: 'Left and right',
    measures: [hipShift, leftMinusRightThigh, leftMinusRightKneeOverToe, hipsTilt, shouldersTilt, stanceStagger],
  },
  {
    title: 'Rack',
    measures: [
      upperArmElevation,
      upperArmDrop,
      elbowWidth,
      elbowThighClearance,
      barAheadOfShoulders,
      barAboveShoulders,
      barAheadOfNeck,
      barSlip,
      handSpacing,
      wristExtension,
    ],
  },
  { title: 'Bar', measures: [barPathWidth, barDrift, barTilt, barTurn] },
  { title: 'Depth', measures: [bottomThighElevation, hipDrop, hipCreaseAboveKnee, kneeFlexionBottom] },
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
      descentVelocityMean,
      descentVelocityPeak,
      doubleBounce,
      stickingHeight,
      stickingDuration,
      stickingSpeedLoss,
      stallHeight,
    ],
  },
  { title: 'Set', measures: [velocityLoss, depthLoss] },
  {
    title: 'Body proportions',
    measures: [
      femurPerTrunk,
      femurPerTibia,
      legPerTrunk,
      forearmPerUpperArm,
      footPerFemur,
      hipWidth,
      shoulderWidth,
      thighPercentile,
      shankPercentile,
    ],
  },
];

export const MEASURES: readonly Measure[] = MEASURE_GROUPS.flatMap(({ measures }) => measures);

const BOUNDED = new Map(MEASURES.flatMap(({ name, bounds }) => (bounds ? [[name, bounds] as const] : [])));

const SCALED = new Map(MEASURES.flatMap(({ name, scale }) => (scale ? [[name, scale] as const] : [])));

/** The scale of a measure that is a ratio; null where errors and means are those of the number itself. */
export function scaleOf(measure: string): Scale | null {
  return SCALED.get(measure) ?? null;
}

const PLANE_LENGTHS = new Set(MEASURES.flatMap(({ name, planeLength }) => (planeLength ? [name] : [])));

/** Whether a measure is the length of a vector on the floor. */
export function isPlaneLength(measure: string): boolean {
  return PLANE_LENGTHS.has(measure);
}

/** A value brought within what its measure can be; NaN stays NaN. */
export function withinBounds(measure: string, value: number): number {
  const bounds = BOUNDED.get(measure);
  return bounds ? Math.min(bounds[1], Math.max(bounds[0], value)) : value;
}
