import { sharingReasons } from '../../messages/leg-sharing.ts';
import type { Repetition } from '../lift-record.ts';
import { ANKLES, BIG_TOES, HEELS, type Lift, type MeasureReading, type RepetitionMeasure } from './measure.ts';
import { less, type Place, readAt } from './readings.ts';

const SIDES = ['left', 'right'] as const;
const FEET = [...HEELS, ...BIG_TOES, ...ANKLES] as const;
const ASSUMED =
  'The total force of the floor is shared between the feet by assumption (setting leg_sharing), not measured: its interval holds what the assumption may be off.';

export const hipLeftMinusRight = leftMinusRight('hip', 'hip extensor moment');
export const kneeLeftMinusRight = leftMinusRight('knee', 'knee extensor moment');

/** How much of the load stands on the left foot, by an assumed place of each foot's pressure. */
export const verticalShareLeft: RepetitionMeasure = {
  scope: 'repetition',
  name: 'vertical_share_left',
  unit: '1',
  title: 'Load on the left foot',
  definition:
    'Part of the upward force of the floor that the left foot carries: 0.5 = both alike. Worked out from where the total centre of pressure lies between the feet, each taken to press on the line from heel to second toe, as far along it as the other: an assumption, not a measurement of each foot.',
  knownAs: ['shifting to one leg', 'weight on one side'],
  needs: FEET,
  source: 'common practice, no source',
  of: (repetition, lift) =>
    readShared(lift, repetition, 'vertical_share', 'left', ['start', 'parallel', 'bottom']).map(withoutSide),
};

/** Largest knee extensor moment of each leg within a repetition. */
export const peakKneeMomentShared: RepetitionMeasure = {
  scope: 'repetition',
  name: 'knee_moment_shared_peak',
  unit: 'nm',
  title: 'Largest knee extensor moment of each leg, shared',
  definition: `Largest knee extensor moment of one leg within the repetition, about its own joint centre. Needs the points that vertical_share_left needs. ${ASSUMED}`,
  knownAs: [],
  needs: [],
  source: 'common practice, no source',
  of: (repetition, lift) =>
    SIDES.flatMap((side) => readShared(lift, repetition, 'knee_moment_shared', side, ['largest'])),
};

/** What holds a knee against giving way to the side. */
export const kneeAbductorShared: RepetitionMeasure = {
  scope: 'repetition',
  name: 'knee_abductor_moment_shared',
  unit: 'nm',
  title: 'Knee moment seen from the front, of each leg, shared',
  definition: `Net internal moment at the knee of one leg about the forward axis of the lab at the bottom; positive = what pulls the shank outward holds. It hangs on how hard the feet press towards each other, which no camera sees: without force plates its interval is wide. Needs the points that vertical_share_left needs. ${ASSUMED}`,
  knownAs: [],
  needs: [],
  source: 'common practice, no source',
  of: (repetition, lift) =>
    SIDES.flatMap((side) => readShared(lift, repetition, 'knee_abductor_moment_shared', side, ['bottom'])),
};

/** What the left leg gives more than the right one. */
function leftMinusRight(joint: 'hip' | 'knee', words: string): RepetitionMeasure {
  const quantity = `${joint}_moment_shared`;
  return {
    scope: 'repetition',
    name: `${quantity}_left_minus_right`,
    unit: 'nm',
    title: `Left minus right ${words}, shared`,
    definition: `${words.charAt(0).toUpperCase()}${words.slice(1)} of the left leg less that of the right one; 0 = alike. ${ASSUMED}`,
    knownAs: ['one leg does more'],
    needs: FEET,
    source: 'common practice, no source',
    of(repetition, lift) {
      const [left, right] = SIDES.map((side) => readShared(lift, repetition, quantity, side, ['parallel', 'bottom']));
      return left.map((reading, k) => withoutSide(less(reading, right[k])));
    },
  };
}

/** `readAt`, with the reason where nothing was shared because the recording says so. */
function readShared(
  lift: Lift,
  repetition: Repetition,
  quantity: string,
  side: 'left' | 'right',
  places: readonly Place[],
): MeasureReading[] {
  const readings = readAt(lift, repetition, quantity, side, places);
  if (lift.table.find(quantity, side)) return readings;
  return readings.map((reading) => ({ ...reading, value: Number.NaN, reason: sharingReasons.switchedOff() }));
}

function withoutSide(reading: MeasureReading): MeasureReading {
  return { ...reading, side: '' };
}
