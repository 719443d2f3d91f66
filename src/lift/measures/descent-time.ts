import { phaseMissing } from '../../messages.ts';
import { descentIsCut } from './cut-phases.ts';
import { HIPS, type RepetitionMeasure } from './measure.ts';
import { atTheBottom, phaseTimes, TWO_PER_CENT } from './phase-times.ts';
import { known, unknown } from './readings.ts';

/** Time from the stand to the bottom, s. */
export const descentTime: RepetitionMeasure = {
  scope: 'repetition',
  name: 'descent_time',
  unit: 's',
  title: 'Time of the descent',
  definition: 'From the last moment within 2 % of the drop of standing to the first within 2 % of the bottom.',
  knownAs: ['tempo', 'eccentric'],
  needs: HIPS,
  source: TWO_PER_CENT,
  of(repetition, lift) {
    const { descent } = repetition;
    if (!descent) return [unknown('descent', null, phaseMissing('descent'))];
    if (repetition.completeness !== 'full' && descentIsCut(repetition, lift)) {
      return [unknown('descent', null, repetition.reason, descent.from, descent.to - 1)];
    }
    const { arrives } = atTheBottom(repetition, lift);
    const { descends, arrives: reaches } = phaseTimes(repetition, lift);
    return [known('descent', null, (reaches - descends) / lift.loads.frameRateHz, descent.from, arrives)];
  },
};
