import { barValue } from './bar-value.ts';
import { readExtreme, readPlaces } from './frame-value.ts';
import { BAR_ENDS, type RepetitionMeasure } from './measure.ts';
import { wholeRange } from './readings.ts';

const DEGREES = 180 / Math.PI;
const { abs, atan2 } = Math;

/** Slope of the bar seen from the front, degrees. */
export const barTilt: RepetitionMeasure = {
  scope: 'repetition',
  name: 'bar_tilt',
  unit: 'deg',
  title: 'Tilt of the bar',
  definition:
    'Slope of the line between the tracked bar ends seen from the front: 0 = level, positive = right end higher. Largest = the value that is furthest from level within the repetition, with its sign.',
  knownAs: ['bar tipping', 'one side lower'],
  needs: BAR_ENDS,
  source: 'common practice, no source',
  of(repetition, lift) {
    const tilt = barValue(
      lift,
      [],
      [],
      ([left, right], i) => DEGREES * atan2(right[i + 1] - left[i + 1], abs(right[i + 2] - left[i + 2])),
    );
    const range = wholeRange(repetition);
    const high = readExtreme(lift, tilt, 'largest', 'largest', range);
    const low = readExtreme(lift, tilt, 'largest', 'smallest', range);
    return [...readPlaces(lift, repetition, tilt, ['start', 'bottom']), abs(low.value) > abs(high.value) ? low : high];
  },
};
