import { existsSync } from 'node:fs';
import type { Command } from 'commander';
import { readFindingsFile } from '../capture/findings-file.ts';
import type { FindingRule } from '../lift/findings/rule.ts';
import { RULE_THEMES } from '../lift/findings/rules/index.ts';
import { rulesFromFile } from '../lift/findings/rules-from-file.ts';
import { rulesYaml } from '../lift/findings/rules-yaml.ts';
import { MEASURES } from '../lift/measures/index.ts';
import { findingsFileExists, findingsWantsOne, rulesChecked, rulesWritten, usage } from '../messages.ts';
import { thresholdText } from '../study/finding-words.ts';
import { placeOption } from './place-option.ts';
import { writeFile } from './write-files.ts';

interface FindingsOptions {
  readonly list?: boolean;
  readonly write?: string;
  readonly check?: string;
}

/** Hooks `findings` onto the command line. */
export function registerFindings(program: Command): void {
  program
    .command('findings')
    .description('The rules that turn measures into findings: shows them, writes them to change, checks your own.')
    .option('--list', 'all built-in rules: name, measure, threshold, where the threshold comes from', false)
    .option('--write <file>', 'write all built-in rules, with comments, as a YAML file to start from', placeOption)
    .option('--check <file>', 'check a file of own rules, and say what it changes')
    .addHelpText(
      'after',
      '\nExamples:\n  kneeward findings --list\n  kneeward findings --write my-rules.yaml\n  kneeward findings --check my-rules.yaml' +
        '\n  kneeward analyse lifts/monday.yaml --findings my-rules.yaml' +
        '\n\nA small file of own rules:\n  kneeward: 1\n  findings: our gym\n  switch_off: [knees_ahead_of_toes]\n  rules:' +
        '\n    hips_rise_first: { threshold: 12, unit: deg }',
    )
    .action((options: FindingsOptions) => {
      process.stdout.write(`${answer(options)}\n`);
    });
}

function answer({ list, write, check }: FindingsOptions): string {
  const asked = [list === true, write !== undefined, check !== undefined].filter(Boolean).length;
  if (asked !== 1) throw usage(findingsWantsOne());
  if (write !== undefined) return written(write);
  if (check !== undefined) return checked(check);
  return listed();
}

/** Never over a file that may hold the user's own rules. */
function written(file: string): string {
  if (existsSync(file)) throw findingsFileExists(file);
  writeFile(file, rulesYaml(RULE_THEMES));
  return rulesWritten(file, RULE_THEMES.flatMap(({ rules }) => rules).length);
}

function checked(file: string): string {
  const { rules, added, changed, off } = rulesFromFile(readFindingsFile(file, null));
  const names = (what: string, which: readonly string[]) => (which.length > 0 ? [`${what}: ${which.join(', ')}`] : []);
  const counts = { added: added.length, changed: changed.length, off: off.length, total: rules.length };
  return [
    rulesChecked(file, counts),
    ...names('added', added),
    ...names('changed', changed),
    ...names('switched off', off),
  ].join('\n');
}

function listed(): string {
  const columns = ['rule', 'measure', 'at', 'threshold', 'basis'];
  const rows = RULE_THEMES.flatMap(({ title, rules }) => [[title], ...rules.map(cells)]);
  const widths = columns.map((name, c) =>
    Math.max(name.length, ...rows.filter((row) => row.length > 1).map((row) => row[c].length)),
  );
  const line = (row: readonly string[]) =>
    row.length === 1
      ? `\n${row[0]}`
      : row
          .map((cell, c) => cell.padEnd(widths[c]))
          .join('  ')
          .trimEnd();
  return [columns, ...rows].map(line).join('\n');
}

function cells(rule: FindingRule): string[] {
  const unit = MEASURES.find(({ name }) => name === rule.measure)?.unit ?? '';
  return [rule.name, rule.measure, rule.at, `${rule.comparison} ${thresholdText(rule, unit)}`, rule.basis.kind];
}
