import type { BodyMotion } from '../body/body-motion.ts';
import type { ArmLoad } from './arm-loads.ts';
import type { Cuts } from './cut-moments.ts';
import type { ForcePlateQuality } from './force-plates/force-plate-quality.ts';
import { LOADED_JOINTS, type LoadedJoint, type MomentSeries } from './loaded-joints.ts';
import type { LumbosacralLoad } from './lumbosacral.ts';
import type { JointPowers, PowerBudget } from './power/joint-powers.ts';

export { LOADED_JOINTS, type LoadedJoint, type MomentSeries };

export interface JointLoads {
  readonly frameRateHz: number;
  readonly frames: number;
  readonly startS: number;
  readonly motion: BodyMotion;
  /** Which of the two ways the `both` moments in tables come from. */
  readonly primary: 'above' | 'below' | 'none';
  /** Summed from the bar down, both legs together about the mid-joint; null without an upper body. */
  readonly fromAbove: Readonly<Record<LoadedJoint, MomentSeries>> | null;
  /** From measured ground forces up; null without force plates. `both` is about the mid-joint. */
  readonly fromBelow: {
    readonly both: Readonly<Record<LoadedJoint, MomentSeries>> | null;
    readonly left: Readonly<Record<LoadedJoint, MomentSeries>> | null;
    readonly right: Readonly<Record<LoadedJoint, MomentSeries>> | null;
  } | null;
  /** Forces and moments at the cuts the moments come from; null where those are. */
  readonly cuts: { readonly above: Cuts | null; readonly left: Cuts | null; readonly right: Cuts | null };
  /** At L5/S1, from above; null without an upper body. */
  readonly lumbosacral: LumbosacralLoad | null;
  /** Shoulders and elbows, from the hands up; empty without an upper body. */
  readonly arms: readonly ArmLoad[];
  /** `both` from above; `bothFromBelow`, `left`, `right` from measured ground forces. */
  readonly powers: {
    readonly both: PowerBudget | null;
    readonly bothFromBelow: JointPowers | null;
    readonly left: JointPowers | null;
    readonly right: JointPowers | null;
  };
  /** Centre of mass of lifter and bar, and of the lifter alone, `3 * frame`, metres; null where the upper body is not known. */
  readonly centreOfMass: Float64Array | null;
  readonly bodyCentreOfMass: Float64Array | null;
  /** Ground reaction on the lifter predicted from above, `3 * frame`, N, and its centre of pressure on the floor, metres. */
  readonly groundForce: Float64Array | null;
  readonly centreOfPressure: Float64Array | null;
  /** Measured ground reaction of all force plates, at the frames, filtered like the kinematics; null without force plates. */
  readonly measuredForce: Float64Array | null;
  readonly measuredCentreOfPressure: Float64Array | null;
  readonly quality: MechanicsQuality;
}

export interface ForceMismatch {
  /** Correlation of the vertical force, from above against measured. */
  readonly verticalR: number;
  readonly verticalRmsN: number;
  /** rms as % of the weight of lifter (without bar). */
  readonly verticalRmsPctBodyWeight: number;
  readonly meanVerticalAboveN: number;
  readonly meanVerticalMeasuredN: number;
  readonly copForwardMeanM: number;
  readonly copForwardRmsM: number;
  readonly copSidewaysRmsM: number;
  readonly hipMomentRmsNm: number | null;
  readonly kneeMomentRmsNm: number | null;
  readonly ankleMomentRmsNm: number | null;
  readonly framesCompared: number;
}

/** How the power budget of the whole lift adds up, rms over the frames that are no edge of a filter. */
export interface PowerBalanceQuality {
  /** Largest rate of change of the energy, W: what the shares are of. */
  readonly peakW: number;
  /** All parts together less the rate of change of the energy. */
  readonly errorPct: number;
  readonly upperBodyPct: number;
  readonly besideThePlanePct: number;
}

export interface MechanicsQuality {
  /** null without moments from above. */
  readonly powerBalance: PowerBalanceQuality | null;
  readonly mismatch: ForceMismatch | null;
  /** Mean vertical force from above as a share of the system weight, 1 (should be 1 over a whole set). */
  readonly meanVerticalShare: number | null;
  /** Clock of the force plates against the movement; absent without force plates, and in draws. */
  readonly forcePlates?: ForcePlateQuality;
  readonly notes: readonly string[];
}
