/** What measures take for granted that nothing in a recording tells, metres. */
export interface Unmeasured {
  /** Crease of the hip (top of the leg at the hip joint) above the hip joint centre, at the bottom of a squat. */
  readonly creaseM: number;
  /** Top of the bent knee above the knee joint centre. */
  readonly kneeTopM: number;
  /** How much longer than stated the survey's thighs and shanks are between joint centres: it measured bony landmarks. */
  readonly surveyThighM: number;
  readonly surveyShankM: number;
}

/**
 * What is taken where nothing is known of the lifter. The hip joint lies deep under the flesh of the groin, the knee joint half
 * a knee below the kneecap: together the thigh must sink some 20 mm, for a thigh of 0.42 m about 3°, below level joint centres.
 * Common practice, no source.
 */
export const USUAL_UNMEASURED: Unmeasured = { creaseM: 0.07, kneeTopM: 0.05, surveyThighM: 0, surveyShankM: 0 };

/**
 * How far that may be off, one standard deviation, metres. Lean and heavy thighs differ more than knees: common practice, no
 * source. Survey: scaled to equal stature, thighs of de Leva's own sample (1996, J Biomech 29:1223–1230) are 22 mm longer (men) and 35 mm
 * shorter (women) than the joined survey's, shanks of men 11 mm longer.
 */
export const UNMEASURED_SD: Unmeasured = { creaseM: 0.02, kneeTopM: 0.01, surveyThighM: 0.03, surveyShankM: 0.015 };
