import { missing } from '../../messages.ts';
import type { Lift, MeasureReading } from './measure.ts';
import { known, unknown } from './readings.ts';

/** The reading of a measure of the whole set: its number, or why it is unknown. */
export function ofTheSet({ loads }: Lift, value: number | string): MeasureReading {
  const last = loads.frames - 1;
  if (typeof value === 'string') return unknown('set', null, value, 0, last);
  return Number.isFinite(value) ? known('set', null, value, 0, last) : unknown('set', null, missing(), 0, last);
}
