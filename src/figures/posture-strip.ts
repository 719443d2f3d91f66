import type { ColumnTable } from 'arquero';
import { COLOUR, CONFIG, type Figure } from './look.ts';
import { postureSubtitle, postureTitle } from './words.ts';

interface PostureRow {
  readonly repetition: number;
  readonly posture: string;
  readonly part: string;
  readonly point: number;
  readonly x_m: number | null;
  readonly y_m: number | null;
}

/** Pixels a metre, the same along and up, so that angles look as they are. */
const PX_PER_M = 150;
/** Space around the lifter, metres. */
const MARGIN_M = 0.1;
/** Room for the name of a posture above it. */
const LEAST_WIDTH_M = 0.95;
const LEAST_WIDTH_UNNAMED_M = 0.78;
/** Radius of the drawn head, metres. */
const HEAD_RADIUS_M = 0.1;
/** Diameter of the drawn disc, metres: a mark for the bar's end, smaller than a real disc so that it hides nothing. */
const BAR_RADIUS_M = 0.06;

/**
 * The lifter from the right side, one panel a posture, in the order of time.
 *
 * @param postures table of `posturesTable`, one recording
 * @param only names of the postures to show; all where left out. A posture the table does not have is not drawn.
 * @param framed names of the postures that every panel has room for; those shown where left out
 * @param named false: one posture without its name, which stands elsewhere
 * @returns null where nothing can be drawn
 */
export function postureStrip(
  postures: ColumnTable,
  only?: readonly string[],
  framed: readonly string[] | undefined = only,
  named = true,
): Figure | null {
  const all = (postures.objects({ limit: Infinity }) as PostureRow[]).map((row) => ({
    ...row,
    x_m: finite(row.x_m),
    y_m: finite(row.y_m),
  }));
  const rows = all.filter(({ posture }) => only === undefined || only.includes(posture));
  const names = [...new Set(rows.map(({ posture }) => posture))];
  if (names.length === 0) return null;
  // The path of the bar may end at the edge of a panel; the lifter may not.
  const inFrame = all.filter(({ posture, part }) => part !== 'bar path' && (framed?.includes(posture) ?? true));
  const [xLow, xHigh] = extent(inFrame.map(({ x_m }) => x_m));
  const [left, right] = widened(xLow - MARGIN_M, xHigh + MARGIN_M, named ? LEAST_WIDTH_M : LEAST_WIDTH_UNNAMED_M);
  const [, yHigh] = extent(inFrame.map(({ y_m }) => y_m));
  const within = ({ x_m, y_m }: PostureRow) =>
    x_m !== null && y_m !== null && x_m >= left && x_m <= right && y_m <= yHigh + MARGIN_M;
  const x = { field: 'x_m', type: 'quantitative', scale: { domain: [left, right], nice: false }, axis: null } as const;
  const y = {
    field: 'y_m',
    type: 'quantitative',
    scale: { domain: [-0.06, yHigh + MARGIN_M], nice: false },
    axis: null,
  } as const;
  const strip = names.length > 1;
  const panel = {
    width: Math.round(PX_PER_M * (right - left)),
    height: Math.round(PX_PER_M * (yHigh + MARGIN_M + 0.06)),
    encoding: { x, y },
    layer: POSTURE_LAYERS,
  };
  return {
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    config: { ...CONFIG, padding: strip ? 10 : 2 },
    ...(strip ? { title: { text: postureTitle(), subtitle: postureSubtitle(rows[0].repetition) } } : {}),
    data: {
      values: rows.map((row) => (row.part === 'bar path' && !within(row) ? { ...row, x_m: null, y_m: null } : row)),
    },
    ...(named
      ? {
          facet: {
            field: 'posture',
            type: 'nominal',
            sort: names,
            header: { title: null, labelFontSize: 13, labelColor: COLOUR.ink },
          },
          columns: names.length,
          spacing: 4,
          bounds: 'flush',
          spec: panel,
        }
      : // Of one size whatever is drawn, so that two panels stand level.
        { ...panel, autosize: 'none' }),
  } as Figure;
}

const line = (part: string, mark: Record<string, unknown>) => ({
  transform: [{ filter: { field: 'part', equal: part } }],
  mark: { type: 'line', strokeCap: 'round', strokeJoin: 'round', ...mark },
  encoding: { order: { field: 'point', type: 'ordinal' }, detail: { field: 'part' } },
});

const disc = (part: string, radiusM: number, mark: Record<string, unknown>) => ({
  transform: [{ filter: { field: 'part', equal: part } }],
  mark: { type: 'point', shape: 'circle', opacity: 1, size: Math.PI * (PX_PER_M * radiusM) ** 2, ...mark },
});

const joints = (part: string, mark: Record<string, unknown>) => ({
  transform: [{ filter: { field: 'part', equal: part } }],
  mark: { type: 'point', shape: 'circle', opacity: 1, size: 60, ...mark },
});

const far = { color: COLOUR.far, strokeWidth: 4, strokeDash: [7, 5], strokeCap: 'butt' };
const near = { color: COLOUR.near, strokeWidth: 6.5 };

/** From back to front. */
const POSTURE_LAYERS = [
  {
    data: { values: [{}] },
    mark: { type: 'rule', color: COLOUR.quiet, strokeWidth: 1 },
    encoding: { x: null, y: { datum: 0 } },
  },
  line('foot on the floor', { color: COLOUR.foot, strokeWidth: 8, strokeCap: 'butt', opacity: 0.8 }),
  line('bar path', { color: COLOUR.path, strokeWidth: 1.6 }),
  line('far leg', far),
  line('far foot', far),
  line('far arm', { ...far, strokeWidth: 2.6 }),
  line('trunk', { color: COLOUR.ink, strokeWidth: 9 }),
  line('neck', { color: COLOUR.ink, strokeWidth: 4.5 }),
  disc('head', HEAD_RADIUS_M, { fill: '#ffffff', stroke: COLOUR.ink, strokeWidth: 4.5 }),
  line('near leg', near),
  line('near foot', { ...near, strokeWidth: 3.5 }),
  line('near arm', { ...near, strokeWidth: 4 }),
  joints('near leg', { fill: '#ffffff', stroke: COLOUR.near, strokeWidth: 2.5 }),
  disc('bar', BAR_RADIUS_M, { fill: '#ffffff', stroke: COLOUR.bar, strokeWidth: 3.5 }),
  line('centre of mass', { color: COLOUR.mass, strokeWidth: 2.2, strokeCap: 'butt' }),
  {
    transform: [
      {
        filter: {
          and: [
            { field: 'part', equal: 'centre of mass' },
            { field: 'point', equal: 0 },
          ],
        },
      },
    ],
    mark: { type: 'point', shape: 'diamond', filled: true, color: COLOUR.mass, size: 90, opacity: 1 },
  },
];

const finite = (value: number | null): number | null => (value !== null && Number.isFinite(value) ? value : null);

function widened(left: number, right: number, least: number): [number, number] {
  const more = Math.max(0, least - (right - left)) / 2;
  return [left - more, right + more];
}

function extent(values: readonly (number | null)[]): [number, number] {
  const known = values.filter((value) => value !== null);
  return known.length > 0 ? [Math.min(...known), Math.max(...known)] : [0, 1];
}
