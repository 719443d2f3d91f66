import * as z from 'zod';
import { interactionAlone, modelDescriptionWrong, termTwice } from '../../../messages/mixed-model.ts';

const column = z.string().min(1).max(200);
const terms = z.array(column).max(30);

const schema = z.strictObject({
  response: column,
  fixed: terms,
  random: z.strictObject({
    group: column,
    slopes: terms.max(5).default([]),
    correlated: z.boolean().default(true),
  }),
  factors: z.record(column, z.strictObject({ reference: z.string().min(1).optional() })).default({}),
  centre: z.record(column, z.union([z.literal('mean'), z.number()])).default({}),
  criterion: z.enum(['REML', 'ML']).default('REML'),
});

/**
 * A linear mixed model in plain words, as a user writes it.
 *
 * response: column of numbers. fixed: columns, and interactions `a:b`, whose parts must stand there too; the intercept is
 * always in. random: the column that names the groups (athletes) and what has a slope of its own in each, beside the
 * intercept; `correlated: false` leaves the correlations between them out. A column of text is a factor, a column of
 * numbers a covariate; one listed under `factors` is a factor either way. The reference level is the first in order
 * (numbers by size, then text by code point) unless stated. centre: subtract the mean of the rows used, or a number.
 */
export type ModelDescription = z.input<typeof schema>;

/** A description with every default filled in. */
export interface CheckedDescription {
  readonly response: string;
  readonly fixed: readonly Term[];
  readonly random: { readonly group: string; readonly slopes: readonly Term[]; readonly correlated: boolean };
  readonly factors: Readonly<Record<string, { readonly reference?: string }>>;
  readonly centre: Readonly<Record<string, number | 'mean'>>;
  readonly criterion: 'REML' | 'ML';
}

/** A column, or several joined to an interaction. */
export interface Term {
  readonly name: string;
  readonly columns: readonly string[];
}

/** Throws a DataError: not of the form, a term twice, an interaction without its parts. */
export function checkDescription(description: ModelDescription): CheckedDescription {
  const read = schema.safeParse(description);
  if (!read.success) {
    const [issue] = read.error.issues;
    throw modelDescriptionWrong(issue.path.join('.'), issue.message);
  }
  const { response, fixed, random, factors, centre, criterion } = read.data;
  const checked = {
    response,
    fixed: termsOf('fixed', fixed),
    random: { ...random, slopes: termsOf('random.slopes', random.slopes) },
    factors,
    centre,
    criterion,
  };
  for (const [field, used] of [
    ['fixed', checked.fixed],
    ['random.slopes', checked.random.slopes],
  ] as const)
    for (const { name, columns } of used)
      for (const taken of [response, random.group])
        if (columns.includes(taken))
          throw modelDescriptionWrong(field, `"${name}" uses "${taken}", which is the response or the group`);
  if (response === random.group) throw modelDescriptionWrong('random.group', `"${response}" is the response`);
  return checked;
}

function termsOf(field: string, names: readonly string[]): Term[] {
  const found = names.map((name) => ({ name, columns: name.split(':').map((part) => part.trim()) }));
  const seen = new Set<string>();
  for (const { name, columns } of found) {
    if (columns.some((part) => part === '')) throw modelDescriptionWrong(field, `"${name}" has an empty part`);
    if (new Set(columns).size < columns.length)
      throw modelDescriptionWrong(
        field,
        `"${name}" names a column twice; add a column of squares to the table instead`,
      );
    const key = keyOf(columns);
    if (seen.has(key)) throw termTwice(field, name);
    seen.add(key);
  }
  for (const { name, columns } of found) {
    for (const left of columns) {
      const part = columns.filter((other) => other !== left);
      if (part.length > 0 && !seen.has(keyOf(part))) throw interactionAlone(field, name, part.join(':'));
    }
  }
  return found;
}

const keyOf = (columns: readonly string[]): string => JSON.stringify([...columns].sort());
