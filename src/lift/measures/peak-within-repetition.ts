import type { Repetition } from '../lift-record.ts';
import type { Lift, MeasureReading, RepetitionMeasure } from './measure.ts';
import { readAt } from './readings.ts';
import { sidesKnown } from './sides-known.ts';

/** What the largest moments have in common, but for their words. */
export const PEAK_MOMENT = {
  scope: 'repetition',
  unit: 'nm',
  knownAs: [],
  needs: [],
  source: 'common practice, no source',
} as const satisfies Partial<RepetitionMeasure>;

/** Ends the definitions. */
export const WHICH_LEGS = 'Both legs together; each leg too where a force plate stands under it.';

/** Largest value of a quantity within a repetition with the frame at which it occurs, of both legs and of each that is known. */
export function peakWithinRepetition(lift: Lift, repetition: Repetition, quantity: string): MeasureReading[] {
  return sidesKnown(lift, quantity).flatMap((side) => readAt(lift, repetition, quantity, side, ['largest']));
}
