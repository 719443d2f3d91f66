import { DataError } from '../errors.ts';

const didYouMean = (suggestion: string | null): string => (suggestion === null ? '' : ` Did you mean "${suggestion}"?`);
const listed = (names: readonly string[]): string => names.join(', ');

// Reasons in findings.csv

/** Why a finding is open although its value is known. */
export const noInterval = () => 'no interval';
export const findingNoFullRepetition = () => 'no full repetition';
export const measureNotInRecording = () => 'not measured in this recording';

// The user's own rules

/** What is wrong, where: file, line, rule and field. */
interface RulePlace {
  readonly file: string;
  readonly line: number;
  readonly rule: string;
}

const at = ({ file, line, rule }: RulePlace, field: string) => `${file}, line ${line}: rule "${rule}", ${field}`;

export const ruleUnknownMeasure = (place: RulePlace, value: string, suggestion: string | null) =>
  new DataError(
    'finding-unknown-measure',
    `${at(place, 'measure')} "${value}": there is no such measure.${didYouMean(suggestion)} docs/method/measures.md has them all.`,
    { ...place, field: 'measure', value, suggestion: suggestion ?? '' },
  );

export const ruleUnknownPlace = (
  place: RulePlace,
  measure: string,
  value: string,
  known: readonly string[],
  suggestion: string | null,
) =>
  new DataError(
    'finding-unknown-place',
    `${at(place, 'at')} "${value}": ${measure} is not read there.${didYouMean(suggestion)} Its places: ${listed(known)}.`,
    { ...place, field: 'at', value, suggestion: suggestion ?? '' },
  );

export const ruleUnknownSide = (place: RulePlace, measure: string, value: string, known: readonly string[]) =>
  new DataError(
    'finding-unknown-side',
    `${at(place, 'sides')} "${value}": ${measure} has no such side. ` +
      (known.length === 1 && known[0] === ''
        ? 'It belongs to no side: leave sides out.'
        : `Its sides: ${listed(known)}.`),
    { ...place, field: 'sides', value, suggestion: known[0] ?? '' },
  );

export const ruleWrongUnit = (place: RulePlace, measure: string, value: string, unit: string) =>
  new DataError(
    'finding-wrong-unit',
    `${at(place, 'unit')} "${value}": ${measure} is given in "${unit}". Write the threshold in that unit` +
      `${unit === 'm' ? ' (3 cm is 0.03)' : unit === '1' ? ' (a share: 30 % is 0.3)' : ''} and unit: "${unit}".`,
    { ...place, field: 'unit', value, suggestion: unit },
  );

export const ruleIncomplete = (place: RulePlace, missing: readonly string[], suggestion: string | null) =>
  new DataError(
    'finding-incomplete',
    `${place.file}, line ${place.line}: rule "${place.rule}" is not one of the built-in rules, and lacks ${listed(missing)}.` +
      `${didYouMean(suggestion)} A new rule needs them all; a change of a built-in rule needs its exact name (kneeward findings --list).`,
    { ...place, field: missing[0], suggestion: suggestion ?? '' },
  );

export const ruleSwitchedOffUnknown = (place: RulePlace, suggestion: string | null) =>
  new DataError(
    'finding-off-unknown',
    `${place.file}, line ${place.line}: "${place.rule}" cannot be switched off: there is no built-in rule of that name.${didYouMean(suggestion)}`,
    { ...place, field: 'off', suggestion: suggestion ?? '' },
  );

export const ruleUnknownPlaceholder = (place: RulePlace, value: string, known: readonly string[]) =>
  new DataError(
    'finding-unknown-placeholder',
    `${at(place, 'sentence')} holds ${value}, which nothing fills. It may hold ${listed(known)}.`,
    { ...place, field: 'sentence', value },
  );

export const ruleInsteadOfUnknown = (place: RulePlace, value: string, suggestion: string | null) =>
  new DataError(
    'finding-instead-of-unknown',
    `${at(place, 'instead_of')} "${value}": there is no rule of that name.${didYouMean(suggestion)}`,
    { ...place, field: 'instead_of', value, suggestion: suggestion ?? '' },
  );

// The command line

export const rulesChecked = (
  file: string,
  counts: { readonly added: number; readonly changed: number; readonly off: number; readonly total: number },
) =>
  `${file}: in order. ${counts.added} added, ${counts.changed} changed, ${counts.off} switched off; ${counts.total} rules in all.`;

export const rulesWritten = (file: string, count: number) =>
  `${count} rules written to ${file}. Change it, then: kneeward findings --check ${file}`;

export const findingsWantsOne = () =>
  'kneeward findings wants one of --list, --write FILE, --check FILE (kneeward findings --help shows how).';

export const findingsFileExists = (file: string) =>
  new DataError(
    'findings-file-exists',
    `${file}: there is a file of that name already, and it may hold your own rules. Choose another name, or move it away first.`,
    { file },
  );
