import type { ColumnTable } from 'arquero';
import {
  AGREEMENT_PANELS,
  agreementSubtitle,
  agreementTitle,
  differenceAxisTitle,
  meanAxisTitle,
  panelTitle,
} from './agreement-words.ts';
import { COLOUR, CONFIG, type Figure } from './look.ts';

interface DifferenceRow {
  readonly athlete_id: string;
  readonly measure: string;
  readonly side: string;
  readonly at: string;
  readonly mean: number;
  readonly difference: number;
}

interface LimitsRow {
  readonly kind: string;
  readonly name: string;
  readonly side: string;
  readonly at: string;
  readonly [column: string]: unknown;
}

/** Marks of lifters; beyond them they repeat, and the colour says no more. */
const SHAPES = ['circle', 'square', 'triangle-up', 'diamond', 'cross', 'triangle-down'] as const;

/** Where the bars of confidence stand, px from the left: those of the limits may overlap that of the bias. */
const BAR_AT_PX = { bias: 264, limit_low: 254, limit_high: 259 } as const;

/**
 * Differences against means, one panel a measure, with bias, limits of agreement and their confidence (Bland & Altman 1986).
 * A panel that no repetition fills is left out; null where none is left.
 *
 * @param differences table with the columns of differences.csv
 * @param agreement table with the columns of agreement.csv of the same values
 */
export function agreementDifferences(differences: ColumnTable, agreement: ColumnTable): Figure | null {
  const rows = differences.objects({ limit: Infinity }) as DifferenceRow[];
  const limits = agreement.objects({ limit: Infinity }) as LimitsRow[];
  const athletes = [...new Set(rows.map(({ athlete_id }) => athlete_id))];
  const panels = AGREEMENT_PANELS.flatMap((panel) => {
    const own = rows.filter(
      (row) =>
        row.measure === panel.name && row.side === panel.side && row.at === panel.at && Number.isFinite(row.difference),
    );
    const of = limits.find(
      (row) => row.kind === 'measure' && row.name === panel.name && row.side === panel.side && row.at === panel.at,
    );
    return own.length > 0 && of ? [differencePanel(panel, own, of, athletes)] : [];
  });
  if (panels.length === 0) return null;
  return {
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    config: CONFIG,
    title: { text: agreementTitle(), subtitle: agreementSubtitle(athletes.length) },
    columns: 2,
    spacing: 26,
    concat: panels,
  } as unknown as Figure;
}

function differencePanel(
  panel: (typeof AGREEMENT_PANELS)[number],
  rows: readonly DifferenceRow[],
  limits: LimitsRow,
  athletes: readonly string[],
) {
  const { factor, unit } = panel;
  const points = rows.map((row) => ({
    lifter: row.athlete_id,
    mean: factor * row.mean,
    difference: factor * row.difference,
  }));
  const level = (column: string) => {
    const value = limits[column];
    return typeof value === 'number' && Number.isFinite(value) ? factor * value : null;
  };
  const lines = (['bias', 'limit_low', 'limit_high'] as const).flatMap((line) => {
    const value = level(line);
    if (value === null) return [];
    return [{ line, value, low: level(`${line}_lower`) ?? value, high: level(`${line}_upper`) ?? value }];
  });
  const means = points.map(({ mean }) => mean);
  const [least, most] = [Math.min(...means), Math.max(...means)];
  const room = Math.max(0.08 * (most - least), 1e-3 * Math.max(1, Math.abs(most)));
  const levels = [0, ...points.map(({ difference }) => difference), ...lines.map(({ value }) => value)];
  const [lowest, highest] = [Math.min(...levels), Math.max(...levels)];
  const margin = Math.max(0.15 * (highest - lowest), 1e-3);
  const domain = [lowest - margin, highest + margin];
  const x = {
    field: 'mean',
    type: 'quantitative',
    scale: { domain: [least - room, most + room], zero: false },
    axis: { title: meanAxisTitle(unit), tickCount: 4, grid: false },
  };
  const y = (field: string) => ({
    field,
    type: 'quantitative',
    scale: { domain, clamp: true },
    axis: { title: differenceAxisTitle(unit), tickCount: 5 },
  });
  return {
    width: 270,
    height: 170,
    title: { text: panelTitle(panel.words, points.length), fontSize: 13, subtitleFontSize: 12 },
    layer: [
      ...lines.map(({ line, low, high }) => ({
        data: { values: [{ low, high }] },
        mark: { type: 'rule', color: COLOUR.path, strokeWidth: 4 },
        encoding: { x: { value: BAR_AT_PX[line] }, y: y('low'), y2: { field: 'high' } },
      })),
      {
        data: { values: [{ zero: 0 }] },
        mark: { type: 'rule', color: COLOUR.quiet, strokeWidth: 1 },
        encoding: { y: y('zero') },
      },
      {
        data: { values: lines },
        mark: { type: 'rule', color: COLOUR.hip, strokeWidth: 2 },
        encoding: {
          y: y('value'),
          strokeDash: {
            field: 'line',
            type: 'nominal',
            scale: {
              domain: ['bias', 'limit_low', 'limit_high'],
              range: [
                [1, 0],
                [6, 4],
                [6, 4],
              ],
            },
            legend: null,
          },
        },
      },
      {
        data: { values: points },
        mark: { type: 'point', filled: true, size: 45, opacity: 0.9, color: COLOUR.ink },
        encoding: {
          x,
          y: y('difference'),
          shape: {
            field: 'lifter',
            type: 'nominal',
            scale: { domain: athletes, range: athletes.map((_, k) => SHAPES[k % SHAPES.length]) },
            legend: null,
          },
        },
      },
    ],
  };
}
