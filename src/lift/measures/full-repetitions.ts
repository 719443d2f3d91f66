import { needsFullRepetitions } from '../../messages.ts';
import type { Repetition } from '../lift-record.ts';
import type { Lift, MeasureReading } from './measure.ts';
import { known, unknown } from './readings.ts';

/** Full repetitions that a loss over a set needs. */
const LEAST = 2;

/**
 * What the last full repetition of a set has lost against the best one. `read`: the reading of one repetition; `better` is
 * positive where the first value is the better one; `loss` of the last against the best. Unknown with fewer than two full
 * repetitions, and where one of them is not known: it may be the best.
 */
export function lossOverSet(
  lift: Lift,
  read: (repetition: Repetition) => MeasureReading,
  better: (a: number, b: number) => number,
  loss: (last: number, best: number) => number,
): MeasureReading {
  const full = lift.repetitions.filter(({ completeness }) => completeness === 'full');
  const end = lift.loads.frames - 1;
  if (full.length < LEAST) return unknown('set', null, needsFullRepetitions(LEAST, full.length), 0, end);
  const readings = full.map(read);
  const unread = readings.find(({ reason }) => reason !== '');
  if (unread) return unknown('set', null, unread.reason, unread.frameFirst, unread.frameLast);
  const last = readings[readings.length - 1];
  const best = readings.reduce((a, b) => (better(b.value, a.value) > 0 ? b : a));
  return known('set', null, loss(last.value, best.value), best.frameFirst, last.frameLast);
}
