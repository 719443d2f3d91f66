import { hashSeed, seededRandom } from '../../src/numerics/random.ts';
import { mixedModel } from '../../src/study/statistics/mixed-model/fit.ts';
import { jointTest } from '../../src/study/statistics/mixed-model/joint-test.ts';
import { withSharedErrors } from '../../src/study/statistics/mixed-model/shared-errors.ts';
import { type MadeTruth, MODEL, madeStudy } from '../study/statistics/mixed-model/made-study.ts';

export interface MixedSetting {
  readonly truth: MadeTruth;
  /** SD of a study-wide error that grows with heel height (deg a mm) and of one that differs by rig (deg); 0: none. */
  readonly sharedPerMm: number;
  readonly sharedOfRig: number;
}

export interface MixedCoverage {
  readonly runs: number;
  /** Share of 95 % intervals that hold the truth: intercept, heel height, stance. */
  readonly without: readonly number[];
  /** With the shared part of the measurement error added. */
  readonly with: readonly number[];
  /** Share of joint tests of height and stance against the truth 0 that come out below 0.05; NaN where the truth is not 0. */
  readonly rejected: number;
  /** Fits at the edge, and fits that did not settle. */
  readonly singular: number;
  readonly unsettled: number;
}

/** Made studies fitted as a user would: how often is the truth in the interval? */
export function mixedCoverage(
  { truth, sharedPerMm, sharedOfRig }: MixedSetting,
  runs: number,
  seed: number,
  progress: (done: number) => void = () => {},
): MixedCoverage {
  const without = [0, 0, 0];
  const with_ = [0, 0, 0];
  let [rejected, singular, unsettled] = [0, 0, 0];
  const isNull = truth.effects[1] === 0 && truth.effects[2] === 0;
  for (let run = 0; run < runs; run++) {
    const study = madeStudy(hashSeed('mixed coverage', seed, run), truth);
    const random = seededRandom(hashSeed('mixed shared', seed, run));
    // Two rigs, every other row: one calibration error each, known only by its SD.
    const rigs = study.stance.map((_, i) => (i % 2 === 0 ? 'rig A' : 'rig B'));
    const drawn = { slope: sharedPerMm * random.normal(), rig: [0, 1].map(() => sharedOfRig * random.normal()) };
    const measured = study.trunk_lean_deg.map((y, i) => y + drawn.slope * study.heel_height_mm[i] + drawn.rig[i % 2]);
    const fit = mixedModel({ ...study, trunk_lean_deg: measured }, MODEL);
    const found = withSharedErrors(fit, [
      { name: 'scale', sharedBy: 'study', effects: study.heel_height_mm.map((h) => sharedPerMm * h) },
      { name: 'rig', sharedBy: rigs, effects: rigs.map(() => sharedOfRig) },
    ]);
    truth.effects.forEach((value, j) => {
      const { without: own, with: added } = found[j];
      if (own.lower <= value && value <= own.upper) without[j]++;
      if (added.lower <= value && value <= added.upper) with_[j]++;
    });
    if (isNull && jointTest(fit, [{ heel_height_mm: 1 }, { 'stance[wide]': 1 }]).p < 0.05) rejected++;
    if (fit.singular) singular++;
    if (!fit.converged) unsettled++;
    progress(run + 1);
  }
  return {
    runs,
    without: without.map((count) => count / runs),
    with: with_.map((count) => count / runs),
    rejected: isNull ? rejected / runs : Number.NaN,
    singular: singular / runs,
    unsettled: unsettled / runs,
  };
}
