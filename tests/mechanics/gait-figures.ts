import type { BodyMotion } from '../../src/body/body-motion.ts';
import { jointAngles } from '../../src/body/joint-angles/joint-angles.ts';
import type { MomentAxes } from '../../src/capture/recording.ts';
import { kneeFlexion } from '../../src/lift/angles.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { LOADED_JOINTS } from '../../src/mechanics/loaded-joints.ts';
import { legPowers } from '../../src/mechanics/power/leg-powers.ts';
import { type SpatialMoment, spatialMoments } from '../../src/mechanics/spatial/spatial-moments.ts';
import type { Wrench } from '../../src/mechanics/wrench.ts';
import { legCuts, type Steps, SUPPORT } from './gait-walk.ts';
import { NO_TURN } from './made-motion.ts';

const DEGREES = 180 / Math.PI;
const SIDES = ['left', 'right'] as const;
type Side = (typeof SIDES)[number];

/** Curves of one leg, one value a frame: moments N·m/kg, powers W/kg, angles in degrees. */
export type LegCurves = Readonly<Record<string, Float64Array>>;

/**
 * Moments and powers where they are known: the whole ground reaction under the only foot on the floor, nothing under the
 * other. Moments internal, extensor (plantarflexor) positive; `_abductor_moment` positive outward; angles as in src/body/joint-angles.
 */
export function legCurves(
  motion: BodyMotion,
  ground: Wrench,
  support: Uint8Array,
  axes: MomentAxes = 'joint',
): Record<Side, LegCurves> {
  const cuts = legCuts(motion, ground, support);
  const moments = spatialMoments(jointLoads(motion, [], NO_TURN), axes, cuts);
  const angles = jointAngles(motion);
  const perKg = (x: Float64Array, sign = 1) => x.map((value) => (sign * value) / motion.bodyMassKg);
  const degrees = (x: Float64Array) => x.map((value) => DEGREES * value);
  const of = (side: Side): LegCurves => {
    const at = (joint: string): SpatialMoment => moments.find((found) => found.joint === joint && found.side === side)!;
    const powers = legPowers(motion, cuts[side], side);
    const curves: Record<string, Float64Array> = {};
    for (const joint of LOADED_JOINTS) {
      const [extension, sideways, turning] = at(joint).components;
      curves[`${joint}_moment`] = perKg(extension);
      curves[`${joint}_abductor_moment`] = perKg(sideways, -1);
      curves[`${joint}_inward_moment`] = perKg(turning);
      curves[`${joint}_power`] = perKg(powers.joints[joint]);
    }
    const { joints } = motion;
    curves.knee_flexion = kneeFlexion(joints[`${side}_hip`]!, joints[`${side}_knee`]!, joints[`${side}_ankle`]!);
    for (const name of ['hip_flexion', 'hip_adduction', 'knee_adduction', 'ankle_dorsiflexion'] as const)
      curves[name] = degrees(angles[`${name}/${side}`].radians);
    return curves;
  };
  return { left: of('left'), right: of('right') };
}

/** One stride of a leg: frames of its two heel strikes, and of its toe-off between them. */
export interface Stride {
  readonly side: Side;
  readonly start: number;
  readonly off: number;
  readonly end: number;
}

/** Strides in time: from each heel strike to the next of the same foot. */
export function stridesOf(steps: Readonly<Record<Side, Steps>>): Stride[] {
  return SIDES.flatMap((side) =>
    steps[side].strikes.slice(0, -1).flatMap((start, k) => {
      const end = steps[side].strikes[k + 1];
      const off = steps[side].offs.find((f) => f > start && f < end);
      return off === undefined ? [] : [{ side, start, off, end }];
    }),
  );
}

export type Part = 'stance' | 'early stance' | 'swing' | 'stride';

/** Value and place of an extremum. */
export interface Extremum {
  readonly value: number;
  /** Per cent of the stride. */
  readonly atPct: number;
}

/**
 * Largest or smallest value (or the range) of a curve in a part of a stride, and where in the stride it is. Stance: its single
 * support, less `marginFrames` at either end, where the smoothed ground reaction still holds some of the other foot's. Early
 * stance: the first third of the stride.
 */
export function extremumOf(
  curve: Float64Array,
  support: Uint8Array,
  { side, start, end }: Stride,
  part: Part,
  kind: 'max' | 'min' | 'range',
  marginFrames: number,
): Extremum {
  const alone = SUPPORT[side];
  const isIn = (f: number) => {
    if (part === 'stride') return true;
    if (part === 'early stance') return f - start < (end - start) / 3;
    const code = part === 'stance' ? alone : SUPPORT[side === 'left' ? 'right' : 'left'];
    for (let k = f - marginFrames; k <= f + marginFrames; k++) if (support[k] !== code) return false;
    return true;
  };
  let max = Number.NEGATIVE_INFINITY;
  let min = Number.POSITIVE_INFINITY;
  let at = { max: start, min: start };
  for (let f = start; f < end; f++) {
    if (!isIn(f) || Number.isNaN(curve[f])) continue;
    if (curve[f] > max) {
      max = curve[f];
      at = { ...at, max: f };
    }
    if (curve[f] < min) {
      min = curve[f];
      at = { ...at, min: f };
    }
  }
  const percent = (f: number) => (100 * (f - start)) / (end - start);
  if (kind === 'range') return { value: max - min, atPct: percent(at.max) };
  return { value: kind === 'max' ? max : min, atPct: percent(at[kind]) };
}

/** Speed of the pelvis over a stride, m/s. */
export function speedOf(motion: BodyMotion, { start, end }: Stride): number {
  const hips = motion.joints.mid_hip!;
  const [x, z] = [0, 2].map((axis) => hips[3 * end + axis] - hips[3 * start + axis]);
  return (Math.hypot(x, z) * motion.frameRateHz) / (end - start);
}

/** A published range that a figure is held against. */
export interface PublishedRange {
  readonly name: string;
  readonly quantity: string;
  readonly of: Part;
  readonly extremum: 'max' | 'min' | 'range';
  readonly low: number;
  readonly high: number;
  readonly unit: string;
  readonly fromPct: number;
  readonly toPct: number;
  readonly provenance: string;
}
