import { z } from 'zod';
import type { Recording } from '../capture/recording.ts';
import type { LiftFindings } from '../lift/findings/find.ts';
import { BASIS_KINDS } from '../lift/findings/rule.ts';
import type { LiftRecord } from '../lift/lift-record.ts';
import { columnName } from '../lift/quantities.ts';
import { chainRows, findingsTable } from './findings-table.ts';
import { forJson } from './json-text.ts';
import type { Provenance } from './provenance.ts';
import type { QualityRecord } from './quality-json.ts';
import { framesTable, measuresTable, repetitionsTable } from './tables.ts';

const number = z.number().nullable().describe('null where unknown');
const side = z.enum(['both', 'left', 'right', '']);
const interval = {
  value: number,
  lower: number.describe('lower end of the 95 % interval; null where there is none'),
  upper: number.describe('upper end of the 95 % interval; null where there is none'),
};
const frame = z.int().nonnegative().nullable();

const RECORDING = z.object({
  recording_id: z.string(),
  athlete_id: z.string(),
  synthetic: z.boolean().describe('true for invented data'),
  date: z.string().nullable(),
  lift_kind: z.string(),
  load_total_kg: z.number(),
  bar_position: z.string(),
  body_mass_kg: z.number(),
  sex: z.enum(['female', 'male', 'unknown']),
  segments: z.string().describe('segment table'),
  condition: z.record(z.string(), z.union([z.string(), z.number(), z.boolean()])),
  frame_rate_hz: z.number(),
  moments_from: z.enum(['above', 'below', 'none']).describe('which way the moments of both legs were summed'),
});

const REPETITION = z.object({
  repetition: z.int().positive(),
  order: z.enum(['descent first', 'ascent first']),
  completeness: z.enum(['full', 'partial', 'failed']),
  reason: z.string().describe("why it is not full; '' where it is"),
  ...Object.fromEntries(
    [
      'top',
      'descent_first',
      'descent_last',
      'parallel_descent',
      'bottom',
      'parallel_ascent',
      'sticking',
      'ascent_first',
      'ascent_last',
    ].map((name) => [`${name}_frame`, frame]),
  ),
  ...Object.fromEntries(
    [
      'top_time_s',
      'descent_start_time_s',
      'descent_end_time_s',
      'parallel_descent_time_s',
      'bottom_time_s',
      'parallel_ascent_time_s',
      'sticking_time_s',
      'ascent_start_time_s',
      'ascent_end_time_s',
      'descent_s',
      'ascent_s',
      'hip_drop_m',
      'bottom_thigh_elevation_deg',
      'moments_known_share',
    ].map((name) => [name, number]),
  ),
});

const CURVE = z.object({
  repetition: z.int().positive(),
  phase: z.enum(['descent', 'ascent']),
  grid: z.enum(['thigh_elevation_deg', 'drop_pct']),
  quantity: z.string(),
  side,
  unit: z.string(),
  depth: z.array(z.number()),
  value: z.array(number),
  lower: z.array(number),
  upper: z.array(number),
  reason: z.array(z.string()).describe("why a value is unknown; '' where it is known"),
});

const MEASURE = z.object({
  repetition: z.int().nonnegative().describe('0 for a measure of the whole set'),
  measure: z.string(),
  side,
  at: z.string(),
  ...interval,
  unit: z.string(),
  frame_first: frame,
  frame_last: frame,
  reason: z.string(),
});

const FINDING = z.object({
  repetition: z.int().nonnegative().describe('0 for the mean over the full repetitions of the set'),
  finding: z.string().describe('name of the rule'),
  title: z.string(),
  measure: z.string(),
  side,
  at: z.string(),
  ...interval,
  unit: z.string(),
  comparison: z.enum(['above', 'below']),
  threshold: z.number(),
  basis: z.enum(BASIS_KINDS),
  threshold_source: z.string(),
  probability: number.describe('that the threshold is passed, 0–1; null where value or interval is unknown'),
  word: z.enum(['shown', 'suggested', 'open', 'not there', 'unknown']),
  reason: z.string().describe("why it is unknown, or no more than open; '' else"),
  priority: z.int().min(1).max(5),
  frame_first: frame,
  frame_last: frame,
  sentence: z.string(),
  cue: z.string(),
  caution: z.string(),
});

const CHAIN = z.object({
  chain: z.string(),
  findings: z.array(z.string()).min(2).describe('names of the rules, in the order of the lift'),
  sentence: z.string(),
});

/** What `lift.json` holds. Published as docs/lift.schema.json. */
export const LIFT_SCHEMA = z
  .object({
    kneeward: z.literal(1).describe('version of this format'),
    kind: z.literal('lift'),
    recording: RECORDING,
    repetitions: z.array(REPETITION),
    measures: z.array(MEASURE),
    findings: z.array(FINDING).describe('rows of findings.csv'),
    chains: z.array(CHAIN).describe('findings that were shown together for the set'),
    curves: z.array(CURVE),
    frames: z
      .record(z.string(), z.array(number))
      .describe('columns of frames.csv by name (see docs/data-dictionary.md), one value a frame'),
    quality: z.looseObject({ grade: z.enum(['good', 'usable', 'poor']).nullable() }).describe('quality.json'),
    provenance: z
      .looseObject({ tool: z.literal('kneeward'), tool_version: z.string(), seed: z.number() })
      .describe('provenance.json'),
  })
  .describe('The whole result of one recording. Units stand in the names; definitions: docs/data-dictionary.md.');

export type LiftJson = z.infer<typeof LIFT_SCHEMA>;

/** One recording's whole result, ready for `jsonText`: null where unknown, numbers to seven digits. Obeys `LIFT_SCHEMA`. */
export function liftJson(
  record: LiftRecord,
  recording: Recording,
  quality: QualityRecord,
  provenance: Provenance,
  found: LiftFindings,
): LiftJson {
  const withoutIds = (rows: readonly object[]) =>
    rows.map((row) => {
      const { recording_id: _r, athlete_id: _a, ...rest } = row as Record<string, unknown>;
      return rest;
    });
  const all = { limit: Number.POSITIVE_INFINITY };
  const frames = framesTable(record);
  return forJson({
    kneeward: 1,
    kind: 'lift',
    recording: {
      recording_id: record.recordingId,
      athlete_id: record.athleteId,
      synthetic: recording.synthetic,
      date: recording.date,
      lift_kind: recording.lift.kind,
      load_total_kg: recording.load.totalKg,
      bar_position: recording.load.bar.position,
      body_mass_kg: recording.athlete.massKg,
      sex: recording.athlete.sex,
      segments: recording.segments,
      condition: recording.condition,
      frame_rate_hz: record.loads.frameRateHz,
      moments_from: record.loads.primary,
    },
    repetitions: withoutIds(repetitionsTable(record).objects(all)),
    measures: withoutIds(measuresTable(record).objects(all)),
    findings: withoutIds(findingsTable(record, found.findings).objects(all)),
    chains: chainRows(found.chains),
    curves: curveLists(record),
    frames: Object.fromEntries(
      ['time_s', ...record.quantities.map(columnName)].map((name) => [
        name,
        Array.from(frames.array(name) as ArrayLike<number>),
      ]),
    ),
    quality,
    provenance,
  }) as LiftJson;
}

/** Curves with one list a curve instead of one row a point. */
function curveLists(record: LiftRecord) {
  const lists = new Map<string, Record<'depth' | 'value' | 'lower' | 'upper', number[]> & { reason: string[] }>();
  for (const point of record.curves) {
    const { repetition, phase, grid, quantity, side: of, unit } = point;
    const key = JSON.stringify({ repetition, phase, grid, quantity, side: of, unit });
    const list = lists.get(key) ?? { depth: [], value: [], lower: [], upper: [], reason: [] };
    list.depth.push(point.depth);
    list.value.push(point.value);
    list.lower.push(point.lower);
    list.upper.push(point.upper);
    list.reason.push(point.reason);
    lists.set(key, list);
  }
  return [...lists].map(([key, list]) => ({ ...JSON.parse(key), ...list }));
}

/** docs/lift.schema.json, as JSON Schema (draft 2020-12). */
export function liftJsonSchema(): object {
  return z.toJSONSchema(LIFT_SCHEMA);
}
