import { ascentComesFirst, phaseMissing } from '../../messages.ts';
import { HIPS, type RepetitionMeasure } from './measure.ts';
import { atTheBottom, phaseTimes, TWO_PER_CENT } from './phase-times.ts';
import { known, unknown } from './readings.ts';

/** Time spent at the bottom, s. */
export const bottomPause: RepetitionMeasure = {
  scope: 'repetition',
  name: 'bottom_pause',
  unit: 's',
  title: 'Pause at the bottom',
  definition: 'Time between the first and the last moment within 2 % of the drop of the bottom.',
  knownAs: ['pause', 'bounce'],
  needs: HIPS,
  source: TWO_PER_CENT,
  of(repetition, lift) {
    if (repetition.order === 'ascent first') return [unknown('bottom', null, ascentComesFirst())];
    if (!repetition.descent || !repetition.ascent) {
      return [unknown('bottom', null, phaseMissing(repetition.descent ? 'ascent' : 'descent'), repetition.bottomFrame)];
    }
    const { arrives, leaves } = atTheBottom(repetition, lift);
    const { arrives: reaches, drives } = phaseTimes(repetition, lift);
    return [known('bottom', null, (drives - reaches) / lift.loads.frameRateHz, arrives, leaves)];
  },
};
