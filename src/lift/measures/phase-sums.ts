import { missing, phaseMissing, tooManyMissing } from '../../messages.ts';
import type { Phase } from '../depth.ts';
import type { FrameRange, Repetition, Side } from '../lift-record.ts';
import { IMPULSE_MISSING_SHARE } from '../limits.ts';
import type { Lift, MeasureReading } from './measure.ts';
import { phaseTimes } from './phase-times.ts';
import { known, unknown } from './readings.ts';
import { sidesKnown } from './sides-known.ts';

/** The sums over the phases, of both legs and of each that is known. */
export function legsOverPhases(lift: Lift, repetition: Repetition, quantity: string): MeasureReading[] {
  return sidesKnown(lift, quantity).flatMap((side) => overPhases(lift, repetition, quantity, side));
}

/** The time of a phase in fractional frames, and the frames that have a part in it. */
export interface PhaseSpan extends FrameRange {
  readonly begins: number;
  readonly ends: number;
}

/**
 * The phase between its 2 % marks, a pause at the bottom halved between descent and ascent: the lowest frame lies anywhere in it,
 * and whole frames would make a phase one frame long. Frame by frame where one of the phases is missing or the ascent comes first.
 */
export function spanOfPhase(repetition: Repetition, phase: Phase, lift: Lift): PhaseSpan | null {
  const { descent, ascent, order } = repetition;
  const range = repetition[phase];
  if (!range) return null;
  const { descends, arrives, drives, stands } = phaseTimes(repetition, lift);
  const middle = (arrives + drives) / 2;
  const [begins, ends] = phase === 'descent' ? [descends, middle] : [middle, stands];
  const marked = descent !== null && ascent !== null && order === 'descent first' && begins < ends;
  return marked ? spanOf(begins, ends) : { ...range, begins: range.from - 0.5, ends: range.to - 0.5 };
}

const spanOf = (begins: number, ends: number): PhaseSpan => ({
  from: Math.floor(begins + 0.5),
  to: Math.ceil(ends + 0.5),
  begins,
  ends,
});

/** The part of a frame's time, half a frame to either side of it, that lies in the span, 0–1. */
export function partInSpan(frame: number, { begins, ends }: PhaseSpan): number {
  return Math.max(0, Math.min(frame + 0.5, ends) - Math.max(frame - 0.5, begins));
}

/**
 * A quantity summed over the time of descent and ascent, a pause at the bottom halved between them; frames that are missing count as the mean of the others, up to a
 * limit.
 */
export function overPhases(lift: Lift, repetition: Repetition, quantity: string, side: Side | null): MeasureReading[] {
  const { values, reasonAt } = lift.table.column(quantity, side);
  return (['descent', 'ascent'] as const).map((phase) => {
    const span = spanOfPhase(repetition, phase, lift);
    if (!span) return unknown(phase, side, phaseMissing(phase));
    const { from, to, begins, ends } = span;
    const frames = to - from;
    let sum = 0;
    let time = 0;
    let lost = 0;
    let lastLost = from;
    for (let f = from; f < to; f++) {
      const part = partInSpan(f, span);
      if (Number.isNaN(values[f])) {
        lost++;
        lastLost = f;
      } else {
        sum += part * values[f];
        time += part;
      }
    }
    if (!(time > 0)) return unknown(phase, side, reasonAt(lastLost) || missing(), from, to - 1);
    if (lost > IMPULSE_MISSING_SHARE * frames) return unknown(phase, side, tooManyMissing(lost, frames), from, to - 1);
    return known(phase, side, ((sum / time) * (ends - begins)) / lift.loads.frameRateHz, from, to - 1);
  });
}
