/**
 * Throughput of a point from two views: undistort, triangulate to the least reprojection distance, with covariance;
 * against the plain linear way (undistort, 4 × 4 homogeneous system, singular value decomposition of ml-matrix) in the
 * same run. Times depend on the machine; the ratio much less.
 *
 *   npx tsx tests/benchmarks/triangulation.ts [points]
 */
import { performance } from 'node:perf_hooks';
import { Matrix, SVD } from 'ml-matrix';
import { undistortInto } from '../../src/cameras/camera-model.ts';
import type { Camera } from '../../src/cameras/rig.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { median } from '../../src/numerics/statistics.ts';
import { pointProblem, triangulatePoint } from '../../src/reconstruction/triangulate-point.ts';
import { project, sideCameras } from '../reconstruction/scene.ts';

const ROUNDS = 5;
const points = Number(process.argv[2] ?? 100_000);
const cameras = sideCameras();
const random = seededRandom(1);
const pixels = new Float64Array(4 * points);
for (let i = 0; i < points; i++) {
  const place = [random.uniform() - 0.5, 1.8 * random.uniform(), random.uniform() - 0.5] as const;
  cameras.forEach((camera, v) => {
    const [u, w] = project(camera, place);
    pixels.set([u + random.normal(), w + random.normal()], 4 * i + 2 * v);
  });
}

const problem = pointProblem(cameras);
const ours = new Float64Array(3 * points);
function solveOurs(): void {
  for (let i = 0; i < points; i++) {
    for (let k = 0; k < 4; k++) problem.pixel[k] = pixels[4 * i + k];
    triangulatePoint(problem);
    for (let k = 0; k < 3; k++) ours[3 * i + k] = problem.position[k];
  }
}

const plain = new Float64Array(3 * points);
function solvePlain(): void {
  const ray = new Float64Array(2);
  const rows: number[][] = [[], [], [], []];
  for (let i = 0; i < points; i++) {
    cameras.forEach((camera: Camera, v) => {
      undistortInto(ray, 0, camera, pixels[4 * i + 2 * v], pixels[4 * i + 2 * v + 1]);
      const { rotation: r, translation: t } = camera;
      for (let k = 0; k < 2; k++) {
        rows[2 * v + k] = [0, 1, 2].map((c) => ray[k] * r[6 + c] - r[3 * k + c]).concat(ray[k] * t[2] - t[k]);
      }
    });
    const { rightSingularVectors: v } = new SVD(new Matrix(rows), { computeLeftSingularVectors: false });
    for (let k = 0; k < 3; k++) plain[3 * i + k] = v.get(k, 3) / v.get(3, 3);
  }
}

function microsecondsPerPoint(run: () => void): number {
  run();
  const times = Array.from({ length: ROUNDS }, () => {
    const start = performance.now();
    run();
    return performance.now() - start;
  });
  return (1000 * median(times)) / points;
}

const oursUs = microsecondsPerPoint(solveOurs);
const plainUs = microsecondsPerPoint(solvePlain);
let farthest = 0;
for (let i = 0; i < points; i++) {
  const d = Math.hypot(
    ours[3 * i] - plain[3 * i],
    ours[3 * i + 1] - plain[3 * i + 1],
    ours[3 * i + 2] - plain[3 * i + 2],
  );
  farthest = Math.max(farthest, d);
}
console.log(`two views, ${points} points, 1 px noise, median of ${ROUNDS} rounds`);
console.log(`  undistort + linear + least reprojection distance + covariance  ${oursUs.toFixed(2)} µs a point`);
console.log(`  undistort + linear by ml-matrix SVD                            ${plainUs.toFixed(2)} µs a point`);
console.log(
  `  ratio ${(oursUs / plainUs).toFixed(2)}; the two solutions differ by at most ${(1000 * farthest).toFixed(3)} mm`,
);
