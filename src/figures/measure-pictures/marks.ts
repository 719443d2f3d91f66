/**
 * The marks of the small pictures, in picture units (160 × 120, y down). Body and reference lines take the colour of the
 * text around them, what is measured takes the accent. Nothing has an id, so that many pictures can stand in one page.
 */
export type Point = readonly [x: number, y: number];

export const PICTURE = { width: 160, height: 120 } as const;
/** The page may set the variable; the fallback reads on white and on dark ground. */
export const ACCENT = 'var(--measure-accent,#cf5c12)';
export const INK = 'currentColor';
/** Smallest text, units: nine pixels where the picture is shown 160 px wide. */
export const SMALL_TEXT = 9.5;

const { abs, atan2, cos, hypot, PI, sign, sin } = Math;
const RAD = PI / 180;

export const n = (value: number): string => String(Number(value.toFixed(1)));
const move = ([x, y]: Point) => `${n(x)} ${n(y)}`;

export interface Stroke {
  readonly colour?: string;
  readonly width?: number;
  readonly dash?: string;
  readonly opacity?: number;
  readonly fill?: string;
  readonly fillOpacity?: number;
}

const styled = ({ colour = INK, width = 1, dash, opacity, fill = 'none', fillOpacity }: Stroke): string =>
  `fill="${fill}" stroke="${colour}" stroke-width="${width}"` +
  (dash ? ` stroke-dasharray="${dash}"` : '') +
  (opacity !== undefined ? ` opacity="${opacity}"` : '') +
  (fillOpacity !== undefined ? ` fill-opacity="${fillOpacity}"` : '');

export const polyline = (points: readonly Point[], stroke: Stroke = {}): string =>
  `<path d="M${points.map(move).join('L')}" ${styled(stroke)}/>`;
export const area = (points: readonly Point[], stroke: Stroke = {}): string =>
  `<path d="M${points.map(move).join('L')}Z" ${styled(stroke)}/>`;
export const circle = ([x, y]: Point, r: number, stroke: Stroke = {}): string =>
  `<circle cx="${n(x)}" cy="${n(y)}" r="${n(r)}" ${styled(stroke)}/>`;
export const box = ([x, y]: Point, width: number, height: number, stroke: Stroke = {}): string =>
  `<rect x="${n(x)}" y="${n(y)}" width="${n(width)}" height="${n(height)}" ${styled(stroke)}/>`;

/** A joint or point that is measured. */
export const dot = ([x, y]: Point, r = 2.6, colour = ACCENT): string =>
  `<circle cx="${n(x)}" cy="${n(y)}" r="${n(r)}" fill="${colour}"/>`;

export interface Words {
  readonly anchor?: 'start' | 'middle' | 'end';
  readonly colour?: string;
  readonly size?: number;
  readonly bold?: boolean;
}

export const text = (
  [x, y]: Point,
  words: string,
  { anchor = 'middle', colour = INK, size = SMALL_TEXT, bold = false }: Words = {},
): string =>
  `<text x="${n(x)}" y="${n(y)}" fill="${colour}" font-size="${size}"` +
  (anchor === 'start' ? '' : ` text-anchor="${anchor}"`) +
  (bold ? ' font-weight="700"' : '') +
  `>${words}</text>`;

/** Marks of a direction: large enough to be found first. */
export const plus = (at: Point): string => text([at[0], at[1] + 4], '+', { colour: ACCENT, size: 13, bold: true });
export const minus = (at: Point): string => text([at[0], at[1] + 4], '−', { colour: INK, size: 12, bold: true });
export const zero = (at: Point): string => text([at[0], at[1] + 3.4], '0');

/** The line that is measured, and the same line at an earlier moment. */
export const MEASURED: Stroke = { colour: ACCENT, width: 3 };
export const EARLIER: Stroke = { colour: ACCENT, width: 1.6, dash: '3 2' };

/** A line that only refers: thin, dashed. */
export const reference = (a: Point, b: Point): string => polyline([a, b], { width: 1, dash: '2.5 2.5', opacity: 0.75 });

/** Head of an arrow at `tip`, pointing along `direction`. */
export function arrowHead(tip: Point, direction: Point, colour = ACCENT, size = 5): string {
  const long = hypot(direction[0], direction[1]);
  const [u, v] = [direction[0] / long, direction[1] / long];
  const back: Point = [tip[0] - size * u, tip[1] - size * v];
  const half = 0.5 * size;
  return `<path d="M${move(tip)}L${move([back[0] - half * v, back[1] + half * u])}L${move([back[0] + half * v, back[1] - half * u])}Z" fill="${colour}"/>`;
}

/** From `from` to `to`, its head ending at `to`. */
export function arrow(from: Point, to: Point, colour = ACCENT, width = 2): string {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  const long = hypot(dx, dy);
  const shaft: Point = [to[0] - (4 * dx) / long, to[1] - (4 * dy) / long];
  return polyline([from, shaft], { colour, width }) + arrowHead(to, [dx, dy], colour);
}

/** A length between two points: bars square to it at both ends. `headed`: an arrow head at `b`, where + lies that way. */
export function dimension(
  a: Point,
  b: Point,
  { colour = ACCENT, headed = false }: { colour?: string; headed?: boolean } = {},
): string {
  const [dx, dy] = [b[0] - a[0], b[1] - a[1]];
  const long = hypot(dx, dy);
  const square: Point = [(-3.5 * dy) / long, (3.5 * dx) / long];
  const bar = ([x, y]: Point) =>
    polyline(
      [
        [x - square[0], y - square[1]],
        [x + square[0], y + square[1]],
      ],
      { colour, width: 1.2 },
    );
  return bar(a) + (headed ? arrow(a, b, colour, 1.6) : polyline([a, b], { colour, width: 1.6 }) + bar(b));
}

/** Screen direction of a line from `a` to `b`, degrees clockwise from up. */
export const bearing = (a: Point, b: Point): number => atan2(b[0] - a[0], a[1] - b[1]) / RAD;
export const onBearing = (from: Point, deg: number, by: number): Point => [
  from[0] + by * sin(deg * RAD),
  from[1] - by * cos(deg * RAD),
];

/** Arc about `centre` from one bearing to another (not wrapped: from 20 to −30 runs anticlockwise), head at its end. */
export function arc(
  centre: Point,
  radius: number,
  fromDeg: number,
  toDeg: number,
  { colour = ACCENT, width = 2, headed = true }: { colour?: string; width?: number; headed?: boolean } = {},
): string {
  const way = sign(toDeg - fromDeg);
  // The head takes the arc's last piece.
  const stop = headed ? toDeg - (way * 3.5) / radius / RAD : toDeg;
  const [start, end] = [onBearing(centre, fromDeg, radius), onBearing(centre, stop, radius)];
  const tip = onBearing(centre, toDeg, radius);
  const long = abs(stop - fromDeg) > 180 ? 1 : 0;
  const line = `<path d="M${move(start)}A${n(radius)} ${n(radius)} 0 ${long} ${way > 0 ? 1 : 0} ${move(end)}" ${styled({ colour, width })}/>`;
  if (!headed) return line;
  const along = toDeg + way * 90 - (way * 2) / radius / RAD;
  return line + arrowHead(tip, [sin(along * RAD), -cos(along * RAD)], colour);
}

/** Turning arrow about a joint: a net moment of its muscles, clockwise as the viewer sees it or not. */
export function turning(centre: Point, radius: number, clockwise: boolean, colour = ACCENT, startDeg = 200): string {
  return arc(centre, radius, startDeg, startDeg + (clockwise ? 250 : -250), { colour, width: 2.2 });
}

/** Scale from heel (0) to toe (1) along `a`–`b`; the digits stand under its ends. */
export function footScale(a: Point, b: Point, value: number): string {
  const at = (share: number): Point => [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])];
  const [x, y] = at(value);
  return (
    polyline([a, b], { width: 3, opacity: 0.35 }) +
    [0, 1].map((end) => tick(at(end), 6)).join('') +
    text([a[0], a[1] + 13], '0') +
    text([b[0], b[1] + 13], '1') +
    `<path d="M${move([x, y - 1])}l-3.5 -6h7Z" fill="${ACCENT}"/>`
  );
}

/** Short upright line. */
export const tick = ([x, y]: Point, height: number, colour = INK): string =>
  polyline(
    [
      [x, y - height / 2],
      [x, y + height / 2],
    ],
    { width: 1.2, colour },
  );

/** Upright scale from 0 (below) to 1 (above), filled up to `value`; words stand at its ends. */
export function shareColumn(x: number, value: number, words: readonly [zero: string, one: string]): string {
  const [top, bottom] = [26, 98];
  const level = bottom + value * (top - bottom);
  return (
    box([x - 6, top], 12, bottom - top, { opacity: 0.6 }) +
    box([x - 6, level], 12, bottom - level, { colour: 'none', fill: ACCENT }) +
    text([x, bottom + 11], `0 ${words[0]}`.trim()) +
    text([x, top - 5], `1 ${words[1]}`.trim())
  );
}

/** A part over a whole: accent bar above a line, ink bar below it, lengths as given. */
export function quotient(x: number, y: number, above: number, below: number): string {
  const wide = Math.max(above, below) + 6;
  return (
    box([x - above / 2, y - 11], above, 5, { colour: 'none', fill: ACCENT }) +
    polyline(
      [
        [x - wide / 2, y],
        [x + wide / 2, y],
      ],
      { width: 1.2 },
    ) +
    box([x - below / 2, y + 6], below, 5, { colour: 'none', fill: INK })
  );
}
