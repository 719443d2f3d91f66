import { missing, phaseMissing, tooManyMissing } from '../../messages.ts';
import type { Phase } from '../depth.ts';
import type { FrameRange, Repetition, Side } from '../lift-record.ts';
import { IMPULSE_MISSING_SHARE } from '../limits.ts';
import type { Lift, MeasureReading } from './measure.ts';
import { atTheBottom } from './phase-times.ts';
import { known, unknown } from './readings.ts';
import { sidesKnown } from './sides-known.ts';

/** The sums over the phases, of both legs and of each that is known. */
export function legsOverPhases(lift: Lift, repetition: Repetition, quantity: string): MeasureReading[] {
  return sidesKnown(lift, quantity).flatMap((side) => overPhases(lift, repetition, quantity, side));
}

/** The phase up to, or from, the middle of the time at the bottom: the lowest frame lies anywhere in a pause. */
export function withHalfThePause(repetition: Repetition, phase: Phase, lift: Lift): FrameRange | null {
  const { descent, ascent, order } = repetition;
  if (!descent || !ascent || order === 'ascent first') return repetition[phase];
  const { arrives, leaves } = atTheBottom(repetition, lift);
  const middle = Math.round((arrives + leaves) / 2);
  return phase === 'descent' ? { from: descent.from, to: middle } : { from: middle, to: ascent.to };
}

/**
 * A quantity summed over the time of descent and ascent, a pause at the bottom halved between them; frames that are missing count as the mean of the others, up to a
 * limit.
 */
export function overPhases(lift: Lift, repetition: Repetition, quantity: string, side: Side | null): MeasureReading[] {
  const { values, reasonAt } = lift.table.column(quantity, side);
  return (['descent', 'ascent'] as const).map((phase) => {
    const range = withHalfThePause(repetition, phase, lift);
    if (!range) return unknown(phase, side, phaseMissing(phase));
    const { from, to } = range;
    const frames = to - from;
    let sum = 0;
    let lost = 0;
    let lastLost = from;
    for (let f = from; f < to; f++) {
      if (Number.isNaN(values[f])) {
        lost++;
        lastLost = f;
      } else sum += values[f];
    }
    if (lost === frames) return unknown(phase, side, reasonAt(lastLost) || missing(), from, to - 1);
    if (lost > IMPULSE_MISSING_SHARE * frames) return unknown(phase, side, tooManyMissing(lost, frames), from, to - 1);
    const seconds = frames / lift.loads.frameRateHz;
    return known(phase, side, (sum / (frames - lost)) * seconds, from, to - 1);
  });
}
