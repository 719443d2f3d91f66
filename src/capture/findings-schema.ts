import * as z from 'zod';
import { BAR_POSITIONS } from './schema.ts';

/**
 * The file of a user's own findings, `findings: rules.yaml` in a recording or study: rules added, changed by name or
 * switched off. Whether a measure, place, side or unit exists is for the lift stage to say.
 */

const NAME = /^[a-z][a-z0-9_]*$/;
/** No measure has larger numbers (common practice, no source): finds a mistaken unit. */
const LARGEST_THRESHOLD = 100_000;

const ruleName = () => z.string().regex(NAME).max(80).describe('Name of a rule: small letters, digits and "_"');
const words = (what: string) => z.string().max(1000).describe(what);
const wordList = (what: string) => z.array(z.string().min(1).max(100)).min(1).describe(what);

const basis = z
  .strictObject({
    kind: z
      .enum(['citation', 'common practice, no source', 'contested'])
      .describe('citation, common practice, no source, or contested'),
    text: words('The publication, or what is contested').optional(),
  })
  .describe('Where the threshold comes from');

const appliesTo = z
  .strictObject({
    bar: z.array(z.enum(BAR_POSITIONS)).min(1).optional().describe('Places of the bar it is for; all when left out'),
    lift: wordList(
      'Words of which the kind of lift holds one, for instance [front squat]; all when left out',
    ).optional(),
    grip: wordList('Words of which the stated grip holds one, for instance [full]; all when left out').optional(),
    order: z
      .enum(['descent first', 'ascent first'])
      .optional()
      .describe('descent first (squats) or ascent first (lifts from the floor); both when left out'),
  })
  .describe('Which recordings the rule is for; { } for all');

const writtenRule = z
  .strictObject({
    title: z.string().min(1).max(100).optional().describe('Short and plain name of what is seen'),
    measure: z.string().min(1).optional().describe('Measure it rests on, a name of docs/method/measures.md'),
    at: z.string().min(1).optional().describe('Place in the repetition, for instance start, parallel, bottom'),
    sides: z
      .array(z.enum(['both', 'left', 'right']))
      .min(1)
      .optional()
      .describe('One finding for each of both, left, right; left out for a measure without sides'),
    comparison: z.enum(['above', 'below']).optional().describe('above or below: where a value is a finding'),
    threshold: z
      .number()
      .min(-LARGEST_THRESHOLD)
      .max(LARGEST_THRESHOLD)
      .optional()
      .describe('Threshold in the unit of the measure, -100000 to 100000'),
    unit: z
      .string()
      .min(1)
      .optional()
      .describe('Unit of the threshold, as the measure has it: deg, m, s, m_per_s, 1 …'),
    basis: basis.optional(),
    sentence: words('What is seen; may hold {value}, {threshold}, {side}').min(1).optional(),
    why: words('Why a coach looks at it').optional(),
    cue: words('Something to try in the next set').optional(),
    caution: words('What to take care of when trying it').optional(),
    priority: z
      .union([z.literal(1), z.literal(2), z.literal(3), z.literal(4), z.literal(5)])
      .optional()
      .describe('1 can hurt, 2 balance, 3 the way of the lift, 4 left and right or tempo, 5 a style'),
    applies_to: appliesTo.optional(),
    open_because: words('Never more than open, for this reason').optional(),
    instead_of: ruleName().optional().describe('A more general rule that is left out where this one applies'),
  })
  .describe('A rule; of a built-in one only what changes');

export const findingsSchema = z
  .strictObject({
    kneeward: z.literal(1).describe('Version of this file format: 1'),
    findings: z.string().min(1).max(100).describe('Name of these rules'),
    switch_off: z.array(ruleName()).optional().describe('Built-in rules that are not used'),
    rules: z.record(ruleName(), writtenRule).optional().describe('Rules by name: changed where built in, else added'),
  })
  .describe('Own rules for findings');

export type FindingsContents = z.infer<typeof findingsSchema>;

/** JSON Schema (draft 2020-12) of the file of own findings. */
export function findingsJsonSchema(): Record<string, unknown> {
  return { title: 'Kneeward findings', ...z.toJSONSchema(findingsSchema) };
}
