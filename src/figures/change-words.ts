/* Words of the figures of what changes over a set and with the load. */

export const setTitle = () => 'Through the set';
export const setSubtitle = (effortRpe: number | null) => [
  `each mark: one full repetition${effortRpe === null ? '' : `; effort of the set as rated: ${effortRpe} of 10`}`,
  'bars: how surely repetitions can be told apart (95 %); errors common to the set are left out',
];
export const loadTitle = () => 'From light to heavy';
export const loadSubtitle = (efforts: boolean) => [
  `each mark: mean of the full repetitions with that load${efforts ? '; small numbers: effort as rated, of 10' : ''}`,
  'bars: how surely loads can be told apart (95 %); errors common to all are left out',
];
export const repetitionAxis = () => 'repetition';
export const loadAxis = () => 'load (kg)';
/** Full repetitions in which a measure is not known; '' for none. */
export const unknownRepetitions = (repetitions: readonly number[]) =>
  repetitions.length === 0 ? '' : `${repetitions.join(', ')}: not known`;
export const changeFromRepetition = (repetition: number, drifts: boolean) =>
  drifts ? `drifts from ${repetition} on` : `changes from ${repetition} on`;
export const changeFromLoad = (kg: number) => `changes from ${kg} kg on`;

/** Panels of both figures, the first ones first; of the three ways to know the speed a recording has one. */
export const CHANGE_PANELS = [
  {
    measure: 'bar_velocity_mean',
    at: 'ascent',
    side: '',
    words: 'mean speed of the bar, way up',
    factor: 1,
    unit: 'm/s',
  },
  {
    measure: 'placed_bar_velocity_mean',
    at: 'ascent',
    side: '',
    words: 'mean speed of the bar, way up',
    factor: 1,
    unit: 'm/s',
  },
  {
    measure: 'hip_velocity_mean',
    at: 'ascent',
    side: '',
    words: 'mean speed of the hips, way up',
    factor: 1,
    unit: 'm/s',
  },
  {
    measure: 'bottom_thigh_elevation',
    at: 'bottom',
    side: 'both',
    words: 'thigh angle at the bottom',
    factor: 1,
    unit: '°',
  },
  { measure: 'trunk_lean', at: 'largest', side: '', words: 'largest lean', factor: 1, unit: '°' },
  { measure: 'hip_share', at: 'bottom', side: 'both', words: 'hips’ part at the bottom', factor: 100, unit: '%' },
  {
    measure: 'knee_over_toe',
    at: 'bottom',
    side: 'both',
    words: 'knee ahead of the toe, bottom',
    factor: 100,
    unit: 'cm',
  },
  { measure: 'lean_gained_in_drive', at: 'ascent', side: '', words: 'lean gained in the drive', factor: 1, unit: '°' },
  { measure: 'com_along_foot', at: 'bottom', side: '', words: 'weight along the foot, bottom', factor: 100, unit: '%' },
  {
    measure: 'upper_arm_elevation',
    at: 'bottom',
    side: 'both',
    words: 'upper arm at the bottom',
    factor: 1,
    unit: '°',
  },
  { measure: 'descent_time', at: 'descent', side: '', words: 'time of the way down', factor: 1, unit: 's' },
] as const;
