import type { ColumnTable } from 'arquero';
import { acrossDepth } from './across-depth.ts';
import { COLOUR, type Figure } from './look.ts';
import { momentAxisTitle, momentTitle } from './words.ts';

/** Hip, knee and ankle moment, both legs together, N·m, against thigh elevation. */
export function momentAcrossDepth(curves: ColumnTable, means: ColumnTable): Figure {
  return acrossDepth(curves, means, {
    title: momentTitle(),
    valueTitle: momentAxisTitle(),
    series: [
      { quantity: 'hip_moment', word: 'hip', colour: COLOUR.hip, shape: 'circle' },
      { quantity: 'knee_moment', word: 'knee', colour: COLOUR.knee, shape: 'square' },
      { quantity: 'ankle_moment', word: 'ankle', colour: COLOUR.ankle, shape: 'triangle-up' },
    ],
    factor: 1,
    level: { value: 0, word: '' },
  });
}
