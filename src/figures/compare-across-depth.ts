import type { ColumnTable } from 'arquero';
import { compareFigureTitle, compareSubtitle, differenceMark, differenceTitle, sideMark } from './compare-words.ts';
import { type BandPoint, bandLayers, valueDomain } from './interval-band.ts';
import { COLOUR, CONFIG, type Figure, PLOT } from './look.ts';
import { depthAxisTitle, PHASE_WORDS, type PhaseName, parallelMark } from './words.ts';

/** What is compared across depth in one figure. */
export interface ComparedCurve {
  readonly quantity: string;
  readonly side: 'both' | '';
  readonly title: string;
  readonly valueTitle: string;
  /** Unit of the difference: 'points', 'N·m', '°'. */
  readonly unit: string;
  /** Multiplies every value: 100 for a share in per cent. */
  readonly factor: number;
}

interface Row {
  readonly phase: PhaseName;
  readonly grid: string;
  readonly depth: number;
  readonly quantity: string;
  readonly side: string;
  readonly value_a: number | null;
  readonly lower_a: number | null;
  readonly upper_a: number | null;
  readonly value_b: number | null;
  readonly lower_b: number | null;
  readonly upper_b: number | null;
  readonly difference: number | null;
  readonly lower: number | null;
  readonly upper: number | null;
  readonly band_lower: number | null;
  readonly band_upper: number | null;
  readonly verdict: string;
}

const ABOVE = { width: PLOT.width, height: 190 } as const;
const BELOW = { width: PLOT.width, height: 120 } as const;
const DOTTED = [2, 3];
const DEPTH_STEP_DEG = 15;
/** Marks on the lines stand every so many degrees. */
const MARK_EVERY_DEG = 15;

/**
 * One phase of two lifts at equal depth: above, A (full line, round marks) and B (dotted, open squares) with the band of each;
 * below, B − A with its interval at each depth and the band that holds all depths at once. Unknown breaks lines and bands.
 *
 * @param differences table with the columns of curve-differences.csv
 * @returns null where A and B have no depth of this phase in common
 */
export function compareAcrossDepth(differences: ColumnTable, shown: ComparedCurve, phase: PhaseName): Figure | null {
  const rows = (differences.objects({ limit: Number.POSITIVE_INFINITY }) as Row[]).filter(
    (row) =>
      row.grid === 'thigh_elevation_deg' &&
      row.phase === phase &&
      row.quantity === shown.quantity &&
      row.side === shown.side,
  );
  if (!rows.some(({ difference }) => Number.isFinite(difference ?? Number.NaN))) return null;
  const domain = depthDomain(rows);
  const ticks = Array.from(
    { length: (domain[1] - domain[0]) / DEPTH_STEP_DEG + 1 },
    (_, i) => domain[1] - DEPTH_STEP_DEG * i,
  );
  const depthAxis = (title: string | null) =>
    ({
      field: 'depth',
      type: 'quantitative',
      scale: { reverse: true, domain, nice: false },
      axis: { title, values: ticks, grid: false },
    }) as const;
  return {
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    config: CONFIG,
    title: {
      text: compareFigureTitle(shown.title, PHASE_WORDS[phase]),
      subtitle: compareSubtitle(rows.some(({ lower_a }) => known(lower_a))),
    },
    spacing: 22,
    vconcat: [above(rows, shown, phase, depthAxis(null)), below(rows, shown, phase, depthAxis(depthAxisTitle()))],
  } as unknown as Figure;
}

function above(rows: readonly Row[], shown: ComparedCurve, phase: PhaseName, x: object) {
  const scaled = scaleBy(shown.factor);
  const points = rows.flatMap((row) => [
    { word: sideMark.a, depth: row.depth, value: scaled(row.value_a) },
    { word: sideMark.b, depth: row.depth, value: scaled(row.value_b) },
  ]);
  const bands = rows.flatMap((row): BandPoint[] => [
    { word: sideMark.a, phase, depth: row.depth, lower: scaled(row.lower_a), upper: scaled(row.upper_a) },
    { word: sideMark.b, phase, depth: row.depth, lower: scaled(row.lower_b), upper: scaled(row.upper_b) },
  ]);
  const y = {
    field: 'value',
    type: 'quantitative',
    axis: { title: shown.valueTitle, tickCount: 6 },
    scale: {
      domain: valueDomain(
        points.map(({ value }) => value),
        bands,
        null,
      ),
      zero: false,
    },
  } as const;
  const words = { domain: [sideMark.a, sideMark.b] } as const;
  const colour = {
    field: 'word',
    type: 'nominal',
    scale: { ...words, range: [COLOUR.down, COLOUR.up] },
    legend: { symbolType: 'stroke', symbolSize: 350 },
  };
  return {
    ...ABOVE,
    layer: [
      ...parallelLayers(x, true),
      ...bandLayers(bands, x, y, (word) => (word === sideMark.a ? COLOUR.down : COLOUR.up)),
      {
        data: { values: points },
        mark: { type: 'line', strokeWidth: 2.6 },
        encoding: {
          x,
          y,
          color: colour,
          strokeDash: {
            field: 'word',
            type: 'nominal',
            scale: { ...words, range: [[1, 0], DOTTED] },
            legend: { symbolType: 'stroke', symbolSize: 350 },
          },
        },
      },
      ...[
        { word: sideMark.a, mark: { shape: 'circle', fill: COLOUR.down, stroke: COLOUR.down } },
        { word: sideMark.b, mark: { shape: 'square', fill: '#ffffff', stroke: COLOUR.up } },
      ].map(({ word, mark }) => ({
        data: { values: points.filter((point) => point.word === word && point.depth % MARK_EVERY_DEG === 0) },
        mark: { type: 'point', size: 55, opacity: 1, strokeWidth: 1.8, ...mark },
        encoding: { x, y },
      })),
    ],
  };
}

function below(rows: readonly Row[], shown: ComparedCurve, phase: PhaseName, x: object) {
  const scaled = scaleBy(shown.factor);
  const points = rows.map((row) => ({ depth: row.depth, value: scaled(row.difference), verdict: row.verdict }));
  const band = (word: string, low: 'lower' | 'band_lower', high: 'upper' | 'band_upper') =>
    rows.map(
      (row): BandPoint => ({ word, phase, depth: row.depth, lower: scaled(row[low]), upper: scaled(row[high]) }),
    );
  const [each, all] = [band('each', 'lower', 'upper'), band('all', 'band_lower', 'band_upper')];
  const judged = each.some(({ lower }) => lower !== null);
  const domain = valueDomain(
    points.map(({ value }) => value),
    all,
    0,
  );
  const y = {
    field: 'value',
    type: 'quantitative',
    axis: { title: differenceTitle(shown.unit), tickCount: 5 },
    scale: { domain, zero: false },
  } as const;
  return {
    ...BELOW,
    title: {
      text: differenceMark(judged),
      fontSize: 12,
      fontWeight: 'normal',
      color: COLOUR.quiet,
      offset: 6,
    },
    layer: [
      ...parallelLayers(x, false),
      ...bandLayers(all, x, y, () => COLOUR.ink),
      ...bandLayers(each, x, y, () => COLOUR.ink),
      {
        data: { values: [{ value: 0 }] },
        mark: { type: 'rule', color: COLOUR.quiet, strokeWidth: 1.2 },
        encoding: { y },
      },
      { data: { values: points }, mark: { type: 'line', strokeWidth: 2.2, color: COLOUR.ink }, encoding: { x, y } },
      {
        data: { values: points.filter(({ verdict, value }) => verdict === 'different' && value !== null) },
        mark: { type: 'point', shape: 'square', filled: true, size: 50, opacity: 1, color: COLOUR.ink },
        encoding: { x, y },
      },
    ],
  };
}

/** The upright line at parallel, with its word. */
function parallelLayers(x: object, named: boolean) {
  const data = { values: [{ depth: 0 }] };
  const rule = { data, mark: { type: 'rule', color: COLOUR.quiet, strokeWidth: 1 }, encoding: { x } };
  if (!named) return [rule];
  const mark = {
    type: 'text',
    text: parallelMark(),
    y: 0,
    dx: 5,
    dy: 6,
    align: 'left',
    color: COLOUR.quiet,
    fontSize: 12,
  };
  return [rule, { data, encoding: { x }, mark }];
}

/** From the shallowest to the deepest depth that either has, on whole ticks. */
function depthDomain(rows: readonly Row[]): [number, number] {
  const depths = rows.filter(({ value_a, value_b }) => known(value_a) || known(value_b)).map(({ depth }) => depth);
  const [deep, shallow] = [Math.min(0, ...depths), Math.max(DEPTH_STEP_DEG, ...depths)];
  return [DEPTH_STEP_DEG * Math.floor(deep / DEPTH_STEP_DEG), DEPTH_STEP_DEG * Math.ceil(shallow / DEPTH_STEP_DEG)];
}

const known = (value: number | null): value is number => value !== null && Number.isFinite(value);
const scaleBy = (factor: number) => (value: number | null) => (known(value) ? factor * value : null);
