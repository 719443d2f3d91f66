import { describe, expect, test } from '@jest/globals';
import { boardPoints } from '../../src/cameras/board.ts';
import { bundlePlaces } from '../../src/cameras/bundle/bundle-layout.ts';
import { bundleBlocks } from '../../src/cameras/bundle/bundle-residuals.ts';
import { solveBundle } from '../../src/cameras/bundle.ts';
import type {
  BundleObservations,
  BundleProblem,
  BundleSolution,
  BundleTarget,
} from '../../src/cameras/bundle-problem.ts';
import { projectInto } from '../../src/cameras/camera-model.ts';
import { fitCamera } from '../../src/cameras/fit-camera.ts';
import type { Pose } from '../../src/cameras/pose.ts';
import type { Camera } from '../../src/cameras/rig.ts';
import { parameterUncertainty } from '../../src/numerics/parameter-uncertainty.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { multiply3, rotationFromVector, transpose3, vectorFromRotation } from '../../src/numerics/rotation.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';
import { boardScene, pointScene } from './bundle-scenes.ts';
import { readBundleProblem } from './read-bundle-problem.ts';
import { MODERATE_DISTORTION, pixelsOf } from './synthetic-cameras.ts';

const LENS = ['fx', 'fy', 'cx', 'cy', 'k1', 'k2'] as const;

/** The block problem's Jacobian at its start as one dense matrix, rows as its residuals. */
function denseJacobian(bundle: BundleProblem) {
  const places = bundlePlaces(bundle);
  const { problem } = bundleBlocks(bundle, places);
  const rows = problem.groupRows.reduce((sum, count) => sum + count, 0);
  const n = problem.sizes.length;
  const blockAt = [...problem.blockSizes].map((_, b) => {
    return problem.sharedCount + problem.blockSizes.subarray(0, b).reduce((sum, size) => sum + size, 0);
  });
  const columns: number[][] = [...problem.groupRows].map((_, g) => {
    const b = problem.groupBlock[g];
    const own = b < 0 ? [] : Array.from({ length: problem.blockSizes[b] }, (_, k) => blockAt[b] + k);
    return [...own, ...(problem.groupList[g] < 0 ? [] : problem.sharedLists[problem.groupList[g]])];
  });
  const length = columns.reduce((sum, list, g) => sum + list.length * problem.groupRows[g], 0);
  const packed = new Float64Array(length).fill(Number.NaN);
  const residuals = new Float64Array(rows);
  problem.lineariseInto(residuals, packed, places.start);
  const dense = new Float64Array(rows * n);
  let from = 0;
  let row = 0;
  columns.forEach((list, g) => {
    for (let i = 0; i < problem.groupRows[g]; i++, row++) for (const c of list) dense[row * n + c] = packed[from++];
  });
  return { problem, places, rows, n, dense, residuals, blockAt };
}

/** The problem with its solution as the start. */
function restarted(bundle: BundleProblem, found: BundleSolution): BundleProblem {
  return {
    ...bundle,
    cameras: bundle.cameras.map((one, c) => ({ ...one, camera: found.cameras[c] })),
    targets: bundle.targets.map((target, t) =>
      target.kind === 'known' ? target : ({ ...target, start: found.targets[t] } as BundleTarget),
    ),
  };
}

function emptyClocks(observations: BundleObservations, random = seededRandom(8)): BundleObservations {
  const n = observations.camera.length;
  return {
    ...observations,
    velocity: Float64Array.from({ length: 2 * n }, () => 400 * random.normal()),
    timeS: Float64Array.from({ length: n }, () => 10 * random.uniform()),
  };
}

/** All kinds of targets, free parameters, clocks and priors in one problem. */
function everything(): BundleProblem {
  const boards = boardScene(2, 0.3, 5, LENS);
  const points = pointScene({
    cameraCount: 2,
    points: 3,
    rods: 2,
    seed: 6,
    noisePx: 1,
    outliers: 0,
    loss: { kind: 'none' },
    lensFree: ['fx', 'fy', 'cx', 'cy', 'k1'],
    focalSdPx: 10,
  });
  const knownPoints = Float64Array.of(0.1, 0.2, 3.4, -0.3, 0.1, 3.2);
  const known: BundleTarget = { kind: 'known', label: 'posts', points: knownPoints };
  const targets = [...boards.problem.targets, ...points.problem.targets, known];
  const [a, b] = [boards.problem.observations, points.problem.observations];
  const n = a.camera.length + b.camera.length + 4;
  const join = (one: Int32Array, two: Int32Array, three: number[]) => Int32Array.from([...one, ...two, ...three]);
  const [first, second] = points.problem.cameras;
  const observations: BundleObservations = {
    camera: join(a.camera, b.camera, [0, 0, 1, 1]),
    target: join(
      a.target,
      b.target.map((t) => t + 2),
      [7, 7, 7, 7],
    ),
    point: join(a.point, b.point, [0, 1, 0, 1]),
    pixel: Float64Array.from([
      ...a.pixel,
      ...b.pixel,
      ...pixelsOf(first.camera, knownPoints, 1, 3),
      ...pixelsOf(second.camera, knownPoints, 1, 4),
    ]),
    sdPx: Float64Array.from({ length: 2 * n }, (_, i) => 0.5 + (i % 7) / 7),
    velocity: null,
    timeS: null,
  };
  const third = { ...second.camera, name: 'c', distortion: MODERATE_DISTORTION };
  return {
    cameras: [
      { ...first, lensFree: ['fx', 'fy', 'cx', 'cy', 'k1'], clockFree: 'none' },
      {
        camera: third,
        poseFree: true,
        lensFree: ['f', 'cx', 'skew', 'k1', 'k2', 'p1', 'p2', 'k3'],
        clockFree: 'offset and drift',
        clockSdS: 0.01,
      },
    ],
    targets,
    observations: emptyClocks(observations),
    loss: { kind: 'none' },
  };
}

describe('derivatives', () => {
  test('every column agrees with central differences along the problem’s own steps', () => {
    const { problem, places, rows, n, dense, residuals } = denseJacobian(everything());
    expect(n).toBe(5 + 6 + 8 + 2 + 2 * 6 + 3 * 3 + 2 * 6);
    expect(rows).toBe(2 * (2 * 2 * 54 + 2 * 3 + 2 * 4 + 4) + 2 + 5 + 1);
    const [ahead, behind] = [new Float64Array(rows), new Float64Array(rows)];
    const state = new Float64Array(places.start.length);
    problem.residualsInto(ahead, places.start);
    expectAllClose(ahead, residuals, 1e-9, 'residuals beside their derivatives');
    for (let k = 0; k < n; k++) {
      const h = 1e-5 * Math.max(1, problem.sizes[k]);
      const step = new Float64Array(n);
      for (const [out, sign] of [
        [ahead, 1],
        [behind, -1],
      ] as const) {
        step[k] = sign * h;
        problem.retractInto(state, places.start, step);
        problem.residualsInto(out, state);
      }
      for (let i = 0; i < rows; i++) {
        const found = dense[i * n + k];
        const expected = (ahead[i] - behind[i]) / (2 * h);
        // Truncation h² f‴ / 6 and rounding ε u / h are both about 1e-8 of derivatives of up to 1e4.
        expectClose(found, expected, 2e-4 + 1e-8 * Math.abs(expected), `residual ${i}, parameter ${k}`);
      }
    }
  });
});

describe('against independent programs (tests/generators/bundle_ceres.cc, bundle_scipy.py)', () => {
  interface Found {
    readonly program: string;
    readonly cost: number;
    readonly cameras: readonly number[][];
  }
  const known = reference<{ loss: 'none' | 'huber' | 'cauchy'; scale: number; ceres: Found; scipy: Found }>(
    'cameras-bundle',
  );
  const text = (known.problem as string[]).join('\n');

  test.each(known.cases)(
    'loss $loss: final cost and cameras of Ceres and SciPy',
    ({ loss: kind, scale, ceres, scipy }) => {
      const read = readBundleProblem(text);
      const found = solveBundle({ ...read, loss: kind === 'none' ? { kind } : { kind, scale } });
      for (const other of [ceres, scipy]) {
        expectClose(found.cost / other.cost, 1, known.tolerance, `cost against ${other.program}`);
        found.cameras.forEach((camera, c) => {
          const { fx, fy, cx, cy, distortion, rotation, translation } = camera;
          const ours = [...vectorFromRotation(rotation), ...translation, fx, fy, cx, cy, ...distortion];
          const at = (name: string) => found.parameters.indexOf(`${camera.name}.${name}`);
          const sdOf = (name: string) =>
            at(name) < 0 ? 0 : Math.sqrt(found.covariance[at(name) * (found.parameters.length + 1)]);
          const names = [
            'turn_x',
            'turn_y',
            'turn_z',
            'translation_x',
            'translation_y',
            'translation_z',
            'fx',
            'fy',
            'cx',
            'cy',
            'k1',
          ];
          names.forEach((name, k) => {
            // A relative difference of 1e-6 in cost would be a hundredth of a standard deviation; SciPy stops at 1e-12.
            expectClose(
              ours[k],
              other.cameras[c][k],
              1e-3 * sdOf(name) + 1e-12,
              `${other.program}: ${camera.name}.${name}`,
            );
          });
          expectAllClose(ours.slice(11), other.cameras[c].slice(11), 1e-15, 'held');
        });
      }
    },
  );
});

describe('exact observations give the truth', () => {
  test('boards, lenses free', () => {
    const scene = boardScene(6, 0, 1, [...LENS, 'p1', 'p2']);
    const found = solveBundle(scene.problem);
    expect(found.rmsPx).toBeLessThan(1e-8);
    found.cameras.forEach((camera, c) => {
      const truth = scene.cameras[c];
      expectAllClose(camera.translation, truth.translation, 1e-9, 'translation');
      expectAllClose(camera.rotation, truth.rotation, 1e-9, 'rotation');
      expectClose(camera.fx, truth.fx, 1e-6, 'fx');
      expectAllClose(camera.distortion, truth.distortion, 1e-8, 'distortion');
    });
    const pose = found.targets[3] as Pose;
    expectAllClose(pose.translation, (scene.targets[3] as Pose).translation, 1e-9, 'board');
    expectAllClose(
      multiply3(pose.rotation, transpose3(pose.rotation)),
      [1, 0, 0, 0, 1, 0, 0, 0, 1],
      1e-14,
      'a rotation',
    );
  });

  test('points scaled by rods', () => {
    const scene = pointScene({
      cameraCount: 3,
      points: 15,
      rods: 4,
      seed: 3,
      noisePx: 1,
      outliers: 0,
      loss: { kind: 'huber', scale: 2 },
      lensFree: [],
      focalSdPx: 0,
    });
    const { problem } = scene;
    const observations = exactly(scene.cameras, scene.targets as Float64Array[]);
    const rods = problem.targets.map((target, t) =>
      target.kind === 'rod' ? { ...target, lengthM: lengthOf(scene.targets[t] as Float64Array) } : target,
    );
    const found = solveBundle({ ...problem, targets: rods, observations });
    expect(found.cost).toBeLessThan(1e-14);
    found.targets.forEach((target, t) => {
      expectAllClose(target as Float64Array, scene.targets[t] as Float64Array, 1e-9, `target ${t}`);
    });
  });

  test('known points fix the frame: every camera as fitCamera finds it alone', () => {
    const { cameras } = boardScene(1, 0, 1, []);
    const points = Float64Array.from({ length: 60 }, (_, i) => (i % 3 === 2 ? 3 : -0.8) + 1.6 * ((i * 0.61803) % 1));
    const pixel = cameras.map((camera, c) => pixelsOf(camera, points, 0.5, 7 + c));
    const free = ['f', 'cx', 'cy'] as const;
    const started = cameras.map((camera) => ({ ...camera, translation: camera.translation.map((x) => x + 0.02) }));
    const found = solveBundle({
      cameras: started.map((camera) => ({ camera, poseFree: true, lensFree: free })),
      targets: [{ kind: 'known', label: 'room', points }],
      observations: {
        camera: Int32Array.from({ length: 40 }, (_, i) => (i < 20 ? 0 : 1)),
        target: new Int32Array(40),
        point: Int32Array.from({ length: 40 }, (_, i) => i % 20),
        pixel: Float64Array.from([...pixel[0], ...pixel[1]]),
        sdPx: null,
        velocity: null,
        timeS: null,
      },
      loss: { kind: 'none' },
    });
    const alone = started.map((camera, c) => fitCamera(camera, points, pixel[c], free));
    const sum = alone.reduce((total, one) => total + one.residualSumOfSquares, 0);
    expectClose(2 * found.cost, sum, 1e-9 * sum, 'sum of squares');
    expectClose(found.varianceFactor, sum / (80 - 18), 1e-9, 'variance factor');
    const n = found.parameters.length;
    alone.forEach((one, c) => {
      expectAllClose(found.cameras[c].translation, one.camera.translation, 1e-7, 'translation');
      expectClose(found.cameras[c].fx, one.camera.fx, 1e-4, 'focal length');
      const focal = found.parameters.indexOf(`${'ab'[c]}.f`);
      const ours = found.covariance[focal * (n + 1)] / found.varianceFactor;
      expectClose(
        ours / (one.covariance[0] / (one.residualSumOfSquares / (40 - 9))),
        1,
        1e-6,
        'variance of the focal length',
      );
    });
    expect(found.targets).toEqual([null]);
    expect(found.targetCovariance(0)).toHaveLength(0);
  });
});

function lengthOf(ends: Float64Array): number {
  return Math.hypot(ends[3] - ends[0], ends[4] - ends[1], ends[5] - ends[2]);
}

function exactly(cameras: readonly Camera[], points: readonly Float64Array[]): BundleObservations {
  const rows: number[][] = [];
  const uv = new Float64Array(2);
  cameras.forEach((camera, c) => {
    points.forEach((of, t) => {
      for (let p = 0; 3 * p < of.length; p++) {
        projectInto(uv, 0, camera, of[3 * p], of[3 * p + 1], of[3 * p + 2]);
        rows.push([c, t, p, uv[0], uv[1]]);
      }
    });
  });
  return {
    camera: Int32Array.from(rows, (row) => row[0]),
    target: Int32Array.from(rows, (row) => row[1]),
    point: Int32Array.from(rows, (row) => row[2]),
    pixel: Float64Array.from(rows.flatMap((row) => [row[3], row[4]])),
    sdPx: null,
    velocity: null,
    timeS: null,
  };
}

describe('covariance', () => {
  test('cameras, targets and both together agree with the whole dense problem', () => {
    const bundle = everything();
    const found = solveBundle(bundle);
    const { problem, rows, n, dense, blockAt } = denseJacobian(restarted(bundle, found));
    // Singular values of J itself, never of JᵀJ. Clocks start at 0 there: their columns do not depend on the value.
    const { covariance } = parameterUncertainty(dense, rows, n, rows - n, 1e-13);
    const close = (actual: number, i: number, j: number, what: string) => {
      const size = Math.sqrt(covariance[i * n + i] * covariance[j * n + j]);
      expectClose(actual / size, covariance[i * n + j] / size, 1e-6, what);
    };
    const shared = problem.sharedCount;
    expect(found.varianceFactor).toBe(1);
    expect(found.parameters).toHaveLength(shared);
    for (let i = 0; i < shared; i++) {
      for (let j = 0; j < shared; j++)
        close(found.covariance[i * shared + j], i, j, `${found.parameters[i]} with ${found.parameters[j]}`);
    }
    for (const t of [0, 3, 6]) {
      const size = problem.blockSizes[t];
      const own = found.targetCovariance(t);
      const across = found.targetCameraCovariance(t);
      for (let i = 0; i < size; i++) {
        for (let j = 0; j < size; j++) close(own[i * size + j], blockAt[t] + i, blockAt[t] + j, `target ${t}`);
        for (let k = 0; k < shared; k++)
          close(across[i * shared + k], blockAt[t] + i, k, `target ${t} with ${found.parameters[k]}`);
      }
    }
  });

  const free = pointScene({
    cameraCount: 2,
    points: 20,
    rods: 0,
    seed: 9,
    noisePx: 1,
    outliers: 0,
    loss: { kind: 'none' },
    lensFree: [],
    focalSdPx: 0,
  }).problem;

  test('points alone do not tell the scale: translation and points are NaN, the turn is known', () => {
    const found = solveBundle(free);
    const sd = found.parameters.map((_, k) => Math.sqrt(found.covariance[k * 7]));
    expect(found.parameters).toEqual(
      ['turn_x', 'turn_y', 'turn_z', 'translation_x', 'translation_y', 'translation_z'].map((x) => `b.${x}`),
    );
    const { rows, n, dense } = denseJacobian(restarted(free, found));
    const { standardDeviations, rank } = parameterUncertainty(dense, rows, n, rows - n + 1, 1e-13);
    expect(rank).toBe(n - 1);
    sd.slice(0, 3).forEach((x, k) => {
      expectClose(x / standardDeviations[k], 1, 1e-6, 'turn, against the singular values of the whole Jacobian');
    });
    expect(sd.slice(3).every(Number.isNaN)).toBe(true);
    expect(found.targetCovariance(0).every(Number.isNaN)).toBe(true);
    expect(found.stopped).not.toBe('iterations');
  });

  test('no camera held: nothing about any pose is known', () => {
    const found = solveBundle({ ...free, cameras: free.cameras.map((one) => ({ ...one, poseFree: true })) });
    expect(found.covariance.every(Number.isNaN)).toBe(true);
  });

  test('a point that one camera sees is NaN; the others keep their numbers', () => {
    const scene = boardScene(2, 0.3, 5, []);
    const { problem } = scene;
    const o = problem.observations;
    const extra: BundleTarget = { kind: 'point', label: 'lonely', start: Float64Array.of(0.1, 0.1, 3) };
    const observations = {
      ...o,
      camera: Int32Array.from([...o.camera, 1]),
      target: Int32Array.from([...o.target, 2]),
      point: Int32Array.from([...o.point, 0]),
      pixel: Float64Array.from([...o.pixel, ...pixelsOf(problem.cameras[1].camera, Float64Array.of(0.1, 0.1, 3))]),
    };
    const [plain, found] = [
      solveBundle(problem),
      solveBundle({ ...problem, targets: [...problem.targets, extra], observations }),
    ];
    expect(found.targetCovariance(2).some(Number.isNaN)).toBe(true);
    // Two more equations, two more unknowns that it determines.
    expectAllClose(found.covariance, plain.covariance, 1e-6 * Math.max(...plain.covariance), 'cameras');
    expectClose(found.varianceFactor, plain.varianceFactor, 1e-9, 'variance factor');
  });

  test('scales with the pixel noise where no sd is stated', () => {
    const found = solveBundle(boardScene(8, 0.2, 2, LENS).problem);
    // 1728 equations less 6 + 12 + 48 unknowns: relative standard deviation of the variance √(2 / 1662) = 3.5 %; three of them.
    expectClose(found.varianceFactor / 0.04, 1, 0.105, 'variance factor');
  });
});

describe('robust loss', () => {
  test('outliers of 20 to 100 px get little weight, and the pose is that of the good points', () => {
    const scene = pointScene({
      cameraCount: 3,
      points: 120,
      rods: 20,
      seed: 12,
      noisePx: 1,
      outliers: 0.03,
      loss: { kind: 'cauchy', scale: 3 },
      lensFree: [],
      focalSdPx: 0,
    });
    const found = solveBundle(scene.problem);
    const far = Array.from(found.weights, (weight, i) => [
      weight,
      Math.hypot(found.residuals[2 * i], found.residuals[2 * i + 1]),
    ]);
    const outliers = far.filter(([, distance]) => distance > 15);
    expect(outliers.length).toBeGreaterThan(5);
    // ρ′ = 1 / (1 + s / 9) at s = 15².
    expect(Math.max(...outliers.map(([weight]) => weight))).toBeLessThan(1 / 26 + 1e-9);
    const n = found.parameters.length;
    found.cameras.slice(1).forEach((camera, c) => {
      for (let k = 0; k < 3; k++) {
        const sd = Math.sqrt(found.covariance[(6 * c + 3 + k) * (n + 1)]);
        expectClose(
          (camera.translation[k] - scene.cameras[c + 1].translation[k]) / sd,
          0,
          4,
          `${camera.name} ${k}, in sd`,
        );
      }
    });
  });
});

describe('clocks', () => {
  test('offset and drift of a camera that films late come back with their sign', () => {
    const { cameras } = boardScene(1, 0, 1, []);
    const rows: number[][] = [];
    const targets: BundleTarget[] = [];
    const uv = new Float64Array(2);
    const place = (t: number) =>
      Float64Array.of(0.4 * Math.sin(3 * t), 0.5 * Math.cos(2.2 * t), 3.5 + 0.3 * Math.sin(1.7 * t));
    const [offsetS, drift] = [0.0123, -0.0004];
    const pixelAt = (camera: Camera, t: number) => {
      const [x, y, z] = place(t);
      projectInto(uv, 0, camera, x, y, z);
      return [...uv];
    };
    for (let i = 0; i < 60; i++) {
      const t = i / 6;
      targets.push({ kind: 'point', label: `moment ${i}`, start: place(t).map((x) => x + 0.003) });
      cameras.forEach((camera, c) => {
        const late = c === 0 ? 0 : offsetS + drift * t;
        const [u, v] = pixelAt(camera, t + late);
        const [[u0, v0], [u1, v1]] = [pixelAt(camera, t + late - 0.005), pixelAt(camera, t + late + 0.005)];
        rows.push([c, i, u, v, (u1 - u0) / 0.01, (v1 - v0) / 0.01, t]);
      });
    }
    const found = solveBundle({
      cameras: cameras.map((camera, c) => ({
        camera,
        poseFree: false,
        lensFree: [],
        clockFree: c === 1 ? 'offset and drift' : 'none',
      })),
      targets,
      observations: {
        camera: Int32Array.from(rows, (row) => row[0]),
        target: Int32Array.from(rows, (row) => row[1]),
        point: new Int32Array(rows.length),
        pixel: Float64Array.from(rows.flatMap((row) => row.slice(2, 4))),
        sdPx: new Float64Array(2 * rows.length).fill(1),
        velocity: Float64Array.from(rows.flatMap((row) => row.slice(4, 6))),
        timeS: Float64Array.from(rows, (row) => row[6]),
      },
      loss: { kind: 'none' },
    });
    // Second order of the motion over 12 ms: ½ · 7 m/s² · (12 ms)² = 0.5 mm, seen from both sides; 0.05 ms at 1 m/s each.
    expectClose(found.clocks[1].offsetS, offsetS, 2e-4, 'offset');
    expectClose(found.clocks[1].drift, drift, 4e-5, 'drift');
    expect(found.clocks[0]).toEqual({ offsetS: 0, drift: 0 });
    expect(found.parameters).toEqual(['b.clock_offset', 'b.clock_drift']);
  });
});

describe('misuse is refused', () => {
  const { problem } = boardScene(2, 0.2, 1, ['fx']);
  const seen = problem.observations;
  const changed = (observations: Partial<BundleObservations>) => ({
    ...problem,
    observations: { ...seen, ...observations },
  });

  test.each<[string, BundleProblem]>([
    ['a target that is not there', changed({ target: seen.target.map(() => 9) })],
    ['a point that is not there', changed({ point: seen.point.map(() => 54) })],
    ['a pixel that is not finite', changed({ pixel: seen.pixel.map(() => Number.NaN) })],
    ['too few deviations', changed({ sdPx: new Float64Array(3) })],
    ['a deviation of 0', changed({ sdPx: new Float64Array(seen.pixel.length) })],
    [
      'a free clock without velocities',
      { ...problem, cameras: problem.cameras.map((one) => ({ ...one, clockFree: 'offset' as const })) },
    ],
    [
      'one focal length and fx',
      { ...problem, cameras: problem.cameras.map((one) => ({ ...one, lensFree: ['f', 'fx'] as const })) },
    ],
    [
      'a prior that is not positive definite',
      {
        ...problem,
        cameras: problem.cameras.map((one) => ({
          ...one,
          lensPrior: { mean: Float64Array.of(1500), covariance: Float64Array.of(0) },
        })),
      },
    ],
    [
      'a board behind a camera',
      {
        ...problem,
        targets: problem.targets.map((target) =>
          target.kind === 'rigid'
            ? { ...target, start: { ...target.start, translation: Float64Array.of(0, 0, -3) } }
            : target,
        ),
      },
    ],
    [
      'a rod of no length',
      {
        ...problem,
        targets: [
          ...problem.targets,
          { kind: 'rod', label: 'r', start: new Float64Array(6), lengthM: 2, lengthSdM: 1 },
        ],
      },
    ],
  ])('%s', (_, wrong) => expect(() => solveBundle(wrong)).toThrow(RangeError));

  test('turning by the step is exp(δ) R', () => {
    const places = bundlePlaces(problem);
    const { problem: blocks } = bundleBlocks(problem, places);
    const step = new Float64Array(blocks.sizes.length);
    const delta = [0.3, -0.2, 0.5];
    step.set(delta, blocks.sharedCount);
    const out = new Float64Array(places.start.length);
    blocks.retractInto(out, places.start, step);
    const at = places.targets[0].stateAt;
    const expected = multiply3(rotationFromVector(delta), (problem.targets[0] as { start: Pose }).start.rotation);
    expectAllClose(out.subarray(at, at + 9), expected, 1e-15);
  });
});

test('the corners of a board are used as they are numbered', () => {
  // Guards the scene against its own copy of the numbering.
  const points = boardPoints({ columns: 9, rows: 6, squareSizeM: 0.08 });
  const scene = boardScene(1, 0, 1, []).problem.targets[0] as { points: Float64Array };
  expectClose(points[3 * 10] - points[3 * 1], scene.points[3 * 10] - scene.points[3 * 1], 1e-15);
});
