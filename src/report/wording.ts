import type { Recording } from '../capture/recording.ts';
import type { StartWord } from '../lift/start-word.ts';
import type { Posture } from '../study/postures.ts';
import {
  decimalsOf,
  halfWidth,
  intervalText,
  numberText,
  PER_CENT,
  plusMinusText,
  type Shown,
} from '../study/shown.ts';
import type { Estimate, MeasureEstimate } from '../study/spread.ts';
import { digitsText, rangeText } from './numbers.ts';

/* Everything the first, plain part of the report says. Tests assert on the functions, not on the prose. */

export const reportTitle = (recording: Recording) => `${recording.id}: ${liftTitle(recording)}`;
export const madeBy = (version: string) => `Made by Kneeward ${version}.`;
export const backToStudy = () => '← all lifts of the study';

export const syntheticMark = () => 'SYNTHETIC';
export const syntheticSentence = () =>
  'Invented data: no one was measured. Do not draw conclusions about real lifters from it.';

export function liftTitle({ lift, load }: Recording): string {
  const kind = lift.kind.charAt(0).toUpperCase() + lift.kind.slice(1);
  return load.totalKg > 0 ? `${kind}, ${digitsText(load.totalKg, 4)} kg` : `${kind}, no load`;
}

export const lifterLabel = () => 'Lifter';
export const dateWords = (date: string | null) => date ?? 'date not stated';
export const setWords = (set: number | null) => (set === null ? '' : `set ${set}`);

export function repetitionsWords(found: number, full: number): string {
  if (found === 0) return 'no repetition found';
  if (found === full) return found === 1 ? 'one full repetition' : `${found} full repetitions`;
  return `${found} repetition${found === 1 ? '' : 's'} found, ${full === 0 ? 'none' : full} of them full`;
}

export const gradeLabel = () => 'Recording quality';
export const gradeWords = (grade: string | null) => grade ?? 'not graded';

export const shareAtParallel = () => 'The hips’ part at parallel';
export const shareAtBottom = () => 'The hips’ part at the bottom';

/** The one sentence: how the lift starts, who carries the effort, and how sure that is. */
export function headline(start: StartWord, atParallel: MeasureEstimate, atBottom: MeasureEstimate): string {
  const first = startClause(start);
  const share = shareClause(atParallel, atBottom);
  const sentence = first === '' ? share : `${first}; ${share}`;
  return `${sentence.charAt(0).toUpperCase()}${sentence.slice(1)}.`;
}

function startClause(start: StartWord): string {
  switch (start) {
    case 'knees first':
    case 'hips first':
      return start;
    case 'together':
      return 'knees and hips start together';
    case 'cannot tell':
      return 'knees or hips first cannot be told';
    default:
      return '';
  }
}

function shareClause(atParallel: MeasureEstimate, atBottom: MeasureEstimate): string {
  if (atParallel.known) return `at parallel ${carried(atParallel.estimate)}`;
  if (atBottom.known)
    return `at the bottom ${carried(atBottom.estimate)} (at parallel unknown: ${briefly(atParallel.reason)})`;
  return `how hips and knees share the effort is unknown: ${briefly(atParallel.reason)}`;
}

/** A reason without its numbers in brackets. */
const briefly = (reason: string) => plainReason(reason).replace(/ \(.*\)$/, '');

function carried(estimate: Estimate): string {
  const sure = Number.isFinite(halfWidth(estimate))
    ? `, sure within ${plusMinusText(estimate, PER_CENT)} points ${intervalText(estimate, PER_CENT).replace(')', ' %)')}`
    : '';
  const percent = numberText(PER_CENT.factor * estimate.value, decimalsOf(estimate, PER_CENT));
  if (estimate.value > 1)
    return `the hips carry all of the hip + knee effort; the knees pull the other way (the hips’ part is ${percent} %${sure})`;
  if (estimate.value < 0)
    return `the knees carry all of the hip + knee effort; the hips pull the other way (the hips’ part is ${percent} %${sure})`;
  return `the hips carry ${percent} % of the hip + knee effort${sure}`;
}

/**
 * What stands under the sentence: what "sure within" means and leaves out, and how the repetitions differ.
 *
 * @param intervals false where they were switched off
 * @param notCounted sentence about causes that are not counted; '' for none
 * @param estimate the number of the sentence; null where it is unknown
 */
export function headlineNote(intervals: boolean, notCounted: string, estimate: Estimate | null): string {
  const parts = intervals
    ? [
        ...(estimate && Number.isFinite(halfWidth(estimate))
          ? ['Sure within: the true value lies there 19 times out of 20.', notCounted]
          : []),
      ]
    : [
        'How sure any number of this report is, was not computed: intervals were switched off (“--no-intervals”). The ranges shown are those between repetitions.',
      ];
  return [...parts, ...(estimate ? [repetitionRange(estimate)] : [])].filter((part) => part !== '').join(' ');
}

function repetitionRange(estimate: Estimate): string {
  if (estimate.n === 1) return 'One full repetition.';
  const range = rangeText(estimate, rangeShown(estimate, PER_CENT));
  const all = estimate.n === 2 ? 'both' : `all ${estimate.n}`;
  return range === 'the same'
    ? `It came out the same in ${all} full repetitions.`
    : `Over the ${estimate.n} full repetitions it ranged ${range.includes(' to ') ? `from ${range}` : range} %.`;
}

/** How a range between repetitions is shown: to at least its usual decimals, since repetitions differ by less than the interval. */
export function rangeShown(estimate: Estimate, shown: Shown): Shown {
  return { ...shown, decimals: Math.max(shown.decimals, decimalsOf(estimate, shown)) };
}

export const postureHeading = (posture: Posture) =>
  ({
    standing: 'Standing',
    'half way down': 'Half way down',
    parallel: 'Parallel',
    bottom: 'Bottom',
    'parallel, way up': 'Parallel, on the way up',
  })[posture];

export const pictureCaption = (repetition: number, withMass: boolean, withFoot: boolean) =>
  [
    `Repetition ${repetition}, seen from the right side. Solid blue: near leg and arm; dashed grey: far side.`,
    withMass ? 'Red line: where the mass of lifter and bar hangs' : 'The mass of lifter and bar is not known',
    withFoot ? '; green: the foot it has to stay over.' : '; heel and toe were not recorded, so the foot is not drawn.',
  ]
    .join(' ')
    .replace(' ;', ';');

export const pictureDescription = (posture: Posture, lifter: string) =>
  `Stick figure of lifter ${lifter} from the side, ${posture}, with the line of the centre of mass above the foot.`;

export const noPictures = (reason: string) => `No pictures: ${reason}.`;
export const noRepetitionReason = () => 'no repetition was found in this recording';
export const parallelPictureMissing = () => 'Parallel is not reached in this repetition, so there is no picture of it.';

// Headings
export const measuresHeading = () => 'What was measured';
export const measuresNote = (full: number, intervals: boolean) =>
  `${
    full > 1
      ? `Mean of the ${full} full repetitions${intervals ? ' with its 95 % interval' : ''}, and the range from the lowest to the highest of them.`
      : `Values of the full repetition${intervals ? ' with their 95 % intervals' : ''}.`
  } Effort is the net turning moment that the muscles around a joint must give (N·m); the more, the harder they work.`;
export const measuresColumns = (intervals: boolean) =>
  ['What', intervals ? 'Mean (95 % interval)' : 'Mean', 'Repetitions'] as const;
export const moreMeasures = (count: number) => `More measures (${count})`;
export const nothingMeasured = () => 'No full repetition was found, so there is nothing to average.';
export const curvesHeading = () => 'Through the movement';
export const qualityHeading = () => 'How good is this recording?';
export const unknownHeading = () => 'What could not be computed, and why';
export const cautionsHeading = () => 'Take care';
export const scienceHeading = () => 'How the numbers came about';

// Captions
/** How the curves are read; `band`: what the light bands are, '' where there are none. */
export const curvesNote = (n: number, band: string) =>
  `Read each from left, standing, to right, deep. Full lines: way down; dashed: way up. ${lines(n)}${band}`;
export const momentCaption = () =>
  'Effort at hip (round marks), knee (square) and ankle (triangle), both legs together.';
export const shareCaption = () =>
  'Hips’ part of hip and knee effort together. Above 50 % the hips carry more, below it the knees; above 100 % the knees pull the other way, below 0 % the hips do.';
export const leanCaption = () => 'How far the trunk leans from upright.';
/** Level, content and number of repetitions of the bands. */
export const bandCaption = (n: number, notCounted: string) =>
  ` Light band: 95 % interval of ${n > 1 ? `the mean of the ${n} repetitions` : 'the one repetition'}, depth by depth: how sure the measurement is, not how repetitions differ. Where it ends there is none. ${notCounted}`.trimEnd();
export const timeCaption = () =>
  'Effort at hips and knees through the whole set. The numbered lines mark the bottom of each repetition. A gap: not known there.';
export const stripCaption = (repetition: number) => `Repetition ${repetition} from the side`;
export const cameraCaption = () =>
  'Each body point, put back into the pictures, against where it was seen: per camera and per body point. Short is good; a long line means that the views disagree about this point.';

const lines = (n: number) =>
  n > 1
    ? `Thin lines: single repetitions; thick: mean of the ${n} full ones. A gap: not known there.`
    : 'A gap: not known there.';

export const figureMissing = (name: string, reason: string) => `${name}: not drawn, ${reason}.`;
export const cameraFigureName = () => 'Agreement of the views';
export const noPicturesTaken = () => 'the recording has 3D points and no camera pictures';

// Quality
export const qualityColumns = () => ['What', 'Here', 'Good', 'Usable', 'Verdict'] as const;
export const qualityNote = (grade: string | null) =>
  grade === null
    ? 'Nothing could be judged.'
    : `Judged ${grade}: the worst line decides. The limits sort recordings; they are no error bounds.`;

const QUALITY_WORDS: Readonly<Record<string, string>> = {
  missing_share: 'Needed body points that are missing',
  reprojection_rms: 'Distance between body points and where the pictures saw them',
  point_sd: 'How loosely the least certain hip, knee, ankle or shoulder is fixed in space',
  thigh_length_variation: 'How much the thighs seem to change length (bones do not)',
  shank_length_variation: 'How much the shins seem to change length (bones do not)',
  frame_rate: 'Pictures a second',
  repetitions_off_plan: 'Repetitions more or fewer than planned',
  vertical_force_balance: 'Mean force on the floor, off from the weight of lifter and bar',
  force_mismatch: 'Force computed from the movement, off from the measured one',
  pressure_mismatch: 'Where that force acts along the feet, off from the measured place',
};
/** A limit in plain words; its own text where the acceptance file has one we do not know. */
export const qualityWords = (name: string, means: string) => QUALITY_WORDS[name] ?? means;
export const notJudged = () => 'no number';
export const limitWords = (direction: 'at most' | 'at least', value: string) =>
  `${direction === 'at most' ? '≤' : '≥'} ${value}`;
export const notesHeading = () => 'Noted on the way';

// Unknown
export const inRepetitions = (numbers: readonly number[]) =>
  numbers.length === 0 ? '' : ` (repetition${numbers.length === 1 ? '' : 's'} ${numbers.join(', ')})`;
/** Other repetitions have the same reason with other numbers. */
export const andTheLike = () => ' and the like';
export const noStickingPointNote = (numbers: readonly number[]): string[] =>
  numbers.length === 0
    ? []
    : [
        `No sticking point in repetition${numbers.length === 1 ? '' : 's'} ${numbers.join(', ')}: the upward speed has no clear dip there.`,
      ];
export const repetitionNotFull = (number: number, completeness: string, reason: string) =>
  `Repetition ${number} is ${completeness}: ${reason}. It is shown and takes no part in the means.`;

const LANDMARK_NAME = /\b(left|right)_(big_toe|small_toe|shoulder|elbow|wrist|hip|knee|ankle|heel|hand|eye|ear)\b/g;

/** Short reasons of the tables that need more words. */
const LONGER: Readonly<Record<string, string>> = {
  'beside a gap or an end of the recording':
    'too near to the start, the end or a hole of the recording to be smoothed safely',
  missing: 'body points missing there',
  'not reached': 'this depth is not reached',
};

/** A reason of the tables in words: names of body points without underscores, short ones spelt out. */
export function plainReason(reason: string): string {
  return (LONGER[reason] ?? reason)
    .replace(LANDMARK_NAME, (_, side: string, part: string) => `${side} ${part.replace('_', ' ')}`)
    .replace(/\bbar_(left|right)_end\b/g, '$1 end of the bar')
    .replaceAll('neck_base', 'base of the neck')
    .replaceAll('mid_back', 'middle of the back');
}
