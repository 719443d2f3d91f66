import type { ColumnTable } from 'arquero';
import type { BodyMotion } from '../body/body-motion.ts';
import type { Landmark } from '../capture/landmarks.ts';
import type { LiftRecord, Repetition } from '../lift/lift-record.ts';
import { tableOf } from './csv.ts';

export const POSTURES = ['standing', 'half way down', 'parallel', 'bottom', 'parallel, way up'] as const;
export type Posture = (typeof POSTURES)[number];

export const POSTURE_COLUMNS = [
  'recording_id',
  'repetition',
  'posture',
  'frame',
  'part',
  'point',
  'x_m',
  'y_m',
] as const;

/**
 * The lifter from the right side at five depths of one repetition, as chains of points.
 *
 * x_m: forward of the mid-point of the ankles when standing; y_m: above the floor. Parts: `trunk` (mid-hip,
 * mid-shoulder), `neck`, `head`, `near leg` and `near arm` (the lifter's right), `far leg` and `far arm` (left),
 * `near foot`, `far foot` (ankle, heel, toe, ankle), `foot on the floor` (under the heels, under the toes, left and right
 * averaged), `bar`, `bar path` (the whole repetition, in every posture), `centre of mass` (lifter and bar: the point,
 * then the point under it on the floor). Points in a part are joined in the order of `point`; a point that is not known
 * is NaN, so that a line breaks there. A posture the repetition does not have is absent.
 */
export function posturesTable(record: LiftRecord, repetition = shownRepetition(record)): ColumnTable {
  if (!repetition) return tableOf(POSTURE_COLUMNS, []);
  const points = sideView(record, repetition.topFrame);
  const path = barPath(record, repetition, points);
  const rows: Record<string, unknown>[] = [];
  for (const [posture, frame] of postureFrames(record, repetition)) {
    const parts = [...partsAt(record, frame, points), ['bar path', path] as const];
    for (const [part, chain] of parts) {
      chain.forEach(([x, y], point) => {
        rows.push({
          recording_id: record.recordingId,
          repetition: repetition.number,
          posture,
          frame,
          part,
          point,
          x_m: x,
          y_m: y,
        });
      });
    }
  }
  return tableOf(POSTURE_COLUMNS, rows);
}

/** The repetition that stands for the set in pictures: the middle one of the full ones, else the first one found. */
export function shownRepetition(record: LiftRecord): Repetition | undefined {
  const full = record.repetitions.filter(({ completeness }) => completeness === 'full');
  return full[Math.floor((full.length - 1) / 2)] ?? record.repetitions[0];
}

function postureFrames(record: LiftRecord, repetition: Repetition): [Posture, number][] {
  const frames: [Posture, number][] = [
    ['standing', repetition.topFrame],
    ['half way down', halfWayFrame(record, repetition)],
    ['parallel', repetition.parallelDescentFrame],
    ['bottom', repetition.bottomFrame],
    ['parallel, way up', repetition.parallelAscentFrame],
  ];
  return frames.filter(([, frame]) => frame >= 0);
}

/** Frame of the descent (else of the ascent) whose mid-hip is nearest to half of the hip drop; −1 where the hip is not known. */
function halfWayFrame(record: LiftRecord, repetition: Repetition): number {
  const hip = record.loads.motion.joints.mid_hip;
  const phase = repetition.descent ?? repetition.ascent;
  if (!hip || !phase) return -1;
  const half = (hip[3 * repetition.topFrame + 1] + hip[3 * repetition.bottomFrame + 1]) / 2;
  let best = -1;
  let distance = Number.POSITIVE_INFINITY;
  for (let frame = phase.from; frame < phase.to; frame++) {
    const off = Math.abs(hip[3 * frame + 1] - half);
    if (off < distance) [best, distance] = [frame, off];
  }
  return best;
}

export type Point = readonly [x: number, y: number];
const UNKNOWN: Point = [Number.NaN, Number.NaN];

export interface SideView {
  joint(name: keyof BodyMotion['joints'], frame: number): Point;
  landmark(name: Landmark, frame: number): Point;
  of(series: Float64Array | null | undefined, frame: number): Point;
  readonly floor: number;
}

/** Looks from the lifter's right side: lab X forward and Y up, shifted to the ankles when standing and to the floor. */
export function sideView(record: LiftRecord, standingFrame: number): SideView {
  const { motion } = record.loads;
  const { trajectories } = motion;
  const ankle = motion.joints.mid_ankle;
  const ahead = ankle ? ankle[3 * standingFrame] : Number.NaN;
  const originX = Number.isFinite(ahead) ? ahead : 0;
  const originY = trajectories.floorHeightM;
  const at = (series: Float64Array, index: number): Point => [series[index] - originX, series[index + 1] - originY];
  return {
    floor: 0,
    of: (series, frame) => (series ? at(series, 3 * frame) : UNKNOWN),
    joint: (name, frame) => {
      const series = motion.joints[name];
      return series ? at(series, 3 * frame) : UNKNOWN;
    },
    landmark: (name, frame) => {
      const index = trajectories.landmarks.indexOf(name);
      if (index < 0) return UNKNOWN;
      return at(trajectories.position, 3 * (frame * trajectories.landmarks.length + index));
    },
  };
}

export function partsAt(
  record: LiftRecord,
  frame: number,
  view: SideView,
): (readonly [part: string, chain: Point[]])[] {
  const hip = view.joint('mid_hip', frame);
  const shoulder = view.joint('mid_shoulder', frame);
  const mass = view.of(record.loads.centreOfMass, frame);
  const parts: (readonly [string, Point[]])[] = [];
  for (const [nearness, side] of [
    ['far', 'left'],
    ['near', 'right'],
  ] as const) {
    const heel = view.landmark(`${side}_heel`, frame);
    const toe = view.landmark(`${side}_big_toe`, frame);
    const ankle = view.joint(`${side}_ankle`, frame);
    parts.push([`${nearness} leg`, [view.joint(`${side}_hip`, frame), view.joint(`${side}_knee`, frame), ankle]]);
    const footKnown = [heel, toe, ankle].every(([x]) => Number.isFinite(x));
    if (footKnown) parts.push([`${nearness} foot`, [ankle, heel, toe, ankle]]);
    parts.push([
      `${nearness} arm`,
      (['shoulder', 'elbow', 'wrist', 'hand'] as const).map((joint) => view.landmark(`${side}_${joint}`, frame)),
    ]);
  }
  parts.push(['foot on the floor', footSpan(view, frame)]);
  parts.push(['trunk', [hip, shoulder]]);
  const head = headCentre(view, frame);
  parts.push(['neck', [shoulder, head]]);
  parts.push(['head', [head]]);
  parts.push(['bar', [view.of(record.loads.motion.barbell?.centre, frame)]]);
  parts.push(['centre of mass', [mass, [mass[0], Number.isFinite(mass[0]) ? view.floor : Number.NaN]]]);
  return parts.map(([part, chain]) => [part, trimmed(chain)] as const).filter(([, chain]) => chain.length > 0);
}

/** Unknown points at the ends of a chain are dropped; inside it they stay and break the line. */
function trimmed(chain: Point[]): Point[] {
  const known = ([x, y]: Point) => Number.isFinite(x) && Number.isFinite(y);
  return chain.slice(
    chain.findIndex(known) < 0 ? chain.length : chain.findIndex(known),
    chain.findLastIndex(known) + 1,
  );
}

/** Where heels and toes stand on the floor, left and right averaged: the stretch the mass has to stay over. */
function footSpan(view: SideView, frame: number): Point[] {
  const mean = (part: 'heel' | 'big_toe') =>
    (view.landmark(`left_${part}`, frame)[0] + view.landmark(`right_${part}`, frame)[0]) / 2;
  const [heel, toe] = [mean('heel'), mean('big_toe')];
  return Number.isFinite(heel + toe)
    ? [
        [heel, view.floor],
        [toe, view.floor],
      ]
    : [];
}

/** Mid-point of the ears, else the landmark `head`, else the nose. */
function headCentre(view: SideView, frame: number): Point {
  const left = view.landmark('left_ear', frame);
  const right = view.landmark('right_ear', frame);
  const ears: Point = [(left[0] + right[0]) / 2, (left[1] + right[1]) / 2];
  return (
    [ears, left, right, view.landmark('head', frame), view.landmark('nose', frame)].find(([x]) => Number.isFinite(x)) ??
    UNKNOWN
  );
}

function barPath(record: LiftRecord, repetition: Repetition, view: SideView): Point[] {
  const bar = record.loads.motion.barbell;
  const phases = [repetition.descent, repetition.ascent].filter((phase) => phase !== null);
  if (!bar || phases.length === 0) return [];
  const from = Math.min(...phases.map((phase) => phase.from));
  const to = Math.max(...phases.map((phase) => phase.to));
  return trimmed(Array.from({ length: to - from }, (_, i) => view.of(bar.centre, from + i)));
}
