import type { CauseGroup } from '../uncertainty/causes/cause.ts';

/** Words on the figures themselves: axis titles, legends, titles. */

export const PHASE_WORDS = { descent: 'way down', ascent: 'way up' } as const;
export type PhaseName = keyof typeof PHASE_WORDS;

export const depthAxisTitle = () => 'depth: thigh angle (°), 0 = parallel';
export const parallelMark = () => 'parallel';
export const momentAxisTitle = () => 'net joint moment, both legs (N·m)';
export const shareAxisTitle = () => 'hips’ part of hip + knee (%)';
export const leanAxisTitle = () => 'trunk lean from upright (°)';
export const residualAxisTitle = () => 'distance in the picture (px, root mean square)';
export const equalShareMark = () => 'equal';

export const momentTitle = () => 'Effort at hip, knee and ankle';
export const shareTitle = () => 'Hips and knees: who carries how much';
export const leanTitle = () => 'How far the trunk leans';
export const postureTitle = () => 'The lifter from the side';
export const residualTitle = () => 'How well the views agree';

/** Which lines are what, and how many repetitions stand behind them. */
export function repetitionsSubtitle(repetitions: number, inMean: number): string[] {
  if (repetitions === 0) return ['no repetition with values'];
  if (repetitions === 1 && inMean === 1) return ['one repetition (n = 1)'];
  const thin = `thin: each of ${repetitions} repetition${repetitions === 1 ? '' : 's'}`;
  return [inMean > 0 ? `${thin}; thick: mean of the full ones (n = ${inMean})` : `${thin}; none is full, so no mean`];
}

export const bandSubtitle = (drawn: boolean): string[] =>
  drawn ? ['band: 95 % interval of the mean, cut at the frame'] : [];

export const postureSubtitle = (repetition: number) => [
  `repetition ${repetition}, seen from the right; solid: near (right) side, dashed: far (left) side`,
  'red line: centre of mass of lifter and bar, down to the floor; green: the foot; grey: path of the bar',
];

export const residualSubtitle = () => ['each body point put back into the pictures, against where it was seen'];

export const landmarkWords = (name: string) => name.replaceAll('_', ' ');

export const timeAxisTitle = () => 'time (s)';
export const timeCourseTitle = () => 'Effort through the set';
export const timeCourseSubtitle = () => ['full: hip, dotted: knee; upright lines: bottom of each repetition'];
export const angleAxisTitle = () => 'bend of the joint, from the side (°)';
export const momentAngleTitle = () => 'Effort against bend: the area is work';
export const momentAngleSubtitle = (repetitions: number) => [
  `each of ${repetitions} repetition${repetitions === 1 ? '' : 's'}`,
  'way down: the muscles brake; way up: they drive',
];
export const bottomMark = (repetition: number) => String(repetition);

/** Kinds of doubt, short enough to stand in a bar. */
export const CAUSE_WORDS: Readonly<Record<CauseGroup, string>> = {
  noise: 'trembling points',
  calibration: 'cameras',
  vertical: 'upright',
  clocks: 'clocks',
  keypoints: 'points against joints',
  segments: 'tables',
  'body mass': 'body mass',
  load: 'load',
  'leg sharing': 'left against right',
};
export const doubtTitle = () => 'Where the doubt comes from';
export const doubtSubtitle = (left: boolean, notCounted: readonly CauseGroup[]) => [
  `parts of the variance${left ? '; empty: smaller ones together' : ''}`,
  ...(notCounted.length > 0 ? [`not counted: ${notCounted.map((cause) => CAUSE_WORDS[cause]).join(', ')}`] : []),
];
export const doubtMeasureWords = {
  shareParallel: 'hips’ part at parallel',
  shareBottom: 'hips’ part at the bottom',
  lean: 'lean at parallel',
  knee: 'knee ahead of the toe, bottom',
  barSpeed: 'largest bar speed',
  hipPeak: 'largest effort at the hips',
  kneePeak: 'largest effort at the knees',
} as const;

export const effortWords = { sure: 'sure within this' } as const;
export const footWords = { heel: 'heel', toes: 'toes' } as const;
