import type { BarPosition, Recording } from '../../capture/recording.ts';
import type { RepetitionOrder, Side } from '../lift-record.ts';

export type FindingSide = Side | '';

export const BASIS_KINDS = ['citation', 'common practice, no source', 'contested'] as const;

/** Where a threshold comes from, or what is disputed about it. `text`: '' for plain common practice. */
export interface Basis {
  readonly kind: (typeof BASIS_KINDS)[number];
  readonly text: string;
}

/** Which recordings a rule is for; what is left out holds for all. Words of lift and grip are looked for inside the recording's own. */
export interface AppliesTo {
  readonly bar?: readonly BarPosition[];
  readonly lift?: readonly string[];
  readonly grip?: readonly string[];
  readonly order?: RepetitionOrder;
}

/** How much a finding asks for attention: 1 can hurt, 2 balance, 3 the way of the lift, 4 left and right or tempo, 5 a style. */
export const PRIORITIES = [1, 2, 3, 4, 5] as const;
export type Priority = (typeof PRIORITIES)[number];

/** What a coach looks for, as data: a measure at a place, held against a threshold. */
export interface FindingRule {
  /** snake_case, one of a kind. */
  readonly name: string;
  /** Short and plain: 'Hips rise before the shoulders'. */
  readonly title: string;
  readonly measure: string;
  readonly at: string;
  /** One finding for each. */
  readonly sides: readonly FindingSide[];
  readonly comparison: 'above' | 'below';
  /** In the measure's own unit. */
  readonly threshold: number;
  readonly basis: Basis;
  /** What is seen; may hold {value}, {threshold} and {side}. */
  readonly sentence: string;
  /** Why a coach looks at it. */
  readonly why: string;
  /** Something to try in the next set; '' where nothing needs to change. */
  readonly cue: string;
  /** What to take care of when trying it; '' where nothing is special. */
  readonly caution: string;
  readonly priority: Priority;
  readonly appliesTo?: AppliesTo;
  /** Never more than open, for this reason: the measure alone cannot tell. */
  readonly openBecause?: string;
  /** A more general rule that is left out where this one applies. */
  readonly insteadOf?: string;
}

/**
 * The rules for a recording, in their own order. Those of other lifts are left out, and so is a general rule where a more
 * particular one takes its place.
 *
 * @param orders orders of the repetitions that were found
 */
export function rulesFor(
  recording: Pick<Recording, 'lift' | 'load'>,
  orders: readonly RepetitionOrder[],
  rules: readonly FindingRule[],
): readonly FindingRule[] {
  const applying = rules.filter((rule) => applies(rule, recording, orders));
  const replaced = new Set(applying.map(({ insteadOf }) => insteadOf));
  return applying.filter(({ name }) => !replaced.has(name));
}

function applies(
  { appliesTo = {} }: FindingRule,
  { lift, load }: Pick<Recording, 'lift' | 'load'>,
  orders: readonly RepetitionOrder[],
): boolean {
  const { bar, lift: lifts, grip, order } = appliesTo;
  return (
    (bar === undefined || bar.includes(load.bar.position)) &&
    (lifts === undefined || holdsOneOf(lift.kind, lifts)) &&
    (grip === undefined || holdsOneOf(lift.grip ?? '', grip)) &&
    (order === undefined || orders.includes(order))
  );
}

const holdsOneOf = (text: string, words: readonly string[]): boolean =>
  words.some((word) => text.toLowerCase().includes(word.toLowerCase()));
