import { describe, expect, test } from '@jest/globals';
import { boardPoints } from '../../src/cameras/board.ts';
import { solveBundle } from '../../src/cameras/bundle.ts';
import type { BundleProblem, BundleSolution } from '../../src/cameras/bundle-problem.ts';
import { cameraCentre } from '../../src/cameras/camera-model.ts';
import { fitCamera } from '../../src/cameras/fit-camera.ts';
import { composePoses, invertPose, type Pose } from '../../src/cameras/pose.ts';
import {
  blockOf,
  centreCovariance,
  covarianceInWorld,
  covarianceOfFit,
  largestSd,
  POSE_PARAMETERS,
  poseAt,
  sideBySide,
} from '../../src/cameras/pose-covariance.ts';
import type { Camera } from '../../src/cameras/rig.ts';
import {
  bundlePoints,
  coverageOf,
  measuredQuality,
  placedCameras,
  qualityOfBundle,
  scaleFrom,
  tiltRange,
} from '../../src/cameras/rig-quality.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { multiply3, rotationFromVector, transpose3, vectorFromRotation } from '../../src/numerics/rotation.ts';
import { standardDeviation } from '../../src/numerics/statistics.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { GYM_BOARD, gymPoses } from './gym-board.ts';
import { camera, cameraLookingAt, pixelsOf } from './synthetic-cameras.ts';

const random = seededRandom(3);
const worldFromBundle: Pose = {
  rotation: rotationFromVector([0.4, 2.1, -0.7]),
  translation: Float64Array.of(0.8, -1.3, 2.4),
};
const inBundle = camera({ name: 'b', rotation: rotationFromVector([-0.3, 0.9, 0.2]) });

/** A pose after a small turn δ and a shift of its translation: R becomes exp(δ) R. */
function nudged<P extends Pose>(pose: P, step: ArrayLike<number>): P {
  return {
    ...pose,
    rotation: multiply3(rotationFromVector([step[0], step[1], step[2]]), pose.rotation),
    translation: pose.translation.map((t, k) => t + step[3 + k]),
  };
}
/** The step from one pose to a near one. */
const stepBetween = (from: Pose, to: Pose) => [
  ...vectorFromRotation(multiply3(to.rotation, transpose3(from.rotation))),
  ...to.translation.map((t, k) => t - from.translation[k]),
];
const unit = (k: number, size: number) => Array.from({ length: 6 }, (_, i) => (i === k ? size : 0));
const nameAll = (name: string) => POSE_PARAMETERS.map((parameter) => `${name}.${parameter}`);
/** A full-rank covariance of six pose parameters from a random factor. */
const factor = Float64Array.from({ length: 36 }, (_, i) => (i % 6 <= Math.floor(i / 6) ? 1e-3 * random.normal() : 0));
const covariance = Float64Array.from({ length: 36 }, (_, i) => {
  let sum = 0;
  for (let k = 0; k < 6; k++) sum += factor[6 * Math.floor(i / 6) + k] * factor[6 * (i % 6) + k];
  return sum;
});

describe('the covariance of a camera after the world was placed', () => {
  test('its derivatives are those of the placing itself (central differences)', () => {
    const place = (pose: Pose) => composePoses(pose, invertPose(worldFromBundle));
    const h = 1e-5;
    for (let k = 0; k < 6; k++) {
      // A covariance with this parameter alone free gives column k of the derivative times itself.
      const alone = new Float64Array(36);
      alone[7 * k] = 1;
      const moved = covarianceInWorld({ parameters: nameAll('b'), covariance: alone }, [inBundle], worldFromBundle);
      const [low, high] = [-h, h].map((size) => stepBetween(place(inBundle), place(nudged(inBundle, unit(k, size)))));
      const slope = high.map((x, i) => (x - low[i]) / (2 * h));
      // Central differences at 1e-5 of functions of size 1: h² = 1e-10.
      expectAllClose(
        moved.covariance,
        slope.flatMap((a) => slope.map((b) => a * b)),
        1e-8,
        POSE_PARAMETERS[k],
      );
    }
  });

  test('nudges drawn from it in the bundle scatter in the world as it says (4,000 draws, 5 % of each SD)', () => {
    const moved = covarianceInWorld({ parameters: nameAll('b'), covariance }, [inBundle], worldFromBundle);
    const before = composePoses(inBundle, invertPose(worldFromBundle));
    const draws = Array.from({ length: 4000 }, () => {
      const z = Array.from({ length: 6 }, () => random.normal());
      const step = Array.from({ length: 6 }, (_, i) => z.reduce((sum, x, k) => sum + factor[6 * i + k] * x, 0));
      return stepBetween(before, composePoses(nudged(inBundle, step), invertPose(worldFromBundle)));
    });
    for (let k = 0; k < 6; k++) {
      // The SD of an SD from 4,000 draws is 1.1 %; four of them are 4.5 %.
      const stated = Math.sqrt(moved.covariance[7 * k]);
      expectClose(standardDeviation(draws.map((draw) => draw[k])) / stated, 1, 0.05, POSE_PARAMETERS[k]);
    }
  });

  test('the place of the camera is as sure in the world as in the bundle; its derivatives are those of −Rᵀ t', () => {
    const moved = covarianceInWorld({ parameters: nameAll('b'), covariance }, [inBundle], worldFromBundle);
    const [placed] = placedCameras([inBundle], worldFromBundle);
    const before = largestSd(centreCovariance(inBundle, covariance));
    expectClose(largestSd(centreCovariance(placed, moved.covariance)), before, 1e-12, 'm');
    const h = 1e-6;
    for (let k = 0; k < 6; k++) {
      const alone = new Float64Array(36);
      alone[7 * k] = 1;
      const [low, high] = [-h, h].map((size) => cameraCentre(nudged(inBundle, unit(k, size))));
      const slope = [...high].map((x, i) => (x - low[i]) / (2 * h));
      expectAllClose(
        centreCovariance(inBundle, alone),
        slope.flatMap((a) => slope.map((b) => a * b)),
        1e-7,
        POSE_PARAMETERS[k],
      );
    }
  });

  test('what is not determined stays so and spoils nothing else; held cameras and lenses are left alone', () => {
    const parameters = ['a.fx', ...nameAll('b')];
    const wide = new Float64Array(49).fill(0);
    for (let i = 0; i < 36; i++) wide[7 * (1 + Math.floor(i / 6)) + 1 + (i % 6)] = covariance[i];
    wide.fill(Number.NaN, 0, 7);
    for (let i = 0; i < 7; i++) wide[7 * i] = Number.NaN;
    const cameras = [camera({ name: 'a' }), inBundle];
    const moved = covarianceInWorld({ parameters, covariance: wide }, cameras, worldFromBundle);
    const own = blockOf(moved.covariance, 7, poseAt(parameters, 'b')!);
    const alone = covarianceInWorld({ parameters: nameAll('b'), covariance }, [inBundle], worldFromBundle).covariance;
    expectAllClose(own, alone, 1e-15);
    expect(moved.covariance[0]).toBeNaN();
    expect(poseAt(parameters, 'a')).toBeNull();
  });
});

describe('the covariance of a camera fitted alone', () => {
  const points = Float64Array.from({ length: 90 }, () => random.normal() * 0.5);
  const truth = cameraLookingAt('side', [1.5, 1.2, 4], [0, 0, 0]);

  test('speaks of a small turn: 300 noisy fits scatter as it says (15 % of each SD)', () => {
    const exact = fitCamera(truth, points, pixelsOf(truth, points, 0.5, 1), ['f']);
    const stated = covarianceOfFit(exact);
    expect(stated.parameters).toEqual(['side.f', ...nameAll('side')]);
    const steps = Array.from({ length: 300 }, (_, i) => {
      const { camera: found } = fitCamera(truth, points, pixelsOf(truth, points, 0.5, 10 + i), ['f']);
      return [found.fx - truth.fx, ...stepBetween(truth, found)];
    });
    stated.parameters.forEach((name, k) => {
      // SD of an SD from 300 draws: 4.1 %; that of one stated from 180 residuals: 5.4 %. Two and a half of both: 17 %.
      const found = standardDeviation(steps.map((step) => step[k]));
      expectClose(found / Math.sqrt(stated.covariance[8 * k]), 1, 0.17, name);
    });
  });

  test('blocks side by side are independent', () => {
    const two = sideBySide([
      { parameters: ['a'], covariance: Float64Array.of(4) },
      { parameters: ['b', 'c'], covariance: Float64Array.of(1, 2, 2, 9) },
    ]);
    expect(two.parameters).toEqual(['a', 'b', 'c']);
    expect([...two.covariance]).toEqual([4, 0, 0, 0, 1, 2, 0, 2, 9]);
  });
});

describe('coverage and tilt', () => {
  const picture = camera({ imageWidth: 1000, imageHeight: 500 });

  test('one point in each of 30 of 100 fields is 0.3, wherever in its field it lies', () => {
    const pixels = Array.from({ length: 30 }, (_, i) => ({
      u: 100 * (i % 10) + 99.4,
      v: 50 * Math.floor(i / 10) - 0.4,
    }));
    expectClose(coverageOf(picture, pixels), 0.3, 1e-12);
    expectClose(coverageOf(picture, [...pixels, ...pixels]), 0.3, 1e-12);
    expect(coverageOf(picture, [])).toBe(0);
  });

  test('a point on or just beyond the border belongs to the field beside it', () => {
    expectClose(coverageOf(picture, [{ u: -3, v: 505 }]), 0.01, 1e-12);
  });

  test('the tilt range is the largest angle between two normals', () => {
    const at = (deg: number) => [0, Math.sin((deg * Math.PI) / 180), Math.cos((deg * Math.PI) / 180)];
    expectClose(tiltRange([at(-20), at(5), at(30)])!, 50, 1e-10);
    expect(tiltRange([at(3)])).toBeNull();
  });

  test('causes of the scale add as variances', () => {
    expectClose(scaleFrom({ bar: 0.003, fit: 0.004 }).sdShare, 0.005, 1e-15);
  });
});

/** Two phones, the second free, and boards in a gym; the first camera is the bundle's frame. */
function gymProblem(noisePx: number, seed: number): BundleProblem {
  const inWorld = [
    cameraLookingAt('A', [2.6, 1.3, 2.6], [0, 0.95, 0]),
    cameraLookingAt('B', [-2.4, 1.1, 3], [0, 0.95, 0]),
  ];
  const firstFromWorld = inWorld[0];
  const worldFromFirst = invertPose(firstFromWorld);
  const cameras = inWorld.map((one): Camera => ({ ...one, ...composePoses(one, worldFromFirst) }));
  const poses = [...gymPoses(8)].map(([label, pose]) => ({ label, pose: composePoses(firstFromWorld, pose) }));
  const points = boardPoints(GYM_BOARD);
  const n = points.length / 3;
  const pixels: number[] = [];
  poses.forEach(({ pose }, t) => {
    cameras.forEach((one, c) => {
      pixels.push(...pixelsOf({ ...one, ...composePoses(one, pose) }, points, noisePx, seed + 100 * t + c));
    });
  });
  const count = cameras.length * poses.length * n;
  return {
    cameras: cameras.map((one, c) => ({ camera: one, poseFree: c > 0, lensFree: [] })),
    targets: poses.map(({ label, pose }) => ({ kind: 'rigid', label, points, start: pose })),
    observations: {
      camera: Int32Array.from({ length: count }, (_, i) => Math.floor(i / n) % cameras.length),
      target: Int32Array.from({ length: count }, (_, i) => Math.floor(i / (n * cameras.length))),
      point: Int32Array.from({ length: count }, (_, i) => i % n),
      pixel: Float64Array.from(pixels),
      sdPx: null,
      velocity: null,
      timeS: null,
    },
    loss: { kind: 'none' },
  };
}

describe('the quality record of a bundle', () => {
  const problem = gymProblem(0.3, 1);
  const solution = solveBundle(problem);
  const extras = { worldFromBundle, heldOutLength: null, vertical: null, scale: null };
  const { measured, undetermined } = qualityOfBundle(problem, solution, extras);

  test('has every camera with its residual, points, views, tilt and coverage; the held one has no place SD', () => {
    const [a, b] = measured.cameras;
    expect(measured.cameras.map((one) => [one.camera, one.points, one.views])).toEqual([
      ['A', 9 * 35, 9],
      ['B', 9 * 35, 9],
    ]);
    expect([a.placeSdM, a.directionSdDeg, a.focalSdPx, a.clock]).toEqual([null, null, null, null]);
    // 0.3 px in u and v: 0.42 px in the plane, less what 60 parameters take from 1260 residuals (2.4 %).
    for (const one of [a, b]) expectClose(one.reprojectionRmsPx, 0.3 * Math.SQRT2, 0.03, one.camera);
    expect(b.placeSdM!).toBeGreaterThan(0);
    expect(a.tiltRangeDeg!).toBeGreaterThan(40);
    expect(undetermined).toEqual([]);
    const pooled = Math.sqrt((a.reprojectionRmsPx ** 2 + b.reprojectionRmsPx ** 2) / 2);
    expectClose(pooled, solution.rmsPx, 1e-12, 'pooled');
  });

  test('the volume is that of all board corners in the rig’s world', () => {
    const points = bundlePoints(problem.targets, solution, worldFromBundle);
    expect(points).toHaveLength(9 * 35 * 3);
    const heights = points.filter((_, i) => i % 3 === 1);
    expectClose(measured.volumeM![1], Math.min(...heights), 1e-12);
    expectClose(measured.volumeM![4], Math.max(...heights), 1e-12);
  });

  test('the stated place and direction of the second camera hold in 60 simulated calibrations (25 % of the SD)', () => {
    const found = Array.from({ length: 60 }, (_, i) => solveBundle(gymProblem(0.3, 10_000 * (i + 1))).cameras[1]);
    const truth = problem.cameras[1].camera;
    const steps = found.map((one) => stepBetween(truth, one));
    const n = solution.parameters.length;
    // SD of an SD from 60 draws: 9.2 %; 2.7 of them are 25 %, and six are looked at.
    nameAll('B').forEach((name, k) => {
      const at = solution.parameters.indexOf(name);
      const stated = Math.sqrt(solution.covariance[at * n + at]);
      expectClose(standardDeviation(steps.map((step) => step[k])) / stated, 1, 0.25, name);
    });
    // The r.m.s. distance of the centres lies between the SD along the worst axis and √3 of it, within the same 25 %.
    const off = found.map((one) => {
      const [p, q] = [cameraCentre(one), cameraCentre(truth)];
      return (p[0] - q[0]) ** 2 + (p[1] - q[1]) ** 2 + (p[2] - q[2]) ** 2;
    });
    const rms = Math.sqrt(off.reduce((sum, x) => sum + x, 0) / off.length);
    expect(rms / measured.cameras[1].placeSdM!).toBeGreaterThan(0.75);
    expect(rms / measured.cameras[1].placeSdM!).toBeLessThan(1.25 * Math.sqrt(3));
  });

  test('undetermined parameters are named, null, and no NaN leaves', () => {
    const n = solution.parameters.length;
    const spoilt = solution.covariance.slice();
    for (let i = 0; i < n; i++) {
      spoilt[i] = Number.NaN;
      spoilt[i * n] = Number.NaN;
    }
    const lost: BundleSolution = { ...solution, covariance: spoilt };
    const found = qualityOfBundle(problem, lost, extras);
    expect(found.undetermined).toContain(solution.parameters[0]);
    expect(found.measured.cameras[1].placeSdM).toBeNull();
    expect(JSON.stringify(found.measured, (_, value) => (Number.isNaN(value) ? 'NaN!' : value))).not.toContain('NaN!');
    const { parameters, lowerTriangle } = found.measured.covariance!;
    expect(lowerTriangle).toHaveLength((parameters.length * (parameters.length + 1)) / 2);
  });

  test('a free clock appears with the half width of its interval and its sign', () => {
    const clocked: BundleSolution = {
      ...solution,
      clocks: [
        { offsetS: 0, drift: 0 },
        { offsetS: -0.02, drift: 1e-6 },
      ],
      parameters: ['B.clock_offset', 'B.clock_drift'],
      covariance: Float64Array.of(1e-6, 0, 0, 1e-14),
    };
    const [a, b] = qualityOfBundle(problem, clocked, extras).measured.cameras;
    expect(a.clock).toBeNull();
    expectClose(b.clock!.halfWidth95S, 1.96e-3, 1e-6, 'Φ⁻¹(0.975) · 1 ms');
    expect([b.clock!.offsetS, b.clock!.drift]).toEqual([-0.02, 1e-6]);
  });

  test('points that the robust loss ignores take no part in residual or coverage', () => {
    const weights = solution.weights.map((_, i) => (i === 0 ? 0.01 : 1));
    const { measured: found } = qualityOfBundle(problem, { ...solution, weights }, extras);
    expect(found.cameras[0].points).toBe(9 * 35 - 1);
  });

  test('nothing known at all: nulls, no covariance', () => {
    const empty = measuredQuality({
      cameras: [inBundle],
      covariance: { parameters: [], covariance: new Float64Array() },
      observations: [],
      boardNormals: new Map(),
      points: new Float64Array(),
      clocks: new Map(),
      heldOutLength: null,
      vertical: null,
      scale: null,
    });
    expect([empty.measured.volumeM, empty.measured.covariance, empty.measured.cameras[0].tiltRangeDeg]).toEqual([
      null,
      null,
      null,
    ]);
  });
});
