import { beforeAll, describe, expect, test } from '@jest/globals';
import type { BoardImage } from '../../src/cameras/board.ts';
import { type BoardRig, type BoardRigOptions, calibrateRigFromBoard } from '../../src/cameras/board-rig.ts';
import { cameraCentre } from '../../src/cameras/camera-model.ts';
import { loadOpenCv, withOpenCv } from '../../src/cameras/opencv.ts';
import type { Pose } from '../../src/cameras/pose.ts';
import { DataError } from '../../src/errors.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { multiply3, rotationFromVector } from '../../src/numerics/rotation.ts';
import { expectClose } from '../expect-close.ts';
import { boardRigProblem } from './dense-board-problem.ts';
import { boardImages, cameraLookingAt, MODERATE_DISTORTION } from './synthetic-cameras.ts';

const BOARD = { columns: 6, rows: 4, squareSizeM: 0.12 };
const DISTORTION = [-0.12, 0.04, 0.0005, -0.0004, 0] as const;
const CAMERAS = [
  cameraLookingAt('a', [0.5, 1.3, 3.5], [0, 1, 0], { distortion: DISTORTION }),
  cameraLookingAt('b', [2.5, 1.1, 2.6], [0, 1, 0], { distortion: DISTORTION, fx: 1450, fy: 1450 }),
  cameraLookingAt('c', [-2.2, 1.5, 2.7], [0, 1, 0], { distortion: [0, 0, 0, 0, 0] }),
];

/** worldFromBoard: x to the world's −X, columns (y) downward, normal towards −Z, so that cameras at +Z see it upright. */
const FACING = Float64Array.of(1, 0, 0, 0, -1, 0, 0, 0, -1);
const UNTURNED = Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1);
/** Lying: x along X, y along Z, normal down; seen from above x is right and y towards the viewer. */
const LYING = Float64Array.of(1, 0, 0, 0, 0, -1, 0, 1, 0);

function boardPoses(count: number): Map<string, Pose> {
  const random = seededRandom(21);
  const poses = new Map<string, Pose>();
  for (let i = 0; i < count; i++) {
    const tilt = [0, 1, 2].map(() => 1.1 * (random.uniform() - 0.5));
    const translation = Float64Array.of(
      -0.28 + 0.8 * (random.uniform() - 0.5),
      1.25 + 0.7 * (random.uniform() - 0.5),
      0.4 * (random.uniform() - 0.5),
    );
    poses.set(`i${i}`, { rotation: multiply3(rotationFromVector(tilt), FACING), translation });
  }
  // Lying 3 mm above the floor, and standing with its lowest corner 0.5 m above it.
  poses.set('floor', { rotation: LYING, translation: Float64Array.of(-0.3, 0.003, 0.1) });
  poses.set('stand', { rotation: FACING, translation: Float64Array.of(-0.3, 0.86, 0) });
  return poses;
}

const POSES = boardPoses(7);
const EXACT = boardImages(CAMERAS, BOARD, POSES);
const SETUP = CAMERAS.map((camera) => ({ name: camera.name, imageSize: { width: 1920, height: 1080 } }));

const solve = (images: readonly BoardImage[], options: BoardRigOptions = {}, setup = SETUP) =>
  calibrateRigFromBoard(images, BOARD, setup, options);

async function refusal(work: () => Promise<unknown>): Promise<DataError> {
  try {
    await work();
  } catch (error) {
    if (error instanceof DataError) return error;
    throw error;
  }
  throw new Error('nothing was refused');
}

/** Distances and heights that do not depend on the heading: camera heights above the floor and distances between cameras. */
function shapeOf(centres: readonly Float64Array[]): number[] {
  const apart = (i: number, j: number) => Math.hypot(...centres[i].map((x, k) => x - centres[j][k]));
  return [...centres.map((centre) => centre[1]), apart(0, 1), apart(0, 2), apart(1, 2)];
}

describe('three cameras, exact corners', () => {
  test.each([
    ['lies', 'floor', 0.003],
    ['stands', 'stand', 0.5],
  ] as const)('a board that %s gives the vertical, the floor and the true rig', async (board, image, heightM) => {
    const { rig } = await solve(EXACT, { up: { image, board, heightM } });
    const truth = shapeOf(CAMERAS.map(cameraCentre));
    // OpenCV takes the corners as 32-bit floats: 1e-4 px at 1920 px; the joint fit has the exact ones.
    shapeOf(rig.cameras.map(cameraCentre)).forEach((value, i) => {
      expectClose(value, truth[i], 1e-6, `height or distance ${i}`);
    });
    rig.cameras.forEach((camera, i) => {
      // The camera's own x axis is level in truth: its height in the rig's world must be 0.
      expectClose(camera.rotation[1], CAMERAS[i].rotation[1], 1e-7, 'level');
      expectClose(camera.rotation[4], CAMERAS[i].rotation[4], 1e-7, 'roll and tilt');
      expectClose(camera.fx, CAMERAS[i].fx, 1e-3, 'focal length');
    });
    expect(rig.quality.notes[0]).toMatch(/^vertical from the board/);
  });

  test('X of the world is the first camera’s horizontal viewing direction, Z to its right', async () => {
    const { rig } = await solve(EXACT, { up: { image: 'floor', board: 'lies', heightM: 0 } });
    const r = rig.cameras[0].rotation;
    expectClose(r[8], 0, 1e-9, 'optical axis has no Z');
    expect(r[6]).toBeGreaterThan(0.9);
    expectClose(r[2], 1, 1e-6, 'image right is +Z');
  });

  test('a camera that never shares an image with the first hangs on through another', async () => {
    const chain = EXACT.filter(({ camera, image }) => {
      const even = Number(image.slice(1)) % 2 === 0 || image === 'floor';
      return camera === 'b' || (camera === 'a' ? even : !even);
    });
    const { rig } = await solve(chain, { up: { image: 'floor', board: 'lies', heightM: 0.003 } });
    const truth = shapeOf(CAMERAS.map(cameraCentre));
    shapeOf(rig.cameras.map(cameraCentre)).forEach((value, i) => {
      expectClose(value, truth[i], 1e-6, `height or distance ${i}`);
    });
  });

  test('corners that were not found are passed over', async () => {
    const partial = EXACT.map((one, i) => ({
      ...one,
      corners: one.corners.map((x, o) => (Math.floor(o / 2) % 5 === i % 5 ? Number.NaN : x)),
    }));
    const { rig, bundle } = await solve(partial, { up: { image: 'stand', board: 'stands', heightM: 0.5 } });
    expect(bundle.corners).toBeLessThan(EXACT.length * 24);
    expectClose(cameraCentre(rig.cameras[2])[1], 1.5, 1e-5, 'height of camera c');
  });
});

describe('noisy corners', () => {
  let made: BoardRig;
  beforeAll(async () => {
    made = await solve(boardImages(CAMERAS, BOARD, POSES, 0.2), {
      up: { image: 'floor', board: 'lies', heightM: 0.003 },
    });
  });

  test('fit to the noise put in: 0.2 px in each coordinate', () => {
    // 3 cameras × 9 boards × 24 corners: 1296 residuals less 12 + 24 + 54 parameters: 0.2 √2 √(1 − 90/1296) = 0.2729 px.
    // Relative standard deviation 1/√(2 × 1206) = 2 %; three of them.
    expectClose(made.bundle.rmsPx, 0.2729, 0.0164);
  });

  test('the relative pose is off by no more than four of its standard deviations', async () => {
    const exact = await solve(EXACT);
    made.relative.forEach((pose, c) => {
      for (let k = 0; k < 3; k++) {
        const t = (pose.translationM[k] - exact.relative[c].translationM[k]) / pose.translationSdM[k];
        const r = (pose.rotationVector[k] - exact.relative[c].rotationVector[k]) / pose.rotationSd[k];
        expectClose(t, 0, 4, `${pose.camera} translation ${k}, in standard deviations`);
        expectClose(r, 0, 4, `${pose.camera} rotation ${k}, in standard deviations`);
      }
    });
  });
});

test('the Jacobian of the joint problem agrees with central differences', () => {
  const start = {
    cameras: CAMERAS.map((camera) => ({ ...camera, distortion: MODERATE_DISTORTION })),
    boards: new Map([...POSES].slice(0, 3)),
    free: ['f', 'cx', 'cy', 'k1', 'k2', 'p1', 'p2', 'k3'] as const,
  };
  const { problem, layout } = boardRigProblem(start, EXACT, BOARD);
  const { residualCount: m, parameterCount: n } = problem;
  expect([m, n]).toEqual([3 * 3 * 24 * 2, 2 * 6 + 3 * 8 + 3 * 6]);
  const jacobian = new Float64Array(m * n);
  problem.jacobianInto!(jacobian, layout.start);
  const [ahead, behind] = [new Float64Array(m), new Float64Array(m)];
  for (let k = 0; k < n; k++) {
    const h = 1e-5 * Math.max(1, Math.abs(layout.start[k]));
    for (const [out, sign] of [
      [ahead, 1],
      [behind, -1],
    ] as const) {
      const p = layout.start.slice();
      p[k] += sign * h;
      problem.residualsInto(out, p);
    }
    for (let i = 0; i < m; i++) {
      // Truncation h² f''' and rounding ε u / h, both near 1e-8 of derivatives up to 1e3.
      expectClose(jacobian[i * n + k], (ahead[i] - behind[i]) / (2 * h), 2e-5, `residual ${i}, parameter ${k}`);
    }
  }
});

describe('what is refused', () => {
  test('two images of one camera', async () => {
    const few = EXACT.filter(({ camera, image }) => camera !== 'b' || ['i0', 'i1'].includes(image));
    const error = await refusal(() => solve(few));
    expect([error.code, error.facts.camera, error.facts.found]).toEqual(['board-images-too-few', 'b', 2]);
  });

  test('cameras without a shared image', async () => {
    const split = EXACT.map((one) => (one.camera === 'c' ? { ...one, image: `${one.image}-c` } : one));
    const error = await refusal(() => solve(split));
    expect([error.code, error.facts.others]).toEqual(['board-cameras-not-linked', 'c']);
  });

  test('a board counted from its other end in one image', async () => {
    const turnedBoard = EXACT.map((one) => {
      if (one.camera !== 'b' || one.image !== 'i3') return one;
      const n = one.corners.length / 2;
      return { ...one, corners: one.corners.map((_, o) => one.corners[2 * (n - 1 - Math.floor(o / 2)) + (o % 2)]) };
    });
    const error = await refusal(() => solve(turnedBoard));
    expect([error.code, error.facts.camera, error.facts.image]).toEqual(['board-corners-reversed', 'b', 'i3']);
  });

  test('a board that moved between the two pictures', async () => {
    const moved = EXACT.map((one) => {
      if (one.camera !== 'b' || one.image !== 'i2') return one;
      return { ...one, corners: EXACT.find((other) => other.camera === 'b' && other.image === 'i5')!.corners };
    });
    const error = await refusal(() => solve(moved));
    expect([error.code, error.facts.camera, error.facts.image]).toEqual(['board-views-disagree', 'b', 'i2']);
  });

  test('boards that all face the camera: the focal length is not determined', async () => {
    const flat = new Map<string, Pose>();
    for (let i = 0; i < 5; i++) {
      flat.set(`f${i}`, { rotation: UNTURNED, translation: Float64Array.of(-0.3 + 0.05 * i, -0.2, 2.5 + 0.1 * i) });
    }
    const straight = { ...CAMERAS[0], rotation: UNTURNED, translation: new Float64Array(3) };
    const error = await refusal(() => solve(boardImages([straight], BOARD, flat, 0.2), {}, SETUP.slice(0, 1)));
    expect(error.code).toBe('board-not-tilted');
    // Truly 0; noise and the free focal length make some degrees of it.
    expect(error.facts.foundDeg).toBeLessThan(10);
  });

  test('a vertical from an image that is not there, or from columns that lie level', async () => {
    const missing = await refusal(() => solve(EXACT, { up: { image: 'i99', board: 'lies', heightM: 0 } }));
    expect([missing.code, missing.facts.image]).toEqual(['board-up-image-missing', 'i99']);
    const level = await refusal(() => solve(EXACT, { up: { image: 'floor', board: 'stands', heightM: 0 } }));
    expect(level.code).toBe('board-up-unclear');
  });

  test('a board of two rows, a camera twice, no camera', async () => {
    const narrow = await refusal(() => calibrateRigFromBoard(EXACT, { ...BOARD, rows: 2 }, SETUP));
    expect(narrow.code).toBe('board-size-wrong');
    expect((await refusal(() => solve(EXACT, {}, [SETUP[0], SETUP[0]]))).code).toBe('rig-camera-named-twice');
    expect((await refusal(() => solve(EXACT, {}, []))).code).toBe('rig-without-camera');
  });

  test('what the C++ side throws arrives as a message, and everything made is deleted', async () => {
    const cv = await loadOpenCv();
    let deleted = 0;
    const made = { delete: () => void deleted++ };
    const work = () =>
      withOpenCv(cv, 'camera x', (keep) => {
        keep(made);
        const [a, b, c, d, e] = Array.from({ length: 5 }, () => keep(new cv.Mat()));
        const [o, i, r, t] = Array.from({ length: 4 }, () => keep(new cv.MatVector()));
        const criteria = new cv.TermCriteria(3, 10, 1e-6);
        return cv.calibrateCameraExtended(o, i, new cv.Size(10, 10), a, b, r, t, c, d, e, 0, criteria);
      });
    expect(work).toThrow(DataError);
    expect(work).toThrow(/camera x: the calibration library refused: .+/);
    expect(deleted).toBe(2);
  });
});
