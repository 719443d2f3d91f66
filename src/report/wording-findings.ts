import type { FindingWord } from '../lift/findings/probability.ts';
import type { Basis } from '../lift/findings/rule.ts';

/* What the report says about findings. Tests assert on the functions, not on the prose. */

export const findingsHeading = () => 'What was found';

export const findingsNote = (intervals: boolean) =>
  intervals
    ? 'Each finding is one number held against a limit. “Shown”: in at least 95 of 100 cases like this the limit is really passed; “suggested”: in at least 75. The rest stays open. A finding describes this lift. It is no diagnosis, and no fault by itself.'
    : 'How sure the numbers are was not computed (“--no-intervals”), so every finding stays open.';

export const nothingFound = () => 'Nothing is shown or suggested in this set.';
export const noFindings = () => 'No repetition was found in this recording, so there is nothing to look at.';

export const wordLabel = (word: FindingWord) =>
  ({ shown: 'Shown', suggested: 'Suggested', open: 'Open', 'not there': 'Not there', unknown: 'Unknown' })[word];

/** '97 of 100'; never all or none of them. */
export function ofHundred(probability: number): string {
  const hundredths = Math.round(100 * probability);
  if (hundredths >= 100) return 'more than 99 of 100';
  if (hundredths <= 0) return 'fewer than 1 of 100';
  return `${hundredths} of 100`;
}

/** The number behind a finding and how sure it is. `value`: '12 ± 2°'; `limit`: '8°'. */
export const numberLine = (value: string, comparison: 'above' | 'below', limit: string, probability: number) =>
  `${value}; ${Number.isNaN(probability) ? `the limit is ${limit}` : `${comparison} ${limit} in ${ofHundred(probability)}`}`;

export const limitNote = (comparison: 'above' | 'below', limit: string) => `looked for: ${comparison} ${limit}`;

/** In how many of the repetitions that know it a finding was seen by itself. */
export function seenIn(seen: number, known: number): string {
  if (known === 0) return '';
  const all = known === 1 ? 'the one repetition' : `${known} repetitions`;
  if (seen === 0) return `Not sure in any single one of ${all}, only in their mean.`;
  return known === 1 ? 'Seen in the one repetition.' : `Seen in ${seen} of ${all}.`;
}

/** A finding that only some repetitions show. */
export const notInTheMean = () => 'In the mean of the set it is not sure.';

export const repetitionButton = (repetition: number) => `Repetition ${repetition}`;
export const wholeSetButton = () => 'Show it';
export const jumpLabel = (title: string, repetition: number) =>
  `${repetition === 0 ? wholeSetButton() : repetitionButton(repetition)}, in the picture: ${title}`;

export const whyLabel = () => 'Why it matters';
export const cueLabel = () => 'Try';
export const noCue = () => 'Nothing needs to change because of this alone.';
export const cautionLabel = () => 'Take care';

/** 'Threshold 8°: common practice, no source.' */
export function basisLine(limit: string, { kind, text }: Basis): string {
  const head = `Threshold ${limit}: ${kind === 'citation' ? 'from a source' : kind}.`;
  return text === '' ? head : `${head} ${text}`;
}

export const chainsHeading = () => 'Seen together';
export const chainStep = (index: number) => `${index + 1}.`;

export const openSummary = (count: number) => `Open: not sure enough to say (${count})`;
export const unknownSummary = (count: number) => `Could not be looked at (${count})`;
export const notThereSummary = (count: number) => `Looked for and not there (${count})`;
