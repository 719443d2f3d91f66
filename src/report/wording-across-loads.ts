import { type Estimated, intervalText, type Shown, valueText } from '../study/shown.ts';

/* Words of what changes with the load. */

export const loadsHeading = () => 'From light to heavy';
export const loadsNote = () =>
  'Sets of one lifter, lift and condition at different loads. How a lifter differs from set to set at one load is not known from this, and can look like a change.';
export const loadGroup = (lifter: string, lift: string, condition: string) =>
  [`Lifter ${lifter}`, lift, condition].filter((part) => part !== '').join(', ');
/** 'From 90 kg on: mean speed of the bar −0.12 m/s (−0.18 to −0.06) against the lighter loads.' */
export const loadSentence = (words: string, loadKg: number, by: Estimated, shown: Shown) =>
  `From ${loadKg} kg on: ${words} ${valueText(by, shown)} ${intervalText(by, shown)} against the lighter loads.`;
export const noLoadChange = () => 'Nothing of what is drawn changes beyond its interval.';
export const loadsCaption = () =>
  'Mean of the full repetitions at each load, with the interval that tells loads apart; small numbers: effort as rated.';
