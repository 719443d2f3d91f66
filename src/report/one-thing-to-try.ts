import type { Finding } from '../lift/findings/findings.ts';
import type { OneThing } from './one-thing.ts';

/**
 * The one change to propose: of the findings that are shown for the set and have something to try, the one that matters most
 * (priority: what can hurt before balance, balance before the way of the lift …), then the surest (in whole hundredths), then
 * the earliest in the lift, since what follows may change with it. null where none is shown (docs/method/findings.md).
 */
export function oneThingToTry({
  findings,
}: {
  readonly findings: readonly Finding[];
}): (OneThing & { readonly finding: Finding }) | null {
  const shown = findings.filter(
    ({ repetition, word, rule }) => repetition === 0 && word === 'shown' && rule.cue !== '',
  );
  const hundredths = ({ probability }: Finding) => Math.round(100 * probability);
  // Findings stand in the order of the lift, and the sort is stable.
  const [first] = [...shown].sort((a, b) => a.rule.priority - b.rule.priority || hundredths(b) - hundredths(a));
  if (!first) return null;
  const { title, cue, caution } = first.rule;
  return { title, cue, caution, finding: first };
}

/** Whether anything is shown in the set, also what needs no change. */
export const isShown = (findings: readonly Finding[]): boolean =>
  findings.some(({ repetition, word }) => repetition === 0 && word === 'shown');
