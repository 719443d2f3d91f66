import type { BundleProblem, BundleSolution, BundleTarget } from './bundle-problem.ts';
import type { CalibrationObservation } from './calibration.ts';
import { composePoses, invertPose, type Pose, turned } from './pose.ts';
import {
  blockOf,
  type CameraCovariance,
  centreCovariance,
  covarianceInWorld,
  largestSd,
  poseAt,
} from './pose-covariance.ts';
import type { Camera, CameraQuality, MeasuredQuality } from './rig.ts';

/** Cells of the coverage grid along each side of the picture. */
export const COVERAGE_CELLS = 10;
/** Standard deviations to a 95 % half width of a normal variable: Φ⁻¹(0.975). */
export const HALF_WIDTH_95 = 1.959963984540054;
const DEGREES = 180 / Math.PI;
/** A robust weight below this marks an observation as dropped. Common practice, no source. */
const LEAST_WEIGHT = 0.1;

/** What `measuredQuality` is made of, whatever the calibration was. */
export interface QualityParts {
  /** Cameras in the rig's world. */
  readonly cameras: readonly Camera[];
  /** Joint covariance for poses in the rig's world; see `covarianceInWorld`. */
  readonly covariance: CameraCovariance;
  /** Observations of all cameras; those not used take no part. */
  readonly observations: readonly CalibrationObservation[];
  /** Unit normals of the boards in each camera's frame, by camera name; absent or empty without boards. */
  readonly boardNormals: ReadonlyMap<string, readonly (readonly number[])[]>;
  /** 3 × n, metres, rig's world. */
  readonly points: Float64Array;
  readonly clocks: ReadonlyMap<string, CameraQuality['clock']>;
  readonly heldOutLength: MeasuredQuality['heldOutLength'];
  readonly vertical: MeasuredQuality['vertical'];
  readonly scale: MeasuredQuality['scale'];
}

/** The quality record of a rig, and the names of parameters that the calibration leaves undetermined. */
export interface MeasuredRig {
  readonly measured: MeasuredQuality;
  readonly undetermined: readonly string[];
}

/** Undetermined parameters have null standard deviations and are left out of the covariance: no NaN leaves here. */
export function measuredQuality(parts: QualityParts): MeasuredRig {
  const { covariance, heldOutLength, vertical, scale } = parts;
  const n = covariance.parameters.length;
  const determined = covariance.parameters.map((_, i) => covariance.covariance[i * n + i] > 0);
  return {
    measured: {
      cameras: parts.cameras.map((camera) => cameraQuality(camera, parts)),
      heldOutLength,
      vertical,
      scale,
      volumeM: boundingBox(parts.points),
      covariance: lowerTriangle(covariance, determined),
    },
    undetermined: covariance.parameters.filter((_, i) => !determined[i]),
  };
}

function cameraQuality(camera: Camera, parts: QualityParts): CameraQuality {
  const { parameters, covariance } = parts.covariance;
  const own = parts.observations.filter((one) => one.camera === camera.name && one.used);
  let squares = 0;
  for (const { du, dv } of own) squares += du * du + dv * dv;
  const pose = poseAt(parameters, camera.name);
  const block = pose === null ? null : blockOf(covariance, parameters.length, pose);
  return {
    camera: camera.name,
    reprojectionRmsPx: own.length === 0 ? 0 : Math.sqrt(squares / own.length),
    points: own.length,
    views: new Set(own.map((one) => one.image)).size,
    focalSdPx: largerSd(parts.covariance, camera.name, ['f', 'fx', 'fy']),
    principalPointSdPx: largerSd(parts.covariance, camera.name, ['cx', 'cy']),
    placeSdM: block === null ? null : finite(largestSd(centreCovariance(camera, block))),
    directionSdDeg: block === null ? null : finite(DEGREES * largestSd(blockOf(block, 6, [0, 1, 2]))),
    coverage: coverageOf(camera, own),
    tiltRangeDeg: tiltRange(parts.boardNormals.get(camera.name) ?? []),
    clock: parts.clocks.get(camera.name) ?? null,
  };
}

/** The largest standard deviation of the named parameters; null where none of them was free or one is undetermined. */
function largerSd({ parameters, covariance }: CameraCovariance, camera: string, names: readonly string[]) {
  const n = parameters.length;
  const at = names.map((name) => parameters.indexOf(`${camera}.${name}`)).filter((position) => position >= 0);
  if (at.length === 0) return null;
  return finite(Math.max(...at.map((i) => Math.sqrt(covariance[i * n + i]))));
}

const finite = (value: number) => (Number.isFinite(value) ? value : null);

/** Share of the cells of a COVERAGE_CELLS × COVERAGE_CELLS grid over the picture that hold a point, 0–1. */
export function coverageOf(camera: Camera, points: readonly { readonly u: number; readonly v: number }[]): number {
  return new Set(points.map((point) => coverageCell(camera, point.u, point.v))).size / COVERAGE_CELLS ** 2;
}

/** Cell of a pixel, row × COVERAGE_CELLS + column; pixels on or beyond the border belong to the nearest cell. */
export function coverageCell(camera: Camera, u: number, v: number): number {
  // The picture reaches from −½ to width − ½: (0, 0) is the centre of a pixel.
  const cell = (x: number, size: number) =>
    Math.min(COVERAGE_CELLS - 1, Math.max(0, Math.floor((COVERAGE_CELLS * (x + 0.5)) / size)));
  return COVERAGE_CELLS * cell(v, camera.imageHeight) + cell(u, camera.imageWidth);
}

/** Largest angle between two unit normals, degrees; null with fewer than two. */
export function tiltRange(normals: readonly (readonly number[])[]): number | null {
  if (normals.length < 2) return null;
  let least = 1;
  normals.forEach((a, i) => {
    for (const b of normals.slice(i + 1)) least = Math.min(least, a[0] * b[0] + a[1] * b[1] + a[2] * b[2]);
  });
  return DEGREES * Math.acos(Math.max(-1, least));
}

/** The board's normal (its z axis) in the camera's frame. */
export function boardNormal(camera: Pose, worldFromBoard: Pose): number[] {
  const { rotation } = composePoses(camera, worldFromBoard);
  return [rotation[2], rotation[5], rotation[8]];
}

/** Least X Y Z, then greatest; null without points. */
export function boundingBox(points: Float64Array): number[] | null {
  const box = [1, 1, 1, -1, -1, -1].map((sign) => sign * Number.POSITIVE_INFINITY);
  for (let o = 0; o < points.length; o += 3) {
    for (let k = 0; k < 3; k++) {
      box[k] = Math.min(box[k], points[o + k]);
      box[3 + k] = Math.max(box[3 + k], points[o + k]);
    }
  }
  return box.every(Number.isFinite) ? box : null;
}

function lowerTriangle(
  { parameters, covariance }: CameraCovariance,
  determined: readonly boolean[],
): MeasuredQuality['covariance'] {
  const kept = parameters.map((_, i) => i).filter((i) => determined[i]);
  if (kept.length === 0) return null;
  const n = parameters.length;
  return {
    parameters: kept.map((i) => parameters[i]),
    lowerTriangle: kept.flatMap((i, row) => kept.slice(0, row + 1).map((j) => covariance[i * n + j])),
  };
}

/** Scale from independent causes, each a standard deviation as part of the scale. */
export function scaleFrom(causes: Readonly<Record<string, number>>): NonNullable<MeasuredQuality['scale']> {
  return { sdShare: Math.hypot(...Object.values(causes)), causes };
}

/** What a bundle solution itself cannot know. */
export interface QualityExtras {
  /** Places the bundle in the rig's world. */
  readonly worldFromBundle: Pose;
  readonly heldOutLength: MeasuredQuality['heldOutLength'];
  readonly vertical: MeasuredQuality['vertical'];
  readonly scale: MeasuredQuality['scale'];
}

/** The quality record of a rig from its joint refinement. */
export function qualityOfBundle(problem: BundleProblem, solution: BundleSolution, extras: QualityExtras): MeasuredRig {
  const { worldFromBundle } = extras;
  const cameras = placedCameras(solution.cameras, worldFromBundle);
  return measuredQuality({
    ...extras,
    cameras,
    covariance: covarianceInWorld(solution, solution.cameras, worldFromBundle),
    observations: bundleObservations(problem, solution),
    boardNormals: boardNormals(problem, solution),
    points: bundlePoints(problem.targets, solution, worldFromBundle),
    clocks: clocksOf(solution),
  });
}

/** The cameras of a bundle with poses in the rig's world. */
export function placedCameras(cameras: readonly Camera[], worldFromBundle: Pose): Camera[] {
  const bundleFromWorld = invertPose(worldFromBundle);
  return cameras.map((camera) => ({ ...camera, ...composePoses(camera, bundleFromWorld) }));
}

/** Every observation of a bundle with its residual; `used` is false where the robust loss all but ignores it. */
export function bundleObservations(problem: BundleProblem, solution: BundleSolution): CalibrationObservation[] {
  const { camera, target, point, pixel } = problem.observations;
  return Array.from(camera, (c, i) => ({
    camera: problem.cameras[c].camera.name,
    image: problem.targets[target[i]].label,
    ...(problem.targets[target[i]].kind === 'rigid' ? { point: String(point[i]) } : {}),
    u: pixel[2 * i],
    v: pixel[2 * i + 1],
    du: solution.residuals[2 * i],
    dv: solution.residuals[2 * i + 1],
    used: solution.weights[i] >= LEAST_WEIGHT,
  }));
}

function boardNormals(problem: BundleProblem, solution: BundleSolution): Map<string, number[][]> {
  const { camera, target } = problem.observations;
  const normals = new Map<string, number[][]>();
  const done = new Set<number>();
  for (let i = 0; i < camera.length; i++) {
    const key = camera[i] * problem.targets.length + target[i];
    if (done.has(key) || problem.targets[target[i]].kind !== 'rigid') continue;
    done.add(key);
    const seeing = solution.cameras[camera[i]];
    const own = normals.get(seeing.name) ?? [];
    normals.set(seeing.name, own);
    own.push(boardNormal(seeing, solution.targets[target[i]] as Pose));
  }
  return normals;
}

/** All points of all targets in the rig's world, 3 × n, metres. */
export function bundlePoints(
  targets: readonly BundleTarget[],
  solution: Pick<BundleSolution, 'targets'>,
  worldFromBundle: Pose,
): Float64Array {
  const out: number[] = [];
  const add = (pose: Pose, points: Float64Array) => {
    for (let o = 0; o < points.length; o += 3) {
      const at = turned(pose.rotation, points.subarray(o, o + 3));
      out.push(at[0] + pose.translation[0], at[1] + pose.translation[1], at[2] + pose.translation[2]);
    }
  };
  targets.forEach((target, t) => {
    const found = solution.targets[t];
    if (target.kind === 'rigid') add(composePoses(worldFromBundle, found as Pose), target.points);
    else add(worldFromBundle, target.kind === 'known' ? target.points : (found as Float64Array));
  });
  return Float64Array.from(out);
}

function clocksOf({ cameras, clocks, parameters, covariance }: BundleSolution): Map<string, CameraQuality['clock']> {
  const n = parameters.length;
  const found = new Map<string, CameraQuality['clock']>();
  cameras.forEach(({ name }, c) => {
    const at = parameters.indexOf(`${name}.clock_offset`);
    const sd = at < 0 ? Number.NaN : Math.sqrt(covariance[at * n + at]);
    if (!Number.isFinite(sd)) return;
    found.set(name, {
      offsetS: clocks[c].offsetS,
      halfWidth95S: HALF_WIDTH_95 * sd,
      drift: parameters.includes(`${name}.clock_drift`) ? clocks[c].drift : null,
    });
  });
  return found;
}
