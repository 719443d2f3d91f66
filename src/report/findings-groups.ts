import type { Finding } from '../lift/findings/findings.ts';
import type { FindingWord } from '../lift/findings/probability.ts';
import type { FindingRule, FindingSide } from '../lift/findings/rule.ts';

/** One rule, one side, over the set and its repetitions. */
export interface FindingOfSide {
  readonly side: FindingSide;
  /** The mean over the set's full repetitions. */
  readonly set: Finding;
  /** Repetitions in which it is known, in order. */
  readonly known: readonly Finding[];
  /** Those of them in which it is shown or suggested by itself. */
  readonly seen: readonly Finding[];
}

/** One rule with the sides that make it what it is. */
export interface FindingGroup {
  readonly rule: FindingRule;
  /** The strongest word of its sides. */
  readonly word: FindingWord;
  /** Sides that have this word; the most probable one first. */
  readonly sides: readonly FindingOfSide[];
}

const STRENGTH: readonly FindingWord[] = ['shown', 'suggested', 'open', 'not there', 'unknown'];

/**
 * Findings by rule, in the order of the rules. A rule that is shown in some repetition and less than suggested in the mean of
 * the set counts as suggested: something was seen, and not throughout.
 */
export function findingGroups(findings: readonly Finding[]): readonly FindingGroup[] {
  const byRule = new Map<FindingRule, Finding[]>();
  for (const finding of findings) {
    const own = byRule.get(finding.rule);
    if (own) own.push(finding);
    else byRule.set(finding.rule, [finding]);
  }
  return [...byRule].map(([rule, own]) => {
    const sides = rule.sides.flatMap((side) => ofSide(side, own));
    const word = STRENGTH.find((one) => sides.some((side) => wordOf(side) === one)) ?? 'unknown';
    const strongest = sides.filter((side) => wordOf(side) === word);
    return { rule, word, sides: strongest.sort((a, b) => probabilityOf(b) - probabilityOf(a)) };
  });
}

function ofSide(side: FindingSide, own: readonly Finding[]): FindingOfSide[] {
  const ours = own.filter((finding) => finding.side === side);
  const set = ours.find(({ repetition }) => repetition === 0);
  if (!set) return [];
  const known = ours.filter(({ repetition, word }) => repetition > 0 && word !== 'unknown');
  return [{ side, set, known, seen: known.filter(({ word }) => word === 'shown' || word === 'suggested') }];
}

function wordOf({ set, seen }: FindingOfSide): FindingWord {
  const inOne = seen.some(({ word }) => word === 'shown');
  return inOne && set.word !== 'shown' ? 'suggested' : set.word;
}

const probabilityOf = ({ set }: FindingOfSide): number => (Number.isNaN(set.probability) ? -1 : set.probability);
