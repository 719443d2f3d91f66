/**
 * Throughput of a point from two views with distorted lenses: undistort, least reprojection distance, covariance and
 * residuals. In the same run, for comparison: the plain linear way by ml-matrix (undistort, 4 × 4 homogeneous system,
 * singular value decomposition), and with `--opencv` the native cv2.undistortPoints + cv2.triangulatePoints on one thread,
 * which neither refine nor give a covariance. Goal: at least twice as fast as native. Least processor time of several rounds,
 * taken in turn; times depend on the machine, ratios much less.
 *
 *   npx tsx tests/benchmarks/triangulation.ts [points] [--opencv [python command]]
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { Matrix, SVD } from 'ml-matrix';
import { undistortInto } from '../../src/cameras/camera-model.ts';
import type { Camera } from '../../src/cameras/rig.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { pointProblem, triangulatePointsInto } from '../../src/reconstruction/triangulate-point.ts';
import { project, sideCameras } from '../reconstruction/scene.ts';

const ROUNDS = 5;
const [given] = process.argv.slice(2);
const points = given && !given.startsWith('--') ? Number(given) : 100_000;
const opencvAt = process.argv.indexOf('--opencv');

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
const ours = {
  status: new Uint8Array(points),
  position: new Float64Array(3 * points),
  cofactor: new Float64Array(6 * points),
  squaredResidual: new Float64Array(2 * points),
  squaredSum: new Float64Array(points),
};
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

/** Microseconds a point, best of as many runs. */
function bestUs(run: () => void, runs: number): number {
  let best = Number.POSITIVE_INFINITY;
  for (let k = 0; k < runs; k++) {
    const before = process.cpuUsage();
    run();
    const { user, system } = process.cpuUsage(before);
    best = Math.min(best, user + system);
  }
  return best / points;
}

interface Native {
  readonly us: number;
  readonly version: string;
  readonly position: Float64Array;
}

/** The same points by OpenCV, in a process of its own; null where Python has no cv2. */
function native(command: string): Native | null {
  const folder = mkdtempSync(join(tmpdir(), 'triangulation-'));
  try {
    const [camerasFile, pixelsFile, pointsFile] = ['cameras.json', 'pixels', 'points'].map((name) =>
      join(folder, name),
    );
    const numbers = cameras.map((camera) => ({
      ...camera,
      rotation: [...camera.rotation],
      translation: [...camera.translation],
    }));
    writeFileSync(camerasFile, JSON.stringify(numbers));
    writeFileSync(pixelsFile, new Uint8Array(pixels.buffer));
    const script = fileURLToPath(new URL('triangulation_opencv.py', import.meta.url));
    const run = spawnSync(command, [script, camerasFile, pixelsFile, pointsFile, String(ROUNDS)], { encoding: 'utf8' });
    if (run.status !== 0) return null;
    const { seconds, version } = JSON.parse(run.stdout);
    const bytes = readFileSync(pointsFile);
    const position = new Float64Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.byteLength));
    return { us: (1e6 * seconds) / points, version, position };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function farthestMm(a: Float64Array, b: Float64Array): number {
  let farthest = 0;
  for (let i = 0; i < a.length; i += 3) {
    farthest = Math.max(farthest, Math.hypot(a[i] - b[i], a[i + 1] - b[i + 1], a[i + 2] - b[i + 2]));
  }
  return 1000 * farthest;
}

const solveOurs = () => triangulatePointsInto(ours, problem, pixels, points);
let oursUs = Number.POSITIVE_INFINITY;
const natives: Native[] = [];
const command = process.argv[opencvAt + 1] ?? 'python3';
for (let round = 0; round < ROUNDS; round++) {
  oursUs = Math.min(oursUs, bestUs(solveOurs, ROUNDS));
  if (opencvAt < 0) continue;
  const found = native(command);
  if (!found) break;
  natives.push(found);
}
const plainUs = bestUs(solvePlain, 2);

const line = (what: string, us: number) => console.log(`  ${what.padEnd(66)} ${us.toFixed(2)} µs a point`);
console.log(`two views, ${points} points, 1 px noise, least processor time of the rounds`);
line('undistort, least reprojection distance, covariance, residuals', oursUs);
line('undistort + linear by ml-matrix SVD', plainUs);
console.log(
  `    ours ${(plainUs / oursUs).toFixed(1)} × as fast; apart by at most ${farthestMm(ours.position, plain).toFixed(3)} mm`,
);
const [opencv] = natives.sort((a, b) => a.us - b.us);
if (opencv) {
  line(`undistort + linear by native OpenCV ${opencv.version}, one thread`, opencv.us);
  console.log(
    `    ours ${(opencv.us / oursUs).toFixed(1)} × as fast (goal 2); apart by at most ${farthestMm(ours.position, opencv.position).toFixed(3)} mm`,
  );
} else if (opencvAt >= 0) {
  console.log(`  OpenCV left out: "${command}" has no cv2. Name a Python that has: --opencv /usr/bin/python3`);
}
