import type { ColumnTable } from 'arquero';
import { COLOUR } from '../look.ts';
import { modelLine } from './model-line.ts';
import { axisOfOutcome, axisOfPredictor, type OutcomeName, outcomeKey, shownOutcome } from './names.ts';
import { type Observation, observationsOf, outcomesOf, predictorsOf } from './observations.ts';
import { cannot, groupsOf, known, type Made, made, PLOT_PX, roomy, rowsOf, said } from './publication.ts';
import type { EffectRow, MeanRow } from './table-rows.ts';

/** Outcomes at most, a panel each. */
export const LEVEL_PANELS = 4;
/** A number with more values than this is drawn as it is; with fewer, each value is a level at which a line may have a gap. */
const MOST_LEVELS = 8;

export interface LevelTables {
  /** cohort-rows.csv, cohort-means.csv, cohort-effects.csv, cohort-models.csv. */
  readonly rows: ColumnTable;
  readonly means: ColumnTable;
  readonly effects: ColumnTable;
  readonly models: ColumnTable;
}

/** The first predictor that differs between recordings of one athlete; null where none does. */
export function predictorWithin(rows: ColumnTable): string | null {
  const used = outcomesOf(rows).flatMap((outcome) => observationsOf(rows, outcome).used);
  const varies = (predictor: string) =>
    groupsOf(used, ({ athlete }) => athlete).some(
      (own) => new Set(own.map(({ row }) => said(row[predictor])).filter((value) => value !== '')).size > 1,
    );
  return predictorsOf(rows).find(varies) ?? null;
}

/** Levels in their order: numbers by size, words as they come; null for a number of many values. */
export function levelsOf(used: readonly Observation[], predictor: string): (number | string)[] | null {
  const values = [...new Set(used.map(({ row }) => row[predictor]).filter((value) => said(value) !== ''))];
  const numeric = values.every(known);
  if (numeric && values.length > MOST_LEVELS) return null;
  return (values as (number | string)[]).sort((a, b) =>
    numeric ? Number(a) - Number(b) : String(a) < String(b) ? -1 : 1,
  );
}

/**
 * Each athlete's own values over the levels of a predictor, thin, a gap where an athlete lacks a level; on top what the model expects:
 * of a factor its marginal means with 95 % interval, of a covariate its line with the fan of the slope.
 */
export function athletesAcrossLevels(tables: LevelTables, predictor: string | null): Made {
  const { rows } = tables;
  if (predictor === null) return cannot('no predictor differs between the recordings of one athlete');
  const outcomes = outcomesOf(rows).filter((outcome) => observationsOf(rows, outcome).used.length > 0);
  if (outcomes.length === 0) return cannot('no recording has an outcome and all predictors');
  const shown = outcomes.slice(0, LEVEL_PANELS);
  return made({
    spacing: 12,
    vconcat: shown.map((outcome, i) => panel(tables, predictor, outcome, i === shown.length - 1)),
  });
}

function panel(tables: LevelTables, predictor: string, outcome: OutcomeName, last: boolean) {
  const { used } = observationsOf(tables.rows, outcome);
  const unit = used[0].unit;
  const { factor } = shownOutcome(outcome.measure, unit);
  const levels = levelsOf(used, predictor);
  const numeric = levels === null || levels.every(known);
  const thin = athleteLines(used, predictor, levels, factor);
  const model = numeric || levels ? modelOf(tables, predictor, outcome, used, factor) : [];
  const ends = [
    ...thin.map(({ value }) => value),
    ...model.flatMap(({ value, lower, upper }) => [value, lower, upper]),
  ];
  const xs = used.map(({ row }) => row[predictor]).filter(known);
  const x = numeric
    ? {
        field: 'level',
        type: 'quantitative',
        scale: { domain: roomy(xs, 0.05), nice: false, zero: false },
        axis: {
          title: last ? axisOfPredictor(predictor, perOf(tables.effects, predictor)) : null,
          grid: false,
          ...(levels ? { values: levels } : { tickCount: 6 }),
        },
      }
    : {
        field: 'level',
        type: 'ordinal',
        scale: { type: 'point', domain: levels, padding: 0.3 },
        axis: { title: last ? axisOfPredictor(predictor, '') : null, grid: false, labelAngle: 0, labelLimit: 90 },
      };
  const y = {
    field: 'value',
    type: 'quantitative',
    scale: { domain: roomy(ends.filter(known), 0.04), nice: false, zero: false },
    axis: { title: wrapped(axisOfOutcome(outcome, unit)), tickCount: 5 },
  } as const;
  const line = model.some(({ means }) => !means);
  return {
    width: PLOT_PX,
    height: 140,
    layer: [
      {
        data: { values: thin },
        mark: {
          type: 'line',
          color: COLOUR.path,
          strokeWidth: 0.9,
          point: { filled: true, size: 9, color: COLOUR.path, opacity: 1 },
        },
        encoding: { x, y, detail: { field: 'athlete', type: 'nominal' } },
      },
      ...(line
        ? [
            {
              data: { values: model },
              mark: { type: 'area', color: COLOUR.down, opacity: 0.16 },
              encoding: { x, y: { ...y, field: 'lower' }, y2: { field: 'upper' } },
            },
          ]
        : [
            {
              data: { values: model.filter(({ lower }) => known(lower)) },
              mark: { type: 'rule', color: COLOUR.down, strokeWidth: 2.2 },
              encoding: { x, y: { ...y, field: 'lower' }, y2: { field: 'upper' } },
            },
            {
              data: { values: model },
              mark: { type: 'point', shape: 'square', filled: true, size: 48, opacity: 1, color: COLOUR.down },
              encoding: { x, y },
            },
          ]),
      { data: { values: model }, mark: { type: 'line', color: COLOUR.down, strokeWidth: 2.2 }, encoding: { x, y } },
    ],
  };
}

/** A point an athlete and level, null where the athlete lacks the level, so that the line breaks there. */
function athleteLines(
  used: readonly Observation[],
  predictor: string,
  levels: readonly (number | string)[] | null,
  factor: number,
): { athlete: string; level: number | string; value: number | null }[] {
  return groupsOf(used, ({ athlete }) => athlete).flatMap((own) => {
    const { athlete } = own[0];
    const at = (level: unknown) => own.filter(({ row }) => row[predictor] === level).map(({ value }) => factor * value);
    const places = levels ?? [...new Set(own.map(({ row }) => row[predictor]).filter(known))].sort((a, b) => a - b);
    return places.map((level) => {
      const values = at(level);
      const value = values.length > 0 ? values.reduce((sum, one) => sum + one, 0) / values.length : null;
      return { athlete, level, value };
    });
  });
}

interface ModelPoint {
  readonly level: number | string;
  readonly value: number;
  readonly lower: number | null;
  readonly upper: number | null;
  /** A marginal mean; else a point of the line. */
  readonly means: boolean;
}

function modelOf(
  { means, effects, models }: LevelTables,
  predictor: string,
  outcome: OutcomeName,
  used: readonly Observation[],
  factor: number,
): ModelPoint[] {
  const own = rowsOf<MeanRow>(means).filter(
    (row) => row.factor === predictor && outcomeKey(row) === outcomeKey(outcome) && known(row.mean),
  );
  if (own.length > 0) {
    const words = used.some(({ row }) => typeof row[predictor] === 'string');
    return own.map((row) => {
      const shared = known(row.lower_with_shared);
      const [lower, upper] = shared ? [row.lower_with_shared, row.upper_with_shared] : [row.lower, row.upper];
      return {
        level: words ? row.level : Number(row.level),
        value: factor * row.mean,
        lower: known(lower) ? factor * lower : null,
        upper: known(upper) ? factor * upper : null,
        means: true,
      };
    });
  }
  const xs = used.map(({ row }) => row[predictor]).filter(known);
  if (xs.length === 0) return [];
  const line = modelLine(effects, models, outcome, predictor, [Math.min(...xs), Math.max(...xs)]);
  return (line?.points ?? []).map(({ x, value, lower, upper }) => ({
    level: x,
    value: factor * value,
    lower: factor * lower,
    upper: factor * upper,
    means: false,
  }));
}

/** Unit of a covariate: what its effect is for one of. */
export function perOf(effects: ColumnTable, predictor: string): string {
  const row = rowsOf<EffectRow>(effects).find(({ term, per }) => term === predictor && said(per) !== '');
  return row ? said(row.per) : predictor.endsWith('_mm') ? 'mm' : predictor.endsWith('_kg') ? 'kg' : '';
}

/** Two lines where one would be longer than the panel is high. */
function wrapped(title: string): string | string[] {
  if (title.length <= 26) return title;
  const words = title.split(' ');
  let first = '';
  while (words.length > 1 && `${first} ${words[0]}`.trim().length <= Math.ceil(title.length / 2) + 2)
    first = `${first} ${words.shift()}`.trim();
  return [first, words.join(' ')];
}
