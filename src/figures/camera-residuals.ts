import type { ColumnTable } from 'arquero';
import { COLOUR, CONFIG, type Figure, PLOT } from './look.ts';
import { landmarkWords, residualAxisTitle, residualSubtitle, residualTitle } from './words.ts';

interface ResidualRow {
  readonly by: 'landmark' | 'camera';
  readonly name: string;
  readonly reprojection_rms_px: number | null;
}

/**
 * Reprojection root mean square per camera and per landmark, pixels, both panels on one scale, largest landmark first.
 * null for a recording without pictures (3D points from a marker system).
 *
 * @param residuals table of `residualsTable`, one recording
 */
export function cameraResiduals(residuals: ColumnTable): Figure | null {
  const rows = (residuals.objects({ limit: Infinity }) as ResidualRow[]).filter(
    ({ reprojection_rms_px: rms }) => rms !== null && Number.isFinite(rms),
  );
  if (rows.length === 0) return null;
  const largest = Math.max(...rows.map(({ reprojection_rms_px: rms }) => rms!));
  const panel = (by: ResidualRow['by'], colour: string, shape: string, title: string | null) => ({
    width: PLOT.width - 90,
    height: { step: 19 },
    data: {
      values: rows
        .filter((row) => row.by === by)
        .map(({ name, reprojection_rms_px: px }) => ({
          name: by === 'landmark' ? landmarkWords(name) : `camera ${name}`,
          px,
        })),
    },
    encoding: {
      y: {
        field: 'name',
        type: 'nominal',
        sort: { field: 'px', order: 'descending' },
        axis: { title: null, domain: false, ticks: false },
      },
      x: {
        field: 'px',
        type: 'quantitative',
        scale: { domain: [0, largest * 1.08], nice: true },
        axis: { title, tickCount: 5 },
      },
    },
    layer: [
      { mark: { type: 'rule', color: COLOUR.line, strokeWidth: 1.5 }, encoding: { x2: { datum: 0 } } },
      { mark: { type: 'point', filled: true, shape, color: colour, size: 80, opacity: 1 } },
    ],
  });
  return {
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    config: CONFIG,
    title: { text: residualTitle(), subtitle: residualSubtitle() },
    vconcat: [panel('camera', COLOUR.up, 'square', null), panel('landmark', COLOUR.hip, 'circle', residualAxisTitle())],
    resolve: { scale: { x: 'shared' } },
  } as Figure;
}
