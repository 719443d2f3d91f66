import { ELBOWS, HANDS, WRISTS } from './arm-points.ts';
import { readPlaces, valuesOfSides } from './frame-value.ts';
import type { RepetitionMeasure } from './measure.ts';

const DEGREES = 180 / Math.PI;
const { atan2, sqrt } = Math;

/** How far the hand is bent against the forearm, degrees. */
export const wristExtension: RepetitionMeasure = {
  scope: 'repetition',
  name: 'wrist_extension',
  unit: 'deg',
  title: 'Bend of the wrist',
  definition:
    'Angle between the line from elbow to wrist and the line from wrist to the third knuckle: 0 = straight. Which way the wrist is bent these three points do not tell; under a racked bar it is bent back.',
  knownAs: ['broken wrists', 'wrists bent back'],
  needs: [...ELBOWS, ...WRISTS, ...HANDS],
  source: 'common practice, no source',
  of: (repetition, lift) =>
    valuesOfSides(
      lift,
      (side) => [`${side}_elbow`, `${side}_wrist`, `${side}_hand`],
      (side) => [lift.landmark(`${side}_elbow`), lift.landmark(`${side}_wrist`), lift.landmark(`${side}_hand`)],
      ([elbow, wrist, hand], i) => {
        const ax = wrist[i] - elbow[i];
        const ay = wrist[i + 1] - elbow[i + 1];
        const az = wrist[i + 2] - elbow[i + 2];
        const bx = hand[i] - wrist[i];
        const by = hand[i + 1] - wrist[i + 1];
        const bz = hand[i + 2] - wrist[i + 2];
        const x = ay * bz - az * by;
        const y = az * bx - ax * bz;
        const z = ax * by - ay * bx;
        // atan2 of cross and dot keeps its precision near a straight wrist, where acos does not.
        return DEGREES * atan2(sqrt(x * x + y * y + z * z), ax * bx + ay * by + az * bz);
      },
    ).flatMap((value) => readPlaces(lift, repetition, value, ['start', 'bottom'])),
};
