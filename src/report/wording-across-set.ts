import { type Estimated, intervalText, type Shown, valueText } from '../study/shown.ts';

/* Words of what changes over the repetitions of a set. */

export const setHeading = () => 'Through the set';

export const setNote = (repetitions: number, effortRpe: number | null) =>
  `${repetitions} full repetitions against each other; errors that all of them share are left out. ${
    effortRpe === null
      ? 'No rating of the effort is stated (effort_rpe in the recording file).'
      : `Effort of the set as rated: ${effortRpe} of 10.`
  }`;

/** 'From repetition 4 on, at once: mean speed of the bar −0.12 m/s (−0.18 to −0.06).' */
export const changeSentence = (words: string, repetition: number, gradual: boolean, by: Estimated, shown: Shown) =>
  `From repetition ${repetition} on, ${gradual ? 'little by little' : 'at once'}: ${words} ${valueText(by, shown)} ${intervalText(by, shown)}.`;

export const nothingChanges = () =>
  'Nothing of what is watched changes by more than repetitions differ anyway, or there are too few repetitions to tell.';

export const changesWithoutIntervals = () => 'Whether technique changes through the set needs intervals.';

export const setCaption = () =>
  'Each full repetition, with the interval that tells it from the others. A change is marked where it is called.';

export const watchedNote = (measures: number) =>
  `${measures} numbers are watched; a set in which nothing changes is called changed in at most 5 of 100.`;
