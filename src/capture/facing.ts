import type { Landmark } from './landmarks.ts';

/**
 * Where a lifter faces, from the points alone, in a frame with Y up and any heading. Three kinds of evidence, the first
 * that is there: feet (heel to toe, both sides), knees ahead of the ankles when most flexed, nose ahead of the ears. Where
 * knees and nose disagree nothing is said.
 */
export interface Facing {
  /** Horizontal unit vector (x, z). */
  readonly x: number;
  readonly z: number;
  readonly evidence: 'feet' | 'knees' | 'nose';
}

/** Least horizontal distance, metres, that counts as pointing somewhere (common practice, no source). */
const LEAST_KNEE_LEAD_M = 0.08;
const LEAST_NOSE_LEAD_M = 0.04;
const LEAST_FOOT_M = 0.05;
/** Share of the frames, lowest hips first, that counts as most flexed (common practice, no source). */
const FLEXED_SHARE = 0.1;

/** Median of the finite values; NaN where there is none. */
export function finiteMedian(values: Iterable<number>): number {
  const sorted = Float64Array.from([...values].filter(Number.isFinite)).sort();
  if (sorted.length === 0) return Number.NaN;
  const half = sorted.length >> 1;
  return sorted.length % 2 === 1 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}

/** Coordinates of points by name; `3 * (frame * landmarks.length + landmark)`. */
export class NamedPoints {
  readonly landmarks: readonly Landmark[];
  readonly position: Float64Array;
  readonly frames: number;

  constructor(landmarks: readonly Landmark[], position: Float64Array, frames: number) {
    this.landmarks = landmarks;
    this.position = position;
    this.frames = frames;
  }

  has(...names: readonly Landmark[]): boolean {
    return names.every((name) => this.landmarks.includes(name));
  }

  /** Coordinate `axis` (0 x, 1 y, 2 z) of the mean of the named points in every frame; NaN where one is missing. */
  series(axis: 0 | 1 | 2, ...names: readonly Landmark[]): Float64Array {
    const out = new Float64Array(this.frames);
    for (const name of names) {
      const column = this.landmarks.indexOf(name);
      for (let frame = 0; frame < this.frames; frame++) {
        const at = 3 * (frame * this.landmarks.length + column) + axis;
        out[frame] += column < 0 ? Number.NaN : this.position[at] / names.length;
      }
    }
    return out;
  }

  /** `to − from` along one axis in every frame. */
  difference(axis: 0 | 1 | 2, to: readonly Landmark[], from: readonly Landmark[]): Float64Array {
    const end = this.series(axis, ...to);
    const start = this.series(axis, ...from);
    return end.map((value, frame) => value - start[frame]);
  }
}

/** The lifter's facing, or null where the points give no evidence. */
export function facingOf(points: NamedPoints): Facing | null {
  const feet = facingOfFeet(points);
  if (feet) return feet;
  const knees = lead(points, ['left_knee', 'right_knee'], ['left_ankle', 'right_ankle'], LEAST_KNEE_LEAD_M, 'knees');
  const nose = lead(points, ['nose'], ['left_ear', 'right_ear'], LEAST_NOSE_LEAD_M, 'nose');
  if (knees && nose) return knees.x * nose.x + knees.z * nose.z > 0 ? knees : null;
  return knees ?? nose;
}

function facingOfFeet(points: NamedPoints): Facing | null {
  let x = 0;
  let z = 0;
  let feet = 0;
  for (const side of ['left', 'right'] as const) {
    const toes = ([`${side}_big_toe`, `${side}_small_toe`] as const).filter((name) => points.has(name));
    if (toes.length === 0 || !points.has(`${side}_heel`)) continue;
    const forward = medianDirection(points, toes, [`${side}_heel`], null);
    if (!(Math.hypot(forward.x, forward.z) >= LEAST_FOOT_M)) continue;
    x += forward.x;
    z += forward.z;
    feet++;
  }
  // One foot alone may be turned out, but never by the 90 degrees that would change the verdict.
  return feet === 0 ? null : unit(x, z, LEAST_FOOT_M, 'feet');
}

function lead(
  points: NamedPoints,
  to: readonly Landmark[],
  from: readonly Landmark[],
  leastM: number,
  evidence: Facing['evidence'],
): Facing | null {
  if (!points.has(...to, ...from)) return null;
  const flexed = evidence === 'knees' ? flexedFrames(points) : null;
  const { x, z } = medianDirection(points, to, from, flexed);
  return unit(x, z, leastM, evidence);
}

function medianDirection(
  points: NamedPoints,
  to: readonly Landmark[],
  from: readonly Landmark[],
  only: ReadonlySet<number> | null,
): { x: number; z: number } {
  const kept = (values: Float64Array) => values.filter((_, frame) => only === null || only.has(frame));
  return {
    x: finiteMedian(kept(points.difference(0, to, from))),
    z: finiteMedian(kept(points.difference(2, to, from))),
  };
}

/** The tenth of the frames with the lowest hips over the ankles; null (all frames) where hips are not known. */
function flexedFrames(points: NamedPoints): ReadonlySet<number> | null {
  if (!points.has('left_hip', 'right_hip')) return null;
  const height = points.difference(1, ['left_hip', 'right_hip'], ['left_ankle', 'right_ankle']);
  const known = [...height.keys()].filter((frame) => Number.isFinite(height[frame]));
  known.sort((a, b) => height[a] - height[b]);
  return new Set(known.slice(0, Math.max(1, Math.ceil(FLEXED_SHARE * known.length))));
}

function unit(x: number, z: number, leastM: number, evidence: Facing['evidence']): Facing | null {
  const length = Math.hypot(x, z);
  return length >= leastM ? { x: x / length, z: z / length, evidence } : null;
}
