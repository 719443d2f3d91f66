import * as z from 'zod';

/**
 * The block `comparison` of `study.yaml`: what is compared over all recordings, and with what. Only its form is checked here;
 * whether the names are known is for the layer that knows the measures (src/study/cohort/checked-comparison.ts).
 */

/** `heel_height_mm`, `condition_heel`, `trunk_lean@parallel descent`. */
const PREDICTOR = /^[a-z][a-z0-9_]*(@[a-z][a-z ]*)?$/;
/** Two or more predictors joined by ":". */
const INTERACTION = /^[a-z][a-z0-9_]*(@[a-z][a-z ]*)?( *: *[a-z][a-z0-9_]*(@[a-z][a-z ]*)?)+$/;

/** More than any study can tell apart (common practice, no source). */
const MOST_OUTCOMES = 100;
const MOST_TERMS = 20;
const MOST_SLOPES = 3;

const predictor = z
  .string()
  .max(200)
  .regex(PREDICTOR)
  .describe('Name of a predictor: what the recording file states, condition_<name>, or a measure (measure@place)');

const outcome = z
  .strictObject({
    measure: z.string().min(1).max(200).describe('Name of the measure, as in measures.csv'),
    at: z.string().min(1).max(100).optional().describe('Place in the repetition; needed where the measure has several'),
    side: z
      .enum(['both', 'left', 'right'])
      .optional()
      .describe('Side of the body; both when left out and the measure has sides'),
  })
  .describe('One measure that is compared');

export const comparisonSchema = z
  .strictObject({
    outcomes: z
      .array(outcome)
      .min(1)
      .max(MOST_OUTCOMES)
      .optional()
      .describe(
        'Measures that are compared; hip share, trunk lean and centre of mass along the foot at parallel and the largest ankle bend when left out',
      ),
    predictors: z
      .array(predictor)
      .min(1)
      .max(MOST_TERMS)
      .describe('What may explain them, for instance [heel_height_mm, femur_per_trunk, sex]'),
    interactions: z
      .array(
        z.string().max(600).regex(INTERACTION).describe('Predictors joined by ":", for instance heel_height_mm:sex'),
      )
      .max(MOST_TERMS)
      .optional()
      .describe('Predictors whose effects may depend on each other'),
    slopes: z
      .array(predictor)
      .max(MOST_SLOPES)
      .optional()
      .describe('Predictors whose effect may differ from athlete to athlete; the level of the athlete always may'),
    factors: z
      .record(
        z.string(),
        z
          .strictObject({
            reference: z
              .union([z.string().min(1), z.number(), z.boolean()])
              .optional()
              .describe('Level that the others are compared with; the first in order when left out'),
          })
          .describe('{ } or { reference: a level }'),
      )
      .optional()
      .describe('Predictors taken as levels, not as numbers, for instance { heel_height_mm: { reference: 0 } }'),
    centre: z
      .record(
        z.string(),
        z.union([z.literal('mean'), z.number()]).describe('mean, or the number that the covariate is counted from'),
      )
      .optional()
      .describe('What covariates are counted from, for instance { heel_height_mm: 0 }; their mean when left out'),
    rows: z
      .enum(['recordings', 'repetitions'])
      .optional()
      .describe('What counts as one observation: the mean of a recording or each repetition; recordings when left out'),
  })
  .describe('Comparison of the whole study by mixed models (docs/method/cohort.md)');

export type ComparisonFile = z.infer<typeof comparisonSchema>;

/** The block as written, defaults filled in where they need no knowledge of measures. */
export interface StudyComparison {
  /** null = the usual ones. */
  readonly outcomes:
    | readonly {
        readonly measure: string;
        readonly at: string | null;
        readonly side: 'both' | 'left' | 'right' | null;
      }[]
    | null;
  readonly predictors: readonly string[];
  readonly interactions: readonly string[];
  readonly slopes: readonly string[];
  readonly factors: Readonly<Record<string, { readonly reference?: string }>>;
  readonly centre: Readonly<Record<string, number | 'mean'>>;
  readonly rows: 'recordings' | 'repetitions';
  /** Names of the free factors that any recording of the study states. */
  readonly conditions: readonly string[];
  /** Line of `comparison.<field>`, and of its members: by 'predictors', 'predictors[2]', 'outcomes[0].measure', 'factors.sex'. */
  readonly lines: Readonly<Record<string, number>>;
}

/** @param lineOf line in the study file of the field at a path */
export function studyComparison(
  block: ComparisonFile,
  conditions: Iterable<string>,
  lineOf: (path: readonly (string | number)[]) => number,
): StudyComparison {
  const lines: Record<string, number> = {};
  const note = (name: string, ...path: (string | number)[]) => {
    lines[name] = lineOf(['comparison', ...path]);
  };
  (block.outcomes ?? []).forEach((_, i) => {
    for (const field of ['measure', 'at', 'side']) note(`outcomes[${i}].${field}`, 'outcomes', i, field);
  });
  for (const field of ['predictors', 'interactions', 'slopes'] as const)
    (block[field] ?? []).forEach((_, i) => {
      note(`${field}[${i}]`, field, i);
    });
  for (const field of ['factors', 'centre'] as const)
    for (const name of Object.keys(block[field] ?? {})) note(`${field}.${name}`, field, name);
  return {
    outcomes: block.outcomes?.map(({ measure, at, side }) => ({ measure, at: at ?? null, side: side ?? null })) ?? null,
    predictors: block.predictors,
    interactions: (block.interactions ?? []).map((term) =>
      term
        .split(':')
        .map((part) => part.trim())
        .join(':'),
    ),
    slopes: block.slopes ?? [],
    factors: Object.fromEntries(
      Object.entries(block.factors ?? {}).map(([name, { reference }]) => [
        name,
        reference === undefined ? {} : { reference: String(reference) },
      ]),
    ),
    centre: block.centre ?? {},
    rows: block.rows ?? 'recordings',
    conditions: [...new Set(conditions)].sort(),
    lines,
  };
}
