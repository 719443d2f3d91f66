import type { Camera } from '../cameras/rig.ts';
import { type Landmark, MOMENT_LANDMARKS } from '../capture/landmarks.ts';
import { planReasons } from '../messages/plan.ts';
import { pointOf } from '../predict/posture.ts';
import { PLANNED_POSTURES, type PlannedPosture, type Scene } from './foreseen-scene.ts';
import { varianceAlong, worstAxis } from './point-covariance.ts';
import { POSTURE_QUANTITIES, type PostureQuantity } from './posture-sensitivity.ts';
import {
  gradientAtElevation,
  HALF_WIDTH_95,
  pointCovariances,
  quantitySds,
  standardDeviation,
} from './posture-uncertainty.ts';
import { bestRayAngleDeg, checkView, type ViewCheck } from './view-checks.ts';

/** One foreseen uncertainty. NaN where it is not defined, with a reason. */
export interface ForeseenRow {
  readonly posture: PlannedPosture;
  /** A landmark, or a quantity by its column name. */
  readonly what: Landmark | PostureQuantity;
  /** x, y, z of the lab, or along the point's own worst direction; '' for a quantity. */
  readonly axis: 'x' | 'y' | 'z' | 'worst' | '';
  readonly unit: 'm' | 'deg' | 'nm' | '1';
  /** Foreseen value of a quantity; NaN for points. */
  readonly value: number;
  readonly sd: number;
  readonly halfWidth95: number;
  readonly reason: string;
}

/** What a set of cameras will do to the measurement of a scene, from pixel noise alone. */
export interface Foreseen {
  readonly rows: readonly ForeseenRow[];
  readonly views: readonly ViewCheck[];
  /** At the hips, knees and ankles at parallel: the worst. */
  readonly rayAngleDeg: number;
  /** Half width of the 95 % interval of the gravity-only hip share, read at parallel. */
  readonly hipShareHalfWidth95: number;
  /** What a vertical that is one degree wrong does to that share, read where the thighs are then found level. */
  readonly hipSharePerDegreeOfVertical: number;
}

const UNITS: Readonly<Record<PostureQuantity, ForeseenRow['unit']>> = {
  trunk_lean_deg: 'deg',
  thigh_elevation_both_deg: 'deg',
  hip_moment_gravity_both_nm: 'nm',
  knee_moment_gravity_both_nm: 'nm',
  hip_share_gravity_both: '1',
};

/**
 * Foreseen uncertainty of points and quantities, and what the cameras see.
 * variances: `landmark * cameras.length + camera`, px², of a filtered pixel coordinate, in the order of the postures' landmarks.
 */
export function foresee(scene: Scene, cameras: readonly Camera[], variances: Float64Array): Foreseen {
  const rows: ForeseenRow[] = [];
  for (const name of PLANNED_POSTURES) {
    const posture = scene.postures[name];
    const sensitivity = scene.sensitivity[name];
    const covariances = pointCovariances(cameras, variances, posture.position);
    for (const landmark of reportedLandmarks(posture.landmarks))
      rows.push(...pointRows(name, landmark, posture.landmarks, covariances));
    const held = quantitySds(sensitivity, covariances);
    for (const quantity of POSTURE_QUANTITIES) {
      const isRead = name === 'parallel' && quantity !== 'thigh_elevation_both_deg';
      const sd = isRead ? sdAtParallel(scene, quantity, covariances) : held[quantity];
      const value = sensitivity.values[quantity];
      const reason = Number.isNaN(value)
        ? planReasons.shareUndefined
        : Number.isNaN(sd)
          ? planReasons.notDetermined
          : '';
      rows.push({
        posture: name,
        what: quantity,
        axis: '',
        unit: UNITS[quantity],
        value,
        sd,
        halfWidth95: HALF_WIDTH_95 * sd,
        reason,
      });
    }
  }
  const { parallel } = scene.postures;
  const angles = MOMENT_LANDMARKS.filter((name) => !name.includes('shoulder')).map((name) =>
    bestRayAngleDeg(cameras, pointOf(parallel, name)),
  );
  return {
    rows,
    views: cameras.map((camera) => checkView(camera, scene.watched)),
    rayAngleDeg: angles.reduce((worst, angle) => (Math.abs(angle - 90) > Math.abs(worst - 90) ? angle : worst), 90),
    hipShareHalfWidth95: hipShareHalfWidth(scene, cameras, variances),
    hipSharePerDegreeOfVertical: Math.abs(perDegreeOfVerticalAtParallel(scene, 'hip_share_gravity_both')),
  };
}

/** Half width of the 95 % interval of the gravity-only hip share, read at parallel; NaN where points are not determined. */
export function hipShareHalfWidth(scene: Scene, cameras: readonly Camera[], variances: Float64Array): number {
  const { position } = scene.postures.parallel;
  const gradient = scene.hipShareGradient;
  let variance = 0;
  for (let l = 0; 3 * l < position.length; l++) {
    const hasPart = gradient[3 * l] !== 0 || gradient[3 * l + 1] !== 0 || gradient[3 * l + 2] !== 0;
    if (hasPart) variance += varianceAlong(cameras, variances, l * cameras.length, position, gradient, 3 * l);
  }
  return HALF_WIDTH_95 * Math.sqrt(variance);
}

/** A vertical that is wrong moves the quantity, and with it the moment at which the thighs are found level. */
function perDegreeOfVerticalAtParallel(scene: Scene, quantity: PostureQuantity): number {
  const { perDegreeOfVertical: held } = scene.sensitivity.parallel;
  return held[quantity] - scene.perDegreeAtParallel[quantity] * held.thigh_elevation_both_deg;
}

function sdAtParallel(scene: Scene, quantity: PostureQuantity, covariances: Float64Array): number {
  const slope = scene.perDegreeAtParallel[quantity];
  return standardDeviation(gradientAtElevation(scene.sensitivity.parallel, quantity, slope), covariances);
}

function reportedLandmarks(landmarks: readonly Landmark[]): readonly Landmark[] {
  return landmarks.filter((name) => MOMENT_LANDMARKS.includes(name) || name.startsWith('bar_'));
}

function pointRows(
  posture: PlannedPosture,
  landmark: Landmark,
  landmarks: readonly Landmark[],
  covariances: Float64Array,
): ForeseenRow[] {
  const o = 6 * landmarks.indexOf(landmark);
  const sds = {
    x: Math.sqrt(covariances[o]),
    y: Math.sqrt(covariances[o + 3]),
    z: Math.sqrt(covariances[o + 5]),
    worst: worstAxis(covariances, o).sdM,
  };
  return (['x', 'y', 'z', 'worst'] as const).map((axis) => ({
    posture,
    what: landmark,
    axis,
    unit: 'm',
    value: Number.NaN,
    sd: sds[axis],
    halfWidth95: HALF_WIDTH_95 * sds[axis],
    reason: Number.isNaN(sds[axis]) ? planReasons.notDetermined : '',
  }));
}
