import type { Attitude, AttitudePart } from '../../body/attitude.ts';
import { axisOf, crossed } from '../../body/attitudes/axes.ts';
import { hipLine } from '../../body/attitudes/hip-line.ts';
import type { BodyMotion } from '../../body/body-motion.ts';
import type { MomentAxes } from '../../capture/recording.ts';
import { axesNeedHips, axesNeedPart } from '../../messages/mechanics.ts';

export const SPATIAL_JOINTS = ['hip', 'knee', 'ankle', 'lumbosacral', 'shoulder', 'elbow'] as const;
export type SpatialJoint = (typeof SPATIAL_JOINTS)[number];

/** Axes of flexion, of movement sideways, and of turning, unit vectors, `3 * frame`, lab frame; NaN where not known. */
export interface AxisTriple {
  readonly axes: readonly [flexion: Float64Array, sideways: Float64Array, turning: Float64Array];
  /** Why they are unknown where they are; '' where nothing general can be said. */
  readonly reason: string;
}

interface Neighbours {
  readonly upper: AttitudePart;
  readonly lower: AttitudePart;
}

const LEG: Readonly<Record<'hip' | 'knee' | 'ankle' | 'shoulder' | 'elbow', readonly [string, string]>> = {
  hip: ['pelvis', 'thigh'],
  knee: ['thigh', 'shank'],
  ankle: ['shank', 'foot'],
  shoulder: ['trunk', 'upper_arm'],
  elbow: ['upper_arm', 'forearm'],
};

/** The two parts a joint lies between; `both` only for L5/S1. */
export function neighboursOf(joint: SpatialJoint, side: 'left' | 'right' | 'both'): Neighbours {
  if (joint === 'lumbosacral') return { upper: 'pelvis', lower: 'trunk' };
  const [upper, lower] = LEG[joint];
  const named = (part: string) => (part === 'pelvis' || part === 'trunk' ? part : `${side}_${part}`) as AttitudePart;
  return { upper: named(upper), lower: named(lower) };
}

/**
 * The axes of a joint's moment: flexion Z, sideways X and turning Y of the frame asked for, as far as it is known.
 *
 * 'joint': those of the joint coordinate system (Grood & Suntay 1983; Wu et al. 2002): e1 the medio-lateral axis of the upper
 * part, e3 the long axis of the lower, e2 square to both. 'segment': of the part beyond the joint (thigh, shank, foot, arm,
 * forearm; at L5/S1 the trunk). 'lab': X, Y, Z of the lab.
 */
export function momentAxes(
  motion: BodyMotion,
  axes: MomentAxes,
  joint: SpatialJoint,
  side: 'left' | 'right' | 'both',
): AxisTriple {
  const { frames, attitudes } = motion;
  if (axes === 'lab') {
    const fixed = (k: number) => Float64Array.from({ length: 3 * frames }, (_, i) => (i % 3 === k ? 1 : 0));
    return { axes: [fixed(2), fixed(0), fixed(1)], reason: '' };
  }
  const { upper, lower } = neighboursOf(joint, side);
  const below = attitudes?.[lower];
  if (axes === 'segment') {
    const rotation = below?.labFromPart;
    if (!rotation) return unknownAxes(frames, axesNeedPart(lower));
    return {
      axes: [axisOf(rotation, 2), axisOf(rotation, 0), axisOf(rotation, 1)],
      reason: rotation.some(Number.isNaN) ? below.unknownBecause : '',
    };
  }
  const above = attitudes?.[upper];
  const e1 = mediolateralOf(motion, upper, above);
  const e3 = lower.endsWith('foot') ? uprightOf(below) : longAxisOf(below);
  if (!e1)
    return unknownAxes(frames, upper === 'pelvis' ? axesNeedHips() : (above?.unknownBecause ?? axesNeedPart(upper)));
  if (!e3) return unknownAxes(frames, below?.unknownBecause ?? axesNeedPart(lower));
  const reason = e1.some(Number.isNaN)
    ? (above?.unknownBecause ?? axesNeedHips())
    : e3.some(Number.isNaN)
      ? (below?.unknownBecause ?? '')
      : '';
  return { axes: [e1, unit(crossed(e3, e1)), e3], reason };
}

/** Z of a part; of a pelvis without markers, the line from hip to hip, which is all of it that e1 needs. */
function mediolateralOf(motion: BodyMotion, part: AttitudePart, attitude: Attitude | undefined): Float64Array | null {
  if (part === 'pelvis' && (!attitude || attitude.labFromPart.every(Number.isNaN))) return hipLine(motion.joints);
  return attitude ? axisOf(attitude.labFromPart, 2) : null;
}

function longAxisOf(attitude: Attitude | undefined): Float64Array | null {
  return attitude ? (attitude.longAxis ?? axisOf(attitude.labFromPart, 1)) : null;
}

/** A foot's Y stands up from the sole. */
function uprightOf(attitude: Attitude | undefined): Float64Array | null {
  return attitude ? axisOf(attitude.labFromPart, 1) : null;
}

function unit(v: Float64Array): Float64Array {
  const out = new Float64Array(v.length);
  for (let i = 0; i < v.length; i += 3) {
    const scale = 1 / Math.hypot(v[i], v[i + 1], v[i + 2]);
    for (let k = i; k < i + 3; k++) out[k] = v[k] * scale;
  }
  return out;
}

function unknownAxes(frames: number, reason: string): AxisTriple {
  const unknown = new Float64Array(3 * frames).fill(Number.NaN);
  return { axes: [unknown, unknown, unknown], reason };
}
