import { ascentComesFirst } from '../../messages.ts';
import { HELD, held } from './held.ts';
import { HIPS, type RepetitionMeasure, SHOULDERS } from './measure.ts';
import { readAt, unknownAt } from './readings.ts';
import { quantityAroundStart } from './since-start.ts';

/** How much shorter the straight line of the trunk becomes, 1, shorter positive. Source: common practice, no source. */
export const chordShortening: RepetitionMeasure = {
  scope: 'repetition',
  name: 'chord_shortening',
  unit: '1',
  title: 'Trunk line shortened',
  definition: `By what share the straight distance from mid-hip to mid-shoulder is shorter than around the start; positive = shorter. A back that rounds shortens it, shoulders that are shrugged or reach forward change it too: rounding and shrugging cannot be told apart by it. largest: ${HELD}.`,
  knownAs: ['back rounding', 'losing tightness'],
  needs: [...HIPS, ...SHOULDERS],
  source: 'common practice, no source',
  of(repetition, lift) {
    if (repetition.order === 'ascent first') return unknownAt(['bottom', 'largest'], null, ascentComesFirst());
    const start = quantityAroundStart(lift, repetition, 'trunk_chord', null);
    const [bottom] = readAt(lift, repetition, 'trunk_chord', null, ['bottom']);
    const shortest = { ...held(lift, repetition, 'trunk_chord', null, 'smallest'), at: 'largest' };
    return [bottom, shortest].map((chord) => {
      const reason = chord.reason || start.reason;
      return { ...chord, value: reason === '' ? 1 - chord.value / start.value : Number.NaN, reason };
    });
  },
};
