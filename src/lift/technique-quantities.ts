import { along, type PointSeries } from '../body/point-series.ts';
import type { Landmark } from '../capture/landmarks.ts';
import type { JointLoads } from '../mechanics/joint-loads.ts';
import { barIsPlaced, needsBar, needsLandmarks } from '../messages.ts';
import { backBend, distance, footInclination, frontSlope, headTilt, outwardOfFoot } from './angles.ts';
import { absentLandmarks, type LiftPoints } from './landmark-points.ts';
import type { FrameQuantity } from './lift-record.ts';
import { perFrame } from './per-frame.ts';

const FEET = ['left_heel', 'right_heel', 'left_big_toe', 'right_big_toe'] as const;
const EARS = ['left_ear', 'right_ear'] as const;
const EYES = ['left_eye', 'right_eye'] as const;
const HIPS = ['left_hip', 'right_hip'] as const;
const ANKLES = ['left_ankle', 'right_ankle'] as const;
const SHOULDERS = ['left_shoulder', 'right_shoulder'] as const;

/**
 * How the lifter holds head, trunk, hips, knees and feet: what technique measures are read from. Angles in degrees, lengths in
 * metres; definitions and signs: src/study/technique-definitions.ts. posture: angles already known. Values and reasons are made when
 * they are first read.
 */
export function techniqueQuantities(
  loads: JointLoads,
  points: LiftPoints,
  posture: readonly FrameQuantity[],
): FrameQuantity[] {
  const { landmark, joint } = points;
  const { frames } = loads;
  const angle = (name: string, side: 'left' | 'right') =>
    posture.find((found) => found.quantity === name && found.side === side)!.values;

  const unlessAbsent = (needs: readonly Landmark[], make: () => Float64Array): Made => {
    const absent = absentLandmarks(points, needs);
    return absent.length > 0 ? needsLandmarks(absent) : make();
  };
  const whole = (quantity: string, unit: string, needs: readonly Landmark[], make: () => Float64Array) =>
    whenRead(frames, { quantity, unit, side: null }, () => unlessAbsent(needs, make));
  /** `both` = mean of left and right, left, right. */
  const eachLeg = (
    quantity: string,
    unit: string,
    parts: readonly ('knee' | 'ankle' | 'heel' | 'big_toe')[],
    make: (side: 'left' | 'right') => Float64Array,
  ): FrameQuantity[] => {
    const needs = (side: 'left' | 'right') => parts.map((part) => `${side}_${part}` as const);
    const [left, right] = (['left', 'right'] as const).map((side) =>
      whenRead(frames, { quantity, unit, side }, () => unlessAbsent(needs(side), () => make(side))),
    );
    const both = whenRead(frames, { quantity, unit, side: 'both' }, () =>
      unlessAbsent([...needs('left'), ...needs('right')], () =>
        perFrame(frames, (f) => (left.values[f] + right.values[f]) / 2),
      ),
    );
    return [both, left, right];
  };
  const free = (name: Landmark) => points.freeLandmark(name)!;
  const freeHeight = (name: Landmark) => heightOf(free(name), loads.motion.trajectories.floorHeightM);

  return [
    whole('head_tilt', 'deg', [...EARS, ...EYES], () =>
      headTilt(midway(EARS.map((name) => landmark(name)!)), midway(EYES.map((name) => landmark(name)!))),
    ),
    whenRead(frames, { quantity: 'bar_over_midfoot', unit: 'm', side: null }, () => {
      const { barbell } = loads.motion;
      if (barbell === null) return needsBar();
      if (barbell.placedBy !== null) return barIsPlaced(barbell.placedBy);
      return unlessAbsent(FEET, () =>
        aheadOfFeet(
          barbell.centre,
          FEET.map((name) => landmark(name)!),
        ),
      );
    }),
    ...eachLeg('shank_to_foot', 'deg', ['ankle', 'knee', 'heel', 'big_toe'], (side) => {
      // A fitted foot rests while its heel or toe lifts by a few millimetres, which tip it by a degree or two.
      const foot = footInclination(free(`${side}_heel`), free(`${side}_big_toe`));
      const shank = angle('shank_inclination', side);
      return perFrame(frames, (f) => shank[f] - foot[f]);
    }),
    ...eachLeg('knee_x', 'm', ['knee'], (side) => forward(joint(`${side}_knee`)!)),
    ...eachLeg('knee_track', 'm', ['knee', 'heel', 'big_toe'], (side) =>
      outwardOfFoot(joint(`${side}_knee`)!, landmark(`${side}_heel`)!, landmark(`${side}_big_toe`)!, side),
    ),
    ...eachLeg('heel_height', 'm', ['heel'], (side) => freeHeight(`${side}_heel`)),
    ...eachLeg('big_toe_height', 'm', ['big_toe'], (side) => freeHeight(`${side}_big_toe`)),
    whole('hip_shift', 'm', [...HIPS, ...ANKLES], () => toTheRight(joint('mid_hip')!, joint('mid_ankle')!)),
    whole('trunk_chord', 'm', [...HIPS, ...SHOULDERS], () =>
      distance(midFree(points, HIPS), midFree(points, SHOULDERS)),
    ),
    whole('trunk_bend', 'deg', [...HIPS, 'mid_back', 'neck_base'], () =>
      backBend(midFree(points, HIPS), landmark('mid_back')!, landmark('neck_base')!),
    ),
    whole('hips_tilt', 'deg', HIPS, () => frontSlope(joint('left_hip')!, joint('right_hip')!)),
    whole('shoulders_tilt', 'deg', SHOULDERS, () =>
      frontSlope(landmark('left_shoulder')!, landmark('right_shoulder')!),
    ),
  ];
}

/** Values a frame, or why they are unknown throughout. */
type Made = Float64Array | string;

/** A quantity made once, when its values or reason are first asked for. */
function whenRead(
  frames: number,
  name: Pick<FrameQuantity, 'quantity' | 'unit' | 'side'>,
  make: () => Made,
): FrameQuantity {
  let values: Float64Array | null = null;
  let reason: string | undefined;
  const made = (): Float64Array => {
    if (values) return values;
    const found = make();
    if (typeof found === 'string') reason = found;
    values = typeof found === 'string' ? new Float64Array(frames).fill(Number.NaN) : found;
    return values;
  };
  return {
    ...name,
    get values() {
      return made();
    },
    get reason() {
      made();
      return reason;
    },
  };
}

function midway([a, b]: readonly PointSeries[]): PointSeries {
  return along(a, b, 0.5);
}

/** Midway between two points as they were before limbs were fitted: fitted hips and shoulders follow their limbs. */
function midFree({ freeLandmark }: LiftPoints, pair: readonly Landmark[]): PointSeries {
  return midway(pair.map((name) => freeLandmark(name)!));
}

function heightOf(point: PointSeries, floorM: number): Float64Array {
  return perFrame(point.length / 3, (f) => point[3 * f + 1] - floorM);
}

function forward(point: PointSeries): Float64Array {
  return perFrame(point.length / 3, (f) => point[3 * f]);
}

function toTheRight(point: PointSeries, of: PointSeries): Float64Array {
  return perFrame(point.length / 3, (f) => point[3 * f + 2] - of[3 * f + 2]);
}

/** How far a point is ahead of the mean of the feet's points, heels and toes. */
function aheadOfFeet(point: Float64Array, [a, b, c, d]: readonly PointSeries[]): Float64Array {
  return perFrame(point.length / 3, (f) => {
    const i = 3 * f;
    return point[i] - (a[i] + b[i] + c[i] + d[i]) / 4;
  });
}
