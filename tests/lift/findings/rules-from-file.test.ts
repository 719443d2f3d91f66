import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from '@jest/globals';
import { readFindingsFile } from '../../../src/capture/findings-file.ts';
import { DataError } from '../../../src/errors.ts';
import { BUILT_IN_RULES, RULE_THEMES } from '../../../src/lift/findings/rules/index.ts';
import { rulesFromFile } from '../../../src/lift/findings/rules-from-file.ts';
import { rulesYaml } from '../../../src/lift/findings/rules-yaml.ts';

const folder = mkdtempSync(join(tmpdir(), 'kneeward-findings-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const file = join(folder, 'rules.yaml');

function rules(text: string) {
  writeFileSync(file, text);
  return rulesFromFile(readFindingsFile(file, null));
}

const HEAD = 'kneeward: 1\nfindings: ours\n';

function fault(text: string): DataError {
  try {
    rules(HEAD + text);
  } catch (error) {
    if (error instanceof DataError) return error;
    throw error;
  }
  throw new Error('no fault found');
}

const NEW = `rules:
  hips_sink_far:
    title: Hips sink far
    measure: hip_drop
    at: bottom
    comparison: above
    threshold: 0.6
    unit: m
    sentence: The hips sink by {value}.
`;

describe('own rules', () => {
  test('without a file, the built-in rules', () => {
    expect(rulesFromFile(null).rules).toBe(BUILT_IN_RULES);
  });

  test('a changed rule keeps its place and all that the file does not name', () => {
    const set = rules(`${HEAD}rules: { hips_rise_first: { threshold: 12, unit: deg, cue: "Chest up." } }`);
    const place = BUILT_IN_RULES.findIndex(({ name }) => name === 'hips_rise_first');
    expect(set).toMatchObject({ added: [], changed: ['hips_rise_first'], off: [] });
    expect(set.rules[place]).toMatchObject({ ...BUILT_IN_RULES[place], threshold: 12, cue: 'Chest up.' });
    expect(set.rules).toHaveLength(BUILT_IN_RULES.length);
  });

  test('a new rule stands behind the built-in ones, with defaults that say so', () => {
    const set = rules(HEAD + NEW);
    expect(set).toMatchObject({ added: ['hips_sink_far'], changed: [] });
    expect(set.rules.at(-1)).toMatchObject({
      sides: [''],
      priority: 3,
      cue: '',
      caution: '',
      basis: { kind: 'common practice, no source', text: '' },
    });
  });

  test('rules are switched off by name', () => {
    const set = rules(`${HEAD}switch_off: [knees_ahead_of_toes, head_far_up]`);
    expect(set.off).toEqual(['knees_ahead_of_toes', 'head_far_up']);
    expect(set.rules.map(({ name }) => name)).not.toContain('head_far_up');
    expect(set.rules).toHaveLength(BUILT_IN_RULES.length - 2);
  });

  test('a rule for all lifts: applies_to { } takes the limits of the built-in one away', () => {
    const set = rules(`${HEAD}rules: { double_bounce: { applies_to: {} } }`);
    expect(set.rules.find(({ name }) => name === 'double_bounce')?.appliesTo).toBeUndefined();
  });

  test('the built-in rules written as YAML and read back change nothing', () => {
    const set = rules(rulesYaml(RULE_THEMES));
    expect(set).toMatchObject({ added: [], changed: [], off: [] });
    expect(JSON.parse(JSON.stringify(set.rules))).toEqual(JSON.parse(JSON.stringify(BUILT_IN_RULES)));
  });

  test.each([
    [
      'finding-unknown-measure',
      NEW.replace('hip_drop', 'hip_dorp'),
      { field: 'measure', line: 6, suggestion: 'hip_drop' },
    ],
    ['finding-unknown-place', NEW.replace('bottom', 'botom'), { field: 'at', line: 7, suggestion: 'bottom' }],
    ['finding-unknown-place', NEW.replace('bottom', 'sticking point'), { field: 'at', value: 'sticking point' }],
    ['finding-wrong-unit', NEW.replace('unit: m', 'unit: cm'), { field: 'unit', value: 'cm', suggestion: 'm' }],
    ['finding-unknown-side', `${NEW}    sides: [left]\n`, { field: 'sides', value: 'left', rule: 'hips_sink_far' }],
    ['finding-unknown-placeholder', NEW.replace('{value}', '{valeu}'), { field: 'sentence', value: '{valeu}' }],
    ['finding-incomplete', NEW.replace('    unit: m\n', ''), { field: 'unit', rule: 'hips_sink_far' }],
    ['finding-incomplete', 'rules: { hips_rise_frist: { threshold: 9 } }', { suggestion: 'hips_rise_first', line: 3 }],
    ['finding-off-unknown', 'switch_off: [a_rule, hips_rise_frist]', { rule: 'a_rule' }],
    ['finding-instead-of-unknown', `${NEW}    instead_of: hips_rise_frist\n`, { suggestion: 'hips_rise_first' }],
    [
      'unknown-field',
      'rules: { hips_rise_first: { treshold: 9 } }',
      { field: 'rules.hips_rise_first.treshold', suggestion: 'threshold' },
    ],
    ['not-a-choice', 'rules: { hips_rise_first: { comparison: over } }', { field: 'rules.hips_rise_first.comparison' }],
    ['out-of-range', 'rules: { hips_rise_first: { threshold: 1e9 } }', { value: 1e9 }],
    [
      'missing-field',
      'rules: { hips_rise_first: { basis: { text: a } } }',
      { field: 'rules.hips_rise_first.basis.kind' },
    ],
  ])('%s', (code, text, facts) => {
    const found = fault(text);
    expect(found.code).toBe(code);
    expect(found.facts).toMatchObject(facts);
    expect(found.message).toContain(file);
    expect(found.message).not.toMatch(/undefined|\[object/);
  });
});
