import { edgeOfRecording, missing, phaseMissing } from '../../messages.ts';
import { readingBetween } from '../quantities.ts';
import { ascentIsCut } from './cut-phases.ts';
import type { RepetitionMeasure } from './measure.ts';
import type { Moving } from './moving-points.ts';
import { phaseTimes } from './phase-times.ts';
import { extreme, known, unknown } from './readings.ts';

function card(name: string, title: string, { needs }: Moving) {
  return {
    scope: 'repetition',
    name,
    unit: 'm_per_s',
    title,
    knownAs: ['bar speed'],
    needs,
    source: 'common practice, no source',
  } as const;
}

/** Rise of a point over the ascent divided by its time (phase-times.ts), m/s. */
export function meanVelocity(name: string, title: string, moving: Moving): RepetitionMeasure {
  return {
    ...card(name, title, moving),
    definition: `Upward velocity of ${moving.words}, mean over the ascent from the last moment within 2 % of the drop of the bottom to the first within 2 % of standing: rise divided by time. A pause at the bottom does not count.`,
    of(repetition, lift) {
      const { ascent } = repetition;
      const lacking = moving.lacking(lift);
      if (!ascent) return [unknown('ascent', null, lacking || phaseMissing('ascent'))];
      const { from } = ascent;
      const end = Math.min(ascent.to, lift.loads.frames - 1);
      if (lacking !== '') return [unknown('ascent', null, lacking, from, end)];
      if (ascentIsCut(repetition, lift)) return [unknown('ascent', null, repetition.reason || missing(), from, end)];
      const { drives, stands } = phaseTimes(repetition, lift);
      const column = lift.table.column(moving.height, null);
      const [low, high] = [drives, stands].map((at) => readingBetween(column, at));
      const reason = low.reason || high.reason;
      if (reason !== '') return [unknown('ascent', null, reason, from, end)];
      if (!(stands > drives)) return [unknown('ascent', null, edgeOfRecording(), from, end)];
      const seconds = (stands - drives) / lift.loads.frameRateHz;
      return [known('ascent', null, (high.value - low.value) / seconds, Math.floor(drives), end)];
    },
  };
}

/** Largest upward velocity of a point in the ascent, m/s. */
export function peakVelocity(name: string, title: string, moving: Moving): RepetitionMeasure {
  return {
    ...card(name, title, moving),
    definition: `Largest upward velocity of ${moving.words} in the ascent.`,
    of(repetition, lift) {
      const { ascent } = repetition;
      const lacking = moving.lacking(lift);
      if (!ascent) return [unknown('ascent', null, lacking || phaseMissing('ascent'))];
      if (lacking !== '') return [unknown('ascent', null, lacking, ascent.from, ascent.to - 1)];
      return [extreme(lift, repetition, moving.velocity, null, 'ascent', 'largest', ascent)];
    },
  };
}
