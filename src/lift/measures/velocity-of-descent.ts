import { edgeOfRecording, phaseMissing } from '../../messages.ts';
import type { Repetition } from '../lift-record.ts';
import { readingBetween } from '../quantities.ts';
import { descentIsCut } from './cut-phases.ts';
import type { Lift, MeasureReading } from './measure.ts';
import { HIP } from './moving-points.ts';
import { phaseTimes } from './phase-times.ts';
import { extreme, known, unknown } from './readings.ts';

/** Drop of the hips between the 2 % marks of the descent (phase-times.ts) divided by its time, m/s, down positive. */
export function meanDescentVelocity(repetition: Repetition, lift: Lift): MeasureReading {
  const { descent } = repetition;
  if (!descent) return unknown('descent', null, phaseMissing('descent'));
  const [from, end] = [descent.from, descent.to - 1];
  if (repetition.completeness !== 'full' && descentIsCut(repetition, lift)) {
    return unknown('descent', null, repetition.reason, from, end);
  }
  const { descends, arrives } = phaseTimes(repetition, lift);
  const column = lift.table.column(HIP.height, null);
  const [high, low] = [descends, arrives].map((at) => readingBetween(column, at));
  const reason = high.reason || low.reason;
  if (reason !== '') return unknown('descent', null, reason, from, end);
  if (!(arrives > descends)) return unknown('descent', null, edgeOfRecording(), from, end);
  const seconds = (arrives - descends) / lift.loads.frameRateHz;
  return known('descent', null, (high.value - low.value) / seconds, from, Math.ceil(arrives));
}

/** Largest downward velocity of the hips in the descent, m/s, down positive. */
export function peakDescentVelocity(repetition: Repetition, lift: Lift): MeasureReading {
  const { descent } = repetition;
  if (!descent) return unknown('descent', null, phaseMissing('descent'));
  const fastest = extreme(lift, repetition, HIP.velocity, null, 'descent', 'smallest', descent);
  return { ...fastest, value: -fastest.value };
}
