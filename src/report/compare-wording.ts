import { CAUSE_WORDS } from '../figures/words.ts';
import type { LiftComparison, Verdict } from '../study/compare/compare-lifts.ts';
import type { ComparedLift } from '../study/compare/compared-lift.ts';
import type { Condition } from '../study/compare/conditions.ts';
import type { DepthRange } from '../study/compare/depth-ranges.ts';
import type { ComparedPosture } from '../study/compare/postures-at-depth.ts';
import { decimalsOf, type Estimated, numberText, type Shown } from '../study/shown.ts';
import { conditionWords } from '../study/summary.ts';
import type { CauseGroup } from '../uncertainty/causes/cause.ts';
import { plainReason } from './wording.ts';
import { plainDoubtReason } from './wording-doubt.ts';

/* Everything the page of a comparison says. Every difference is B less A. Tests assert on the functions, not on the prose. */

/** What tells the sides apart, shortest first: 'heel flat' and 'heel raised', 'repetition 1' and 'repetition 3'. */
export function sideWords({ a, b, sameRecording }: LiftComparison): { readonly a: string; readonly b: string } {
  const repetition = (lift: ComparedLift) => (lift.repetition === null ? '' : `repetition ${lift.repetition}`);
  const both = (of: (lift: ComparedLift) => string) => ({ a: of(a), b: of(b) });
  if (sameRecording) return both((lift) => repetition(lift) || 'mean of the set');
  const ways = [
    both(({ recording }) => recording.athlete.id),
    both(({ recording }) => recording.lift.kind),
    conditionsThatDiffer(a, b),
    both(({ recording }) => recording.date ?? ''),
    both(({ recording }) => `${recording.load.totalKg} kg`),
  ];
  const telling = ways.find((way) => way.a !== way.b && way.a !== '' && way.b !== '');
  const named = telling ?? both(({ recording }) => recording.id);
  const whole = (words: string, lift: ComparedLift) =>
    [words, repetition(lift)].filter((part) => part !== '').join(', ');
  return { a: whole(named.a, a), b: whole(named.b, b) };
}

function conditionsThatDiffer(a: ComparedLift, b: ComparedLift) {
  const own = ({ recording }: ComparedLift, other: ComparedLift) =>
    conditionWords(
      Object.fromEntries(
        Object.entries(recording.condition).filter(([name, value]) => other.recording.condition[name] !== value),
      ),
    );
  return { a: own(a, b), b: own(b, a) };
}

export const compareTitle = ({ a, b }: LiftComparison) => `B less A: ${nameOf(b)} against ${nameOf(a)}`;
export const nameOf = ({ recording, repetition }: ComparedLift) =>
  repetition === null ? recording.id : `${recording.id}, repetition ${repetition}`;
export const compareKicker = () => 'Two lifts at equal depth';
export const allDifferences = () => 'Every difference on this page is B less A: plus means B has more.';

const verdicts: Readonly<Record<Verdict, string>> = {
  different: 'different',
  'cannot tell': 'cannot tell',
  unknown: 'unknown',
};
export const verdictWords = (verdict: Verdict) => verdicts[verdict];
export function unknownWhy(reason: string): string {
  const [, side, why] = /^([AB]: )?([\s\S]*)$/.exec(reason)!;
  return `${side ?? ''}${plainDoubtReason(plainReason(why))}`;
}

export const shareQuestion = 'the hips’ part of the hip + knee effort';
const shareAt = { parallel: 'at parallel', bottom: 'at the bottom' } as const;

/** The one sentence. `estimated`: B − A, as a share. */
export function headline(
  at: 'parallel' | 'bottom',
  verdict: Verdict,
  estimated: Estimated,
  points: Shown,
  sides: { readonly a: string; readonly b: string },
): string {
  const [inA, inB] = [`in A (${sides.a})`, `In B (${sides.b})`];
  const decimals = decimalsOf(estimated, points);
  const sizes = [estimated.value, estimated.lower, estimated.upper].map((value) =>
    numberText(Math.abs(points.factor * value), decimals),
  );
  const way = estimated.value < 0 ? 'less' : 'more';
  const amount = `${sizes[0]} ${sizes[0] === '1' ? 'point' : 'points'} ${way}`;
  const carry = `the hips carry ${amount} of the hip + knee effort ${shareAt[at]} than ${inA}`;
  switch (verdict) {
    case 'different': {
      const [least, most] = estimated.value < 0 ? [sizes[2], sizes[1]] : [sizes[1], sizes[2]];
      return `${inB} ${carry} (${least} to ${most}): different.`;
    }
    case 'cannot tell':
      return Number(sizes[0]) === 0 && sizes[1] === sizes[2] && Number(sizes[1]) === 0
        ? `${inB} the hips carry as much of the hip + knee effort ${shareAt[at]} as ${inA}: no difference to tell.`
        : `${inB} ${carry}, but that may be anything from ${signedPoints(estimated.lower, points, decimals)} to ${signedPoints(estimated.upper, points, decimals)}: cannot tell.`;
    case 'unknown':
      return `${inB} ${carry}. Whether that is more than the measurement’s own doubt is unknown.`;
  }
}

const signedPoints = (value: number, points: Shown, decimals: number) => {
  const size = numberText(Math.abs(points.factor * value), decimals);
  return Number(size) === 0 ? 'none' : `${size} ${value < 0 ? 'less' : 'more'}`;
};

export const headlineUnknown = (reason: string) =>
  `How A and B differ in ${shareQuestion} is unknown: ${unknownWhy(reason)}.`;
export const headlineNote = () =>
  'In brackets: the range that holds the true difference 19 times out of 20. It speaks of these two lifts; how a lifter varies from lift to lift and day to day is not in it.';
export const alsoDifferent = (n: number, toldDifferent: boolean) =>
  n === 0
    ? `Nothing ${toldDifferent ? 'else ' : ''}in the coach’s table can be told apart.`
    : toldDifferent
      ? 'Also different:'
      : 'Different, however:';

// What is alike and what is not
export const conditionsHeading = () => 'What was compared';
export const conditionColumns = () => ['What', 'A', 'B'] as const;
export const CONDITION_WORDS: Readonly<Record<Condition['name'], string>> = {
  lifter: 'lifter',
  recording: 'recording',
  repetitions: 'repetitions',
  date: 'date',
  lift: 'lift',
  set: 'set',
  load: 'load',
  bar: 'bar carried',
  'bar seen': 'place of the bar',
  grip: 'grip',
  heel: 'heel of the shoe',
  condition: 'condition',
  'body mass': 'body mass',
  effort: 'effort rating',
  rig: 'filmed as',
  detector: 'points found by',
  segments: 'body table',
  trunk: 'trunk taken as',
  points: 'points',
  smoothing: 'smoothing',
};
export const notStated = () => 'not stated';
export const alikeIn = (names: readonly string[]) => `Alike in both: ${names.join(', ')}.`;

// Pictures
export const picturesHeading = () => 'Over each other at equal depth';
export const picturesCaption = (sides: { readonly a: string; readonly b: string }, alignedBy: 'mid-foot' | 'ankles') =>
  `From the right, ${alignedBy === 'mid-foot' ? 'the middle of the feet' : 'the ankles when standing'} over each other. A (${sides.a}): full lines, filled joints. B (${sides.b}): pale, dashed, open joints. Red: the mass of lifter and bar, down to the floor; green: the foot. A mean over repetitions is drawn as its middle repetition.`;
export const pictureDescription = (posture: ComparedPosture) =>
  `A and B from the side over each other, ${posture === '45°' ? 'thighs at 45°' : posture}`;
export const noPictures = () => 'No depth that both reach could be drawn.';

// Coach's table
/** Over the lines in the terminal. */
export const differentLines = (shown: number, different: number) =>
  shown < different ? `Different, the ${shown} surest of ${different}:` : 'Different, the surest first:';
export const unknownInBoth = () => 'Known in neither of them:';
export const tableHeading = () => 'What a coach looks at';
export const tableColumns = () => ['What', 'A', 'B', 'B − A (95 % interval)', 'Verdict'] as const;
export const tableNote = (judged: number, different: number) =>
  judged === 0
    ? 'Nothing could be judged.'
    : `Each line is judged by itself: different where the interval leaves out 0. ${different} of ${judged} lines read different. Were A and B truly alike, about ${byChance(judged)} of them would by chance alone, so one lone “different” is weak.`;
const byChance = (judged: number) => (judged < 20 ? 'one in twenty' : String(Math.round(judged / 20)));

// Curves
export const curvesHeading = () => 'Depth by depth';
export const curvesNote = () =>
  'Both are read at equal thigh angle, not at equal time: a slower lift does not look different for being slower. A depth only one of them reaches has no difference. “Different” here rests on the outer band, which holds the whole curve at once, however many depths you look at; it does so for each figure by itself.';
export const curveMissing = (title: string) => `${title}: no depth that both know.`;
export const figureDescription = (title: string, way: string) =>
  `${title} of A and B against depth, ${way}, with the difference B less A below`;

/** 'Way down: B less from 20° to −10° (14 points at 0°).' */
export function rangesSentence(
  way: string,
  ranges: readonly DepthRange[],
  shared: { readonly from: number; readonly to: number } | null,
  judged: boolean,
  shown: Shown,
): string {
  if (shared === null) return `${way}: no depth that both reach.`;
  const both = `both known from ${deg(shared.from)} to ${deg(shared.to)}`;
  if (!judged) return `${way}: ${both}; not judged.`;
  if (ranges.length === 0) return `${way}: cannot tell at any depth (${both}).`;
  const told = ranges.map(({ from, to, sign, largest }) => {
    const where = from === to ? `at ${deg(from)}` : `from ${deg(from)} to ${deg(to)}`;
    const value = numberText(
      Math.abs(shown.factor * largest.difference),
      decimalsOf({ value: largest.difference, lower: largest.lower, upper: largest.upper }, shown),
    );
    const unit = shown.unit === '°' ? '°' : ` ${shown.unit}`;
    return `B ${sign > 0 ? 'more' : 'less'} ${where} (${value}${unit} at ${deg(largest.depth)})`;
  });
  return `${way}: different, ${told.join('; ')}; ${both}.`;
}
const deg = (value: number) => `${numberText(value, 0)}°`;

// What cancels
export const cancelHeading = () => 'Why the difference is surer than either number';
export const cancelNote = (what: string, apart: string, left: string, cancelled: number) =>
  `${what}: if A and B shared nothing, their difference would be sure within ± ${apart} only. ${
    cancelled > 0.005
      ? `They share causes of doubt, which subtract, and ± ${left} is left (${Math.round(100 * cancelled)} % of the variance cancels).`
      : `They share too little for anything to cancel: ± ${left}.`
  }`;
export const cancelColumns = (unit: string) =>
  ['Doubt from', `A and B apart (± ${unit})`, `left in B − A (± ${unit})`] as const;
export const causeName = (cause: CauseGroup) => CAUSE_WORDS[cause];
export const cancelMeaning = (sameRecording: boolean, sameLifter: boolean, sameRig: boolean) => [
  sameRecording
    ? 'Two repetitions of one recording share everything but what changes within the set: even the trembling of the points was taken from one and the same film.'
    : sameLifter
      ? 'One lifter: the errors of the body tables and of points against joints are the same in both and cancel as far as they act alike at that posture.'
      : 'Two lifters: what the tables and the points get wrong about one body says nothing about the other, so it adds up.',
  ...(sameRecording
    ? []
    : [
        sameRig
          ? 'One calibration: errors of cameras, scale and upright are the same in both and mostly cancel.'
          : 'Two calibrations: errors of cameras, scale and upright add up.',
        'Trembling of the points, the clocks and the load on the bar are each recording’s own and never cancel.',
      ]),
];

// All measures
export const allHeading = () => 'All measures';
export const allNote = (rows: number, judged: number, different: number) =>
  `${rows} measures, sides and places; ${judged} could be judged, ${different} read different. Were A and B truly alike, about ${Math.round(judged / 20)} would by chance alone (one in twenty). Many say nearly the same thing, so they tend to come in groups.`;
export const allColumns = () =>
  ['Measure', 'Side', 'At', 'A', 'B', 'B − A', '95 % interval', 'Cancelled', 'Verdict'] as const;
export const allFold = () => 'Show all';
// Care
export const careHeading = () => 'Take care';
export const care = () => [
  'That two lifts differ says neither which is better nor why. One lift that looks better in one number can load another joint more.',
  'Loaded squats can injure. Try a change with a light load, one change at a time, with safeties or spotters set for the depth you reach.',
  'Stop at once when you feel light-headed, numb or in pain. Pain that stays is for a clinician, not for a next set.',
  'This page measures movement; it is no diagnosis and no medical advice. A qualified coach or clinician, and the rules of the place you train at, decide.',
];

export const filesHeading = () => 'Files beside this page';
export const methodNote = () => 'How it is computed: docs/method/compare.md of Kneeward.';
