import { UNMEASURED_SD, USUAL_UNMEASURED } from '../unmeasured.ts';
import { readPlaces, valuesOfSides } from './frame-value.ts';
import { HIPS, KNEES, type RepetitionMeasure } from './measure.ts';

const mm = (lengthM: number) => (1000 * lengthM).toFixed(0);

/** Estimate of the depth rule of powerlifting: crease of the hip above the top of the knee, m. */
export const hipCreaseAboveKnee: RepetitionMeasure = {
  scope: 'repetition',
  name: 'hip_crease_above_knee',
  unit: 'm',
  title: 'Hip crease above the top of the knee',
  definition: `An estimate of the depth rule of powerlifting, which asks that the top of the leg at the hip joint be lower than the top of the knee: height of the hip joint centre plus ${mm(USUAL_UNMEASURED.creaseM)} ± ${mm(UNMEASURED_SD.creaseM)} mm of flesh, less height of the knee joint centre plus ${mm(USUAL_UNMEASURED.kneeTopM)} ± ${mm(UNMEASURED_SD.kneeTopM)} mm, at the bottom. Negative = deep enough by this estimate. The two thicknesses are not seen by any camera; how far a lifter may be from them (±: one standard deviation) is in the interval. No judge’s decision.`,
  knownAs: ['competition depth', 'breaking parallel', 'white lights'],
  needs: [...HIPS, ...KNEES],
  source: 'rule: IPF technical rules, as restated in public; thicknesses of the flesh: common practice, no source',
  of(repetition, lift) {
    const { creaseM, kneeTopM } = lift.unmeasured ?? USUAL_UNMEASURED;
    return valuesOfSides(
      lift,
      (side) => [`${side}_hip`, `${side}_knee`],
      (side) => [lift.joint(`${side}_hip`), lift.joint(`${side}_knee`)],
      ([hip, knee], i) => hip[i + 1] + creaseM - (knee[i + 1] + kneeTopM),
    ).flatMap((value) => readPlaces(lift, repetition, value, ['bottom']));
  },
};
