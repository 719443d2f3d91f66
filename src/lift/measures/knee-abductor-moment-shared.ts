import type { RepetitionMeasure } from './measure.ts';
import { ASSUMED, readShared } from './shared-readings.ts';

/** What holds a knee against giving way to the side, N·m at the bottom; positive = what pulls the shank outward holds. */
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
    (['left', 'right'] as const).flatMap((side) =>
      readShared(lift, repetition, 'knee_abductor_moment_shared', side, ['bottom']),
    ),
};
