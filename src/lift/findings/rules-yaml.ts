import { stringify } from 'yaml';
import { MEASURES } from '../measures/index.ts';
import type { FindingRule } from './rule.ts';
import type { RuleTheme } from './rules/index.ts';

const HEAD = `# Rules for findings. Made by "kneeward findings --write".
#
# Keep what you want to change and delete the rest: a rule that is not here stays as it is built in.
# Use it:     kneeward analyse recording.yaml --findings this-file.yaml
#             or "findings: this-file.yaml" in recording.yaml or study.yaml
# Check it:   kneeward findings --check this-file.yaml
#
# threshold   in the unit of the measure: 0.03 with unit m is 3 cm, 0.3 with unit 1 is 30 %
# basis       citation, "common practice, no source", or contested, with its text
# sentence    may hold {value}, {threshold} and {side}
# cue         something to try in the next set; caution: what to take care of when trying it
# priority    1 can hurt, 2 balance, 3 the way of the lift, 4 left and right or tempo, 5 a style
# applies_to  bar: front rack, high back, low back, overhead, hands, none
#             order: descent first (squats) or ascent first (lifts from the floor)
#             lift, grip: words of the recording file
# To add a rule, give it a new name. To switch built-in ones off, name them under switch_off.
`;

/** Built-in rules as a file of own rules, with comments: read back, it changes nothing. */
export function rulesYaml(themes: readonly RuleTheme[]): string {
  const parts = themes.map(({ title, rules }) => `\n  # ---- ${title} ----\n${rules.map(entry).join('')}`);
  return `${HEAD}kneeward: 1\nfindings: my rules\nswitch_off: []\nrules:\n${parts.join('')}`;
}

function entry(rule: FindingRule): string {
  const text = stringify({ [rule.name]: fields(rule) }, { lineWidth: 110 });
  return `\n${text.replace(/^(?=.)/gm, '  ')}`;
}

function fields(rule: FindingRule): object {
  const { appliesTo, openBecause, insteadOf, basis, sides } = rule;
  const unit = MEASURES.find(({ name }) => name === rule.measure)?.unit;
  return {
    title: rule.title,
    measure: rule.measure,
    at: rule.at,
    ...(sides.some((side) => side !== '') && { sides }),
    comparison: rule.comparison,
    threshold: rule.threshold,
    ...(unit && { unit }),
    basis: basis.text === '' ? { kind: basis.kind } : basis,
    sentence: rule.sentence,
    why: rule.why,
    cue: rule.cue,
    caution: rule.caution,
    priority: rule.priority,
    ...(appliesTo && { applies_to: appliesTo }),
    ...(openBecause && { open_because: openBecause }),
    ...(insteadOf && { instead_of: insteadOf }),
  };
}
