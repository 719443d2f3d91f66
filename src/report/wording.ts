import type { Recording } from '../capture/recording.ts';
import type { StartWord } from '../lift/start-word.ts';
import type { Posture } from '../study/postures.ts';
import type { MeasureSpread, Spread } from '../study/spread.ts';
import { digitsText, numberText, PER_CENT, rangeText } from './numbers.ts';

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

/** The one sentence: how the lift starts and who carries the effort. */
export function headline(start: StartWord, atParallel: MeasureSpread, atBottom: MeasureSpread): string {
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
      return 'knees or hips first: the repetitions do not agree enough to say';
    default:
      return '';
  }
}

function shareClause(atParallel: MeasureSpread, atBottom: MeasureSpread): string {
  if (atParallel.known) return `at parallel ${carried(atParallel.spread)}`;
  if (atBottom.known)
    return `at the bottom ${carried(atBottom.spread)} (at parallel unknown: ${briefly(atParallel.reason)})`;
  return `how hips and knees share the effort is unknown: ${briefly(atParallel.reason)}`;
}

/** A reason without its numbers in brackets. */
const briefly = (reason: string) => plainReason(reason).replace(/ \(.*\)$/, '');

function carried(spread: Spread): string {
  const range = rangeText(spread, PER_CENT);
  const spreadNote =
    spread.n === 1
      ? ' (one repetition)'
      : range === 'the same'
        ? ` (the same in ${spread.n === 2 ? 'both' : `all ${spread.n}`} full repetitions)`
        : ` (${range} over the ${spread.n} full repetitions)`;
  if (spread.mean > 1) return `the hips carry all of the hip + knee effort; the knees pull the other way`;
  if (spread.mean < 0) return `the knees carry all of the hip + knee effort; the hips pull the other way`;
  return `the hips carry ${numberText(100 * spread.mean, 0)} % of the hip + knee effort${spreadNote}`;
}

export const headlineNote = () =>
  'The range shows how the repetitions differ. How sure the measurement itself is, this version does not compute.';

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
export const measuresNote = (full: number) =>
  full > 1
    ? `Mean of the ${full} full repetitions, and the range from the lowest to the highest of them. Effort is the net turning moment that the muscles around a joint must give (N·m); the more, the harder they work.`
    : 'Values of the full repetition. Effort is the net turning moment that the muscles around a joint must give (N·m); the more, the harder they work.';
export const measuresColumns = () => ['What', 'Mean', 'Range'] as const;
export const nothingMeasured = () => 'No full repetition was found, so there is nothing to average.';
export const curvesHeading = () => 'Through the movement';
export const qualityHeading = () => 'How good is this recording?';
export const unknownHeading = () => 'What could not be computed, and why';
export const cautionsHeading = () => 'Take care';
export const scienceHeading = () => 'For the scientist';

// Captions
export const momentCaption = (n: number) =>
  `Effort at hip (round marks), knee (square) and ankle (triangle), both legs together. Read from left, standing, to right, deep. Full lines: way down; dashed: way up. ${lines(n)}`;
export const shareCaption = (n: number) =>
  `Hips’ part of hip and knee effort together. Above 50 %: the hips carry more; below: the knees do. Near standing both efforts are small and the split is not shown. ${lines(n)}`;
export const leanCaption = (n: number) => `How far the trunk leans from upright, against depth. ${lines(n)}`;
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
export const alwaysUnknown = () => [
  'How sure each number is (95 % intervals): this version does not compute them yet.',
  'Tuck of the pelvis and rounding of the lower back: need points on the pelvis and back that the views do not give.',
  'Findings and cues with their probability: they need the intervals.',
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

// Cautions
export const cautions = () => [
  'Loaded squats can injure. Lift with safety bars or spotters set for the depth you reach, and with a load that you can leave safely.',
  'Stop at once when you feel light-headed, numb or in pain. Pain that stays is for a clinician, not for a next set.',
  'This report measures movement. It is no diagnosis and no medical advice, and a number outside a range is not an injury.',
  'Change one thing at a time and with a light load first. A change that looks better in one number can load another joint more.',
  'A qualified coach or clinician, and the rules of the place you train at, decide; not this report.',
];
