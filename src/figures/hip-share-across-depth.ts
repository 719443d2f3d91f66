import type { ColumnTable } from 'arquero';
import { acrossDepth } from './across-depth.ts';
import { COLOUR, type Figure } from './look.ts';
import { equalShareMark, shareAxisTitle, shareTitle } from './words.ts';

/** The hips' part of hip and knee moment together, per cent, against thigh elevation. */
export function hipShareAcrossDepth(curves: ColumnTable, means: ColumnTable): Figure {
  return acrossDepth(curves, means, {
    title: shareTitle(),
    valueTitle: shareAxisTitle(),
    series: [{ quantity: 'hip_share', word: 'hip share', colour: COLOUR.hip, shape: 'circle' }],
    factor: 100,
    level: { value: 50, word: equalShareMark() },
  });
}
