import type { RepetitionMeasure } from './measure.ts';
import { ASSUMED, readShared } from './shared-readings.ts';

/** Largest knee extensor moment of each leg within a repetition, N·m, by an assumed sharing. */
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
    (['left', 'right'] as const).flatMap((side) =>
      readShared(lift, repetition, 'knee_moment_shared', side, ['largest']),
    ),
};
