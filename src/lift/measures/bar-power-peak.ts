import { edgeOfRecording, phaseMissing } from '../../messages.ts';
import { GRAVITY_M_PER_S2 } from '../../numerics/constants.ts';
import type { FrameRange, Repetition } from '../lift-record.ts';
import { largestInAscent } from './largest-in-ascent.ts';
import type { Lift, MeasureReading, RepetitionMeasure } from './measure.ts';
import { barNotTracked } from './moving-points.ts';
import { known, reasonThroughout, unknown } from './readings.ts';

/**
 * Largest power given to the bar in the ascent, W; known as "peak power".
 *
 * Of a tracked bar from the points that are smoothed less, as its velocity is: those for moments cut the peak.
 */
export const peakBarPower: RepetitionMeasure = {
  scope: 'repetition',
  name: 'bar_power_peak',
  unit: 'w',
  title: 'Largest power on the bar',
  definition:
    'Largest power given to the bar in the ascent: the upward force on it (its mass times gravity and its own upward acceleration) times its upward velocity, from the points that its velocity is read from. Of a bar whose ends are not tracked: the force on it times its velocity, from the points of the body.',
  knownAs: ['peak power'],
  needs: [],
  source: 'common practice, no source',
  of: (repetition, lift) =>
    barNotTracked(lift) === ''
      ? [ofTrackedBar(repetition, lift)]
      : [largestInAscent(lift, repetition, 'bar_power', null)],
};

function ofTrackedBar({ ascent }: Repetition, lift: Lift): MeasureReading {
  if (!ascent) return unknown('largest', null, phaseMissing('ascent'));
  const column = lift.table.column('bar_velocity_y', null);
  const { massKg } = lift.loads.motion.barbell!;
  const { values } = column;
  let [best, most] = [-1, Number.NEGATIVE_INFINITY];
  for (let f = Math.max(1, ascent.from); f < Math.min(ascent.to, values.length - 1); f++) {
    const accelerationMPerS2 = ((values[f + 1] - values[f - 1]) * lift.loads.frameRateHz) / 2;
    const power = massKg * (GRAVITY_M_PER_S2 + accelerationMPerS2) * values[f];
    if (power > most) [best, most] = [f, power];
  }
  return best < 0 ? unknown('largest', null, reasonIn(lift, ascent)) : known('largest', null, most, best);
}

const reasonIn = (lift: Lift, ascent: FrameRange): string =>
  reasonThroughout(lift.table.column('bar_velocity_y', null), ascent) || edgeOfRecording();
