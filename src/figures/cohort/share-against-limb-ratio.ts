import type { ColumnTable } from 'arquero';
import { PER_CENT } from '../../study/shown.ts';
import { COLOUR } from '../look.ts';
import { heelLevels } from './heel-levels.ts';
import { levelBar, modelLine } from './model-line.ts';
import { axisOfOutcome, outcomeKey, termName } from './names.ts';
import { type Observations, observationsOf, predictorsOf } from './observations.ts';
import { cannot, groupsOf, known, type Made, made, PLOT_PX, PUBLICATION, roomy, rowsOf } from './publication.ts';
import { HIP_SHARE_AT_PARALLEL, type SetMeanRow } from './table-rows.ts';

export const LIMB_RATIO = 'femur_per_trunk';
export const HEEL = 'heel_height_mm';

const COLOURS = [COLOUR.far, COLOUR.knee, COLOUR.hip, COLOUR.ankle] as const;
const SHAPES = ['circle', 'square', 'triangle-up', 'diamond'] as const;
/** Recordings of one athlete have one ratio: they stand side by side, this share of the axis apart. */
const APART = 0.011;
const SIZE = { one: 34, least: 14, most: 90 } as const;

/** Classes of heel height a line of the legend: with the unknown there may be five. */
const LEGEND_COLUMNS = 4;
/** Legends under each other: beside each other they are wider than the plot. Known to the drawing library, not to its types. */
const STACKED = {
  ...PUBLICATION,
  legend: { ...PUBLICATION.legend, layout: { top: { anchor: 'start', direction: 'vertical', margin: 4 } } },
};

/** Tables that the figure is drawn from. */
export interface LimbRatioTables {
  /** cohort-rows.csv, cohort-effects.csv, cohort-models.csv. */
  readonly rows: ColumnTable;
  readonly effects: ColumnTable;
  readonly models: ColumnTable;
  /** means.csv: the intervals of the recordings. */
  readonly means: ColumnTable;
}

/** The stance that stands as size: the first predictor that is one. */
export const stanceOf = (rows: ColumnTable): string | null =>
  predictorsOf(rows).find((name) => /^stance(_|$)/.test(name)) ?? null;

/** Recordings that have all that a point needs. */
export function limbRatioPoints(rows: ColumnTable): Observations {
  const found = observationsOf(rows, HIP_SHARE_AT_PARALLEL);
  return { ...found, used: found.used.filter(({ row }) => known(row[LIMB_RATIO])) };
}

/** By recording: the 95 % interval of the mean of the set. */
export function setIntervals(means: ColumnTable): ReadonlyMap<string, SetMeanRow> {
  return new Map(
    rowsOf<SetMeanRow>(means)
      .filter((row) => outcomeKey(row) === outcomeKey(HIP_SHARE_AT_PARALLEL) && known(row.lower) && known(row.upper))
      .map((row) => [row.recording_id, row]),
  );
}

/**
 * Hips' part at parallel against femur per trunk: a mark a recording with its 95 % interval, heel height by shape and shade, stance by
 * size; the model's line with the fan of its slope and the interval of its level.
 */
export function shareAgainstLimbRatio({ rows, effects, models, means }: LimbRatioTables): Made {
  const predictors = predictorsOf(rows);
  if (!predictors.includes(LIMB_RATIO))
    return cannot(`the comparison of the study file does not name ${LIMB_RATIO} among its predictors`);
  const { used } = limbRatioPoints(rows);
  if (used.length === 0) return cannot('no recording has the hips’ part at parallel and femur per trunk');
  const ratios = used.map(({ row }) => Number(row[LIMB_RATIO]));
  if (new Set(ratios).size < 2) return cannot('all recordings have the same femur per trunk: one athlete');
  const levels = heelLevels(used.map(({ row }) => row[HEEL]));
  const stance = stanceOf(rows);
  const intervals = setIntervals(means);
  const domain = roomy(ratios, 0.08);
  const step = APART * (domain[1] - domain[0]);
  const points = groupsOf(used, ({ athlete }) => athlete).flatMap((own) => {
    const sorted = [...own].sort((a, b) => Number(a.row[HEEL]) - Number(b.row[HEEL]));
    return sorted.map(({ recording, value, row }, i) => ({
      x: Number(row[LIMB_RATIO]) + step * (i - (sorted.length - 1) / 2),
      value: PER_CENT.factor * value,
      lower: scaled(intervals.get(recording)?.lower),
      upper: scaled(intervals.get(recording)?.upper),
      heel: levels.nameOf(row[HEEL]) ?? 'unknown',
      stance: stance !== null && known(row[stance]) ? row[stance] : null,
    }));
  });
  const line = modelLine(effects, models, HIP_SHARE_AT_PARALLEL, LIMB_RATIO, [
    Math.min(...ratios),
    Math.max(...ratios),
  ]);
  const fan = (line?.points ?? []).map((one) => ({
    x: one.x,
    value: PER_CENT.factor * one.value,
    lower: PER_CENT.factor * one.lower,
    upper: PER_CENT.factor * one.upper,
  }));
  const level =
    line?.level != null
      ? [{ x: line.centre, lower: PER_CENT.factor * line.level.lower, upper: PER_CENT.factor * line.level.upper }]
      : [];
  const ends = [
    ...[...points, ...fan].flatMap(({ value, lower, upper }) => [value, lower, upper]),
    ...level.flatMap(({ lower, upper }) => [lower, upper]),
  ].filter(known);
  const x = {
    field: 'x',
    type: 'quantitative',
    scale: { domain, nice: false, zero: false },
    axis: { title: termName(LIMB_RATIO), grid: false, tickCount: 6 },
  } as const;
  const y = {
    field: 'value',
    type: 'quantitative',
    scale: { domain: roomy(ends, 0.04), nice: false, zero: false },
    axis: { title: axisOfOutcome(HIP_SHARE_AT_PARALLEL, '1'), tickCount: 6 },
  } as const;
  const unknownHeel = points.some(({ heel }) => heel === 'unknown');
  const heels = [...levels.names, ...(unknownHeel ? ['unknown'] : [])];
  const heelScale = (range: readonly unknown[], other: unknown) => ({
    domain: heels,
    range: heels.map((name, i) => (name === 'unknown' ? other : range[i])),
  });
  const legend =
    heels.length > 1 || !unknownHeel ? { title: 'heel (mm)', symbolOpacity: 1, columns: LEGEND_COLUMNS } : null;
  return made({
    config: STACKED,
    width: PLOT_PX,
    height: 215,
    layer: [
      {
        data: { values: fan },
        mark: { type: 'area', color: COLOUR.down, opacity: 0.14 },
        encoding: { x, y: { ...y, field: 'lower' }, y2: { field: 'upper' } },
      },
      levelBar(level, x, y),
      { data: { values: fan }, mark: { type: 'line', color: COLOUR.down, strokeWidth: 2 }, encoding: { x, y } },
      {
        data: { values: points.filter(({ lower, upper }) => lower !== null && upper !== null) },
        mark: { type: 'rule', color: COLOUR.path, strokeWidth: 0.9 },
        encoding: { x, y: { ...y, field: 'lower' }, y2: { field: 'upper' } },
      },
      {
        data: { values: points },
        mark: { type: 'point', filled: true, opacity: 1, stroke: '#ffffff', strokeWidth: 0.5, size: SIZE.one },
        encoding: {
          x,
          y,
          fill: { field: 'heel', type: 'nominal', scale: heelScale(COLOURS, COLOUR.line), legend },
          shape: { field: 'heel', type: 'nominal', scale: heelScale(SHAPES, 'cross'), legend },
          ...(points.some((point) => point.stance !== null) && {
            size: {
              field: 'stance',
              type: 'quantitative',
              scale: { range: [SIZE.least, SIZE.most], zero: false },
              legend: { title: 'stance', tickCount: 3, symbolFillColor: COLOUR.far, symbolStrokeColor: COLOUR.far },
            },
          }),
        },
      },
    ],
  });
}

const scaled = (value: number | undefined): number | null => (known(value) ? PER_CENT.factor * value : null);
