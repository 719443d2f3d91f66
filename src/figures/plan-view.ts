import type { ColumnTable } from 'arquero';
import { COLOUR, CONFIG, type Figure, PLOT } from './look.ts';

interface PlanRow {
  readonly view: 'above' | 'side';
  readonly part: string;
  readonly line: string;
  readonly corner: number;
  readonly across_m: number;
  readonly up_m: number;
}

/** Space around everything drawn, metres. */
const MARGIN_M = 0.35;

/**
 * Lifter, bar and cameras from above (the lifter faces up the page) and from the right side, with fields of view, the
 * joints' 95 % ellipses and, hollow, the places suggested for the cameras. A metre is as long across as up.
 *
 * @param drawing table of `planDrawing`'s rows
 * @param magnified how many times too large the ellipses are drawn
 */
export function planView(drawing: ColumnTable, magnified: number): Figure {
  const rows = drawing.objects({ limit: Infinity }) as PlanRow[];
  const times = magnified === 1 ? 'true to size' : `drawn ${magnified} times too large`;
  const hollow = rows.some(({ part }) => part === 'suggested') ? ['hollow square: suggested place of a camera'] : [];
  return {
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    config: CONFIG,
    title: {
      text: 'The plan, lifter at parallel',
      subtitle: [
        'squares: cameras, with what each picture shows',
        `red: 95 % ellipses of the joints, ${times}`,
        ...hollow,
      ],
    },
    spacing: 24,
    vconcat: [
      panel(rows, 'above', 'from above (m); the lifter faces up'),
      panel(rows, 'side', "from the lifter's right (m)"),
    ],
  } as Figure;
}

function panel(rows: readonly PlanRow[], view: PlanRow['view'], title: string) {
  const own = rows.filter((row) => row.view === view);
  const framed = own.filter(({ part }) => part !== 'field');
  const [left, right] = extent(framed.map(({ across_m }) => across_m));
  const [low, high] = extent(framed.map(({ up_m }) => up_m));
  // The floor is the lower edge from the side.
  const bottom = view === 'side' ? -0.05 : low - MARGIN_M;
  const [width, height] = [right - left + 2 * MARGIN_M, high + MARGIN_M - bottom];
  const frame = { across_m: [left - MARGIN_M, right + MARGIN_M], up_m: [bottom, high + MARGIN_M] } as const;
  const x = {
    field: 'across_m',
    type: 'quantitative',
    scale: { domain: frame.across_m, nice: false },
    axis: { title, tickCount: 6, grid: true },
  } as const;
  const y = {
    field: 'up_m',
    type: 'quantitative',
    scale: { domain: frame.up_m, nice: false },
    axis: { title: null, tickCount: 5, grid: true },
  } as const;
  const only = (part: string) => [{ filter: { field: 'part', equal: part } }];
  const line = (part: string, mark: Record<string, unknown>) => ({
    transform: only(part),
    mark: { type: 'line', strokeCap: 'round', strokeJoin: 'round', ...mark },
    encoding: { order: { field: 'corner', type: 'quantitative' }, detail: { field: 'line' } },
  });
  const square = (part: string, mark: Record<string, unknown>) => ({
    transform: only(part),
    mark: { type: 'point', shape: 'square', size: 130, opacity: 1, strokeWidth: 2, ...mark },
  });
  return {
    width: PLOT.width,
    height: Math.round((PLOT.width * height) / width),
    data: { values: [...own.filter(({ part }) => part !== 'field'), ...fieldsWithin(own, frame)] },
    encoding: { x, y },
    layer: [
      line('field', { color: COLOUR.path, strokeWidth: 1.3, fill: COLOUR.path, fillOpacity: 0.1 }),
      line('disc', { color: COLOUR.bar, strokeWidth: 2 }),
      line('bar', { color: COLOUR.bar, strokeWidth: 3 }),
      line('lifter', { color: COLOUR.near, strokeWidth: 2.6 }),
      line('uncertainty', { color: COLOUR.mass, strokeWidth: 1.6 }),
      square('suggested', { filled: false, stroke: COLOUR.up }),
      square('camera', { filled: true, color: COLOUR.ink }),
      {
        transform: only('camera'),
        mark: { type: 'text', dy: -15, fontSize: 13, color: COLOUR.ink },
        encoding: { text: { field: 'line' } },
      },
    ],
  };
}

type Frame = Readonly<Record<'across_m' | 'up_m', readonly [number, number]>>;

/** Fields of view cut at the frame. The drawing library's own clipping numbers its shapes anew in every picture. */
function fieldsWithin(rows: readonly PlanRow[], frame: Frame): PlanRow[] {
  const fields = rows.filter(({ part }) => part === 'field');
  return [...new Set(fields.map(({ line }) => line))].flatMap((line) => {
    let outline = fields.filter((row) => row.line === line).slice(1);
    for (const axis of ['across_m', 'up_m'] as const) {
      outline = cut(outline, (row) => row[axis] - frame[axis][0]);
      outline = cut(outline, (row) => frame[axis][1] - row[axis]);
    }
    return [...outline, ...outline.slice(0, 1)].map((row, corner) => ({ ...row, corner }));
  });
}

/** The part of an outline where `inside` is not negative (Sutherland & Hodgman 1974); `inside` is linear along the page. */
function cut(outline: readonly PlanRow[], inside: (row: PlanRow) => number): PlanRow[] {
  return outline.flatMap((to, i) => {
    const from = outline.at(i - 1)!;
    const [a, b] = [inside(from), inside(to)];
    const share = a / (a - b);
    const on: PlanRow = {
      ...to,
      across_m: from.across_m + share * (to.across_m - from.across_m),
      up_m: from.up_m + share * (to.up_m - from.up_m),
    };
    if (a >= 0 !== b >= 0) return b >= 0 ? [on, to] : [on];
    return b >= 0 ? [to] : [];
  });
}

function extent(values: readonly number[]): [number, number] {
  return [Math.min(...values), Math.max(...values)];
}
