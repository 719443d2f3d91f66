import { meanLengthsFor } from '../body/table-for.ts';
import type { Sex } from '../capture/recording.ts';

/** Distances between joint centres, metres. */
export interface LimbLengths {
  readonly thigh: number;
  readonly shank: number;
  /** Mid-hip to mid-shoulder. */
  readonly trunk: number;
  readonly upperArm: number;
  readonly forearm: number;
  readonly hand: number;
  /** Heel to tip of the toes. */
  readonly foot: number;
  readonly hipWidth: number;
  readonly shoulderWidth: number;
  /** Ankle centre above the floor, sole included. */
  readonly ankleHeight: number;
  /** Mid-shoulder to the ears' height, along the neck. */
  readonly shouldersToEars: number;
}

/** Mean statures of the people behind the mean lengths: de Leva (1996), heading of Table 4. */
const SAMPLE_STATURE_M = { female: 1.735, male: 1.741, unknown: (1.735 + 1.741) / 2 } as const;

/** Distance of hip centres and of shoulder centres as shares of stature. Common practice, no source. */
const HIP_WIDTH_OF_STATURE = 0.1;
const SHOULDER_WIDTH_OF_STATURE = 0.21;
/** Ankle centre above the sole, 0.039 of stature (Drillis & Contini 1966, as in Winter 2009 fig. 4.1), and the sole (common practice, no source). */
const ANKLE_HEIGHT_OF_STATURE = 0.039;
const SOLE_M = 0.02;

/**
 * Limb lengths of a lifter of whom only sex and stature are known: the mean lengths of de Leva (1996), Table 4, scaled by
 * stature. `measured` replaces any of them. People of one stature differ by several per cent in each; for a plan before filming
 * that is enough.
 */
export function limbLengths(sex: Sex, statureM: number, measured: Partial<LimbLengths> = {}): LimbLengths {
  const mean = meanLengthsFor(sex);
  const scale = statureM / SAMPLE_STATURE_M[sex];
  const typical: LimbLengths = {
    thigh: mean.thighM * scale,
    shank: mean.shankM * scale,
    trunk: mean.trunkM * scale,
    upperArm: mean.upperArmM * scale,
    forearm: mean.forearmM * scale,
    hand: mean.handM * scale,
    foot: mean.footM * scale,
    hipWidth: HIP_WIDTH_OF_STATURE * statureM,
    shoulderWidth: SHOULDER_WIDTH_OF_STATURE * statureM,
    ankleHeight: ANKLE_HEIGHT_OF_STATURE * statureM + SOLE_M,
    shouldersToEars: mean.shouldersToHeadCentreM * scale,
  };
  return { ...typical, ...measured };
}
