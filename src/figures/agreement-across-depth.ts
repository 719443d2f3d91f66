import type { ColumnTable } from 'arquero';
import { DEPTH_PANELS, depthSubtitle, depthTitle, differenceAxisTitle } from './agreement-words.ts';
import { COLOUR, CONFIG, DASH, type Figure } from './look.ts';
import { depthAxisTitle, PHASE_WORDS, type PhaseName } from './words.ts';

interface Row {
  readonly kind: string;
  readonly name: string;
  readonly side: string;
  readonly at: PhaseName;
  readonly grid: string;
  readonly depth: number;
  readonly bias: number | null;
  readonly limit_low: number | null;
  readonly limit_high: number | null;
}

/**
 * Mean difference with limits of agreement against thigh elevation, one panel a quantity, way down and way up apart. A depth
 * without a value breaks line and band. null where no quantity is known.
 *
 * @param agreement table with the columns of agreement.csv
 */
export function agreementAcrossDepth(agreement: ColumnTable): Figure | null {
  const rows = (agreement.objects({ limit: Infinity }) as Row[]).filter(
    ({ kind, grid }) => kind === 'curve' && grid === 'thigh_elevation_deg',
  );
  const panels = DEPTH_PANELS.flatMap((panel) => {
    const own = rows.filter(({ name, side, bias }) => name === panel.name && side === panel.side && bias !== null);
    return own.length > 0 ? [depthPanel(panel, own)] : [];
  });
  if (panels.length === 0) return null;
  return {
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    config: CONFIG,
    title: { text: depthTitle(), subtitle: depthSubtitle() },
    columns: 2,
    spacing: 26,
    concat: panels,
  } as unknown as Figure;
}

function depthPanel({ words, factor, unit }: (typeof DEPTH_PANELS)[number], rows: readonly Row[]) {
  const scaled = (value: number | null) => (value !== null && Number.isFinite(value) ? factor * value : null);
  const points = rows.map((row) => ({
    phase: PHASE_WORDS[row.at],
    depth: row.depth,
    bias: scaled(row.bias),
    low: scaled(row.limit_low),
    high: scaled(row.limit_high),
  }));
  const levels = points.flatMap(({ bias, low, high }) => [bias, low, high]).filter((value) => value !== null);
  const [lowest, highest] = [Math.min(0, ...levels), Math.max(0, ...levels)];
  const margin = Math.max(0.06 * (highest - lowest), 1e-3);
  const x = {
    field: 'depth',
    type: 'quantitative',
    scale: { reverse: true, nice: false, zero: false },
    axis: { title: depthAxisTitle(), tickCount: 5, grid: false },
  };
  const y = (field: string) => ({
    field,
    type: 'quantitative',
    scale: { domain: [lowest - margin, highest + margin] },
    axis: { title: differenceAxisTitle(unit), tickCount: 5 },
  });
  const colour = {
    field: 'phase',
    type: 'nominal',
    scale: { domain: [PHASE_WORDS.descent, PHASE_WORDS.ascent], range: [COLOUR.down, COLOUR.up] },
    legend: null,
  };
  return {
    width: 270,
    height: 170,
    title: { text: words, fontSize: 13 },
    layer: [
      {
        data: { values: [{ zero: 0 }] },
        mark: { type: 'rule', color: COLOUR.quiet, strokeWidth: 1 },
        encoding: { y: y('zero') },
      },
      {
        data: { values: points },
        mark: { type: 'area', opacity: 0.18 },
        encoding: { x, y: y('low'), y2: { field: 'high' }, color: colour },
      },
      {
        data: { values: points },
        mark: { type: 'line', strokeWidth: 2.5 },
        encoding: {
          x,
          y: y('bias'),
          color: colour,
          strokeDash: {
            field: 'phase',
            type: 'nominal',
            scale: { domain: [PHASE_WORDS.descent, PHASE_WORDS.ascent], range: [[...DASH.descent], [...DASH.ascent]] },
            legend: null,
          },
        },
      },
    ],
  };
}
