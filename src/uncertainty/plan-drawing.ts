import { INNER_COLLARS_APART_M } from '../body/barbell.ts';
import { cameraCentre, undistortInto } from '../cameras/camera-model.ts';
import type { Camera } from '../cameras/rig.ts';
import { type Landmark, MOMENT_LANDMARKS } from '../capture/landmarks.ts';
import { eigenSymmetric } from '../numerics/symmetric-eigen.ts';
import { type Posture, pointOf } from '../predict/posture.ts';
import { standPlace } from './camera-stand.ts';
import type { PlanResult } from './plan.ts';
import { pointCovariances } from './posture-uncertainty.ts';
import { DISC_RADIUS_M } from './view-checks.ts';

/** One corner of a line or outline. `across`, `up`: metres on the page; from above the lifter faces up the page, from the side to the right. */
export interface DrawingRow {
  readonly view: 'above' | 'side';
  readonly part: 'lifter' | 'bar' | 'disc' | 'field' | 'camera' | 'suggested' | 'uncertainty' | 'floor';
  /** Which line of that part. */
  readonly line: string;
  readonly corner: number;
  readonly across_m: number;
  readonly up_m: number;
}

export interface PlanDrawing {
  readonly rows: readonly DrawingRow[];
  /** How many times too large the 95 % ellipses are drawn. */
  readonly magnified: number;
}

type Point = readonly [number, number, number];
type Place = readonly [across: number, up: number];

const PAGE: Readonly<Record<DrawingRow['view'], (p: Point) => Place>> = {
  above: ([x, , z]) => [z, x],
  side: ([x, y]) => [x, y],
};
const VIEWS = ['above', 'side'] as const;

const LIMBS: readonly (readonly Landmark[])[] = [
  ['left_shoulder', 'left_hip', 'left_knee', 'left_ankle'],
  ['right_shoulder', 'right_hip', 'right_knee', 'right_ankle'],
  ['left_shoulder', 'right_shoulder'],
  ['left_hip', 'right_hip'],
  ['left_shoulder', 'left_elbow', 'left_wrist'],
  ['right_shoulder', 'right_elbow', 'right_wrist'],
  ['left_heel', 'left_big_toe'],
  ['right_heel', 'right_big_toe'],
];

/** Radius of a 95 % ellipse of two dimensions over the standard deviation: √(−2 ln 0.05). */
const ELLIPSE_95 = Math.sqrt(-2 * Math.log(0.05));
const CORNERS = 24;
/** Radius of the drawn head, metres. */
const HEAD_RADIUS_M = 0.11;
/** The largest half axis drawn, metres, decides how many times ellipses are magnified. */
const DRAWN_HALF_AXIS_M = 0.2;
const MAGNIFICATIONS = [1, 2, 5, 10, 20, 50, 100];
/** Fields of view are drawn to this many times the distance of the lifter. */
const FIELD_REACH = 1.35;

/** Lifter at parallel, bar, cameras, fields of view, 95 % ellipses of the joints, suggested places: as lines on two pages. */
export function planDrawing({ scene, movables, better, foreseen, variances }: PlanResult): PlanDrawing {
  const posture = scene.postures.parallel;
  const cameras = movables.map(({ camera }) => camera);
  const rows: DrawingRow[] = [];
  const draw = (part: DrawingRow['part'], line: string, points: readonly Point[]) => {
    for (const view of VIEWS) rows.push(...lineRows(view, part, line, points.map(PAGE[view])));
  };
  for (const [i, limb] of LIMBS.entries()) {
    const points = limb.map((name) => pointOf(posture, name));
    draw('lifter', `limb ${i}`, points);
  }
  drawHead(rows, posture);
  drawBar(draw, posture);
  for (const { camera, stand } of movables) {
    rows.push(...fieldRows(camera, FIELD_REACH * stand.distanceM));
  }
  for (const { camera, to } of (better.all ?? better.one)?.moves ?? [])
    draw('suggested', camera, [standPlace(to, ...scene.middle)]);

  rows.push(...cameraRows(cameras));
  const covariances = pointCovariances(cameras, variances, posture.position);
  const joints = MOMENT_LANDMARKS.filter((name) => posture.landmarks.includes(name));
  const largest = Math.max(
    ...foreseen.rows
      .filter((row) => row.posture === 'parallel' && row.axis === 'worst' && joints.includes(row.what as Landmark))
      .map(({ sd }) => ELLIPSE_95 * sd),
  );
  const magnified = [...MAGNIFICATIONS].reverse().find((times) => times * largest <= DRAWN_HALF_AXIS_M) ?? 1;
  for (const joint of joints) {
    const c = covariances.subarray(6 * posture.landmarks.indexOf(joint));
    if (Number.isNaN(c[0])) continue;
    const at = pointOf(posture, joint);
    rows.push(...ellipseRows('above', joint, PAGE.above(at), [c[5], c[2], c[0]], magnified));
    rows.push(...ellipseRows('side', joint, PAGE.side(at), [c[0], c[1], c[3]], magnified));
  }
  return { rows, magnified };
}

/** Cameras nearer than this on the page share a mark with both names, metres. */
const ONE_MARK_M = 0.2;

function cameraRows(cameras: readonly Camera[]): DrawingRow[] {
  return VIEWS.flatMap((view) => {
    const marks: { names: string[]; at: Place }[] = [];
    for (const camera of cameras) {
      const at = PAGE[view](place(cameraCentre(camera)));
      const near = marks.find((mark) => Math.hypot(mark.at[0] - at[0], mark.at[1] - at[1]) < ONE_MARK_M);
      if (near) near.names.push(camera.name);
      else marks.push({ names: [camera.name], at });
    }
    return marks.flatMap(({ names, at }) => lineRows(view, 'camera', names.join(', '), [at]));
  });
}

const place = (p: ArrayLike<number>): Point => [p[0], p[1], p[2]];

function lineRows(
  view: DrawingRow['view'],
  part: DrawingRow['part'],
  line: string,
  places: readonly Place[],
): DrawingRow[] {
  return places.flatMap(([across_m, up_m], corner) =>
    Number.isFinite(across_m) && Number.isFinite(up_m) ? [{ view, part, line, corner, across_m, up_m }] : [],
  );
}

/** A circle about the middle between the ears, the same on both pages. */
function drawHead(rows: DrawingRow[], posture: Posture): void {
  const [left, right] = [pointOf(posture, 'left_ear'), pointOf(posture, 'right_ear')];
  const middle: Point = [(left[0] + right[0]) / 2, (left[1] + right[1]) / 2, (left[2] + right[2]) / 2];
  for (const view of VIEWS) rows.push(...lineRows(view, 'lifter', 'head', circle(PAGE[view](middle), HEAD_RADIUS_M)));
}

function circle([across, up]: Place, radius: number): Place[] {
  return Array.from({ length: CORNERS + 1 }, (_, i): Place => {
    const angle = (2 * Math.PI * i) / CORNERS;
    return [across + radius * Math.cos(angle), up + radius * Math.sin(angle)];
  });
}

function drawBar(draw: (part: 'bar' | 'disc', line: string, points: readonly Point[]) => void, posture: Posture): void {
  const [left, right] = [pointOf(posture, 'bar_left_end'), pointOf(posture, 'bar_right_end')];
  if (!Number.isFinite(left[0])) return;
  draw('bar', 'bar', [left, right]);
  const [x, y] = [(left[0] + right[0]) / 2, (left[1] + right[1]) / 2];
  const outline = circle([x, y], DISC_RADIUS_M);
  for (const side of ['left', 'right'] as const) {
    const z = ((side === 'left' ? -1 : 1) * INNER_COLLARS_APART_M) / 2;
    const rim = outline.map(([a, b]): Point => [a, b, z]);
    draw('disc', side, rim);
  }
}

/** The borders of the picture in space: left and right from above, top and bottom from the side. */
function fieldRows(camera: Camera, reachM: number): DrawingRow[] {
  const eye = place(cameraCentre(camera));
  const { imageWidth: w, imageHeight: h } = camera;
  const rays: Readonly<Record<DrawingRow['view'], readonly (readonly [number, number])[]>> = {
    above: [
      [-0.5, (h - 1) / 2],
      [w - 0.5, (h - 1) / 2],
    ],
    side: [
      [(w - 1) / 2, -0.5],
      [(w - 1) / 2, h - 0.5],
    ],
  };
  return VIEWS.flatMap((view) => {
    const [a, b] = rays[view].map((pixel) => alongRay(camera, eye, pixel, reachM));
    return lineRows(view, 'field', camera.name, [eye, a, b, eye].map(PAGE[view]));
  });
}

function alongRay(camera: Camera, eye: Point, [u, v]: readonly [number, number], lengthM: number): Point {
  const xy = new Float64Array(2);
  undistortInto(xy, 0, camera, u, v);
  const r = camera.rotation;
  const d = [0, 1, 2].map((i) => r[i] * xy[0] + r[3 + i] * xy[1] + r[6 + i]);
  const scale = lengthM / Math.hypot(d[0], d[1], d[2]);
  return [eye[0] + scale * d[0], eye[1] + scale * d[1], eye[2] + scale * d[2]];
}

function ellipseRows(
  view: DrawingRow['view'],
  line: string,
  middle: Place,
  [aa, ab, bb]: readonly [number, number, number],
  magnified: number,
): DrawingRow[] {
  const { values, vectors } = eigenSymmetric([aa, ab, ab, bb], 2);
  const half = [0, 1].map((i) => magnified * ELLIPSE_95 * Math.sqrt(Math.max(0, values[i])));
  const outline = Array.from({ length: CORNERS + 1 }, (_, i): Place => {
    const angle = (2 * Math.PI * i) / CORNERS;
    const [p, q] = [half[0] * Math.cos(angle), half[1] * Math.sin(angle)];
    return [middle[0] + vectors[0] * p + vectors[1] * q, middle[1] + vectors[2] * p + vectors[3] * q];
  });
  return lineRows(view, 'uncertainty', line, outline);
}
