import type { FindingRule } from '../rule.ts';
import { BAR_RULES } from './bar-and-arms.ts';
import { DRIVE_RULES } from './drive-and-tempo.ts';
import { FOOT_RULES } from './feet-and-balance.ts';
import { KNEE_RULES } from './knees-and-depth.ts';
import { DEADLIFT_START_RULES, START_RULES } from './start.ts';
import { TRUNK_RULES } from './trunk.ts';

export interface RuleTheme {
  readonly title: string;
  readonly rules: readonly FindingRule[];
}

/** The built-in rules by theme, in the order of the lift: what comes first in time stands first. */
export const RULE_THEMES: readonly RuleTheme[] = [
  { title: 'The start', rules: [...START_RULES, ...DEADLIFT_START_RULES] },
  { title: 'Feet and balance', rules: FOOT_RULES },
  { title: 'Knees, depth and effort', rules: KNEE_RULES },
  { title: 'Trunk', rules: TRUNK_RULES },
  { title: 'Arms and bar', rules: BAR_RULES },
  { title: 'Turning round, way up and the set', rules: DRIVE_RULES },
];

/** Every built-in rule. A new one is added to its theme and nowhere else. */
export const BUILT_IN_RULES: readonly FindingRule[] = RULE_THEMES.flatMap(({ rules }) => rules);
