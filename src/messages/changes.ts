/** Texts of what changes over a set and with the load: why there is no answer. */

export const changeReasons = {
  scatterUnknown: (repetitions: number) =>
    `${repetitions} full repetitions do not tell a change from what repetitions scatter anyway: at least 3 are needed`,
  loadScatterUnknown: () =>
    'one full repetition at each load does not tell a change from what repetitions scatter anyway',
} as const;
