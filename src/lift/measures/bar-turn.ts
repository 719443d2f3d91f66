import { barValue } from './bar-value.ts';
import { readPlaces } from './frame-value.ts';
import { BAR_ENDS, type RepetitionMeasure } from './measure.ts';

const DEGREES = 180 / Math.PI;
const { abs, atan2 } = Math;

/** Turn of the bar seen from above, degrees. */
export const barTurn: RepetitionMeasure = {
  scope: 'repetition',
  name: 'bar_turn',
  unit: 'deg',
  title: 'Turn of the bar',
  definition:
    'Angle of the line between the tracked bar ends seen from above, against straight across the way the lifter faces: 0 = square, positive = right end ahead.',
  knownAs: ['bar twisting', 'one side ahead'],
  needs: BAR_ENDS,
  source: 'common practice, no source',
  of(repetition, lift) {
    const turn = barValue(
      lift,
      [],
      [],
      ([left, right], i) => DEGREES * atan2(right[i] - left[i], abs(right[i + 2] - left[i + 2])),
    );
    return readPlaces(lift, repetition, turn, ['start', 'bottom']);
  },
};
