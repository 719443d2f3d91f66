import type { ColumnTable } from 'arquero';
import { CHARACTER_EM, COLOUR } from '../look.ts';
import { levelBar, modelLine } from './model-line.ts';
import { axisOfOutcome, axisOfPredictor, type OutcomeName, outcomeKey, shownOutcome } from './names.ts';
import { type Observation, observationsOf, outcomesOf, predictorsOf } from './observations.ts';
import {
  AXIS_PX,
  axisPx,
  cannot,
  groupsOf,
  known,
  type Made,
  made,
  PLOT_PX,
  roomy,
  rowsOf,
  said,
  TEXT,
} from './publication.ts';
import type { EffectRow, MeanRow } from './table-rows.ts';
import { wrapped } from './wrapped.ts';

/** Outcomes at most, a panel each. */
export const LEVEL_PANELS = 4;
/** A number with more values than this is drawn as it is; with fewer, each value is a level at which a line may have a gap. */
const MOST_LEVELS = 8;
/** Names of levels stand beside each other in lines of so many characters at least, so many lines at most; else they are turned. */
const LEAST_CHARACTERS = 8;
const MOST_LINES = 4;
/** The longest is cut at 27 characters. */
const TURNED = { labelAngle: -90, labelAlign: 'right', labelLimit: 145 } as const;
/** Ticks of a value axis, about. */
const TICKS = 5;

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

/** What stands on top of the athletes' own values in any panel: marginal means, the line of the model, or nothing. */
export function modelDrawn(tables: LevelTables, predictor: string | null): 'means' | 'line' | 'nothing' {
  if (predictor === null) return 'nothing';
  const kinds = shownOutcomes(tables.rows).flatMap((outcome) =>
    modelOf(tables, predictor, outcome, observationsOf(tables.rows, outcome).used, 1).points.map(({ means }) => means),
  );
  return kinds.length === 0 ? 'nothing' : kinds.includes(false) ? 'line' : 'means';
}

/** The outcomes that have a panel. */
const shownOutcomes = (rows: ColumnTable): OutcomeName[] =>
  outcomesOf(rows)
    .filter((outcome) => observationsOf(rows, outcome).used.length > 0)
    .slice(0, LEVEL_PANELS);

/**
 * Each athlete's own values over the levels of a predictor, thin, a gap where an athlete lacks a level; on top what the model expects:
 * of a factor its marginal means with 95 % interval, of a covariate its line with the fan of the slope and the interval of the level.
 */
export function athletesAcrossLevels(tables: LevelTables, predictor: string | null): Made {
  const { rows } = tables;
  if (predictor === null) return cannot('no predictor differs between the recordings of one athlete');
  const shown = shownOutcomes(rows);
  if (shown.length === 0) return cannot('no recording has an outcome and all predictors');
  const contents = shown.map((outcome) => contentOf(tables, predictor, outcome));
  // The same for all, so that the panels line up.
  const labelPx = Math.max(...contents.map(({ domain }) => axisPx(domain, TICKS)));
  return made({
    spacing: 12,
    vconcat: contents.map((content, i) => {
      const last = i === contents.length - 1;
      // Names that are turned take much room: once where all panels have the same.
      const named = last || String(content.levels) !== String(contents[i + 1].levels);
      return panel(tables, predictor, content, labelPx, last, named);
    }),
  });
}

/** What a panel shows, in the unit it is shown in. */
function contentOf(tables: LevelTables, predictor: string, outcome: OutcomeName) {
  const { used } = observationsOf(tables.rows, outcome);
  const unit = used[0].unit;
  const { factor } = shownOutcome(outcome.measure, unit);
  const levels = levelsOf(used, predictor);
  const thin = athleteLines(used, predictor, levels, factor);
  const { points: model, level } = modelOf(tables, predictor, outcome, used, factor);
  const ends = [
    ...thin.map(({ value }) => value),
    ...level.flatMap(({ lower, upper }) => [lower, upper]),
    ...model.flatMap(({ value, lower, upper }) => [value, lower, upper]),
  ];
  return { outcome, used, unit, levels, thin, model, level, domain: roomy(ends.filter(known), 0.04) };
}

function panel(
  tables: LevelTables,
  predictor: string,
  { outcome, used, unit, levels, thin, model, level, domain }: ReturnType<typeof contentOf>,
  labelPx: number,
  last: boolean,
  named: boolean,
) {
  const numeric = levels === null || levels.every(known);
  const width = PLOT_PX - (labelPx - AXIS_PX);
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
        axis: {
          title: last ? axisOfPredictor(predictor, '') : null,
          grid: false,
          ...(levelLabels(levels.map(String), width) ?? { ...TURNED, labels: named }),
        },
      };
  const y = {
    field: 'value',
    type: 'quantitative',
    scale: { domain, nice: false, zero: false },
    axis: {
      title: inTwo(axisOfOutcome(outcome, unit)),
      tickCount: TICKS,
      minExtent: labelPx,
      maxExtent: labelPx,
    },
  } as const;
  const line = model.some(({ means }) => !means);
  return {
    width,
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
            levelBar(level, x, y),
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

/** Names of levels beside each other, in lines; null where they do not fit. */
function levelLabels(levels: readonly string[], widthPx: number) {
  const characters = Math.floor(widthPx / levels.length / (CHARACTER_EM * TEXT.small)) - 1;
  if (levels.every((level) => level.length <= characters)) return { labelAngle: 0 };
  if (characters < LEAST_CHARACTERS) return null;
  const lines = Object.fromEntries(levels.map((level) => [level, wrapped(level, characters)]));
  if (Object.values(lines).some(({ length }) => length > MOST_LINES)) return null;
  return { labelAngle: 0, labelExpr: `(${JSON.stringify(lines)})[datum.value]` };
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

/** What the model says of a panel: its points and, of a line, the interval of its level at the centre. */
interface ModelDrawn {
  readonly points: readonly ModelPoint[];
  readonly level: readonly { readonly level: number; readonly lower: number; readonly upper: number }[];
}

function modelOf(
  { means, effects, models }: LevelTables,
  predictor: string,
  outcome: OutcomeName,
  used: readonly Observation[],
  factor: number,
): ModelDrawn {
  const own = rowsOf<MeanRow>(means).filter(
    (row) => row.factor === predictor && outcomeKey(row) === outcomeKey(outcome) && known(row.mean),
  );
  if (own.length > 0) {
    const words = used.some(({ row }) => typeof row[predictor] === 'string');
    const points = own.map((row) => {
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
    return { points, level: [] };
  }
  const xs = used.map(({ row }) => row[predictor]).filter(known);
  if (xs.length === 0) return { points: [], level: [] };
  const line = modelLine(effects, models, outcome, predictor, [Math.min(...xs), Math.max(...xs)]);
  const points = (line?.points ?? []).map(({ x, value, lower, upper }) => ({
    level: x,
    value: factor * value,
    lower: factor * lower,
    upper: factor * upper,
    means: false,
  }));
  const level = line?.level
    ? [{ level: line.centre, lower: factor * line.level.lower, upper: factor * line.level.upper }]
    : [];
  return { points, level };
}

/** Unit of a covariate: what its effect is for one of. */
export function perOf(effects: ColumnTable, predictor: string): string {
  const row = rowsOf<EffectRow>(effects).find(({ term, per }) => term === predictor && said(per) !== '');
  return row ? said(row.per) : predictor.endsWith('_mm') ? 'mm' : predictor.endsWith('_kg') ? 'kg' : '';
}

/** Two lines where one would be longer than the panel is high. */
function inTwo(title: string): string | string[] {
  if (title.length <= 26) return title;
  const words = title.split(' ');
  let first = '';
  while (words.length > 1 && `${first} ${words[0]}`.trim().length <= Math.ceil(title.length / 2) + 2)
    first = `${first} ${words.shift()}`.trim();
  return [first, words.join(' ')];
}
