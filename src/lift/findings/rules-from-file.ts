import type { FindingsFile, WrittenRule } from '../../capture/findings-file.ts';
import { nearestName } from '../../capture/nearest-name.ts';
import {
  ruleIncomplete,
  ruleInsteadOfUnknown,
  ruleSwitchedOffUnknown,
  ruleUnknownMeasure,
  ruleUnknownPlace,
  ruleUnknownPlaceholder,
  ruleUnknownSide,
  ruleWrongUnit,
} from '../../messages.ts';
import { MEASURES } from '../measures/index.ts';
import { MEASURE_PLACES } from './measure-places.ts';
import type { FindingRule } from './rule.ts';
import { BUILT_IN_RULES } from './rules/index.ts';

/** Rules that are used, and how they differ from the built-in ones. */
export interface RuleSet {
  /** Built-in ones in their order, then those that were added in the order of the file. */
  readonly rules: readonly FindingRule[];
  readonly added: readonly string[];
  /** Only those that differ from the built-in rule of that name. */
  readonly changed: readonly string[];
  readonly off: readonly string[];
}

/** What the sentence of a rule may hold. */
export const PLACEHOLDERS = ['{value}', '{threshold}', '{side}'] as const;

/** What a rule of its own must state; the rest has a default. */
const NEEDED = ['title', 'measure', 'at', 'comparison', 'threshold', 'unit', 'sentence'] as const;

/**
 * The rules of a user's file laid over the built-in ones. Throws a DataError that names file, line, rule and field for a
 * measure, place, side or unit that does not exist (with the nearest one that does), and for a new rule that is incomplete.
 */
export function rulesFromFile(file: FindingsFile | null, builtIn: readonly FindingRule[] = BUILT_IN_RULES): RuleSet {
  if (file === null) return { rules: builtIn, added: [], changed: [], off: [] };
  const byName = new Map(builtIn.map((rule) => [rule.name, rule]));
  file.switchedOff.forEach((name, index) => {
    if (byName.has(name)) return;
    const place = { file: file.file, line: file.lineOfSwitch(index), rule: name };
    throw ruleSwitchedOffUnknown(place, nearestName(name, [...byName.keys()]));
  });
  const written = [...file.rules].map(([name, rule]) => ruleOf(name, rule, byName, file));
  const mine = new Map(written.map((rule) => [rule.name, rule]));
  const off = new Set(file.switchedOff);
  const added = written.filter(({ name }) => !byName.has(name));
  const rules = [...builtIn.map((rule) => mine.get(rule.name) ?? rule), ...added].filter(({ name }) => !off.has(name));
  for (const rule of written) {
    const place = placeOf(file, rule.name, 'instead_of');
    if (rule.insteadOf === undefined || byName.has(rule.insteadOf) || mine.has(rule.insteadOf)) continue;
    throw ruleInsteadOfUnknown(place, rule.insteadOf, nearestName(rule.insteadOf, [...byName.keys(), ...mine.keys()]));
  }
  return {
    rules,
    added: added.map(({ name }) => name),
    changed: written.filter((rule) => differs(rule, byName.get(rule.name))).map(({ name }) => name),
    off: [...off],
  };
}

const differs = (rule: FindingRule, from: FindingRule | undefined): boolean =>
  from !== undefined && JSON.stringify(rule) !== JSON.stringify(withFieldOrder(from));

const placeOf = ({ file, lineOf }: FindingsFile, rule: string, field?: string) => ({
  file,
  line: lineOf(rule, field),
  rule,
});

function ruleOf(
  name: string,
  written: WrittenRule,
  builtIn: ReadonlyMap<string, FindingRule>,
  file: FindingsFile,
): FindingRule {
  const base = builtIn.get(name);
  if (base === undefined) {
    const missing = NEEDED.filter((field) => written[field] === undefined);
    if (missing.length > 0) {
      throw ruleIncomplete(placeOf(file, name), missing, nearestName(name, [...builtIn.keys()]));
    }
  }
  const rule = withFieldOrder({
    name,
    title: written.title ?? base?.title ?? '',
    measure: written.measure ?? base?.measure ?? '',
    at: written.at ?? base?.at ?? '',
    sides: written.sides ?? base?.sides ?? [''],
    comparison: written.comparison ?? base?.comparison ?? 'above',
    threshold: written.threshold ?? base?.threshold ?? Number.NaN,
    basis: written.basis
      ? { kind: written.basis.kind, text: written.basis.text ?? '' }
      : (base?.basis ?? { kind: 'common practice, no source', text: '' }),
    sentence: written.sentence ?? base?.sentence ?? '',
    why: written.why ?? base?.why ?? '',
    cue: written.cue ?? base?.cue ?? '',
    caution: written.caution ?? base?.caution ?? '',
    priority: written.priority ?? base?.priority ?? 3,
    appliesTo: written.applies_to ?? base?.appliesTo,
    openBecause: (written.open_because ?? base?.openBecause) || undefined,
    insteadOf: written.instead_of ?? base?.insteadOf,
  });
  checkNames(rule, written, file);
  return rule;
}

/** A rule with its fields in one order and without those that say nothing, so that two can be compared as text. */
function withFieldOrder(rule: FindingRule): FindingRule {
  const { appliesTo, openBecause, insteadOf, basis } = rule;
  const { bar, lift, grip, order } = appliesTo ?? {};
  const applies = { ...(bar && { bar }), ...(lift && { lift }), ...(grip && { grip }), ...(order && { order }) };
  return {
    name: rule.name,
    title: rule.title,
    measure: rule.measure,
    at: rule.at,
    sides: rule.sides,
    comparison: rule.comparison,
    threshold: rule.threshold,
    basis: { kind: basis.kind, text: basis.text },
    sentence: rule.sentence,
    why: rule.why,
    cue: rule.cue,
    caution: rule.caution,
    priority: rule.priority,
    ...(Object.keys(applies).length > 0 && { appliesTo: applies }),
    ...(openBecause && { openBecause }),
    ...(insteadOf && { insteadOf }),
  };
}

/** Throws where a rule names something that does not exist. */
function checkNames(rule: FindingRule, { unit }: WrittenRule, file: FindingsFile): void {
  const measure = MEASURES.find(({ name }) => name === rule.measure);
  const at = (field: string) => placeOf(file, rule.name, field);
  if (!measure) {
    const names = MEASURES.map(({ name }) => name);
    throw ruleUnknownMeasure(at('measure'), rule.measure, nearestName(rule.measure, names));
  }
  const known = MEASURE_PLACES[measure.name];
  if (known && !known.at.includes(rule.at)) {
    throw ruleUnknownPlace(at('at'), measure.name, rule.at, known.at, nearestName(rule.at, known.at));
  }
  const side = known && rule.sides.find((one) => !known.sides.includes(one));
  if (known && side !== undefined) throw ruleUnknownSide(at('sides'), measure.name, side, known.sides);
  if (unit !== undefined && unit !== measure.unit) throw ruleWrongUnit(at('unit'), measure.name, unit, measure.unit);
  const strange = [...rule.sentence.matchAll(/\{[^}]*\}/g)].find(([text]) => !PLACEHOLDERS.some((one) => one === text));
  if (strange) throw ruleUnknownPlaceholder(at('sentence'), strange[0], PLACEHOLDERS);
}
