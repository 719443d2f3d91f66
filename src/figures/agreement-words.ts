/* Words of the two figures of agreement. */

export const agreementTitle = () => 'A against B: the same repetitions by two means';
export const agreementSubtitle = (lifters: number) => [
  'each mark: one repetition (n behind each title); line: mean difference; dashed: 95 % limits of agreement',
  'grey bars at the right: 95 % confidence of each line, cut at the frame; thin line: no difference',
  ...(lifters === 1
    ? ['one lifter: limits for repetitions of this lifter only']
    : [`${lifters} lifters, a mark of its own each`]),
];
export const meanAxisTitle = (unit: string) => `mean of A and B${unit === '' ? '' : ` (${unit})`}`;
export const differenceAxisTitle = (unit: string) => `A less B${unit === '' ? '' : ` (${unit})`}`;
export const panelTitle = (words: string, differences: number) => `${words} (n = ${differences})`;

export const depthTitle = () => 'A against B, across depth';
export const depthSubtitle = () => [
  'thick: mean difference; band: 95 % limits of agreement',
  'thin line: no difference; solid, dark: way down; dashed: way up',
];

/** Measures of the first figure: those that a lifter's report begins with. */
export const AGREEMENT_PANELS = [
  { name: 'hip_share', at: 'parallel', side: 'both', words: 'hips’ part at parallel', factor: 100, unit: '%' },
  { name: 'hip_share', at: 'bottom', side: 'both', words: 'hips’ part at the bottom', factor: 100, unit: '%' },
  { name: 'hip_moment_peak', at: 'largest', side: 'both', words: 'largest effort, hips', factor: 1, unit: 'N·m' },
  { name: 'knee_moment_peak', at: 'largest', side: 'both', words: 'largest effort, knees', factor: 1, unit: 'N·m' },
  { name: 'trunk_lean', at: 'largest', side: '', words: 'largest lean', factor: 1, unit: '°' },
  {
    name: 'bottom_thigh_elevation',
    at: 'bottom',
    side: 'both',
    words: 'thigh elevation, bottom',
    factor: 1,
    unit: '°',
  },
] as const;

/** Quantities of the second figure. */
export const DEPTH_PANELS = [
  { name: 'hip_share', side: 'both', words: 'hips’ part', factor: 100, unit: '%' },
  { name: 'hip_moment', side: 'both', words: 'hip moment, both legs', factor: 1, unit: 'N·m' },
  { name: 'knee_moment', side: 'both', words: 'knee moment, both legs', factor: 1, unit: 'N·m' },
  { name: 'trunk_lean', side: '', words: 'trunk lean', factor: 1, unit: '°' },
] as const;
