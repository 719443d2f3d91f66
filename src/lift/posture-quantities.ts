import { along, type PointSeries } from '../body/point-series.ts';
import type { Landmark } from '../capture/landmarks.ts';
import type { JointLoads } from '../mechanics/joint-loads.ts';
import { needsBar, needsForcePlates, needsLandmarks, needsUpperBody } from '../messages.ts';
import { fivePointDifference } from '../numerics/differences.ts';
import { footInclination, kneeFlexion, sagittalInclination, thighElevation } from './angles.ts';
import { absentLandmarks, LANDMARKS_OF, type LiftPoints, type PointName } from './landmark-points.ts';
import type { FrameQuantity, Side } from './lift-record.ts';
import { perFrame } from './per-frame.ts';

const LEGS = ['left', 'right'] as const;

/** Where the body, the bar and the forces on the floor are: angles in degrees, lengths in metres, forces in newtons. */
export function postureQuantities(loads: JointLoads, points: LiftPoints): FrameQuantity[] {
  return [...angles(loads, points), ...overTheFoot(loads, points), ...bodyAndBar(loads, points), ...floorForces(loads)];
}

function angles(loads: JointLoads, points: LiftPoints): FrameQuantity[] {
  const legAngle = (
    quantity: string,
    parts: readonly ('hip' | 'knee' | 'ankle')[],
    angle: (...points: PointSeries[]) => Float64Array,
  ) => leftRightBoth(loads, quantity, 'deg', (side) => parts.map((part) => joint(points, `${side}_${part}`)), angle);
  return [
    single(loads, 'trunk_lean', 'deg', [joint(points, 'mid_hip'), joint(points, 'mid_shoulder')], sagittalInclination),
    ...legAngle('thigh_elevation', ['hip', 'knee'], thighElevation),
    ...legAngle('shank_inclination', ['ankle', 'knee'], sagittalInclination),
    ...legAngle('knee_flexion', ['hip', 'knee', 'ankle'], kneeFlexion),
    ...leftRightBoth(
      loads,
      'foot_inclination',
      'deg',
      (side) => [landmark(points, `${side}_heel`), landmark(points, `${side}_big_toe`)],
      footInclination,
    ),
  ];
}

/** Knee over toe, and where the centres of mass and pressure lie along the foot (0 heel, 1 tip of the big toe). */
function overTheFoot(loads: JointLoads, points: LiftPoints): FrameQuantity[] {
  const feet = ['left_heel', 'right_heel', 'left_big_toe', 'right_big_toe'] as const;
  const absent = absentLandmarks(points, feet);
  const [leftHeel, rightHeel, leftToe, rightToe] = feet.map((name) => points.landmark(name));
  const heel = leftHeel && rightHeel ? along(leftHeel, rightHeel, 0.5) : null;
  const toe = leftToe && rightToe ? along(leftToe, rightToe, 0.5) : null;
  const alongFoot = (quantity: string, point: Float64Array | null, needs: string): FrameQuantity => ({
    quantity,
    side: null,
    unit: '',
    values: point && heel && toe ? shareAlong(heel, toe, point) : unknown(loads),
    reason: point ? (absent.length > 0 ? needsLandmarks(absent) : undefined) : needs,
  });
  return [
    ...leftRightBoth(
      loads,
      'knee_over_toe',
      'm',
      (side) => [joint(points, `${side}_knee`), landmark(points, `${side}_big_toe`)],
      (knee, tip) => perFrame(loads.frames, (f) => knee[3 * f] - tip[3 * f]),
    ),
    alongFoot('com_along_foot', loads.centreOfMass, needsUpperBody()),
    alongFoot('cop_along_foot', loads.centreOfPressure, needsUpperBody()),
    alongFoot('measured_cop_along_foot', loads.measuredCentreOfPressure, needsForcePlates()),
  ];
}

function bodyAndBar(loads: JointLoads, points: LiftPoints): FrameQuantity[] {
  const { motion } = loads;
  const hip = joint(points, 'mid_hip');
  const hipHeight = single(loads, 'hip_height', 'm', [hip], (point) =>
    coordinate(point, 1, -motion.trajectories.floorHeightM),
  );
  const bar = motion.barbell?.centre ?? null;
  const barX = column('bar_x', 'm', bar ? coordinate(bar, 0) : unknown(loads), bar ? undefined : needsBar());
  const barY = column('bar_y', 'm', bar ? coordinate(bar, 1) : unknown(loads), bar ? undefined : needsBar());
  return [
    ...vector(loads, 'com', 'm', loads.centreOfMass, needsUpperBody()),
    ...vector(loads, 'body_com', 'm', loads.bodyCentreOfMass, needsUpperBody()),
    hipHeight,
    column(
      'hip_velocity_y',
      'm_per_s',
      velocityOfPair(loads, 'left_hip', 'right_hip', hipHeight.values),
      hipHeight.reason,
    ),
    barX,
    barY,
    column(
      'bar_velocity_y',
      'm_per_s',
      motion.barbell?.placedBy === null
        ? velocityOfPair(loads, 'bar_left_end', 'bar_right_end', barY.values)
        : velocity(loads, barY.values),
      barY.reason,
    ),
  ];
}

/** ground_force, cop: predicted from the motion of body and bar; measured_…: of all force plates together. */
function floorForces(loads: JointLoads): FrameQuantity[] {
  const onFloor = (quantity: string, point: Float64Array | null, needs: string) =>
    vector(loads, quantity, 'm', point, needs).filter((found) => !found.quantity.endsWith('_y'));
  return [
    ...vector(loads, 'ground_force', 'n', loads.groundForce, needsUpperBody()),
    ...onFloor('cop', loads.centreOfPressure, needsUpperBody()),
    ...vector(loads, 'measured_force', 'n', loads.measuredForce, needsForcePlates()),
    ...onFloor('measured_cop', loads.measuredCentreOfPressure, needsForcePlates()),
  ];
}

interface NamedPoint {
  readonly landmarks: readonly Landmark[];
  readonly series: PointSeries | null;
}

function joint(points: LiftPoints, name: PointName): NamedPoint {
  return { landmarks: LANDMARKS_OF[name], series: points.joint(name) };
}

function landmark(points: LiftPoints, name: Landmark): NamedPoint {
  return { landmarks: [name], series: points.landmark(name) };
}

function single(
  loads: JointLoads,
  quantity: string,
  unit: string,
  points: readonly NamedPoint[],
  make: (...points: PointSeries[]) => Float64Array,
  side: Side | null = null,
): FrameQuantity {
  const absent = points.filter((point) => point.series === null).flatMap((point) => point.landmarks);
  if (absent.length > 0) {
    return { quantity, side, unit, values: unknown(loads), reason: needsLandmarks([...new Set(absent)]) };
  }
  return { quantity, side, unit, values: make(...points.map((point) => point.series!)), reason: undefined };
}

/** Left, right, and `both` = the mean of the two (NaN where one is). */
function leftRightBoth(
  loads: JointLoads,
  quantity: string,
  unit: string,
  points: (side: 'left' | 'right') => readonly NamedPoint[],
  make: (...points: PointSeries[]) => Float64Array,
): FrameQuantity[] {
  const [left, right] = LEGS.map((side) => single(loads, quantity, unit, points(side), make, side));
  const values = perFrame(loads.frames, (f) => (left.values[f] + right.values[f]) / 2);
  const absent = [...points('left'), ...points('right')].filter((p) => p.series === null).flatMap((p) => p.landmarks);
  const reason = absent.length > 0 ? needsLandmarks([...new Set(absent)]) : undefined;
  return [{ quantity, side: 'both', unit, values, reason }, left, right];
}

function vector(loads: JointLoads, quantity: string, unit: string, series: Float64Array | null, needs: string) {
  return ['x', 'y', 'z'].map((axis, i) =>
    column(`${quantity}_${axis}`, unit, series ? coordinate(series, i) : unknown(loads), series ? undefined : needs),
  );
}

function column(quantity: string, unit: string, values: Float64Array, reason?: string): FrameQuantity {
  return { quantity, side: null, unit, values, reason };
}

function coordinate(points: Float64Array, axis: number, plus = 0): Float64Array {
  return perFrame(points.length / 3, (f) => points[3 * f + axis] + plus);
}

/**
 * Upward velocity of the point midway between two landmarks, from the points that are smoothed less for this; where those
 * are missing, from the height given.
 */
function velocityOfPair(loads: JointLoads, left: Landmark, right: Landmark, height: Float64Array): Float64Array {
  const slow = velocity(loads, height);
  const points = loads.motion.trajectories.forVelocity;
  const [a, b] = [left, right].map((name) => points?.landmarks.indexOf(name) ?? -1);
  if (!points || a < 0 || b < 0) return slow;
  const { position, landmarks } = points;
  const at = (frame: number, column: number) => position[3 * (frame * landmarks.length + column) + 1];
  const quick = velocity(
    loads,
    perFrame(loads.frames, (f) => (at(f, a) + at(f, b)) / 2),
  );
  return perFrame(loads.frames, (f) => (Number.isNaN(quick[f]) || Number.isNaN(slow[f]) ? slow[f] : quick[f]));
}

function velocity(loads: JointLoads, values: Float64Array): Float64Array {
  if (values.length < 3) return new Float64Array(values.length).fill(Number.NaN);
  return fivePointDifference(values, 1, 1 / loads.frameRateHz);
}

/** Foot of the perpendicular from `point` on the line heel → toe in the floor plane, as a share of its length. */
function shareAlong(heel: PointSeries, toe: PointSeries, point: Float64Array): Float64Array {
  return perFrame(point.length / 3, (f) => {
    const i = 3 * f;
    const x = toe[i] - heel[i];
    const z = toe[i + 2] - heel[i + 2];
    return ((point[i] - heel[i]) * x + (point[i + 2] - heel[i + 2]) * z) / (x * x + z * z);
  });
}

function unknown(loads: JointLoads): Float64Array {
  return new Float64Array(loads.frames).fill(Number.NaN);
}
