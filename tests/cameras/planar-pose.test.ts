import { expect, test } from '@jest/globals';
import { boardPoints } from '../../src/cameras/board.ts';
import { planarPose } from '../../src/cameras/planar-pose.ts';
import { angleBetween, composePoses, type Pose } from '../../src/cameras/pose.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { rotationFromVector } from '../../src/numerics/rotation.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { camera, MODERATE_DISTORTION, pixelsOf } from './synthetic-cameras.ts';

const BOARD = { columns: 9, rows: 6, squareSizeM: 0.03 };
const POINTS = boardPoints(BOARD);
const LENS = camera({
  distortion: MODERATE_DISTORTION,
  rotation: rotationFromVector([0, 0, 0]),
  translation: new Float64Array(3),
});

function pose(seed: number, distance: number): Pose {
  const random = seededRandom(seed);
  const tilt = [0, 1, 2].map(() => 1.6 * (random.uniform() - 0.5));
  const aside = [0, 1].map(() => 0.2 * distance * (random.uniform() - 0.5));
  return { rotation: rotationFromVector(tilt), translation: Float64Array.of(...aside, distance) };
}

const seen = (at: Pose, noisePx: number, seed: number) =>
  pixelsOf({ ...LENS, ...composePoses(LENS, at) }, POINTS, noisePx, seed);

test.each(Array.from({ length: 20 }, (_, i) => i))('exact corners of board %i give its pose back', (seed) => {
  const at = pose(seed, 1.5);
  const found = planarPose(LENS, POINTS, seen(at, 0, 1))!;
  // Arithmetic: undistortion stops at 1e-12 of a focal length.
  expectClose(angleBetween(found.rotation, at.rotation), 0, 1e-8, 'rotation');
  expectAllClose(found.translation, at.translation, 1e-8, 'translation');
  expectClose(found.rmsPx, 0, 1e-7, 'r.m.s.');
});

test('of the two poses of a far board the better one is returned, whichever comes first', () => {
  let right = 0;
  const runs = 60;
  for (let seed = 0; seed < runs; seed++) {
    const at = pose(100 + seed, 4);
    const found = planarPose(LENS, POINTS, seen(at, 0.2, seed + 1))!;
    // The truth itself fits to √2 · 0.2 px: what is returned may not fit worse (three of its standard deviations, 108 values).
    expect(found.rmsPx).toBeLessThan(0.2 * Math.SQRT2 * (1 + 3 / Math.sqrt(2 * 108)));
    if (angleBetween(found.rotation, at.rotation) < 0.2) right++;
  }
  // At 4 m a board of 0.24 m spans 90 px; the mirrored pose differs by tenths of a pixel unless the board faces the camera.
  expect(right).toBeGreaterThan(0.9 * runs);
});

test('corners on one line determine no pose', () => {
  const row = POINTS.slice(0, 3 * BOARD.columns);
  expect(planarPose(LENS, row, pixelsOf({ ...LENS, ...pose(1, 1.5) }, row))).toBeNull();
});
