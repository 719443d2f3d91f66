import { missing, phaseMissing } from '../../messages.ts';
import { ascentIsCut } from './cut-phases.ts';
import { HIPS, type RepetitionMeasure } from './measure.ts';
import { atTheBottom, phaseTimes, TWO_PER_CENT } from './phase-times.ts';
import { known, unknown } from './readings.ts';

/** Time from the bottom to the stand, s. */
export const ascentTime: RepetitionMeasure = {
  scope: 'repetition',
  name: 'ascent_time',
  unit: 's',
  title: 'Time of the ascent',
  definition: 'From the last moment within 2 % of the drop of the bottom to the first within 2 % of standing.',
  knownAs: ['tempo', 'concentric'],
  needs: HIPS,
  source: TWO_PER_CENT,
  of(repetition, lift) {
    const { ascent } = repetition;
    if (!ascent) return [unknown('ascent', null, phaseMissing('ascent'))];
    if (ascentIsCut(repetition, lift)) {
      return [unknown('ascent', null, repetition.reason || missing(), ascent.from, ascent.to - 1)];
    }
    const { leaves } = atTheBottom(repetition, lift);
    const { drives, stands } = phaseTimes(repetition, lift);
    return [known('ascent', null, (stands - drives) / lift.loads.frameRateHz, leaves, ascent.to)];
  },
};
