import { ascentComesFirst } from '../../messages.ts';
import { barValue } from './bar-value.ts';
import { readPlaces } from './frame-value.ts';
import { BAR_ENDS, HIPS, type RepetitionMeasure, SHOULDERS } from './measure.ts';
import { less, unknown } from './readings.ts';

const { sqrt } = Math;

/** How far the bar slides down the trunk within a repetition, m. */
export const barSlip: RepetitionMeasure = {
  scope: 'repetition',
  name: 'bar_slip',
  unit: 'm',
  title: 'Bar slip',
  definition:
    'How far the middle of the tracked bar has moved down along the line from mid-shoulder to mid-hip since the start, seen from mid-shoulder; positive = it slid toward the hips. Shoulders that are shrugged or let down count as well.',
  knownAs: ['bar sliding down', 'losing the shelf'],
  needs: [...BAR_ENDS, ...HIPS, ...SHOULDERS],
  source: 'common practice, no source',
  of(repetition, lift) {
    const upTheTrunk = barValue(
      lift,
      [...HIPS, ...SHOULDERS],
      [lift.joint('mid_hip'), lift.joint('mid_shoulder')],
      ([left, right, hip, shoulder], i) => {
        const x = shoulder[i] - hip[i];
        const y = shoulder[i + 1] - hip[i + 1];
        const z = shoulder[i + 2] - hip[i + 2];
        const bx = (left[i] + right[i]) / 2 - shoulder[i];
        const by = (left[i + 1] + right[i + 1]) / 2 - shoulder[i + 1];
        const bz = (left[i + 2] + right[i + 2]) / 2 - shoulder[i + 2];
        return (bx * x + by * y + bz * z) / sqrt(x * x + y * y + z * z);
      },
    );
    // A repetition that begins at the bottom has no stand before it to slide from.
    if (repetition.order === 'ascent first') {
      return ['bottom', 'end'].map((at) => unknown(at, null, upTheTrunk.lacking || ascentComesFirst()));
    }
    const [start, ...later] = readPlaces(lift, repetition, upTheTrunk, ['start', 'bottom', 'end']);
    return later.map((reading) => ({
      ...less(start, reading),
      at: reading.at,
      frameFirst: start.frameFirst,
      frameLast: reading.frameLast,
    }));
  },
};
