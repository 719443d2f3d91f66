import { missing, phaseMissing, tooManyMissing } from '../../messages.ts';
import type { Repetition, Side } from '../lift-record.ts';
import { IMPULSE_MISSING_SHARE } from '../limits.ts';
import type { Lift, MeasureReading, RepetitionMeasure } from './measure.ts';
import { extreme, known, unknown } from './readings.ts';
import { sidesKnown } from './sides-known.ts';

const JOINT_WORDS = { hip: 'hips', knee: 'knees', ankle: 'ankles' } as const;
type Joint = keyof typeof JOINT_WORDS;

export const hipWork = workOf('hip');
export const kneeWork = workOf('knee');
export const ankleWork = workOf('ankle');
export const hipImpulse = impulseOf('hip');
export const kneeImpulse = impulseOf('knee');
export const ankleImpulse = impulseOf('ankle');
export const peakHipPower = peakPowerOf('hip');
export const peakKneePower = peakPowerOf('knee');

/** Work on the bar over a phase: what raises and speeds it up. */
export const barWork: RepetitionMeasure = {
  scope: 'repetition',
  name: 'bar_work',
  unit: 'j',
  title: 'Work on the bar',
  definition: 'Work done on the bar over a phase: its gain of height and speed. Negative while it is lowered.',
  knownAs: [],
  needs: [],
  source: 'Winter (2009) ch. 6: work is the integral of power',
  of: (repetition, lift) => overPhases(lift, repetition, 'bar_power', null),
};

/** Largest power given to the bar in the ascent, watts. */
export const peakBarPower: RepetitionMeasure = {
  scope: 'repetition',
  name: 'bar_power_peak',
  unit: 'w',
  title: 'Largest power on the bar',
  definition: 'Largest power given to the bar in the ascent: the force on it times its velocity.',
  knownAs: ['peak power'],
  needs: [],
  source: 'common practice, no source',
  of: (repetition, lift) => largestInAscent(lift, repetition, 'bar_power', null),
};

/** Net work of a joint over a phase, joules: its power summed over time. */
function workOf(joint: Joint): RepetitionMeasure {
  return {
    scope: 'repetition',
    name: `${joint}_work`,
    unit: 'j',
    title: `Work of the ${JOINT_WORDS[joint]}`,
    definition:
      `Net work of the muscles about the ${JOINT_WORDS[joint]} over a phase: power summed over its time. Positive = they ` +
      'add energy, negative = they take it up. Both legs together as seen from the side; each leg too where a force plate stands under it.',
    knownAs: [],
    needs: [],
    source: 'Winter (2009) ch. 6: work is the integral of power',
    of: (repetition, lift) =>
      sidesKnown(lift, `${joint}_power`).flatMap((side) => overPhases(lift, repetition, `${joint}_power`, side)),
  };
}

/** Angular impulse of a joint's moment over a phase, N·m·s. */
function impulseOf(joint: Joint): RepetitionMeasure {
  return {
    scope: 'repetition',
    name: `${joint}_impulse`,
    unit: 'nms',
    title: `Impulse of the ${JOINT_WORDS[joint]}`,
    definition: `${joint}_moment summed over the time of a phase: how much moment for how long.`,
    knownAs: ['time under tension, weighted by effort'],
    needs: [],
    source: 'common practice, no source',
    of: (repetition, lift) =>
      sidesKnown(lift, `${joint}_moment`).flatMap((side) => overPhases(lift, repetition, `${joint}_moment`, side)),
  };
}

function peakPowerOf(joint: Joint): RepetitionMeasure {
  return {
    scope: 'repetition',
    name: `${joint}_power_peak`,
    unit: 'w',
    title: `Largest power of the ${JOINT_WORDS[joint]}`,
    definition: `Largest power of the ${JOINT_WORDS[joint]} in the ascent.`,
    knownAs: [],
    needs: [],
    source: 'common practice, no source',
    of: (repetition, lift) =>
      sidesKnown(lift, `${joint}_power`).flatMap((side) => largestInAscent(lift, repetition, `${joint}_power`, side)),
  };
}

function largestInAscent(lift: Lift, repetition: Repetition, quantity: string, side: Side | null): MeasureReading[] {
  return repetition.ascent
    ? [extreme(lift, repetition, quantity, side, 'largest', 'largest', repetition.ascent)]
    : [unknown('largest', side, phaseMissing('ascent'))];
}

/** A quantity summed over the time of descent and ascent; frames that are missing count as the mean of the others, up to a limit. */
function overPhases(lift: Lift, repetition: Repetition, quantity: string, side: Side | null): MeasureReading[] {
  const { values, reasonAt } = lift.table.column(quantity, side);
  return (['descent', 'ascent'] as const).map((phase) => {
    const range = repetition[phase];
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
