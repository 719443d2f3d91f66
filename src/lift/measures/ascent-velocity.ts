import { barIsPlaced, barIsTracked, edgeOfRecording, missing, needsBar, phaseMissing } from '../../messages.ts';
import { readingBetween } from '../quantities.ts';
import { BAR_ENDS, HIPS, type Lift, type RepetitionMeasure } from './measure.ts';
import { phaseTimes } from './phase-times.ts';
import { extreme, known, unknown } from './readings.ts';
import { ascentIsCut } from './tempo.ts';

const BAR = {
  velocity: 'bar_velocity_y',
  height: 'bar_y',
  words: 'the middle of the tracked bar ends',
  needs: BAR_ENDS,
  lacking: (lift: Lift) => {
    const placedBy = lift.loads.motion.barbell?.placedBy;
    return lift.loads.motion.barbell === null ? needsBar() : placedBy ? barIsPlaced(placedBy) : '';
  },
};
const PLACED_BAR = {
  ...BAR,
  words: 'the bar where its placement puts it (at the shoulders or in the hands), because its ends are not tracked',
  needs: [],
  lacking: (lift: Lift) => {
    const { barbell } = lift.loads.motion;
    return barbell === null ? needsBar() : barbell.placedBy ? '' : barIsTracked();
  },
};
const HIP = {
  velocity: 'hip_velocity_y',
  height: 'hip_height',
  words: 'the mid-hip point',
  needs: HIPS,
  lacking: () => '',
};

export const barVelocityMean = meanVelocity('bar_velocity_mean', 'Mean bar velocity', BAR);
export const barVelocityPeak = peakVelocity('bar_velocity_peak', 'Peak bar velocity', BAR);
export const placedBarVelocityMean = meanVelocity(
  'placed_bar_velocity_mean',
  'Mean velocity of the placed bar',
  PLACED_BAR,
);
export const placedBarVelocityPeak = peakVelocity(
  'placed_bar_velocity_peak',
  'Peak velocity of the placed bar',
  PLACED_BAR,
);
export const hipVelocityMean = meanVelocity('hip_velocity_mean', 'Mean hip velocity', HIP);
export const hipVelocityPeak = peakVelocity('hip_velocity_peak', 'Peak hip velocity', HIP);

type Moving = typeof BAR | typeof PLACED_BAR | typeof HIP;

function card(name: string, title: string, { needs }: Moving) {
  return {
    scope: 'repetition',
    name,
    unit: 'm_per_s',
    title,
    knownAs: ['bar speed'],
    needs,
    source: 'common practice, no source',
  } as const;
}

/** Rise of a point over the ascent divided by its time (phase-times.ts), m/s. */
function meanVelocity(name: string, title: string, moving: Moving): RepetitionMeasure {
  return {
    ...card(name, title, moving),
    definition: `Upward velocity of ${moving.words}, mean over the ascent from the last moment within 2 % of the drop of the bottom to the first within 2 % of standing: rise divided by time. A pause at the bottom does not count.`,
    of(repetition, lift) {
      const { ascent } = repetition;
      const lacking = moving.lacking(lift);
      if (!ascent) return [unknown('ascent', null, lacking || phaseMissing('ascent'))];
      const { from } = ascent;
      const end = Math.min(ascent.to, lift.loads.frames - 1);
      if (lacking !== '') return [unknown('ascent', null, lacking, from, end)];
      if (ascentIsCut(repetition, lift)) return [unknown('ascent', null, repetition.reason || missing(), from, end)];
      const { drives, stands } = phaseTimes(repetition, lift);
      const column = lift.table.column(moving.height, null);
      const [low, high] = [drives, stands].map((at) => readingBetween(column, at));
      const reason = low.reason || high.reason;
      if (reason !== '') return [unknown('ascent', null, reason, from, end)];
      if (!(stands > drives)) return [unknown('ascent', null, edgeOfRecording(), from, end)];
      const seconds = (stands - drives) / lift.loads.frameRateHz;
      return [known('ascent', null, (high.value - low.value) / seconds, Math.floor(drives), end)];
    },
  };
}

/** Largest upward velocity of a point in the ascent, m/s. */
function peakVelocity(name: string, title: string, moving: Moving): RepetitionMeasure {
  return {
    ...card(name, title, moving),
    definition: `Largest upward velocity of ${moving.words} in the ascent.`,
    of(repetition, lift) {
      const { ascent } = repetition;
      const lacking = moving.lacking(lift);
      if (!ascent) return [unknown('ascent', null, lacking || phaseMissing('ascent'))];
      if (lacking !== '') return [unknown('ascent', null, lacking, ascent.from, ascent.to - 1)];
      return [extreme(lift, repetition, moving.velocity, null, 'ascent', 'largest', ascent)];
    },
  };
}
