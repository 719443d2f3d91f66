import type { ColumnTable } from 'arquero';
import { type BandPoint, bandLayers, valueDomain } from './interval-band.ts';
import { COLOUR, CONFIG, DASH, type Figure, PLOT } from './look.ts';
import {
  bandSubtitle,
  depthAxisTitle,
  PHASE_WORDS,
  type PhaseName,
  parallelMark,
  repetitionsSubtitle,
} from './words.ts';

/** One line of a figure: a quantity of the curves, its word in the legend, its colour and its mark. */
export interface DepthSeries {
  readonly quantity: string;
  readonly word: string;
  readonly colour: string;
  readonly shape: 'circle' | 'square' | 'triangle-up';
}

export interface AcrossDepth {
  readonly title: string;
  readonly valueTitle: string;
  readonly series: readonly DepthSeries[];
  /** Multiplies every value: 100 for a share in per cent. */
  readonly factor: number;
  /** A level drawn across, with its word. */
  readonly level: { readonly value: number; readonly word: string } | null;
}

interface CurveRow {
  readonly repetition: number;
  readonly phase: PhaseName;
  readonly grid: string;
  readonly depth: number;
  readonly quantity: string;
  readonly side: string;
  readonly value: number | null;
}

type MeanRow = Omit<CurveRow, 'repetition' | 'value'> & {
  readonly mean: number | null;
  readonly lower: number | null;
  readonly upper: number | null;
  readonly n: number;
};

interface Point {
  readonly word: string;
  readonly phase: string;
  readonly depth: number;
  readonly value: number | null;
  readonly repetition: number | null;
}

/** Marks on the mean lines stand every so many degrees. */
const MARK_EVERY_DEG = 15;

/**
 * Values against depth: thigh elevation falls from left to right, so that the way down runs left to right and the way up
 * comes back on the same axis. Thin lines are repetitions, thick ones the means of `means`, the bands about them their 95 %
 * intervals; unknown breaks a line and a band.
 *
 * @param curves table with the columns of curves.csv, one recording
 * @param means table of mean curves of the same recording
 */
export function acrossDepth(curves: ColumnTable, means: ColumnTable, shown: AcrossDepth): Figure {
  const words = new Map(shown.series.map(({ quantity, word }) => [quantity, word]));
  const wanted = (row: Pick<CurveRow, 'grid' | 'quantity' | 'side'>) =>
    row.grid === 'thigh_elevation_deg' && words.has(row.quantity) && (row.side === 'both' || row.side === '');
  const scaled = (value: number | null) => (value !== null && Number.isFinite(value) ? value * shown.factor : null);
  const point = (
    row: Omit<CurveRow, 'value' | 'repetition'>,
    value: number | null,
    repetition: number | null,
  ): Point => ({
    word: words.get(row.quantity)!,
    phase: PHASE_WORDS[row.phase],
    depth: row.depth,
    value: scaled(value),
    repetition,
  });
  const thin = (curves.objects({ limit: Infinity }) as CurveRow[])
    .filter(wanted)
    .map((row) => point(row, row.value, row.repetition));
  const meanRows = (means.objects({ limit: Infinity }) as MeanRow[]).filter(wanted);
  const thick = meanRows.map((row) => point(row, row.mean, null));
  const known = thin.filter(({ value }) => value !== null);
  const repetitions = new Set(known.map(({ repetition }) => repetition)).size;
  const inMean = Math.max(0, ...meanRows.filter(({ mean }) => Number.isFinite(mean)).map(({ n }) => n));
  const bands = meanRows.map(
    (row): BandPoint => ({
      word: words.get(row.quantity)!,
      phase: row.phase,
      depth: row.depth,
      lower: scaled(row.lower),
      upper: scaled(row.upper),
    }),
  );
  const withBands = bands.some(({ lower }) => lower !== null);
  const y = {
    field: 'value',
    type: 'quantitative',
    axis: { title: shown.valueTitle, tickCount: 6 },
    scale: {
      domain: valueDomain(
        [...thin, ...thick].map(({ value }) => value),
        bands,
        shown.level?.value ?? null,
      ),
      zero: false,
    },
  } as const;
  const x = {
    field: 'depth',
    type: 'quantitative',
    scale: { reverse: true, domain: depthDomain(known), nice: false },
    axis: { title: depthAxisTitle(), values: depthTicks(known), grid: false },
  } as const;
  return {
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    config: CONFIG,
    ...PLOT,
    title: { text: shown.title, subtitle: [...repetitionsSubtitle(repetitions, inMean), ...bandSubtitle(withBands)] },
    layer: [
      {
        data: { values: [{ depth: 0 }] },
        mark: { type: 'rule', color: COLOUR.quiet, strokeWidth: 1 },
        encoding: { x },
      },
      {
        data: { values: [{ depth: 0 }] },
        encoding: { x },
        mark: {
          type: 'text',
          text: parallelMark(),
          y: 0,
          dx: 5,
          dy: 6,
          align: 'left',
          color: COLOUR.quiet,
          fontSize: 12,
        },
      },
      ...bandLayers(bands, x, y, (word, phase) => bandColour(shown, word, phase)),
      ...levelLayers(shown, y),
      {
        data: { values: thin },
        mark: { type: 'line', strokeWidth: 1, opacity: 0.45 },
        encoding: { x, ...lineEncoding(shown, y), detail: { field: 'repetition' } },
      },
      { data: { values: thick }, mark: { type: 'line', strokeWidth: 2.8 }, encoding: { x, ...lineEncoding(shown, y) } },
      {
        data: { values: thick.filter(({ depth }) => depth % MARK_EVERY_DEG === 0) },
        mark: { type: 'point', filled: true, size: 55, opacity: 1 },
        encoding: {
          x,
          y,
          color: colourEncoding(shown),
          shape: {
            field: 'word',
            type: 'nominal',
            scale: { domain: shown.series.map(({ word }) => word), range: shown.series.map(({ shape }) => shape) },
            legend: shown.series.length > 1 ? {} : null,
          },
        },
      },
    ],
  };
}

function lineEncoding<Y>(shown: AcrossDepth, y: Y) {
  return {
    y,
    color: colourEncoding(shown),
    strokeDash: {
      field: 'phase',
      type: 'nominal',
      scale: {
        domain: [PHASE_WORDS.descent, PHASE_WORDS.ascent],
        range: [[...DASH.descent], [...DASH.ascent]],
      },
      legend: {
        symbolType: 'stroke',
        symbolSize: 350,
        ...(shown.series.length > 1 ? { symbolStrokeColor: COLOUR.ink } : {}),
      },
    },
  } as const;
}

/** Several quantities are told apart by colour and mark; a single one gives the colour to the phases. */
function colourEncoding({ series }: AcrossDepth) {
  if (series.length === 1) {
    return {
      field: 'phase',
      type: 'nominal',
      scale: { domain: [PHASE_WORDS.descent, PHASE_WORDS.ascent], range: [COLOUR.down, COLOUR.up] },
      legend: { symbolType: 'stroke', symbolSize: 350 },
    } as const;
  }
  return {
    field: 'word',
    type: 'nominal',
    scale: { domain: series.map(({ word }) => word), range: series.map(({ colour }) => colour) },
  } as const;
}

/** The band has the colour of its line. */
function bandColour({ series }: AcrossDepth, word: string, phase: PhaseName): string {
  if (series.length === 1) return phase === 'descent' ? COLOUR.down : COLOUR.up;
  return series.find((one) => one.word === word)!.colour;
}

function levelLayers<Y extends object>({ level }: AcrossDepth, y: Y): Layers {
  if (!level) return [];
  const data = { values: [{ value: level.value }] };
  const rule = { data, mark: { type: 'rule', color: COLOUR.line, strokeWidth: 1.5 }, encoding: { y } } as const;
  if (level.word === '') return [rule];
  return [
    rule,
    {
      data,
      mark: { type: 'text', text: level.word, x: 4, dy: -7, align: 'left', color: COLOUR.quiet, fontSize: 12 },
      encoding: { y },
    },
  ];
}

type Layers = Extract<Figure, { layer: unknown }>['layer'];

const DEPTH_STEP_DEG = 15;

/** From the shallowest to the deepest known point, on whole ticks; 75 … 0 where nothing is known. */
function depthDomain(known: readonly Point[]): [number, number] {
  const depths = known.map(({ depth }) => depth);
  const shallow = Math.max(DEPTH_STEP_DEG, ...depths);
  const deep = Math.min(0, ...depths);
  return [DEPTH_STEP_DEG * Math.floor(deep / DEPTH_STEP_DEG), DEPTH_STEP_DEG * Math.ceil(shallow / DEPTH_STEP_DEG)];
}

function depthTicks(known: readonly Point[]): number[] {
  const [deep, shallow] = depthDomain(known);
  return Array.from({ length: (shallow - deep) / DEPTH_STEP_DEG + 1 }, (_, i) => shallow - DEPTH_STEP_DEG * i);
}
