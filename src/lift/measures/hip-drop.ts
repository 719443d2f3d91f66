import { HIPS, type RepetitionMeasure } from './measure.ts';
import { known } from './readings.ts';

/** Height of the hips at the start less their height at the bottom, metres. */
export const hipDrop: RepetitionMeasure = {
  scope: 'repetition',
  name: 'hip_drop',
  unit: 'm',
  title: 'Hip drop',
  definition: 'How far the mid-hip point sinks from the stand to the bottom.',
  knownAs: ['range of motion'],
  needs: [...HIPS],
  source: 'common practice, no source',
  of: ({ hipDropM, topFrame, bottomFrame }) => [
    known('bottom', null, hipDropM, Math.min(topFrame, bottomFrame), Math.max(topFrame, bottomFrame)),
  ],
};
