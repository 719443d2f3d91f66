import { firstRepetition, needsLandmarks } from '../../messages.ts';
import { absentLandmarks } from '../landmark-points.ts';
import type { Repetition } from '../lift-record.ts';
import { BIG_TOES, HEELS, type Lift, type MeasureReading, type RepetitionMeasure } from './measure.ts';
import { known, startFrame, unknown } from './readings.ts';
import { medianAroundStart } from './since-start.ts';

/** Way of the feet on the floor since the start of the repetition before, m; both = the larger. Source: common practice, no source. */
export const feetMoved: RepetitionMeasure = {
  scope: 'repetition',
  name: 'feet_moved',
  unit: 'm',
  title: 'Feet moved since the repetition before',
  definition:
    'Distance on the floor between the place of a foot (mean of heel and big toe, around the start) at the start of this repetition and of the one before; both = the larger of the two feet. Read from the points before resting feet were fitted to one spot.',
  knownAs: ['shuffling the feet'],
  needs: [...HEELS, ...BIG_TOES],
  source: 'common practice, no source',
  planeLength: true,
  of(repetition, lift) {
    const previous = lift.repetitions.find(({ number }) => number === repetition.number - 1);
    const [left, right] = (['left', 'right'] as const).map((side) => footMoved(lift, previous, repetition, side));
    const reason = left.reason || right.reason;
    const both =
      reason === ''
        ? { ...left, side: 'both' as const, value: Math.max(left.value, right.value) }
        : unknown('start', 'both', lackingIn(lift) || reason, left.frameFirst, left.frameLast);
    return [both, left, right];
  },
};

function footMoved(
  lift: Lift,
  previous: Repetition | undefined,
  repetition: Repetition,
  side: 'left' | 'right',
): MeasureReading {
  const absent = absentLandmarks(lift, [`${side}_heel`, `${side}_big_toe`]);
  if (absent.length > 0) return unknown('start', side, needsLandmarks(absent));
  if (!previous) return unknown('start', side, firstRepetition(), startFrame(repetition));
  const [first, last] = [startFrame(previous), startFrame(repetition)];
  const [before, now] = [previous, repetition].map((one) => placeOf(lift, one, side));
  const reason = before.reason || now.reason;
  return reason === ''
    ? known('start', side, Math.hypot(now.x - before.x, now.z - before.z), first, last)
    : unknown('start', side, reason, first, last);
}

/** Where a foot stands on the floor around the start of a repetition, m. */
function placeOf(lift: Lift, repetition: Repetition, side: 'left' | 'right') {
  const heel = lift.freeLandmark(`${side}_heel`)!;
  const toe = lift.freeLandmark(`${side}_big_toe`)!;
  const along = (axis: 0 | 2) =>
    medianAroundStart(lift, repetition, (f) => (heel[3 * f + axis] + toe[3 * f + axis]) / 2);
  const [x, z] = [along(0), along(2)];
  return { x: x.value, z: z.value, reason: x.reason || z.reason };
}

/** Points of either foot that are never known; '' where there is none. */
function lackingIn(lift: Lift): string {
  const absent = absentLandmarks(lift, [...HEELS, ...BIG_TOES]);
  return absent.length > 0 ? needsLandmarks(absent) : '';
}
