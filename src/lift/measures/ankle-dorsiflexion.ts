import { HELD } from './held.ts';
import { ANKLES, BIG_TOES, HEELS, KNEES, type RepetitionMeasure, SIDES } from './measure.ts';
import { sinceStart } from './since-start.ts';

/** Bend of the ankle that the squat uses, degrees, shin nearer the foot positive. Source: common practice, no source. */
export const ankleDorsiflexion: RepetitionMeasure = {
  scope: 'repetition',
  name: 'ankle_dorsiflexion',
  unit: 'deg',
  title: 'Ankle bend used',
  definition: `Angle by which the shin comes nearer the foot than it stood around the start, seen from the side: shank inclination less foot inclination, less the same around the start. A heel raised by a shoe is in both and cancels. The foot is read before resting feet were fitted, which averages small lifts away. largest: ${HELD}.`,
  knownAs: ['ankle mobility', 'dorsiflexion'],
  needs: [...KNEES, ...ANKLES, ...HEELS, ...BIG_TOES],
  source: 'common practice, no source',
  of: (repetition, lift) =>
    SIDES.flatMap((side) => sinceStart(lift, repetition, 'shank_to_foot', side, ['bottom', 'held largest'])),
};
