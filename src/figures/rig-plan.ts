import { cameraCentre, undistortInto } from '../cameras/camera-model.ts';
import type { Camera } from '../cameras/rig.ts';
import { boundingBox } from '../cameras/rig-quality.ts';
import { fromAboveTitle, fromSideTitle, metreBar, planSubtitle } from './calibration-words.ts';
import { COLOUR, CONFIG, type Figure, PLOT } from './look.ts';
import { type PlanPart, personFromAbove, personFromSide } from './plan-person.ts';

/** Height of the drawn figure and length of its bar, metres. The bar: International Weightlifting Federation, men. */
export const PLAN_FIGURE_M = 1.75;
export const PLAN_BAR_M = 2.2;

/** Calibration points drawn; more are thinned evenly. */
const MOST_POINTS = 300;
/** Length of the drawn edges of what a camera sees, as part of its distance from the covered space. */
const SIGHT_PART = 0.45;
const MARGIN_PART = 0.06;
const TALLEST_PX = 330;

export type PlanView = 'from above' | 'from the side';

/** Page coordinates of a world point: from above Z to the right and X up; from the side (lifter's right) X right, Y up. */
const flatten: Readonly<Record<PlanView, (p: ArrayLike<number>) => readonly [number, number]>> = {
  'from above': (p) => [p[2], p[0]],
  'from the side': (p) => [p[0], p[1]],
};

/**
 * The cameras, what they see, the calibration points with the box around them, and a person with a bar for scale, to one
 * scale in both directions.
 *
 * @param points 3 × n, metres, rig's world
 * @param floorKnown the figure then stands at Y = 0, otherwise at the lowest point of the covered space
 */
export function rigPlan(
  cameras: readonly Camera[],
  points: Float64Array,
  view: PlanView,
  floorKnown: boolean,
): Figure | null {
  const box = boundingBox(points);
  if (box === null) return null;
  const flat = flatten[view];
  const middle = [0, 1, 2].map((k) => 0.5 * (box[k] + box[k + 3]));
  const foot = [middle[0], floorKnown ? 0 : box[1], middle[2]];
  const person = view === 'from above' ? personFromAbove : personFromSide;
  const parts: PlanPart[] = [
    ...person(PLAN_FIGURE_M, PLAN_BAR_M).map((part) => moved(part, flat(foot))),
    ...cameras.flatMap((camera) => sight(camera, middle, flat)),
    rectangle(flat(box), flat(box.slice(3))),
  ];
  const dots = thinned(points).map((point) => {
    const [x, y] = flat(point);
    return { x: round(x), y: round(y) };
  });
  const names = cameras.map((camera) => {
    const [x, y] = flat(cameraCentre(camera));
    return { x: round(x), y: round(y), name: camera.name };
  });
  const all = [...parts.flatMap((part) => part.line), ...names.map(({ x, y }) => [x, y] as const)];
  const [xs, ys] = [0, 1].map((k) => extent(all.map((at) => at[k])));
  const pxPerM = Math.min(PLOT.width / (xs[1] - xs[0]), TALLEST_PX / (ys[1] - ys[0]));
  const scaleBar = { x: xs[0], x2: xs[0] + 1, y: ys[0], words: metreBar() };
  return {
    $schema: 'https://vega.github.io/schema/vega-lite/v6.json',
    config: CONFIG,
    title: {
      text: view === 'from above' ? fromAboveTitle() : fromSideTitle(),
      subtitle: planSubtitle(PLAN_FIGURE_M, PLAN_BAR_M),
    },
    width: Math.round(pxPerM * (xs[1] - xs[0])),
    height: Math.round(pxPerM * (ys[1] - ys[0])),
    data: {
      values: parts.flatMap(({ kind, line }, part) =>
        line.map(([x, y], order) => ({ kind, part, order, x: round(x), y: round(y) })),
      ),
    },
    encoding: {
      x: { field: 'x', type: 'quantitative', scale: { domain: xs, nice: false, zero: false }, axis: null },
      y: { field: 'y', type: 'quantitative', scale: { domain: ys, nice: false, zero: false }, axis: null },
    },
    layer: [
      lines('person', { color: COLOUR.path, strokeWidth: 5 }),
      lines('bar', { color: COLOUR.quiet, strokeWidth: 2.5 }),
      lines('sight', { color: COLOUR.hip, strokeWidth: 1.1 }),
      lines('axis', { color: COLOUR.hip, strokeWidth: 1.6, strokeDash: [2, 3] }),
      { data: { values: dots }, mark: { type: 'point', filled: true, color: COLOUR.up, size: 5, opacity: 0.8 } },
      lines('box', { color: COLOUR.foot, strokeWidth: 1.8, strokeDash: [6, 4] }),
      {
        data: { values: names },
        mark: { type: 'point', shape: 'square', filled: true, color: COLOUR.hip, size: 90, opacity: 1 },
      },
      {
        data: { values: labelsApart(names, pxPerM) },
        mark: { type: 'text', color: COLOUR.ink, fontSize: 13, dy: -13, fontWeight: 600 },
        encoding: { text: { field: 'name' } },
      },
      {
        data: { values: [scaleBar] },
        layer: [
          { mark: { type: 'rule', color: COLOUR.ink, strokeWidth: 2 }, encoding: { x2: { field: 'x2' } } },
          {
            mark: { type: 'text', color: COLOUR.ink, fontSize: 12, align: 'left', baseline: 'bottom', dy: -4 },
            encoding: { text: { field: 'words' } },
          },
        ],
      },
    ],
  } as Figure;
}

const lines = (kind: PlanPart['kind'], mark: Record<string, unknown>) => ({
  transform: [{ filter: { field: 'kind', equal: kind } }],
  mark: { type: 'line', strokeCap: 'round', strokeJoin: 'round', ...mark },
  encoding: { order: { field: 'order', type: 'ordinal' }, detail: { field: 'part' } },
});

type Flat = (p: ArrayLike<number>) => readonly [number, number];

/** Pyramid of what the camera sees (corners of its picture) and its optical axis. */
function sight(camera: Camera, middle: readonly number[], flat: Flat): PlanPart[] {
  const centre = cameraCentre(camera);
  const lengthM = SIGHT_PART * Math.hypot(...middle.map((x, k) => x - centre[k]));
  const { imageWidth: w, imageHeight: h } = camera;
  const corners = [
    [0, 0],
    [w - 1, 0],
    [w - 1, h - 1],
    [0, h - 1],
  ].map(([u, v]) => flat(along(camera, centre, u, v, lengthM)));
  const apex = flat(centre);
  return [
    ...corners.map((corner): PlanPart => ({ kind: 'sight', line: [apex, corner] })),
    { kind: 'sight', line: [...corners, corners[0]] },
    { kind: 'axis', line: [apex, flat(along(camera, centre, camera.cx, camera.cy, 1.15 * lengthM))] },
  ];
}

const ray = new Float64Array(2);

/** The point on the ray of pixel (u, v) at `depthM` along the optical axis. */
function along(camera: Camera, centre: Float64Array, u: number, v: number, depthM: number): number[] {
  if (!undistortInto(ray, 0, camera, u, v)) {
    ray[0] = (u - camera.cx) / camera.fx;
    ray[1] = (v - camera.cy) / camera.fy;
  }
  const r = camera.rotation;
  return [0, 1, 2].map((k) => centre[k] + depthM * (r[k] * ray[0] + r[3 + k] * ray[1] + r[6 + k]));
}

interface Label {
  readonly x: number;
  readonly y: number;
  readonly name: string;
}

/** Mean width of a character and height of a line of a label, px (common practice, no source). */
const CHARACTER_PX = 8;
const LINE_PX = 16;

/** Cameras that stand so near each other on the page that their names would overlap share one label between them. */
function labelsApart(labels: readonly Label[], pxPerM: number): Label[] {
  const groups: Label[][] = [];
  for (const label of labels) {
    const overlaps = (other: Label) =>
      pxPerM * Math.abs(other.x - label.x) < 0.5 * CHARACTER_PX * (other.name.length + label.name.length + 2) &&
      pxPerM * Math.abs(other.y - label.y) < LINE_PX;
    const near = groups.find((group) => group.some(overlaps));
    if (near) near.push(label);
    else groups.push([label]);
  }
  const mean = (values: readonly number[]) => values.reduce((sum, x) => sum + x, 0) / values.length;
  return groups.map((group) => ({
    x: mean(group.map(({ x }) => x)),
    y: Math.max(...group.map(({ y }) => y)),
    name: group.map(({ name }) => name).join(', '),
  }));
}

function rectangle(a: readonly [number, number], b: readonly [number, number]): PlanPart {
  return { kind: 'box', line: [a, [a[0], b[1]], b, [b[0], a[1]], a] };
}

function moved({ kind, line }: PlanPart, [x, y]: readonly [number, number]): PlanPart {
  return { kind, line: line.map(([px, py]) => [px + x, py + y] as const) };
}

function thinned(points: Float64Array): Float64Array[] {
  const n = points.length / 3;
  const step = Math.max(1, Math.ceil(n / MOST_POINTS));
  return Array.from({ length: Math.ceil(n / step) }, (_, i) => points.subarray(3 * i * step, 3 * i * step + 3));
}

function extent(values: readonly number[]): [number, number] {
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const margin = MARGIN_PART * (high - low) + 0.05;
  return [low - margin, high + margin];
}

const round = (metres: number) => Math.round(1e4 * metres) / 1e4;
