import { sharingReasons } from '../../messages/leg-sharing.ts';
import type { Repetition } from '../lift-record.ts';
import { ANKLES, BIG_TOES, HEELS, type Lift, type MeasureReading, type RepetitionMeasure } from './measure.ts';
import { leftLessRight, type Place, readAt } from './readings.ts';

/** Landmarks that place the force of the floor under each foot. */
export const SHARING_FEET = [...HEELS, ...BIG_TOES, ...ANKLES] as const;

/** Ends the definitions. */
export const ASSUMED =
  'The total force of the floor is shared between the feet by assumption (setting leg_sharing), not measured: its interval holds what the assumption may be off.';

/** `readAt`, with the reason where nothing was shared because the recording says so. */
export function readShared(
  lift: Lift,
  repetition: Repetition,
  quantity: string,
  side: 'left' | 'right',
  places: readonly Place[],
): MeasureReading[] {
  const readings = readAt(lift, repetition, quantity, side, places);
  if (lift.table.find(quantity, side)) return readings;
  return readings.map((reading) => ({ ...reading, value: Number.NaN, reason: sharingReasons.switchedOff() }));
}

/** What the left leg gives more than the right one, at parallel and at the bottom. */
export function sharedLeftMinusRight(lift: Lift, repetition: Repetition, quantity: string): MeasureReading[] {
  const [left, right] = (['left', 'right'] as const).map((side) =>
    readShared(lift, repetition, quantity, side, ['parallel', 'bottom']),
  );
  return left.map((reading, k) => leftLessRight(reading, right[k]));
}

/** What the differences between the legs have in common. */
export const LEFT_MINUS_RIGHT_SHARED = {
  scope: 'repetition',
  unit: 'nm',
  knownAs: ['one leg does more'],
  needs: SHARING_FEET,
  source: 'common practice, no source',
} as const satisfies Partial<RepetitionMeasure>;
