import { beforeAll, describe, expect, test } from '@jest/globals';
import { type BoardRig, calibrateRigFromBoard } from '../../src/cameras/board-rig.ts';
import { calibrateLens } from '../../src/cameras/lens-calibration.ts';
import { measureBoard } from '../../src/cli/board-check.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';
import { CHESSBOARD, CHESSBOARD_SIZE, chessboardImages } from './chessboard-corners.ts';

interface Published {
  readonly translationMm: number[];
  readonly translation3SdMm: number[];
  readonly rotationVector: number[];
  readonly rotation3Sd: number[];
  readonly focalLeft: number;
  readonly focalRight: number;
}
interface OtherProgram {
  readonly leftRmsPx: number;
  readonly rightRmsPx: number;
  readonly jointRmsPx: number;
  readonly left: Record<'fx' | 'fy' | 'cx' | 'cy', number>;
  readonly right: Record<'fx' | 'fy' | 'cx' | 'cy', number>;
  readonly translationMm: number[];
  readonly rotationVector: number[];
}

const known = reference('cameras-stereo-chessboard');
const published = known.published as Published;
const opencv = known.opencv as OtherProgram;
const images = chessboardImages();
const cameras = ['left', 'right'].map((name) => ({ name, imageSize: CHESSBOARD_SIZE }));
const mm = (metres: Float64Array) => metres.map((x) => 1000 * x);

test('the data set holds 13 pairs of 54 corners', () => {
  expect(images).toHaveLength(26);
  expect(images.every((image) => image.corners.every(Number.isFinite))).toBe(true);
});

describe.each(['refined', 'held'] as const)('chessboard photographs, lenses %s', (lenses) => {
  let made: BoardRig;
  beforeAll(async () => {
    made = await calibrateRigFromBoard(images, CHESSBOARD, cameras, { lenses });
  });

  test('each lens alone: r.m.s. of OpenCV 4.6, focal length near the published one', () => {
    const [left, right] = made.lenses;
    expectClose(left.rmsPx, opencv.leftRmsPx, known.tolerance, 'left r.m.s.');
    expectClose(right.rmsPx, opencv.rightRmsPx, known.tolerance, 'right r.m.s.');
    const tolerance = known.publishedFocalTolerancePx as number;
    expectClose(left.fx, published.focalLeft, tolerance, 'left focal length');
    expectClose(right.fx, published.focalRight, tolerance, 'right focal length');
  });

  test('the relative pose lies inside the published 3-sigma intervals', () => {
    const { camera, translationM, rotationVector } = made.relative[0];
    expect(camera).toBe('right');
    for (let k = 0; k < 3; k++) {
      expectClose(1000 * translationM[k], published.translationMm[k], published.translation3SdMm[k], `T${'xyz'[k]} mm`);
      expectClose(rotationVector[k], published.rotationVector[k], published.rotation3Sd[k], `om ${'xyz'[k]}`);
    }
  });

  test('the triangulated board has its true edge and diagonal', () => {
    const check = measureBoard(made.rig, images, CHESSBOARD)!;
    expect(check.edges).toBe(13 * (8 * 6 + 5 * 9));
    expectClose(1000 * check.edgeMeanM, known.squareMm as number, 0.03, 'mean edge mm');
    expect(1000 * check.edgeSdM).toBeLessThan(known.edgeToleranceMm as number);
    // The mean of 26 diagonals with a scatter of 0.47 mm each: three standard errors are 0.28 mm.
    expectClose(1000 * check.diagonalMeanM, known.diagonalMm as number, 0.28, 'mean diagonal mm');
  });

  test('without a board that tells the vertical, the rig says so', () => {
    expect(made.rig.quality.notes.some((note) => note.startsWith('vertical unknown'))).toBe(true);
    expect(made.rig.quality.pointsUsed).toBe(1404);
  });
});

describe('the joint refinement against OpenCV 4.6 stereoCalibrate', () => {
  test('same minimum: r.m.s., lenses and relative pose', async () => {
    const made = await calibrateRigFromBoard(images, CHESSBOARD, cameras);
    expectClose(made.bundle.rmsPx, opencv.jointRmsPx, 5e-5, 'joint r.m.s., half of what one more digit would show');
    made.bundle.cameras.forEach((camera, i) => {
      const other = [opencv.left, opencv.right][i];
      // OpenCV stops at a relative step of about 1e-6.
      for (const key of ['fx', 'fy', 'cx', 'cy'] as const)
        expectClose(camera[key], other[key], 0.001, `${camera.name} ${key}`);
    });
    const { translationM, rotationVector, translationSdM, rotationSd } = made.relative[0];
    expectAllClose(mm(translationM), opencv.translationMm, 0.001, 'T mm');
    expectAllClose(rotationVector, opencv.rotationVector, 1e-6, 'om');
    // Published 3-sigma intervals (another program, one pair more) are those of our standard deviations within a third.
    const ours = [...mm(translationSdM), ...rotationSd].map((x) => 3 * x);
    const theirs = [...published.translation3SdMm, ...published.rotation3Sd];
    ours.forEach((interval, k) => {
      expectClose(interval / theirs[k], 1, 0.35, `3-sigma interval ${k}`);
    });
  });
});

describe('one lens', () => {
  test('k1 alone folds these pictures before their corners: refused', async () => {
    const left = images.filter((image) => image.camera === 'left');
    const fit = calibrateLens(left, CHESSBOARD, CHESSBOARD_SIZE, 'k1');
    await expect(fit).rejects.toMatchObject({ code: 'lens-does-not-cover-image' });
  });

  test('fewer distortion terms fit worse, and stay at 0', async () => {
    const left = images.filter((image) => image.camera === 'left');
    const radial = await calibrateLens(left, CHESSBOARD, CHESSBOARD_SIZE, 'k1 k2');
    expect(radial.rmsPx).toBeGreaterThan(opencv.leftRmsPx + 0.001);
    expect(radial.distortion.slice(2)).toEqual([0, 0, 0]);
    expect(radial.standardDeviations.slice(6)).toEqual(new Float64Array(3));
  });
});
