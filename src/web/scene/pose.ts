import type { ScenePayload } from './payload.ts';

/** Points that are made of others, each frame anew. */
const DERIVED = [
  'middle_of_hips',
  'middle_of_knees',
  'middle_of_shoulders',
  'head_centre',
  'bar_left',
  'bar_right',
  'left_midfoot',
  'right_midfoot',
] as const;

/**
 * The lifter at one moment. Positions lie in one array, `3 * slot`, metres; a slot that is not known holds NaN. Slots are
 * looked up once, by `slot`; moving to another frame allocates nothing.
 */
export interface Pose {
  readonly at: Float64Array;
  /** −1 where the recording has no such point. */
  slot(name: string): number;
  known(slot: number): boolean;
  /** Goes to a frame; between two frames points are taken on the straight line from one to the other. */
  moveTo(frame: number): void;
}

/** `shift`: metres added to x, y, z, for instance so that two lifters stand on the same spot. */
export function poseOf(payload: ScenePayload, shift: readonly [number, number, number] = [0, 0, 0]): Pose {
  const { points, position, frames } = payload;
  const count = points.length;
  const names = [...points, ...DERIVED];
  const slots = new Map(names.map((name, i) => [name, i]));
  const at = new Float64Array(3 * names.length).fill(Number.NaN);
  const slot = (name: string) => slots.get(name) ?? -1;
  const derive = derivation(payload, at, slot);

  const moveTo = (frame: number): void => {
    const f = Math.max(0, Math.min(frames - 1, frame));
    const i = Math.floor(f);
    const share = f - i;
    const here = 3 * count * i;
    const next = share === 0 ? here : here + 3 * count;
    for (let k = 0; k < 3 * count; k++) {
      at[k] = position[here + k] + share * (position[next + k] - position[here + k]) + shift[k % 3];
    }
    derive();
  };
  return { at, slot, known: (s) => s >= 0 && !Number.isNaN(at[3 * s]), moveTo };
}

function derivation(payload: ScenePayload, at: Float64Array, slot: (name: string) => number): () => void {
  const midway = (out: string, a: string, b: string) => {
    const [o, i, j] = [slot(out), slot(a), slot(b)];
    return () => {
      for (let k = 0; k < 3; k++) at[3 * o + k] = i < 0 || j < 0 ? Number.NaN : (at[3 * i + k] + at[3 * j + k]) / 2;
    };
  };
  const steps = [
    midway('middle_of_hips', 'left_hip', 'right_hip'),
    midway('middle_of_knees', 'left_knee', 'right_knee'),
    midway('middle_of_shoulders', 'left_shoulder', 'right_shoulder'),
    midway('left_midfoot', 'left_heel', 'left_big_toe'),
    midway('right_midfoot', 'right_heel', 'right_big_toe'),
    midway('head_centre', 'left_ear', 'right_ear'),
    firstKnown('head_centre', ['head_centre', 'left_ear', 'right_ear', 'head', 'nose'], at, slot),
    barEnds(payload, at, slot),
  ];
  return () => {
    for (const step of steps) step();
  };
}

/** The first of several points that is known in this frame. */
function firstKnown(out: string, names: readonly string[], at: Float64Array, slot: (name: string) => number) {
  const o = 3 * slot(out);
  const from = names.map(slot).filter((s) => s >= 0);
  return () => {
    for (const s of from) {
      if (Number.isNaN(at[3 * s])) continue;
      for (let k = 0; k < 3; k++) at[o + k] = at[3 * s + k];
      return;
    }
  };
}

/**
 * Ends of the bar at its true length about its middle: along the tracked ends, else along the line of the shoulders, else
 * sideways.
 */
function barEnds({ bar }: ScenePayload, at: Float64Array, slot: (name: string) => number) {
  const [middle, left, right] = [slot('bar'), slot('bar_left'), slot('bar_right')];
  const [a, b] = bar?.tracked
    ? [slot('bar_left_end'), slot('bar_right_end')]
    : [slot('left_shoulder'), slot('right_shoulder')];
  const half = (bar?.lengthM ?? Number.NaN) / 2;
  return () => {
    if (middle < 0) return;
    let x = 0;
    let y = 0;
    let z = 1;
    if (a >= 0 && b >= 0 && !Number.isNaN(at[3 * a] + at[3 * b])) {
      x = at[3 * b] - at[3 * a];
      y = at[3 * b + 1] - at[3 * a + 1];
      z = at[3 * b + 2] - at[3 * a + 2];
    }
    const scale = half / Math.sqrt(x * x + y * y + z * z);
    at[3 * left] = at[3 * middle] - scale * x;
    at[3 * left + 1] = at[3 * middle + 1] - scale * y;
    at[3 * left + 2] = at[3 * middle + 2] - scale * z;
    at[3 * right] = at[3 * middle] + scale * x;
    at[3 * right + 1] = at[3 * middle + 1] + scale * y;
    at[3 * right + 2] = at[3 * middle + 2] + scale * z;
  };
}

/**
 * Where the lifter stands at a frame: mean of the middles of the known feet, else of the known ankles; floor plane, metres,
 * [x, z]. Null where no foot is known there.
 */
export function standingPlace(payload: ScenePayload, frame: number): [x: number, z: number] | null {
  const pose = poseOf(payload);
  pose.moveTo(frame);
  for (const names of [
    ['left_midfoot', 'right_midfoot'],
    ['left_ankle', 'right_ankle'],
  ]) {
    const known = names.map(pose.slot).filter((s) => pose.known(s));
    if (known.length === 0) continue;
    const mean = (axis: number) => known.reduce((sum, s) => sum + pose.at[3 * s + axis], 0) / known.length;
    return [mean(0), mean(2)];
  }
  return null;
}
