import { measuredLength } from '../../body/point-series.ts';
import { sexNotStated } from '../../messages.ts';
import { normalProbability } from '../../numerics/normal.ts';
import { mean } from '../../numerics/statistics.ts';
import { USUAL_UNMEASURED } from '../unmeasured.ts';
import { hipCentresApart } from './hip-width.ts';
import type { Lift } from './measure.ts';
import { lacking } from './stance-width.ts';

/*
 * Lengths between joint centres of a large survey of people: heights of bony landmarks of the U.S. Army's survey of 2012
 * (ANSUR II, 4082 men, 1986 women, our own statistics of the released measurements), joined to the joint centres by the places
 * of de Leva (1996) J Biomech 29:1231–1233, Table 2, as restated in public files: from trochanterion to tibiale the hip centre
 * lies at −0.7 %, the knee centre at 92.6 %; from tibiale to the lateral malleolus the ankle centre lies at 101.6 %.
 * Thigh = 0.933 (trochanterion − tibiale); shank = 0.074 (trochanterion − tibiale) + 1.016 (tibiale − malleolus), person by
 * person. Without the join a thigh from the trochanter to the epicondyle is a length of its own (409 ± 28 mm men,
 * 379 ± 24 mm women) and says nothing of hip and knee centres.
 *
 * How far the join itself may be off: scaled to the stature of de Leva's own sample of 100 men (1.741 m) these thighs are
 * 400 mm against 422 printed there, shanks 429 against 440; women's thighs are 35 mm longer than hers. Thighs and shanks of the
 * survey are therefore a cause of doubt of their own (lift/unmeasured.ts).
 */

/** Mean and standard deviation of lengths between joint centres, m. */
interface Spread {
  readonly meanM: number;
  readonly sdM: number;
}

export const SURVEY: Readonly<Record<'thigh' | 'shank', Readonly<Record<'female' | 'male', Spread>>>> = {
  thigh: { female: { meanM: 0.3803, sdM: 0.0223 }, male: { meanM: 0.4037, sdM: 0.0258 } },
  shank: { female: { meanM: 0.4112, sdM: 0.0251 }, male: { meanM: 0.4336, sdM: 0.0262 } },
};

export const SURVEY_SOURCE =
  'U.S. Army survey of 2012 (ANSUR II), own statistics; joint centres against its landmarks: de Leva (1996) J Biomech 29:1231–1233, Table 2, as restated in public files';

export const SURVEY_WORDS =
  'share of 4082 men or 1986 women of a survey of soldiers who have a shorter one, from mean and standard deviation of that survey as if lengths were normal. The survey measured bony landmarks; published places of the joint centres between them join the two, and may be off by two or three centimetres, which is in the interval and makes it wide';

const ENDS = { thigh: ['hip', 'knee'], shank: ['knee', 'ankle'] } as const;

/** The share of the survey's people of the athlete's sex whose limb is shorter, 0–1, or why that is unknown. */
export function surveyPercentile(lift: Lift, limb: 'thigh' | 'shank'): number | string {
  const [upper, lower] = ENDS[limb];
  const lengths = (['left', 'right'] as const).map((side) => {
    const [a, b] = [lift.joint(`${side}_${upper}`), lift.joint(`${side}_${lower}`)];
    return a && b ? measuredLength(a, b).lengthM : null;
  });
  const [left, right] = lengths;
  if (left === null || right === null) {
    return lacking(lift, [`left_${upper}`, `right_${upper}`, `left_${lower}`, `right_${lower}`]);
  }
  if (limb === 'thigh') {
    const apart = hipCentresApart(lift);
    if (typeof apart === 'string') return apart;
  }
  const { sex } = lift.recording.athlete;
  if (sex === 'unknown') return sexNotStated();
  const { meanM, sdM } = SURVEY[limb][sex];
  const { surveyThighM, surveyShankM } = lift.unmeasured ?? USUAL_UNMEASURED;
  const surveyM = meanM + (limb === 'thigh' ? surveyThighM : surveyShankM);
  return normalProbability((mean([left, right]) - surveyM) / sdM);
}
