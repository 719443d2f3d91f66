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
const MOST_CURVES = 20;

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

const level = z.union([z.string().min(1).max(200), z.number(), z.boolean()]);

const curve = z
  .strictObject({
    quantity: z.string().min(1).max(200).describe('Name of the quantity, as in curves.csv, for instance hip_share'),
    by: predictor.describe('What the whole curve is compared by: a name as under predictors'),
    levels: z
      .tuple([level, level])
      .optional()
      .describe(
        'Two levels of it, [from, to]: the difference is to less from; the two that the data have when left out',
      ),
    design: z
      .enum(['paired', 'groups', 'covariate'])
      .optional()
      .describe(
        'paired: within athletes who have both levels; groups: two groups of athletes; covariate: along a number of the athlete. Follows from the data when left out',
      ),
  })
  .describe('One quantity whose whole curve across depth is compared');

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
    curves: z
      .array(curve)
      .max(MOST_CURVES)
      .optional()
      .describe(
        'Whole curves across depth that are compared (docs/method/curves-test.md); when left out hip_share by the first predictor with two levels; [] for none',
      ),
    rows: z
      .enum(['recordings', 'repetitions'])
      .optional()
      .describe('What counts as one observation: the mean of a recording or each repetition; recordings when left out'),
  })
  .describe('Comparison of the whole study by mixed models (docs/method/cohort.md)');

export type ComparisonFile = z.infer<typeof comparisonSchema>;

/** A curve across depth that is compared. */
export interface StudyCurve {
  readonly quantity: string;
  readonly by: string;
  /** Level that is compared with, and the level compared; null = the two that there are. */
  readonly levels: readonly [string, string] | null;
  /** null = as the data say. */
  readonly design: 'paired' | 'groups' | 'covariate' | null;
}

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
  /** null = the usual one. */
  readonly curves: readonly StudyCurve[] | null;
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
  (block.curves ?? []).forEach((_, i) => {
    for (const field of ['quantity', 'by', 'levels', 'design']) note(`curves[${i}].${field}`, 'curves', i, field);
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
    curves:
      block.curves?.map(({ quantity, by, levels, design }) => ({
        quantity,
        by,
        levels: levels === undefined ? null : [String(levels[0]), String(levels[1])],
        design: design ?? null,
      })) ?? null,
    conditions: [...new Set(conditions)].sort(),
    lines,
  };
}
