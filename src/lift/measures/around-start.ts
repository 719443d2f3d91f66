import type { Repetition } from '../lift-record.ts';
import type { Lift } from './measure.ts';
import { startFrame } from './readings.ts';

/** A quarter second on either side of the start of a repetition, half-open. */
export function aroundStart(repetition: Repetition, { loads }: Pick<Lift, 'loads'>) {
  const frame = startFrame(repetition);
  const reach = Math.round(0.25 * loads.frameRateHz);
  return { from: Math.max(0, frame - reach), to: Math.min(loads.frames, frame + reach + 1) };
}
