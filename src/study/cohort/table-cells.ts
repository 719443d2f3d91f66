import type { OutcomeResult } from './outcome-result.ts';

/** What every table says of an outcome. */
export const outcomeCells = ({ outcome, unit, scale }: OutcomeResult) => ({
  measure: outcome.measure,
  side: outcome.side,
  at: outcome.at,
  scale: scale ?? 'as it is',
  unit: scale === null ? unit : '1',
});

export const OUTCOME_COLUMNS = ['measure', 'side', 'at', 'scale', 'unit'] as const;

/** The model in the notation of lme4: what stands in cohort-rows.csv can be fitted again with it. */
export function formula({ description, used }: Pick<OutcomeResult, 'description' | 'used'>): string {
  const { fixed, random } = description;
  const group = ['1', ...(random.slopes ?? [])].join(' + ');
  return used.length === 0 ? '' : `response ~ ${fixed.join(' + ')} + (${group} | ${random.group})`;
}

/** Notes in one cell, parted by semicolons. */
export const joinedNotes = (notes: readonly string[]): string =>
  notes.map((note, i) => (i < notes.length - 1 ? note.replace(/\.$/, '') : note)).join('; ');
