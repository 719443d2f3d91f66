import { impulseTooSmall, missing, phaseMissing, tooManyMissing } from '../../messages.ts';
import type { Side } from '../lift-record.ts';
import { IMPULSE_MISSING_SHARE, SHARE_FLOOR_NM_PER_KG } from '../limits.ts';
import type { Lift, MeasureReading, RepetitionMeasure } from './measure.ts';
import { type PhaseSpan, partInSpan, spanOfPhase } from './phase-sums.ts';
import { known, unknown } from './readings.ts';
import { sidesKnown } from './sides-known.ts';

/** Share of the hip in the angular impulse of hip and knee over a phase. */
export const hipImpulseShare: RepetitionMeasure = {
  scope: 'repetition',
  name: 'hip_impulse_share',
  unit: '1',
  title: 'Hip share of the impulse',
  definition:
    'Hip extensor moment summed over the time of a phase, divided by the same sum of hip and knee: the hip share of the whole descent or ascent. A pause at the bottom is halved between them.',
  knownAs: ['hip-dominant or knee-dominant'],
  needs: [],
  source: 'common practice, no source',
  of: (repetition, lift) =>
    sidesKnown(lift, 'hip_moment').flatMap((side) =>
      (['descent', 'ascent'] as const).map((phase) => {
        const span = spanOfPhase(repetition, phase, lift);
        return span ? shareOver(lift, span, side, phase) : unknown(phase, side, phaseMissing(phase));
      }),
    ),
};

function shareOver(lift: Lift, span: PhaseSpan, side: Side, phase: string): MeasureReading {
  const { from, to } = span;
  const hip = lift.table.column('hip_moment', side);
  const knee = lift.table.column('knee_moment', side);
  let hipSum = 0;
  let kneeSum = 0;
  let time = 0;
  let lost = 0;
  let lastLost = from;
  for (let f = from; f < to; f++) {
    if (Number.isNaN(hip.values[f]) || Number.isNaN(knee.values[f])) {
      lost++;
      lastLost = f;
      continue;
    }
    const part = partInSpan(f, span);
    hipSum += part * hip.values[f];
    kneeSum += part * knee.values[f];
    time += part;
  }
  const frames = to - from;
  if (!(time > 0)) {
    const reason = lost > 0 ? hip.reasonAt(lastLost) || knee.reasonAt(lastLost) : missing();
    return unknown(phase, side, reason, from, to - 1);
  }
  if (lost > IMPULSE_MISSING_SHARE * frames) return unknown(phase, side, tooManyMissing(lost, frames), from, to - 1);
  const { bodyMassKg, barMassKg } = lift.loads.motion;
  const floor = SHARE_FLOOR_NM_PER_KG * (bodyMassKg + barMassKg) * (side === 'both' ? 1 : 0.5);
  if (!((hipSum + kneeSum) / time > floor)) {
    return unknown(phase, side, impulseTooSmall(SHARE_FLOOR_NM_PER_KG), from, to - 1);
  }
  return known(phase, side, hipSum / (hipSum + kneeSum), from, to - 1);
}
