import type { Recording } from '../capture/recording.ts';
import type { StartWord } from '../lift/start-word.ts';
import { decimalsOf, halfWidth, numberText, type Shown, shownAs } from '../study/shown.ts';
import type { Estimate, MeasureEstimate } from '../study/spread.ts';
import { digitsText } from './numbers.ts';
import { joined } from './wording-doubt.ts';

/* What the lifter reads: second person, few numbers, nothing that the interval does not allow. Tests assert on the functions. */

export const opening = ({ lift, load }: Recording) =>
  `Your ${lift.kind}${load.totalKg > 0 ? ` with ${digitsText(load.totalKg, 4)} kg` : ''}, as the cameras saw it.`;
export const invented = () => 'These data are invented: “you” is no real person here.';
export const seenHeading = () => 'What you did';
export const onlyWhatIsSure = () => 'Said only where the measurement is sure enough to say it.';

export function startSentence(start: StartWord): string {
  switch (start) {
    case 'knees first':
      return 'Your knees went forward first, and the hips followed.';
    case 'hips first':
      return 'Your hips went back first, and the knees followed.';
    case 'together':
      return 'Your knees and hips set off together.';
    case 'cannot tell':
      return 'Whether knees or hips set off first cannot be told: your repetitions differ too much, or the film is not sharp enough.';
    default:
      return '';
  }
}

/** The ends of what a number may be: its interval, or itself where there is none. */
function range(estimate: Estimate): [low: number, high: number] {
  return Number.isFinite(halfWidth(estimate)) ? [estimate.lower, estimate.upper] : [estimate.value, estimate.value];
}

/** @param share hip_share at parallel */
export function effortSentence(share: MeasureEstimate): string {
  if (!share.known) return '';
  const [low, high] = range(share.estimate);
  if (low > 0.5) return `At parallel your hips worked harder than your knees${roughly(share.estimate.value)}.`;
  if (high < 0.5) return `At parallel your knees worked harder than your hips${roughly(1 - share.estimate.value)}.`;
  return 'At parallel hips and knees shared the work about evenly: which did more cannot be told.';
}

/** Parts that a reader can picture; nothing where none is near. */
function roughly(part: number): string {
  const pictured: readonly (readonly [part: number, words: string])[] = [
    [0.6, ': about six tenths of the effort of both'],
    [2 / 3, ': about two thirds of the effort of both'],
    [0.75, ': about three quarters of the effort of both'],
  ];
  return pictured.find(([value]) => Math.abs(part - value) <= 0.035)?.[1] ?? '';
}

/** @param thigh bottom_thigh_elevation */
export function depthSentence(thigh: MeasureEstimate): string {
  if (!thigh.known) return '';
  const [low, high] = range(thigh.estimate);
  if (high < 0) return 'At the bottom your thighs were below parallel.';
  if (low > 0) return 'At the bottom your thighs stayed above parallel.';
  return 'At the bottom your thighs were close to parallel: just above or just below cannot be told.';
}

/** @param lean trunk_lean, largest */
export function leanSentence(lean: MeasureEstimate): string {
  if (!lean.known) return '';
  return `At the most your trunk leaned ${rounded(lean.estimate, shownAs('deg'))}° forward; 0° is upright.`;
}

const rounded = (estimate: Estimate, shown: Shown) =>
  numberText(estimate.value * shown.factor, Math.min(0, decimalsOf(estimate, shown)));

/** @param along com_along_foot at parallel: 0 heel, 1 big toe. The foot is named in thirds. */
export function footSentence(along: MeasureEstimate): string {
  if (!along.known) return '';
  const [low, high] = range(along.estimate);
  if (high < 1 / 3) return 'At parallel the weight was over the rear third of your feet, near the heels.';
  if (low > 2 / 3) return 'At parallel the weight was over the front third of your feet, near the toes.';
  if (low >= 1 / 3 && high <= 2 / 3) return 'At parallel the weight was over the middle of your feet.';
  return along.estimate.value < 0.5
    ? 'At parallel the weight was over the middle of your feet or a little toward the heels.'
    : 'At parallel the weight was over the middle of your feet or a little toward the toes.';
}

export const tryHeading = () => 'What to try';
/** `shown`: something is shown, and needs no change. */
export const nothingToTry = (shown: boolean) =>
  shown
    ? 'What stands out needs no change because of it alone. Your coach may see more than the numbers do.'
    : 'Nothing that was looked for stands out surely enough to ask you to change it. Your coach may see more than the numbers do.';
export const howToTry = () =>
  'Try it in your next warm-up sets, with a light load, and only this one thing. If it hurts or feels unsafe, leave it.';

export const sinceHeading = () => 'Since last time';
export const sinceWhen = (against: string) => `Last time: ${against}.`;
/** `differs`: what else is not as it was, '' where nothing is. */
export const notOnlyYou = (differs: readonly string[]) =>
  differs.length === 0
    ? ''
    : `Not only you may have changed: ${joined(differs)} also differ${differs.length === 1 ? 's' : ''}, which may be why.`;
export const nothingChanged = (compared: number) =>
  compared === 0
    ? 'Nothing could be compared with your last recording of this lift: how sure the numbers are is not known.'
    : 'No change can be told from your last recording of this lift. That does not mean that there is none.';
const CHANGED: Readonly<Record<string, readonly [more: string, less: string]>> = {
  hip_share: [
    'At parallel your hips did a larger part of the effort.',
    'At parallel your knees did a larger part of the effort.',
  ],
  knee_share_of_start: ['You set off more with the knees.', 'You set off more with the hips.'],
  trunk_lean: ['At parallel you leaned further forward.', 'At parallel you stayed more upright.'],
  lean_gained_in_drive: ['Your chest dropped more on the way up.', 'Your chest stayed up better on the way up.'],
  com_along_foot: [
    'At parallel the weight was further toward your toes.',
    'At parallel the weight was further toward your heels.',
  ],
  knee_over_toe: ['Your knees came further forward.', 'Your knees stayed further back.'],
  bottom_thigh_elevation: ['You went less deep.', 'You went deeper.'],
  bar_velocity_mean: ['You came up faster.', 'You came up more slowly.'],
};
/** What changed since last time; '' for a measure that has no plain words. */
export const changed = (measure: string, difference: number) => CHANGED[measure]?.[difference > 0 ? 0 : 1] ?? '';
export const restOpen = () => 'Of the rest no change can be told yet.';

export const bottomPicture = (lifter: string) =>
  `Stick figure of lifter ${lifter} from the side at the bottom of the lift.`;
export const bottomCaption = () =>
  'You at the bottom, from the right side. The red line shows where the weight of you and the bar hangs; it has to stay over the green foot.';

export const notSeenHeading = () => 'What the cameras missed';
export const couldNotSee = (what: string) => `They could not see ${what}.`;
export const careHeading = () => 'Take care of yourself';
