import { ascentComesFirst, missing, phaseMissing } from '../../messages.ts';
import { dropPct } from '../depth.ts';
import type { Repetition } from '../lift-record.ts';
import { REGAINED_SHARE } from '../limits.ts';
import { HIPS, type Lift, type RepetitionMeasure } from './measure.ts';
import { atTheBottom, phaseTimes } from './phase-times.ts';
import { known, unknown } from './readings.ts';

const CARD = { scope: 'repetition', unit: 's', needs: HIPS, source: '2 %: common practice, no source' } as const;

export const descentTime: RepetitionMeasure = {
  ...CARD,
  name: 'descent_time',
  title: 'Time of the descent',
  definition: 'From the last moment within 2 % of the drop of standing to the first within 2 % of the bottom.',
  knownAs: ['tempo', 'eccentric'],
  of(repetition, lift) {
    const { descent } = repetition;
    if (!descent) return [unknown('descent', null, phaseMissing('descent'))];
    if (repetition.completeness !== 'full' && beginsCut(repetition, lift)) {
      return [unknown('descent', null, repetition.reason, descent.from, descent.to - 1)];
    }
    const { arrives } = atTheBottom(repetition, lift);
    const { descends, arrives: reaches } = phaseTimes(repetition, lift);
    return [known('descent', null, (reaches - descends) / lift.loads.frameRateHz, descent.from, arrives)];
  },
};

export const ascentTime: RepetitionMeasure = {
  ...CARD,
  name: 'ascent_time',
  title: 'Time of the ascent',
  definition: 'From the last moment within 2 % of the drop of the bottom to the first within 2 % of standing.',
  knownAs: ['tempo', 'concentric'],
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

export const bottomPause: RepetitionMeasure = {
  ...CARD,
  name: 'bottom_pause',
  title: 'Pause at the bottom',
  definition: 'Time between the first and the last moment within 2 % of the drop of the bottom.',
  knownAs: ['pause', 'bounce'],
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

/** True where the ascent does not end at a stand. */
export function ascentIsCut(repetition: Repetition, lift: Lift): boolean {
  if (!repetition.ascent || repetition.order === 'ascent first') return repetition.completeness === 'failed';
  const end = Math.min(repetition.ascent.to, lift.height.length - 1);
  return !(dropPct(lift.height, repetition, end) <= 100 * (1 - REGAINED_SHARE));
}

/** True where the descent begins before the recording does. */
function beginsCut({ topFrame, descent }: Repetition, { height }: Lift): boolean {
  return descent !== null && height.subarray(0, topFrame).every(Number.isNaN);
}
