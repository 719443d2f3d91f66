import type { ComparedPosture } from '../study/compare/postures-at-depth.ts';

/** Words on the figures of a comparison. */

export const compareFigureTitle = (what: string, way: string) => `${what}, ${way}`;
export const sideMark = { a: 'A', b: 'B' } as const;
export const compareSubtitle = (bands: boolean) =>
  bands ? ['full: A, dotted: B; light bands: 95 % intervals of each'] : ['full: A, dotted: B'];
export const differenceTitle = (unit: string) => `B − A (${unit})`;
export const differenceMark = (judged: boolean) =>
  judged
    ? ['B − A. inner band: each depth, outer: all at once', 'squares: different; bands are cut at the frame']
    : ['B − A, not judged'];

export const POSTURE_TITLES: Readonly<Record<ComparedPosture, string>> = {
  standing: 'Standing',
  '45°': 'Thighs at 45°',
  parallel: 'Parallel',
  'bottom of the shallower': 'Shallower bottom',
};
export const postureDepth = (depthDeg: number) =>
  Number.isFinite(depthDeg) ? `thigh angle ${depthDeg.toFixed(0).replace('-', '−').replace(/^−0$/, '0')}°` : '';
