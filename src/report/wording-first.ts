import type { Recording } from '../capture/recording.ts';
import type { Posture } from '../study/postures.ts';
import { decimalsOf, type Estimated, intervalText, numberText, PER_CENT, valueText } from '../study/shown.ts';
import { digitsText, unbroken } from './numbers.ts';
import type { PreviousLift } from './previous-lift.ts';
import { taskOf } from './task.ts';
import { dateWords, postureHeading } from './wording.ts';
import { joined } from './wording-doubt.ts';
import { whatDiffers } from './wording-task.ts';

/* What the first screen says beside its sentence. */

export const atParallel = () => 'at parallel';
export const atBottom = () => 'at the bottom';
export function effortParts(share: Estimated): [hips: string, knees: string] {
  const decimals = decimalsOf(share, PER_CENT);
  return [
    `hips ${numberText(100 * share.value, decimals)} %`,
    `knees ${numberText(100 * (1 - share.value), decimals)} %`,
  ];
}
export const effortDescription = (bars: readonly string[]) =>
  `Bars of how hips and knees share the effort: ${bars.join('; ')}.`;
export const moreDoubt = () => 'How sure are these numbers?';

export const footDescription = (along: Estimated) =>
  `Foot from the side with the place where the weight hangs: ${footPlace(along)}.`;
export const footCaption = (posture: Posture, along: Estimated) =>
  `${postureHeading(posture)}: weight at ${footPlace(along)}`;
export const noFootCaption = (posture: Posture) => postureHeading(posture);
const footPlace = (along: Estimated) =>
  unbroken(`${valueText(along, PER_CENT)} from heel to toe ${intervalText(along, PER_CENT)}`.trim());

export const jumpWords = () => 'See it move';
export const jumpLabel = (posture: Posture) => `See it move, from here: ${posture}`;

export const tryHeading = () => 'One thing to try';
/** `shown`: something is shown, and needs no change. */
export const nothingToTry = (intervals: boolean, shown: boolean) =>
  shown
    ? 'What is shown here needs no change because of it alone. Film the next set to see whether it stays so.'
    : intervals
      ? 'Nothing that was looked for stands out surely enough to change it. Film the next set to see whether it stays so.'
      : 'Without intervals nothing can be called sure, so nothing is asked for here.';
export const because = (title: string) => `Because: ${title.charAt(0).toLowerCase()}${title.slice(1)}.`;
export const whyLink = () => 'How this shows';
export const careWords = () => 'Take care:';
export const tryLightly = () => 'Try it with a light load first, and change nothing else.';

export const lastTimeHeading = () => 'Against last time';
export const noLastTime = () =>
  'No earlier recording of this lifter and lift in this study, so there is nothing to hold it against yet.';
export const against = ({ date, loadKg, condition }: PreviousLift) =>
  [dateWords(date), loadKg > 0 ? `${digitsText(loadKg, 4)} kg` : '', condition]
    .filter((part) => part !== '')
    .join(', ');
/** `compared`: numbers that both lifts have with an interval. */
export const nothingChanged = (compared: number) =>
  compared === 0
    ? 'Nothing could be compared: it takes numbers with an interval in both lifts.'
    : 'No change that can be told.';
export const changedWords = (difference: number) => (difference > 0 ? '▲ Changed, more:' : '▼ Changed, less:');
export const alsoChanged = () => 'Changed too:';
export const cannotTell = () => 'Cannot tell yet:';
/** What else differs between the two lifts, which may be why. */
export function otherwiseAlike(previous: PreviousLift, now: Recording): string[] {
  const differs = whatDiffers(previous, taskOf(now));
  return differs.length === 0
    ? []
    : [`Not only the lifter: ${joined(differs)} also differ${differs.length === 1 ? 's' : ''}.`];
}

export const notSeenHeading = () => 'Not seen this time';
export const allSeen = () => 'The cameras saw all that this report needs.';
export const notSeenWords = (what: string) => `${what.charAt(0).toUpperCase()}${what.slice(1)}.`;
export const hangsOnIt = (count: number) => `${count} measure${count === 1 ? '' : 's'} unknown for it`;
export const allUnknown = () => 'All that is unknown, and why';

const KEY_WORDS: Readonly<Record<string, string>> = {
  'hip_share parallel': 'Hips’ part at parallel',
  'hip_share bottom': 'Hips’ part at the bottom',
  'trunk_lean largest': 'Largest lean',
  'bottom_thigh_elevation bottom': 'Thigh at the bottom, 0° = parallel',
};
export const keyWords = (measure: string, at: string) => KEY_WORDS[`${measure} ${at}`] ?? `${measure} ${at}`;
