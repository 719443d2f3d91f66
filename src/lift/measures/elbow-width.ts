import { distanceAt, ELBOWS } from './arm-points.ts';
import { frameValue, readPlaces } from './frame-value.ts';
import { type RepetitionMeasure, SHOULDERS } from './measure.ts';
import { shouldersApart } from './shoulder-width.ts';

/** Distance between the elbows, in widths of the shoulders, 1. */
export const elbowWidth: RepetitionMeasure = {
  scope: 'repetition',
  name: 'elbow_width',
  unit: '1',
  scale: 'logarithm',
  title: 'Elbow width',
  definition:
    'Distance between the two elbows divided by the distance between the shoulder points (median over the recording): 1 = elbows straight in front of the shoulders.',
  knownAs: ['elbows in or out', 'elbows flared'],
  needs: [...SHOULDERS, ...ELBOWS],
  source: 'common practice, no source',
  of(repetition, lift) {
    const widthM = shouldersApart(lift);
    const value = frameValue(
      lift,
      null,
      [...SHOULDERS, ...ELBOWS],
      [
        lift.landmark('left_elbow'),
        lift.landmark('right_elbow'),
        lift.landmark('left_shoulder'),
        lift.landmark('right_shoulder'),
      ],
      ([left, right], i) => distanceAt(left, right, i) / Number(widthM),
    );
    return readPlaces(lift, repetition, value, ['start', 'bottom']);
  },
};
