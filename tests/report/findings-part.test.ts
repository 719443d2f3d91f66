import { describe, expect, test } from '@jest/globals';
import { chainsOf } from '../../src/lift/findings/chains.ts';
import type { Finding } from '../../src/lift/findings/findings.ts';
import { findingGroups } from '../../src/report/findings-groups.ts';
import { findingsSection } from '../../src/report/findings-part.ts';
import { oneThingToTry } from '../../src/report/one-thing-to-try.ts';
import type { ReportContent } from '../../src/report/report-input.ts';
import {
  basisLine,
  limitNote,
  ofHundred,
  openSummary,
  seenIn,
  unknownSummary,
} from '../../src/report/wording-findings.ts';
import { makeFinding, makeRule } from '../lift/findings/make-findings.ts';

const withIntervals = {} as ReportContent['uncertainty'];
const section = (findings: readonly Finding[], uncertainty = withIntervals) =>
  findingsSection({ findings, chains: chainsOf(findings), uncertainty }).text;

const rule = makeRule();
const inRepetition = (repetition: number, probability: number) =>
  makeFinding({ rule, repetition, probability, frameFirst: 10 * repetition, frameLast: 10 * repetition + 3 });

describe('the coach’s list', () => {
  test('a finding with its number, its probability and the way to its frames', () => {
    const text = section([
      makeFinding({ rule, probability: 0.97 }),
      inRepetition(1, 0.99),
      inRepetition(2, 0.2),
      inRepetition(3, 0.8),
    ]);
    expect(text).toContain('data-finding="leans"');
    expect(text).toContain(ofHundred(0.97));
    expect(text).toContain('45 ± 2°');
    expect(text).toContain(seenIn(2, 3));
    expect([...text.matchAll(/data-jump-frame="(\d+)"/g)].map(([, frame]) => frame)).toEqual(['13', '33']);
    expect(text).toContain(basisLine('40°', rule.basis));
    expect(text).toMatch(/data-jump-view="(side|front|top)"/);
  });

  test('shown before suggested; open, not there and unknown folded, unknown under its reason once', () => {
    const named = (name: string, changes: Partial<Finding>) =>
      makeFinding({ rule: makeRule({ name, title: `T ${name}` }), ...changes });
    const unknown = { probability: Number.NaN, value: Number.NaN, reason: 'needs left_heel' };
    const text = section([
      named('u', unknown),
      named('v', unknown),
      named('b', { probability: 0.8 }),
      named('o', { probability: 0.4 }),
      named('a', {}),
      named('n', { probability: 0.01 }),
    ]);
    expect([...text.matchAll(/data-finding="(\w)"/g)].map(([, name]) => name)).toEqual(['a', 'b']);
    expect(text).toContain(openSummary(1));
    expect(text).toContain(unknownSummary(2));
    expect(text.match(/needs left heel/g)).toHaveLength(1);
    expect(text).toContain(`T n <span class="quiet">(${limitNote('above', '40°')})`);
    expect(text).not.toMatch(/NaN|undefined/);
  });

  test('without intervals nothing is told as found, and the page says why', () => {
    const open = makeFinding({
      lower: Number.NaN,
      upper: Number.NaN,
      probability: Number.NaN,
      word: 'open',
      reason: 'no interval',
    });
    const text = section([open], null);
    expect(text).not.toContain('data-finding');
    expect(text).toContain('--no-intervals');
    expect(text).toContain(openSummary(1));
  });

  test('a chain is a row of its links with the sentence', () => {
    const names = ['drops_fast', 'double_bounce'];
    const findings = names.map((name) => makeFinding({ rule: makeRule({ name, title: `T ${name}` }) }));
    const text = section(findings);
    expect(text).toContain(
      '<ol class="chain"><li><span>T drops_fast</span></li><li><span>T double_bounce</span></li></ol>',
    );
    expect(text).toContain(chainsOf(findings)[0].sentence);
  });

  test('no repetition at all, and text from a user’s file cannot become markup', () => {
    expect(section([])).not.toContain('undefined');
    const own = makeRule({ title: '<b>x</b>', cue: '"><script>' });
    expect(section([makeFinding({ rule: own })])).not.toMatch(/<script>|<b>x/);
  });
});

describe('groups', () => {
  test('shown in one repetition but not in the mean: suggested, since it is not throughout', () => {
    const [group] = findingGroups([
      makeFinding({ rule, probability: 0.3 }),
      inRepetition(1, 0.2),
      inRepetition(2, 0.99),
    ]);
    expect(group.word).toBe('suggested');
    expect(group.sides[0].seen.map(({ repetition }) => repetition)).toEqual([2]);
  });

  test('only the sides that have the strongest word, the surest first', () => {
    const both = makeRule({ sides: ['left', 'right'] });
    const side = (name: 'left' | 'right', probability: number) => makeFinding({ rule: both, side: name, probability });
    expect(findingGroups([side('left', 0.96), side('right', 0.99)])[0].sides.map((one) => one.side)).toEqual([
      'right',
      'left',
    ]);
    expect(findingGroups([side('left', 0.96), side('right', 0.5)])[0].sides.map((one) => one.side)).toEqual(['left']);
  });
});

describe('one thing to try', () => {
  const of = (name: string, priority: 1 | 2 | 3, probability: number, cue = 'Try.') =>
    makeFinding({ rule: makeRule({ name, priority, cue }), probability });
  const chosen = (...findings: Finding[]) => oneThingToTry({ findings })?.finding.rule.name;

  test('what can hurt before what is surer; then the surer; then the earlier in the lift', () => {
    expect(chosen(of('a', 3, 1), of('b', 1, 0.95))).toBe('b');
    expect(chosen(of('a', 2, 0.96), of('b', 2, 0.99))).toBe('b');
    expect(chosen(of('a', 2, 0.991), of('b', 2, 0.994))).toBe('a');
  });

  test('only what is shown for the set and has something to try', () => {
    expect(chosen(of('a', 1, 0.94), { ...of('b', 1, 0.99), repetition: 1 }, of('c', 1, 0.99, ''))).toBeUndefined();
    expect(oneThingToTry({ findings: [] })).toBeNull();
  });
});

test.each([
  [0.97, '97 of 100'],
  [0.9999, 'more than 99 of 100'],
  [1, 'more than 99 of 100'],
  [0.001, 'fewer than 1 of 100'],
])('%s is %s', (probability, text) => expect(ofHundred(probability)).toBe(text));
