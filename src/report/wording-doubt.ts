import { CAUSE_WORDS } from '../figures/words.ts';
import type { CauseGroup } from '../uncertainty/causes/cause.ts';

/* What the report says about how sure the numbers are. Tests assert on the functions, not on the prose. */

export const doubtHeading = () => 'How sure are these numbers?';
export const doubtMeaning = () =>
  'In brackets behind a number stands the range that holds the true value 19 times out of 20 (95 % interval), as far as the causes of doubt are known. It says how sure the measurement is; how the repetitions differ stands beside it.';

/** Short names of the causes, as in the figure. */
export const causeName = (cause: CauseGroup) => CAUSE_WORDS[cause];

const FROM: Readonly<Record<CauseGroup, string>> = {
  noise: 'body points tremble in the pictures',
  calibration: 'where the cameras stand, and how they see, is known only so well',
  vertical: 'what is upright is known only so well',
  clocks: 'the clocks of the cameras are known only so well',
  keypoints: 'the detector does not mark quite the place where a joint turns',
  segments: 'how heavy body parts are comes from tables made from other people',
  'body mass': 'the body mass is as stated',
  load: 'the load is as stated',
  'leg sharing': 'how the legs share the load is assumed, not measured',
};
const HELP: Readonly<Record<CauseGroup, string>> = {
  noise: 'film closer, with more light, with a better detector, or with a third camera',
  calibration: 'calibrate the cameras again, with a larger board, held nearer to where the lifter stands',
  vertical: 'hang a plumb line where all cameras see it, and calibrate with it',
  clocks: 'have the clocks found from the movement, and film with phones of one kind',
  keypoints: 'no filming mends it; a comparison of the same lifter, filmed the same way, cancels most of it',
  segments: 'no filming mends it; a comparison of the same lifter cancels most of it',
  'body mass': 'weigh the lifter on the day',
  load: 'weigh bar and discs',
  'leg sharing': 'only a force plate under each foot would tell',
};
export const helpWith = (cause: CauseGroup, barPlaced: boolean) =>
  cause === 'load' && barPlaced
    ? 'have both ends of the bar seen and tracked (its place is only assumed), and weigh bar and discs'
    : HELP[cause];

/** Causes that a better film, calibration or weighing lessens. */
export const IN_YOUR_HANDS: readonly CauseGroup[] = ['noise', 'calibration', 'vertical', 'clocks', 'body mass', 'load'];

/** 'Most of the doubt … comes from this: …'. `sure`: '± 5'; `share`: 0–1. */
export const mostOfDoubt = (what: string, sure: string, cause: CauseGroup, share: number) =>
  `${what} is sure within ${sure} points. ${share > 0.5 ? 'Most' : 'The largest part'} of that doubt (${percent(share)}) has one cause: ${FROM[cause]}.`;
export const wouldNarrow = () => 'What would narrow it, by cause:';
export const causeItem = (cause: CauseGroup, share: number, without: string, barPlaced: boolean) =>
  `${percent(share)} of the doubt. ${sentence(FROM[cause])}: ${helpWith(cause, barPlaced)}. Without it: ${without} points.`;
export const inYourHands = (cause: CauseGroup, share: number, without: string, barPlaced: boolean) =>
  share < 0.1
    ? `Of what is counted, better filming and weighing would not help this number much: without the largest cause that they can mend, ${CAUSE_WORDS[cause]} (${percent(share)}), ${without} points would still be left.`
    : `The largest cause that you can mend yourself: ${CAUSE_WORDS[cause]}. ${sentence(helpWith(cause, barPlaced))}.`;
export const sharesNote = () =>
  'Parts are parts of the variance: doubts add up as squares, so taking away half of it takes away less than a third of the ±.';

const NOT_COUNTED: Readonly<Record<CauseGroup, string>> = {
  noise: 'how the points tremble',
  calibration: 'how exactly the cameras were calibrated',
  vertical: 'how exactly upright is known',
  clocks: 'how exactly the clocks run together',
  keypoints: 'how far points lie from the joints',
  segments: 'how far this body differs from the tables',
  'body mass': 'how exactly the body mass is known',
  load: 'how exactly the load is known',
  'leg sharing': 'how the legs share the load',
};
/** '' where everything is counted. */
export const notCounted = (causes: readonly CauseGroup[]) =>
  causes.length === 0
    ? ''
    : `Not counted: ${joined(causes.map((cause) => NOT_COUNTED[cause]))}, which the files of this recording do not say. With ${causes.length === 1 ? 'it' : 'them'} the ranges would be wider.`;
/** The same for a caption. */
export const notCountedBriefly = (causes: readonly CauseGroup[]) =>
  causes.length === 0 ? '' : `Not counted: ${joined(causes.map((cause) => NOT_COUNTED[cause]))}.`;
export const alwaysOutside = () =>
  'Never counted: that the model itself is a simple one (stiff body parts, a trunk that bends as the mean of other people does), and what a lifter does differently on another day.';

export const noInterval = () => '(interval unknown)';
export const intervalUnknown = (title: string, reason: string) =>
  `Interval of “${title}”: ${plainDoubtReason(reason)}.`;

/** A reason why a number has no interval, in words for a coach. */
export function plainDoubtReason(reason: string): string {
  const found = /^known in (\d+) of (\d+) draws only$/.exec(reason);
  return found
    ? `tried with errors of the size expected, the number could be found in ${found[1]} of ${found[2]} trials only`
    : reason;
}

export const doubtCaption = () =>
  'What the doubt about each number (mean of the set) is made of: a bar is all of it, a part one cause, by its part of the variance. At the right the number, ± half the width of its 95 % interval.';
export const doubtFigureName = () => 'Where the doubt comes from';

// The scientist's part
export const intervalsHeading = () => 'Intervals';
export function modeWords(mode: 'linear' | 'draws', draws: number, noiseDraws: number, seed: number): string {
  return mode === 'linear'
    ? `first order: each cause by one standard deviation through the whole chain, noise by ${noiseDraws} draws of it; seed ${seed}`
    : `${draws} joint draws of all causes and the noise through the whole chain; seed ${seed}`;
}
export const intervalDefinition = (mode: 'linear' | 'draws') => [
  mode === 'linear'
    ? '95 % interval: value less the bias of the noise, ± Student’s quantile times the root of the sum of squares of the causes’ effects and the variance of the noise draws. What is not linear in a cause is not in it.'
    : '95 % interval: twice the value less the 97.5 % and 2.5 % quantile of the draws (basic bootstrap interval), so it need not be symmetric. Parts of the variance are those of first order.',
  'Interval of a mean over repetitions: errors common to the repetitions keep their size, noise is averaged draw by draw. The spread between repetitions is not in it.',
  'A number that more than 5 % of the draws leave unknown has no interval.',
];
export const causesNote = () =>
  'Parts of the variance of the set means, per cent; an empty cell: no interval, or not counted. By repetition and for every measure: ';
export const causeColumns = () => ['cause', 'unknowns'] as const;
export const intervalRow = () => 'mean (95 % interval)';
export const noiseUnknowns = (draws: number) => `${draws} draws`;
export const causesTableLabel = () => 'Causes of doubt';
export const notCountedScience = () => 'Not in the intervals';

// Comparison of recordings
export const comparisonHeading = () => 'What changed between recordings of one lifter';
export const comparisonNote = (cells: number) =>
  `Mean of the first-named set less mean of the other, with the 95 % interval of the difference; the first-named is the later one where the day or the number of the set says which. Where something also differs, the change may come from it. What both recordings share (tables of body parts, points against joints, cameras) cancels, so a difference is surer than either number. “Changed” speaks of these two sets; how the lifter varies from set to set and day to day is not in it.${
    cells >= 10
      ? ` Of ${cells} comparisons of lifts that are truly alike, about ${Math.round(cells / 20)} would read “changed” by chance alone.`
      : ''
  } All measures and pairs: comparisons.csv.`;
export const comparisonColumns = () => ['Recordings', 'Also differs'] as const;
/** Why nothing is compared, where a lifter has several recordings. */
export const nothingCompared = (intervals: boolean) =>
  intervals
    ? 'Not compared: no number has an interval in two recordings of one lifter (comparisons.csv says why).'
    : withoutIntervals();
/** Said wherever a part of a page is left out for it. */
export const withoutIntervals = () => 'Not here: it takes intervals, and they were switched off (“--no-intervals”).';
export const nothingElse = () => 'nothing that is stated';
export const orderNotStated = () => 'order not stated';
export const againstWords = (later: string, earlier: string) => `${later} against ${earlier}`;
export const verdictWords = (verdict: string) =>
  ({ different: 'changed', 'cannot tell': 'cannot tell yet' })[verdict] ?? 'unknown';
export const cancelledWords = (share: number) => `doubt cancelled: ${percent(share)}`;

const percent = (share: number) => (share > 0 && share < 0.01 ? 'under 1 %' : `${Math.round(100 * share)} %`);
const sentence = (text: string) => `${text.charAt(0).toUpperCase()}${text.slice(1)}`;
export const joined = (words: readonly string[]) =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
