import type { RepetitionMeasure } from './measure.ts';
import { readAt } from './readings.ts';
import { sidesKnown } from './sides-known.ts';

export const peakHipMoment = peakOf('hip_moment', 'hip extensor moment');
export const peakKneeMoment = peakOf('knee_moment', 'knee extensor moment');
export const peakAnkleMoment = peakOf('ankle_moment', 'ankle plantarflexor moment');
export const peakSupportMoment = peakOf('support_moment', 'support moment (hip + knee + ankle)');

/** Largest moment of a repetition, N·m, with the frame at which it occurs. */
function peakOf(quantity: string, words: string): RepetitionMeasure {
  return {
    scope: 'repetition',
    name: `${quantity}_peak`,
    unit: 'nm',
    title: `Largest ${words}`,
    definition: `Largest ${words} within the repetition. Both legs together; each leg too where a force plate stands under it.`,
    knownAs: [],
    needs: [],
    source: 'common practice, no source',
    of: (repetition, lift) =>
      sidesKnown(lift, quantity).flatMap((side) => readAt(lift, repetition, quantity, side, ['largest'])),
  };
}
