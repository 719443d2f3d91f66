import { COLOUR, CONFIG, type Figure, PLOT } from './look.ts';

/** One bin of image speed: what `clockEvidence` gives. */
interface EvidenceRow {
  readonly camera: string;
  readonly row_band: 'upper' | 'lower';
  readonly speed_px_per_s: number;
  readonly residual_px: number;
  readonly half_width_px: number;
}

interface EvidenceSlope {
  readonly camera: string;
  readonly row_band: 'upper' | 'lower' | 'all';
  readonly slope_s: number;
  readonly half_width_s: number;
}

const BAND_WORDS = { upper: 'higher in the picture', lower: 'lower in the picture' } as const;
const title = () => 'Do the cameras keep the same time?';
const subtitle = () => [
  'each mark: mean of many points with its 95 % interval',
  'level: in time; slanting: the clock is off',
  'two unlike slants: rolling shutter',
];
const speedAxisTitle = () => 'speed in the picture, across the other view’s lines (px/s)';
const residualAxisTitle = () => 'behind on its way (px)';

/** Camera, and its slope with the half width of the 95 % interval. */
const panelTitle = (camera: string, slope: EvidenceSlope | undefined) =>
  slope
    ? `camera ${camera}: clock off by ${signed(1000 * slope.slope_s)} ± ${(1000 * slope.half_width_s).toFixed(2)} ms (95 %)`
    : `camera ${camera}`;
const signed = (value: number) => `${value < 0 ? '−' : '+'}${Math.abs(value).toFixed(2)}`;

/**
 * Residual against image speed, one panel a camera, on one scale. Upper and lower rows differ by colour and mark; each has
 * the line of its fitted slope. null without rows.
 *
 * @param evidence bins and slopes of `clockEvidence`
 */
export function residualAgainstSpeed(evidence: {
  readonly rows: readonly EvidenceRow[];
  readonly slopes: readonly EvidenceSlope[];
}): Figure | null {
  const { rows, slopes } = evidence;
  if (rows.length === 0) return null;
  const reach = 1.08 * Math.max(...rows.map(({ speed_px_per_s }) => Math.abs(speed_px_per_s)));
  const height = Math.max(0.1, ...rows.map(({ residual_px, half_width_px }) => Math.abs(residual_px) + half_width_px));
  const cameras = [...new Set(rows.map(({ camera }) => camera))];
  const band = {
    field: 'band',
    type: 'nominal',
    scale: { domain: Object.values(BAND_WORDS), range: [COLOUR.hip, COLOUR.knee] },
  };
  const y = (field: string) => ({
    field,
    type: 'quantitative',
    scale: { domain: [-1.05 * height, 1.05 * height], nice: true },
    axis: { title: residualAxisTitle(), tickCount: 5, format: '+~g' },
  });
  const panel = (camera: string, last: boolean) => {
    const own = rows.filter((row) => row.camera === camera);
    const bins = own.map((row) => ({
      band: BAND_WORDS[row.row_band],
      speed: row.speed_px_per_s,
      residual: row.residual_px,
      low: row.residual_px - row.half_width_px,
      high: row.residual_px + row.half_width_px,
    }));
    const lines = slopes
      .filter((slope) => slope.camera === camera && slope.row_band !== 'all')
      .flatMap(({ row_band, slope_s }) => {
        const end = Math.min(reach, (1.05 * height) / Math.max(Math.abs(slope_s), 1e-12));
        return [-end, end].map((speed) => ({
          band: BAND_WORDS[row_band as 'upper' | 'lower'],
          speed,
          residual: slope_s * speed,
        }));
      });
    const x = {
      field: 'speed',
      type: 'quantitative',
      scale: { domain: [-reach, reach] },
      axis: { title: last ? speedAxisTitle() : null, tickCount: 5, format: '+.0f' },
    };
    return {
      width: PLOT.width,
      height: 150,
      title: {
        text: panelTitle(
          camera,
          slopes.find((slope) => slope.camera === camera && slope.row_band === 'all'),
        ),
        fontSize: 13,
        fontWeight: 'normal',
        offset: 4,
      },
      layer: [
        {
          data: { values: [{ level: 0 }] },
          mark: { type: 'rule', color: COLOUR.path, strokeWidth: 1 },
          encoding: { y: { field: 'level', type: 'quantitative' } },
        },
        {
          data: { values: lines },
          mark: { type: 'line', strokeWidth: 1.5, opacity: 0.7 },
          encoding: { x, y: y('residual'), color: band },
        },
        {
          data: { values: bins },
          mark: { type: 'rule', strokeWidth: 1.5 },
          encoding: { x, y: y('low'), y2: { field: 'high' }, color: band },
        },
        {
          data: { values: bins },
          mark: { type: 'point', filled: true, size: 60, opacity: 1 },
          encoding: {
            x,
            y: y('residual'),
            color: band,
            shape: { ...band, scale: { domain: Object.values(BAND_WORDS), range: ['circle', 'square'] } },
          },
        },
      ],
    };
  };
  return {
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    config: CONFIG,
    title: { text: title(), subtitle: subtitle() },
    vconcat: cameras.map((camera, i) => panel(camera, i === cameras.length - 1)),
  } as Figure;
}
