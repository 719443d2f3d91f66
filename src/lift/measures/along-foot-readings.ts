import type { Repetition } from '../lift-record.ts';
import { BIG_TOES, HEELS, type Lift, type MeasureReading } from './measure.ts';
import { readAt } from './readings.ts';

/** Landmarks that give the line of the foot. */
export const FOOT_LINES = [...HEELS, ...BIG_TOES] as const;

/** A place along the foot (0 heel, 1 tip of the toe) where the balance is judged. */
export function alongFootAtPlaces(lift: Lift, repetition: Repetition, quantity: string): MeasureReading[] {
  return readAt(lift, repetition, quantity, null, ['start', 'parallel', 'bottom', 'sticking point']);
}
