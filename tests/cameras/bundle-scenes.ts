import type {
  BundleCamera,
  BundleObservations,
  BundleProblem,
  BundleTarget,
} from '../../src/cameras/bundle-problem.ts';
import { projectInto } from '../../src/cameras/camera-model.ts';
import type { FreeLensParameter } from '../../src/cameras/fit-camera.ts';
import { composePoses, invertPose, type Pose } from '../../src/cameras/pose.ts';
import type { Camera } from '../../src/cameras/rig.ts';
import { type Random, seededRandom } from '../../src/numerics/random.ts';
import { multiply3, rotationFromVector } from '../../src/numerics/rotation.ts';
import { pointProblem, triangulatePoint } from '../../src/reconstruction/triangulate-point.ts';
import { cameraLookingAt } from './synthetic-cameras.ts';

/** An invented bundle problem with what is true of it. */
export interface Scene {
  readonly problem: BundleProblem;
  /** In the frame of the first camera. */
  readonly cameras: readonly Camera[];
  /** True pose, point or both ends of each target, in that frame. */
  readonly targets: readonly (Pose | Float64Array)[];
}

const DISTORTION = [-0.11, 0.06, 0.0006, -0.0004, 0] as const;

/** Cameras about 3.5 m from (0, 1, 0), the first as the frame of the bundle. */
function camerasOf(count: number): Camera[] {
  const places = [
    [2.6, 1.3, 2.4],
    [3.4, 1.1, -0.6],
    [1.2, 1.6, 3.3],
  ];
  const world = places
    .slice(0, count)
    .map((place, c) =>
      cameraLookingAt('abc'[c], place, [0, 1, 0], { distortion: DISTORTION, fx: 1480 + 20 * c, fy: 1482 + 20 * c }),
    );
  const worldFromFirst = invertPose(world[0]);
  return world.map((camera, c) => ({
    ...camera,
    ...(c === 0
      ? { rotation: Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1), translation: new Float64Array(3) }
      : composePoses(camera, worldFromFirst)),
  }));
}

function shaken(pose: Pose, random: Random, turnRad: number, moveM: number): Pose {
  return {
    rotation: multiply3(rotationFromVector([0, 1, 2].map(() => turnRad * random.normal())), pose.rotation),
    translation: pose.translation.map((x) => x + moveM * random.normal()),
  };
}

/** Start cameras: the first in its place, the others shaken; lens off by a few per cent where it is free. */
function startCameras(cameras: readonly Camera[], lensFree: readonly FreeLensParameter[], random: Random): Camera[] {
  return cameras.map((camera, c) => {
    const pose = c === 0 ? camera : shaken(camera, random, 0.003, 0.01);
    const off = lensFree.length > 0 ? 1 + 0.01 * random.normal() : 1;
    return {
      ...camera,
      rotation: pose.rotation,
      translation: pose.translation,
      fx: camera.fx * off,
      fy: camera.fy * off,
      distortion: lensFree.includes('k1') ? [0, 0, camera.distortion[2], camera.distortion[3], 0] : camera.distortion,
    };
  });
}

/** What the cameras see of a list of points, per target; a point outside a picture is left out. */
function observe(
  cameras: readonly Camera[],
  points: readonly Float64Array[],
  random: Random,
  noisePx: number,
  outliers: number,
  sdPx: number | null,
): BundleObservations {
  const rows: number[][] = [];
  const uv = new Float64Array(2);
  cameras.forEach((camera, c) => {
    points.forEach((of, t) => {
      for (let p = 0; 3 * p < of.length; p++) {
        projectInto(uv, 0, camera, of[3 * p], of[3 * p + 1], of[3 * p + 2]);
        if (!inside(camera, uv)) continue;
        const off = random.uniform() < outliers ? 20 + 80 * random.uniform() : 0;
        const way = 2 * Math.PI * random.uniform();
        const u = uv[0] + noisePx * random.normal() + off * Math.cos(way);
        rows.push([c, t, p, u, uv[1] + noisePx * random.normal() + off * Math.sin(way)]);
      }
    });
  });
  return {
    camera: Int32Array.from(rows, (row) => row[0]),
    target: Int32Array.from(rows, (row) => row[1]),
    point: Int32Array.from(rows, (row) => row[2]),
    pixel: Float64Array.from(rows.flatMap((row) => row.slice(3))),
    sdPx: sdPx === null ? null : new Float64Array(2 * rows.length).fill(sdPx),
    velocity: null,
    timeS: null,
  };
}

function bundleCameras(cameras: readonly Camera[], lensFree: readonly FreeLensParameter[]): BundleCamera[] {
  return cameras.map((camera, c) => ({ camera, poseFree: c > 0, lensFree }));
}

/** Chessboards of 9 × 6 corners in many poses before two cameras whose lenses are free; plain least squares. */
export function boardScene(
  boards: number,
  noisePx: number,
  seed: number,
  lensFree: readonly FreeLensParameter[],
): Scene {
  const random = seededRandom(seed);
  const cameras = camerasOf(2);
  const square = 0.08;
  const points = new Float64Array(3 * 54);
  for (let i = 0; i < 54; i++) points.set([((i % 9) - 4) * square, (Math.floor(i / 9) - 2.5) * square, 0], 3 * i);
  const centre = Float64Array.from(MIDDLE);
  const truth = Array.from({ length: boards }, (): Pose => {
    // Faces about half way between both cameras, turned by up to 40° about each axis.
    const facing = rotationFromVector([0, -0.45, 0]);
    const turn = rotationFromVector([0, 1, 2].map(() => 1.4 * (random.uniform() - 0.5)));
    return {
      rotation: multiply3(turn, facing),
      translation: centre.map((x, k) => x + [1.4, 0.8, 1][k] * (random.uniform() - 0.5)),
    };
  });
  const placed = truth.map((pose) => {
    const out = new Float64Array(points.length);
    for (let i = 0; 3 * i < points.length; i++) {
      for (let k = 0; k < 3; k++) {
        const r = pose.rotation;
        out[3 * i + k] =
          r[3 * k] * points[3 * i] +
          r[3 * k + 1] * points[3 * i + 1] +
          r[3 * k + 2] * points[3 * i + 2] +
          pose.translation[k];
      }
    }
    return out;
  });
  const observations = observe(cameras, placed, random, noisePx, 0, null);
  return {
    cameras,
    targets: truth,
    problem: {
      cameras: bundleCameras(startCameras(cameras, lensFree, random), lensFree),
      targets: truth.map((pose, b) => ({
        kind: 'rigid',
        label: `board ${b}`,
        points,
        start: shaken(pose, random, 0.02, 0.03),
      })),
      observations,
      loss: { kind: 'none' },
    },
  };
}

/** Free points, and rods of 2.2 m, before `cameraCount` cameras. */
export function pointScene(options: {
  readonly cameraCount: number;
  readonly points: number;
  readonly rods: number;
  readonly seed: number;
  readonly noisePx: number;
  readonly outliers: number;
  readonly loss: BundleProblem['loss'];
  readonly lensFree: readonly FreeLensParameter[];
  /** Prior sd of the focal length, px; 0 = none. */
  readonly focalSdPx: number;
}): Scene {
  const { cameraCount, seed, noisePx, lensFree, focalSdPx } = options;
  const random = seededRandom(seed);
  const cameras = camerasOf(cameraCount);
  const centre = Float64Array.from(MIDDLE);
  const within = (size: readonly number[]) => centre.map((x, k) => x + size[k] * (random.uniform() - 0.5));
  const truth: Float64Array[] = [];
  const targets: BundleTarget[] = [];
  const lengthSdM = 0.001;
  for (let i = 0; i < options.points; i++) {
    const point = seenByAll(cameras, () => within([1.5, 1.5, 1]));
    truth.push(point);
    targets.push({ kind: 'point', label: `point ${i}`, start: point.map((x) => x + 0.02 * random.normal()) });
  }
  for (let i = 0; i < options.rods; i++) {
    const ends = seenByAll(cameras, () => {
      const middle = within([0.5, 1, 0.8]);
      const way = [random.normal(), 0.4 * random.normal(), random.normal()];
      const size = (1.1 + 0.5 * lengthSdM * random.normal()) / Math.hypot(...way);
      return Float64Array.of(...middle.map((x, k) => x - size * way[k]), ...middle.map((x, k) => x + size * way[k]));
    });
    truth.push(ends);
    const start = ends.map((x) => x + 0.02 * random.normal());
    targets.push({ kind: 'rod', label: `rod ${i}`, start, lengthM: 2.2, lengthSdM });
  }
  const observations = observe(cameras, truth, random, noisePx, options.outliers, noisePx);
  const starts = startCameras(cameras, lensFree, random);
  const prior = (camera: Camera) => {
    const n = lensFree.length;
    const covariance = new Float64Array(n * n);
    const sd = { fx: focalSdPx, fy: focalSdPx, cx: 20, cy: 20 } as Record<string, number>;
    lensFree.forEach((name, k) => {
      covariance[k * (n + 1)] = (sd[name] ?? 0.05) ** 2;
    });
    // fx and fy go together: correlation 0.9.
    const [x, y] = [lensFree.indexOf('fx'), lensFree.indexOf('fy')];
    if (x >= 0 && y >= 0) {
      covariance[x * n + y] = 0.9 * focalSdPx ** 2;
      covariance[y * n + x] = covariance[x * n + y];
    }
    const values: Record<string, number> = { ...camera, k1: camera.distortion[0], k2: camera.distortion[1] } as never;
    return {
      mean: Float64Array.from(lensFree, (name) => values[name] + 0.3 * (sd[name] ?? 0.05) * random.normal()),
      covariance,
    };
  };
  return {
    cameras,
    targets: truth,
    problem: {
      cameras: bundleCameras(starts, lensFree).map((one, c) =>
        focalSdPx > 0 && lensFree.length > 0 ? { ...one, lensPrior: prior(cameras[c]) } : one,
      ),
      targets: crossed(targets, observations, starts),
      observations,
      loss: options.loss,
    },
  };
}

/** Draws again until every point lies in every picture. */
function seenByAll(cameras: readonly Camera[], draw: () => Float64Array): Float64Array {
  const uv = new Float64Array(2);
  for (;;) {
    const points = draw();
    const outside = cameras.some((camera) => {
      for (let p = 0; p < points.length; p += 3) {
        projectInto(uv, 0, camera, points[p], points[p + 1], points[p + 2]);
        if (!inside(camera, uv)) return true;
      }
      return false;
    });
    if (!outside) return points;
  }
}

function inside(camera: Camera, uv: Float64Array): boolean {
  return uv[0] > 0 && uv[0] < camera.imageWidth && uv[1] > 0 && uv[1] < camera.imageHeight;
}

/** (0, 1, 0) of the world in the first camera's frame: 3.55 m ahead. */
const MIDDLE = [0, 0, Math.hypot(2.6, 0.3, 2.4)];

/** Points and rod ends where the start cameras see them cross; where they do not, 20 mm off the truth. */
function crossed(
  targets: readonly BundleTarget[],
  observations: BundleObservations,
  cameras: readonly Camera[],
): BundleTarget[] {
  const { camera, target, point, pixel } = observations;
  const problem = pointProblem(cameras);
  const seen = new Map<number, number[]>();
  target.forEach((t, i) => {
    const key = 2 * t + point[i];
    const list = seen.get(key);
    if (list === undefined) seen.set(key, [i]);
    else list.push(i);
  });
  return targets.map((one, t) => {
    if (one.kind !== 'point' && one.kind !== 'rod') return one;
    const start = one.start.slice();
    for (let p = 0; 3 * p < start.length; p++) {
      problem.use.fill(0);
      for (const i of seen.get(2 * t + p) ?? []) {
        problem.use[camera[i]] = 1;
        problem.pixel.set(pixel.subarray(2 * i, 2 * i + 2), 2 * camera[i]);
      }
      triangulatePoint(problem);
      if (problem.position.every(Number.isFinite)) start.set(problem.position, 3 * p);
    }
    return { ...one, start };
  });
}
