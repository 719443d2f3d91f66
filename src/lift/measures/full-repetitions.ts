import { needsFullRepetitions } from '../../messages.ts';
import type { Repetition } from '../lift-record.ts';
import type { Lift, MeasureReading } from './measure.ts';
import { known, unknown } from './readings.ts';

/** Full repetitions that a loss over a set needs. */
const LEAST = 2;

/**
 * What the last full repetition of a set has lost against the best one. `read`: the reading of one repetition; `better` is
 * positive where the first value is the better one; `loss` of the last against the best. Unknown with fewer than two full
 * repetitions, and where the last one's value is not known; a repetition in the middle that is not known is passed over.
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
  const last = readings[readings.length - 1];
  if (last.reason !== '') return unknown('set', null, last.reason, last.frameFirst, last.frameLast);
  const readable = readings.filter(({ reason }) => reason === '');
  if (readable.length < LEAST) return unknown('set', null, readings[0].reason, 0, end);
  const best = readable.reduce((a, b) => (better(b.value, a.value) > 0 ? b : a));
  return known('set', null, loss(last.value, best.value), best.frameFirst, last.frameLast);
}
