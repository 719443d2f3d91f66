import type { ColumnTable } from 'arquero';
import { acrossDepth } from './across-depth.ts';
import { COLOUR, type Figure } from './look.ts';
import { leanAxisTitle, leanTitle } from './words.ts';

/** Forward lean of the line from mid-hip to mid-shoulder, degrees from upright, against thigh elevation. */
export function leanAcrossDepth(curves: ColumnTable, means: ColumnTable): Figure {
  return acrossDepth(curves, means, {
    title: leanTitle(),
    valueTitle: leanAxisTitle(),
    series: [{ quantity: 'trunk_lean', word: 'trunk lean', colour: COLOUR.hip, shape: 'circle' }],
    factor: 1,
    level: null,
  });
}
