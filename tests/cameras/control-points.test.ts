import { describe, expect, test } from '@jest/globals';
import { cameraCentre } from '../../src/cameras/camera-model.ts';
import {
  type ControlPointOptions,
  type ControlPointView,
  cameraFromControlPoints,
  rigFromControlPoints,
} from '../../src/cameras/control-points.ts';
import type { Camera } from '../../src/cameras/rig.ts';
import { DataError } from '../../src/errors.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { standardDeviation } from '../../src/numerics/statistics.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';
import { cameraLookingAt, pixelsOf } from './synthetic-cameras.ts';

/** Posts of a 1.6 × 2 × 1.2 m frame, three heights on each corner. */
const FRAME = Float64Array.from(
  [-0.8, 0.8].flatMap((x) => [0.1, 1, 2].flatMap((y) => [-0.6, 0.6].flatMap((z) => [x, y, z]))),
);
const seeing = cameraLookingAt('side', [1.5, 1.2, 4], [0, 1, 0]);

const labelsOf = (points: Float64Array) => Array.from({ length: points.length / 3 }, (_, i) => `p${i + 1}`);

function viewOf(pixels: Float64Array, changes: Partial<ControlPointView> = {}): ControlPointView {
  const map = new Map<string, readonly [number, number]>();
  for (let i = 0; 2 * i < pixels.length; i++) map.set(`p${i + 1}`, [pixels[2 * i], pixels[2 * i + 1]]);
  return { camera: 'side', imageWidth: 1920, imageHeight: 1080, pixels: map, ...changes };
}

function solve(of: Camera, points = FRAME, noisePx = 0, options: ControlPointOptions = {}, seed = 1) {
  return cameraFromControlPoints(
    { labels: labelsOf(points), positions: points },
    viewOf(pixelsOf(of, points, noisePx, seed)),
    options,
  );
}

function refusal(work: () => unknown): DataError {
  try {
    work();
  } catch (error) {
    if (error instanceof DataError) return error;
    throw error;
  }
  throw new Error('nothing was refused');
}

function expectSameCamera(found: Camera, truth: Camera, tolerancePx: number, toleranceM: number): void {
  const lens = (one: Camera) => [one.fx, one.fy, one.cx, one.cy];
  expectAllClose(lens(found), lens(truth), tolerancePx, 'lens');
  expectAllClose(cameraCentre(found), cameraCentre(truth), toleranceM, 'centre');
  expectAllClose(found.distortion, truth.distortion, 1e-6, 'distortion');
}

describe('exact control points', () => {
  test('give back a camera without distortion, and only the parameters it needs', () => {
    const found = solve(seeing);
    expectSameCamera(found.camera, seeing, 1e-5, 1e-8);
    expect(found.free).toEqual(['f', 'cx', 'cy']);
    expect(found.tried).toHaveLength(3);
  });

  test('give back k1, or k1 and k2, where the picture has them', () => {
    for (const distortion of [[-0.2, 0, 0, 0, 0] as const, [-0.25, 0.08, 0, 0, 0] as const]) {
      const bent = { ...seeing, distortion };
      expectSameCamera(solve(bent).camera, bent, 1e-3, 1e-6);
    }
  });

  test('give two focal lengths on request', () => {
    const tall = { ...seeing, fy: 1350 };
    expectSameCamera(solve(tall, FRAME, 0, { focal: 'two' }).camera, tall, 1e-4, 1e-7);
    expectSameCamera(solve(tall, FRAME, 0, { focal: 'auto' }).camera, tall, 1e-4, 1e-7);
  });

  test('six points are enough', () => {
    const six = FRAME.filter((_, i) => [0, 3, 4, 7, 8, 11].includes(Math.floor(i / 3)));
    expectSameCamera(solve(seeing, six).camera, seeing, 1e-4, 1e-7);
  });

  test('with a lens from elsewhere only the pose is fitted, through its distortion', () => {
    const bent: Camera = { ...seeing, distortion: [-0.28, 0.09, 0.001, -0.001, 0.01] };
    const points = { labels: labelsOf(FRAME), positions: FRAME };
    const found = cameraFromControlPoints(points, viewOf(pixelsOf(bent, FRAME), { lens: bent }));
    expectSameCamera(found.camera, bent, 0, 1e-9);
    expect(found.free).toEqual([]);
    expect(found.focalSdPx).toBeNaN();
  });

  test('a wide lens bends the picture by more than any straight camera may miss it, and is still found', () => {
    const wide: Camera = { ...seeing, fx: 800, fy: 800, distortion: [-0.3, 0.1, 0, 0, 0] };
    const near = { ...wide, translation: seeing.translation.map((t, k) => (k === 2 ? 2.1 : t)) };
    expectSameCamera(solve(near).camera, near, 1e-3, 1e-6);
    const points = { labels: labelsOf(FRAME), positions: FRAME };
    const known = cameraFromControlPoints(points, viewOf(pixelsOf(near, FRAME), { lens: near }));
    expectSameCamera(known.camera, near, 0, 1e-9);
  });
});

describe('noisy control points', () => {
  const runs = Array.from({ length: 60 }, (_, i) => solve(seeing, FRAME, 0.5, { distortion: 'none' }, i + 1));

  test('scatter as their standard deviations say (60 draws: the ratio of standard deviations lies within ± 30 %)', () => {
    const stated = (values: number[]) => Math.sqrt(values.reduce((sum, x) => sum + x * x, 0) / values.length);
    const focal = standardDeviation(runs.map((run) => run.camera.fx)) / stated(runs.map((run) => run.focalSdPx));
    // SD of a standard deviation from 60 draws is 9 %; three of them, and the same for the mean stated one.
    expectClose(focal, 1, 0.3, 'focal length, found over stated');
    for (let axis = 0; axis < 3; axis++) {
      const found = standardDeviation(runs.map((run) => cameraCentre(run.camera)[axis]));
      expectClose(found / stated(runs.map((run) => run.centreSdM[axis])), 1, 0.3, `centre ${'xyz'[axis]}`);
    }
  });

  test('distortion that is not there is seldom fitted', () => {
    const fitted = Array.from({ length: 40 }, (_, i) => solve(seeing, FRAME, 0.5, {}, 100 + i)).filter(
      (run) => run.free.length > 3,
    );
    // 24 residuals: one term more costs AICc 7.1, and 2 are asked on top: F(1, 14) > 6.5, p = 0.023. Of 40 sets 0.9 are
    // expected for k1 and fewer for k1 k2; more than 5 come by chance in fewer than 1 of 300 trials.
    expect(fitted.length).toBeLessThanOrEqual(5);
  });
});

describe('the published cube (measured to 0.2 cm)', () => {
  const cube = reference<{ point: string; xyz: number[]; uv: number[][] }>('cameras-dlt-cube');

  test.each([0, 1, 2, 3])(
    'view %i: nine parameters fit no better than the eleven of the DLT, and not far worse',
    (view) => {
      const found = cameraFromControlPoints(
        {
          labels: cube.cases.map((one) => one.point),
          positions: Float64Array.from(cube.cases.flatMap((one) => one.xyz)),
        },
        {
          camera: `view ${view}`,
          imageWidth: 2400,
          imageHeight: 1800,
          pixels: new Map(cube.cases.map((one) => [one.point, one.uv[view] as [number, number]])),
        },
        { distortion: 'none' },
      );
      // 16 equations: with 11 parameters 5 are spare, with 9 there are 7: √(7/5) = 1.2 in the mean; thrice as bad would be another camera.
      const dlt = (cube.normalisedErrorPx as number[])[view];
      expect(found.rmsPx).toBeGreaterThan(0.95 * dlt);
      expect(found.rmsPx).toBeLessThan(3 * dlt);
    },
  );
});

describe('sets that cannot give a camera', () => {
  const solveSet = (points: Float64Array, pixels = pixelsOf(seeing, points)) =>
    cameraFromControlPoints({ labels: labelsOf(points), positions: points }, viewOf(pixels));
  const facts = (points: Float64Array, pixels?: Float64Array) => refusal(() => solveSet(points, pixels));

  test('five points', () => {
    const error = facts(FRAME.slice(0, 15));
    expect([error.code, error.facts.found, error.facts.fewest]).toEqual(['control-points-too-few', 5, 6]);
  });

  /** The frame pressed flat, front and rear posts side by side. */
  const sheared = (z: () => number) =>
    FRAME.map((x, i) => (i % 3 === 2 ? z() : i % 3 === 0 ? x + 0.2 * FRAME[i + 2] : x));

  test('all in one plane, and nearly so', () => {
    expect(facts(sheared(() => 0.2)).code).toBe('control-points-coplanar');
    const random = seededRandom(4);
    expect(facts(sheared(() => 0.005 * random.normal())).code).toBe('control-points-coplanar');
  });

  test('all on one line', () => {
    const line = Float64Array.from({ length: 24 }, (_, i) => [0.1, 0.25, -0.05][i % 3] * Math.floor(i / 3));
    expect(facts(line).code).toBe('control-points-on-line');
  });

  test('one point twice', () => {
    const twice = FRAME.slice();
    twice.copyWithin(9, 0, 3);
    const error = facts(twice);
    expect([error.code, error.facts.first, error.facts.second]).toEqual(['control-points-duplicate', 'p1', 'p4']);
  });

  test('all equally far away (2 cm of depth at 4.3 m)', () => {
    const centre = [1.5, 1.2, 4];
    const sphere = Float64Array.from({ length: 36 }, (_, o) => {
      const i = Math.floor(o / 3);
      const forward = [seeing.rotation[6], seeing.rotation[7], seeing.rotation[8]];
      const right = [seeing.rotation[0], seeing.rotation[1], seeing.rotation[2]];
      const down = [seeing.rotation[3], seeing.rotation[4], seeing.rotation[5]];
      const k = o % 3;
      const depth = 4.3 + 0.02 * ((i * i) % 3);
      return (
        centre[k] + depth * forward[k] + 0.15 * ((i % 3) - 1) * right[k] + 0.15 * (Math.floor(i / 3) - 1.5) * down[k]
      );
    });
    expect(facts(sphere).code).toBe('control-points-one-depth');
  });

  test('left and right labels swapped: the picture is a mirror', () => {
    const mirrored = FRAME.map((x, i) => (i % 3 === 2 ? -x : x));
    expect(facts(mirrored, pixelsOf(seeing, FRAME)).code).toBe('control-points-mirrored');
  });

  test('rows counted upward: the picture is a mirror', () => {
    const upward = pixelsOf(seeing, FRAME).map((x, i) => (i % 2 === 1 ? 1079 - x : x));
    expect(facts(FRAME, upward).code).toBe('control-points-mirrored');
  });

  test('two labels swapped: no camera fits, and both are named', () => {
    const pixels = pixelsOf(seeing, FRAME);
    const swapped = pixels.slice();
    swapped.set(pixels.subarray(4, 6), 14);
    swapped.set(pixels.subarray(14, 16), 4);
    const error = facts(FRAME, swapped);
    expect(error.code).toBe('control-points-do-not-fit');
    expect(String(error.facts.suspicion)).toMatch(/p3 and p8/);
  });

  test('one point marked in the wrong place: it is named', () => {
    const pixels = pixelsOf(seeing, FRAME);
    pixels[8] += 400;
    const error = facts(FRAME, pixels);
    expect(error.code).toBe('control-points-do-not-fit');
    expect(String(error.facts.suspicion)).toMatch(/p5/);
  });

  test('a point without position, and a camera named twice', () => {
    const points = { labels: labelsOf(FRAME).slice(0, 11), positions: FRAME.slice(0, 33) };
    const error = refusal(() => cameraFromControlPoints(points, viewOf(pixelsOf(seeing, FRAME))));
    expect([error.code, error.facts.label]).toEqual(['control-point-label-unknown', 'p12']);
    const view = viewOf(pixelsOf(seeing, FRAME));
    const all = { labels: labelsOf(FRAME), positions: FRAME };
    expect(refusal(() => rigFromControlPoints(all, [view, view])).code).toBe('rig-camera-named-twice');
    expect(refusal(() => rigFromControlPoints(all, [])).code).toBe('rig-without-camera');
  });
});

test('a rig of three cameras pools its residuals', () => {
  const cameras = [
    seeing,
    cameraLookingAt('front', [4, 1.5, -1], [0, 1, 0]),
    cameraLookingAt('back', [-4, 2, 1], [0, 1, 0]),
  ];
  const views = cameras.map((one, i) => viewOf(pixelsOf(one, FRAME, 0.5, i + 1), { camera: one.name }));
  const { rig, details } = rigFromControlPoints({ labels: labelsOf(FRAME), positions: FRAME }, views, {
    distortion: 'none',
  });
  expect(rig.cameras.map((one) => one.name)).toEqual(['side', 'front', 'back']);
  expect(rig.quality.pointsUsed).toBe(36);
  const pooled = Math.sqrt(details.reduce((sum, one) => sum + one.rmsPx ** 2, 0) / 3);
  expectClose(rig.quality.reprojectionRmsPx!, pooled, 1e-12);
  // 0.5 px in each of two coordinates, 24 equations less 9 parameters: 0.5 √2 √(15/24) = 0.56 px.
  expectClose(pooled, 0.56, 0.2);
});
