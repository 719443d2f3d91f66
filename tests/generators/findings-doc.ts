import { fileURLToPath } from 'node:url';
import { CHAINS } from '../../src/lift/findings/chains.ts';
import type { FindingRule } from '../../src/lift/findings/rule.ts';
import { BUILT_IN_RULES, RULE_THEMES } from '../../src/lift/findings/rules/index.ts';
import { MEASURES } from '../../src/lift/measures/index.ts';
import { thresholdText } from '../../src/study/finding-words.ts';

/** docs/method/findings.md: how findings are made, and every built-in rule and chain. Written by write-findings-schema.ts. */

export const FINDINGS_DOC = fileURLToPath(new URL('../../docs/method/findings.md', import.meta.url));

const METHOD = `# Findings

Made by \`npx tsx tests/generators/write-findings-schema.ts\`; a test fails where the text and the rules differ.

A finding is one measure of one lift held against a threshold, with the probability that the threshold is really passed. It
describes a movement. It is no diagnosis, and no fault by itself. Code: \`src/lift/findings\`; columns: \`findings.csv\` in
[data-dictionary.md](../data-dictionary.md).

## Probability and word

The error of a measure is taken as normal about the middle of its 95 % interval (m = (lower + upper)/2), with the standard deviation
s = (upper − lower)/(2 · 1.96). Then for a threshold t

    P(above t) = Φ((m − t)/s),   P(below t) = 1 − P(above t)

| word | probability | |
|---|---|---|
| shown | ≥ 0.95 | |
| suggested | ≥ 0.75 | |
| open | between, or no interval | reason where there is one |
| not there | ≤ 0.05 | |
| unknown | | the measure is unknown, with its reason |

0.95, 0.75 and 0.05: common practice, no source. If the intervals hold, a lift exactly on a threshold is *shown* in 5 of 100 cases, one
that is half an interval short of it in 0.02 of 100, and a fault that lies two half intervals beyond it in 98.9 of 100 (closed form; simulated in
\`tests/lift/findings/probability.test.ts\`). With \`--no-intervals\` every known finding is open: "no interval".

Each repetition is judged by its own interval. The **set** (repetition 0) is judged by the mean over its full repetitions, with the interval of that
mean: causes common to all repetitions (calibration, joint centres, segment masses) do not average out and are not divided by √n.
Rules are not corrected for their number: about fifty are asked of a set, and each keeps its own error. Most neutral lifts lie far
from most thresholds.

A rule whose measure cannot tell two things apart is never more than open (\`open_because\`): the line from hips to shoulders gets
shorter when the back rounds and when the shoulders move; only a point on the middle of the back (\`mid_back\`) tells them apart.

## Which rules

A rule may be for some places of the bar, kinds of lift, grips, or for lifts that begin with the way down (squats) or up (from the floor). Rules of
other lifts are left out: a deadlift has no row about elbows. A more particular rule takes the place of a general one
(\`instead_of\`): low elbows, where the recording says that the whole hand holds the bar.

## One thing to try

Of the findings *shown* for the set that have a cue: the one with the most urgent **priority** (1 can hurt, 2 balance, 3 the way of
the lift, 4 left and right or tempo, 5 a style), then the most probable (in whole hundredths), then the earliest in the lift, since what follows may change
with it. None is proposed where none is shown.

## Seen together

A chain is a list of rules that coaches often meet one after the other. It is told only where every link is *shown* for the set; a shorter run of two
or more neighbours counts as a chain of its own. It says that these were seen together, and that this does not show a cause.
That the links often come together: common practice, no source.
`;

const OWN = `
## Own rules

\`kneeward findings --write rules.yaml\` writes all built-in rules with comments; \`--check rules.yaml\` says what a file changes, and names what
does not exist by file, line, rule and field with the nearest known name; \`--list\` shows the built-in ones. Schema:
[findings.schema.json](../findings.schema.json).

    kneeward: 1
    findings: our gym
    switch_off: [knees_ahead_of_toes]
    rules:
      hips_rise_first: { threshold: 12, unit: deg }      # changed: the rest stays as built in
      hips_sink_far:                                     # added
        title: Hips sink far
        measure: hip_drop
        at: bottom
        comparison: above
        threshold: 0.6
        unit: m
        sentence: The hips sink by {value}.

Use: \`kneeward analyse … --findings rules.yaml\`, or \`findings: rules.yaml\` in recording.yaml or study.yaml (command line over
recording over study). The file's digest stands in provenance.json.

## Limits

- Thresholds are rules of the trade, not borders between right and wrong; where they are contested the basis says so. "Summary read" = the abstract
  was read, not the whole paper.
- A normal error about the interval's middle is an approximation for measures that have a floor (lifts of heel and toe, bounce) or are the largest of many.
- The words *shown* and *suggested* are about the measurement, not about how a lifter varies from day to day.
`;

export function findingsDocument(): string {
  const themes = RULE_THEMES.map(({ title, rules }) => `### ${title}\n\n${HEADER}${rules.map(row).join('')}`);
  return `${METHOD}\n## Chains\n\n${CHAINS.map(chain).join('')}\n## Built-in rules\n\n${BUILT_IN_RULES.length} rules, in the order of the lift; P = priority.\n\n${themes.join('\n')}${OWN}`;
}

const HEADER = '| rule | looks for | measure, place | threshold | for | P | basis |\n|---|---|---|---|---|---|---|\n';

function row(rule: FindingRule): string {
  const { name, title, measure, at, comparison, basis, priority, sides, openBecause } = rule;
  const unit = MEASURES.find((one) => one.name === measure)?.unit ?? '';
  const which = sides.filter((side) => side !== '' && side !== 'both');
  const source = [
    basis.kind === 'citation' ? '' : basis.kind,
    basis.text,
    openBecause ? `Never more than open: ${openBecause}.` : '',
  ];
  const cells = [
    `\`${name}\``,
    title,
    `\`${measure}\`, ${at}${which.length > 0 ? ` (${which.join(', ')})` : ''}`,
    `${comparison} ${thresholdText(rule, unit)}`,
    appliesText(rule),
    priority,
    source
      .filter((text) => text !== '')
      .join('. ')
      .replace('..', '.'),
  ];
  return `| ${cells.join(' | ')} |\n`;
}

function appliesText({ appliesTo = {} }: FindingRule): string {
  const { bar, order, grip, lift } = appliesTo;
  const parts = [
    order === 'descent first' ? 'squats' : order === 'ascent first' ? 'from the floor' : '',
    bar?.join(', ') ?? '',
    lift?.join(', ') ?? '',
    grip ? `grip: ${grip.join(', ')}` : '',
  ];
  return parts.filter((part) => part !== '').join('; ') || 'all';
}

const chain = ({ links }: (typeof CHAINS)[number]): string =>
  `- ${links.map(({ rules }) => rules.map((name) => `\`${name}\``).join(' or ')).join(' → ')}\n`;
