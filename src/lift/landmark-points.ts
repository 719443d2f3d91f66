import type { BodyMotion, JointName } from '../body/body-motion.ts';
import { along, type PointSeries, pointSeries } from '../body/point-series.ts';
import type { Landmark } from '../capture/landmarks.ts';
import { markEdgesInto } from '../reconstruction/edge-frames.ts';

/** A joint or a mid-joint as the body stage knows it. */
export type PointName = keyof BodyMotion['joints'];

/** Landmarks a point is made of, for `needs …`. */
export const LANDMARKS_OF: Readonly<Record<PointName, readonly Landmark[]>> = {
  left_hip: ['left_hip'],
  right_hip: ['right_hip'],
  left_knee: ['left_knee'],
  right_knee: ['right_knee'],
  left_ankle: ['left_ankle'],
  right_ankle: ['right_ankle'],
  left_shoulder: ['left_shoulder'],
  right_shoulder: ['right_shoulder'],
  left_elbow: ['left_elbow'],
  right_elbow: ['right_elbow'],
  mid_hip: ['left_hip', 'right_hip'],
  mid_knee: ['left_knee', 'right_knee'],
  mid_ankle: ['left_ankle', 'right_ankle'],
  mid_shoulder: ['left_shoulder', 'right_shoulder'],
};

/**
 * Joint centre over time, `3 * frame`, metres; null where it is not known. A mid-point the body stage does not give is
 * taken midway between left and right.
 */
export function jointPoint(motion: BodyMotion, name: PointName): PointSeries | null {
  const given = motion.joints[name];
  if (given) return given;
  if (!name.startsWith('mid_') || name === 'mid_shoulder') return null;
  const part = name.slice(4);
  const left = motion.joints[`left_${part}` as JointName];
  const right = motion.joints[`right_${part}` as JointName];
  return left && right ? along(left, right, 0.5) : null;
}

/** Tracked landmark over time, `3 * frame`, metres; null where it is not among the trajectories or never known. */
export function landmarkPoint(motion: BodyMotion, name: Landmark): PointSeries | null {
  return pointSeries(motion.trajectories, name);
}

/**
 * The same before limbs and resting feet were fitted: a fitted foot rests where a heel rises by a few millimetres, and
 * fitted hips and shoulders follow their limbs.
 */
export function freeLandmarkPoint(motion: BodyMotion, name: Landmark): PointSeries | null {
  const { trajectories } = motion;
  const { beforeFit } = trajectories;
  return pointSeries(beforeFit ? { ...trajectories, position: beforeFit } : trajectories, name);
}

/** The points of one recording, each made once. */
export interface LiftPoints {
  joint(name: PointName): PointSeries | null;
  landmark(name: Landmark): PointSeries | null;
  freeLandmark(name: Landmark): PointSeries | null;
}

export function liftPoints(motion: BodyMotion): LiftPoints {
  const joints = new Map<PointName, PointSeries | null>();
  const landmarks = new Map<Landmark, PointSeries | null>();
  const free = new Map<Landmark, PointSeries | null>();
  return {
    joint: (name) => onceFor(joints, name, () => jointPoint(motion, name)),
    landmark: (name) => onceFor(landmarks, name, () => landmarkPoint(motion, name)),
    freeLandmark: (name) => onceFor(free, name, () => freeLandmarkPoint(motion, name)),
  };
}

function onceFor<K, V>(made: Map<K, V>, key: K, make: () => V): V {
  const known = made.get(key);
  if (known !== undefined) return known;
  const value = make();
  made.set(key, value);
  return value;
}

/** Landmarks of `wanted` that are never known in this recording. */
export function absentLandmarks(points: Pick<LiftPoints, 'landmark'>, wanted: readonly Landmark[]): Landmark[] {
  return wanted.filter((name) => points.landmark(name) === null);
}

/**
 * 1 where a frame lies within one filter memory of the end of a tracked stretch of a shoulder, hip, knee or ankle: shown,
 * kept out of curves and measures. The first and the last frame always are: no second difference exists there.
 */
export function edgeFrames(motion: BodyMotion): Uint8Array {
  const { frames } = motion.trajectories;
  const out = new Uint8Array(frames);
  markEdgesInto(out, motion.trajectories);
  if (frames > 0) {
    out[0] = 1;
    out[frames - 1] = 1;
  }
  return out;
}
