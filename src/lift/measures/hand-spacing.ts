import { distanceAt, WRISTS } from './arm-points.ts';
import { frameValue, readPlaces } from './frame-value.ts';
import { type RepetitionMeasure, SHOULDERS } from './measure.ts';
import { shouldersApart } from './shoulder-width.ts';

/** Distance between the wrists, in widths of the shoulders, 1. */
export const handSpacing: RepetitionMeasure = {
  scope: 'repetition',
  name: 'hand_spacing',
  unit: '1',
  scale: 'logarithm',
  title: 'Hand spacing',
  definition:
    'Distance between the two wrists at the start divided by the distance between the shoulder points (median over the recording). The wrists stand for the hands, which few recordings have.',
  knownAs: ['grip width'],
  needs: [...SHOULDERS, ...WRISTS],
  source: 'common practice, no source',
  of(repetition, lift) {
    const widthM = shouldersApart(lift);
    const value = frameValue(
      lift,
      null,
      [...SHOULDERS, ...WRISTS],
      [
        lift.landmark('left_wrist'),
        lift.landmark('right_wrist'),
        lift.landmark('left_shoulder'),
        lift.landmark('right_shoulder'),
      ],
      ([left, right], i) => distanceAt(left, right, i) / Number(widthM),
    );
    return readPlaces(lift, repetition, value, ['start']);
  },
};
