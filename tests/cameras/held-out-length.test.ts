import { describe, expect, test } from '@jest/globals';
import { boardPoints } from '../../src/cameras/board.ts';
import { boardLengths, heldOutBoardLength } from '../../src/cameras/held-out-board.ts';
import { dealt, heldOutLength, lengthFigure, rodLengths } from '../../src/cameras/held-out-length.ts';
import { pointFromViews } from '../../src/cameras/point-from-views.ts';
import type { Camera } from '../../src/cameras/rig.ts';
import { DataError } from '../../src/errors.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { CHESSBOARD, CHESSBOARD_SIZE, chessboardImages } from './chessboard-corners.ts';
import { GYM_BOARD, GYM_CAMERAS, gymImages, gymPoses } from './gym-board.ts';
import { cameraLookingAt, MODERATE_DISTORTION, pixelsOf } from './synthetic-cameras.ts';

const three: Camera[] = [
  cameraLookingAt('a', [3, 1, 2], [0, 1, 0], { distortion: MODERATE_DISTORTION }),
  cameraLookingAt('b', [-3, 1.5, 2], [0, 1, 0]),
  cameraLookingAt('c', [0, 2, -4], [0, 1, 0]),
];
const pixelsIn = (cameras: readonly Camera[], point: Float64Array, noisePx = 0, seed = 1) =>
  Float64Array.from(cameras.flatMap((one, c) => [...pixelsOf(one, point, noisePx, seed + c)]));

describe('a point from views', () => {
  const point = Float64Array.of(0.3, 1.4, -0.2);

  test('exact pixels give it back, through distortion', () => {
    expectAllClose(pointFromViews(three, pixelsIn(three, point))!, point, 1e-11, 'm');
  });

  test('noisy pixels: the reprojection error is at a minimum (its gradient by central differences is 0)', () => {
    const pixels = pixelsIn(three, point, 2);
    const found = pointFromViews(three, pixels)!;
    const cost = (at: Float64Array) => pixelsIn(three, at).reduce((sum, u, i) => sum + (u - pixels[i]) ** 2, 0);
    for (let k = 0; k < 3; k++) {
      const step = (sign: number) => cost(found.map((x, i) => (i === k ? x + sign * 1e-5 : x)));
      // Curvature is about 2 · (400 px/m)² · 3: a step of 1e-9 m from the minimum would give 1e-3.
      expectClose((step(1) - step(-1)) / 2e-5, 0, 1e-3, `gradient ${'xyz'[k]}, px²/m`);
    }
  });

  test('a view without pixels takes no part; one view, parallel rays and points behind give nothing', () => {
    const pixels = pixelsIn(three, point);
    pixels.fill(Number.NaN, 2, 4);
    expectAllClose(pointFromViews(three, pixels)!, point, 1e-11, 'm');
    pixels.fill(Number.NaN, 4, 6);
    expect(pointFromViews(three, pixels)).toBeNull();
    const twins = [three[1], { ...three[1], name: 'twin' }];
    expect(pointFromViews(twins, pixelsIn(twins, point))).toBeNull();
    // Side by side with their pictures exchanged: the rays part in front of the cameras and meet behind them.
    const pair = [-0.2, 0.2].map((x) => cameraLookingAt(String(x), [x, 1, 3], [x, 1, 0]));
    const [left, right] = pair.map((one) => [...pixelsOf(one, point)]);
    expect(pointFromViews(pair, [...left, ...right])).not.toBeNull();
    expect(pointFromViews(pair, [...right, ...left])).toBeNull();
  });
});

describe('lengths left out', () => {
  test('the figure: r.m.s. and mean of made-up errors', () => {
    const { figure, meanShare } = lengthFigure('x', [
      { measuredM: 1.01, trueM: 1 },
      { measuredM: 1.94, trueM: 2 },
    ]);
    expectClose(figure!.rmsM, Math.sqrt((0.01 ** 2 + 0.06 ** 2) / 2), 1e-12, 'rms');
    expectClose(figure!.share, Math.sqrt((0.01 ** 2 + 0.03 ** 2) / 2), 1e-12, 'share');
    expectClose(meanShare, -0.01, 1e-12, 'mean');
    expect(figure!.count).toBe(2);
  });

  test('every part is left out once, from a fit that did not see it; a fit that fails is noted and not counted', async () => {
    const seen: string[] = [];
    const found = await heldOutLength(
      'rods',
      ['p', 'q', 'r'],
      (leftOut) => {
        if (leftOut === 'q') throw new DataError('too-few', 'too few');
        seen.push(leftOut);
        return three;
      },
      (_, leftOut) => [{ measuredM: leftOut === 'p' ? 1.1 : 0.9, trueM: 1 }],
      (leftOut) => leftOut,
    );
    expect(seen).toEqual(['p', 'r']);
    expectClose(found.figure!.rmsM, 0.1, 1e-12);
    expect(found.notes).toHaveLength(1);
    expect(found.notes[0]).toContain('too-few');
  });

  test('a fault of the program is not taken for a fit that failed; nothing left out is no figure', async () => {
    const broken = heldOutLength(
      'x',
      [1],
      () => Promise.reject(new TypeError('fault')),
      () => [],
      String,
    );
    await expect(broken).rejects.toThrow(TypeError);
    const none = await heldOutLength(
      'x',
      [],
      () => three,
      () => [],
      String,
    );
    expect(none.figure).toBeNull();
    expect(none.meanShare).toBeNaN();
    expect(none.notes).toHaveLength(1);
  });

  test('rods: a bar of 2.2 m measures 2.2 m; cameras a hundredth too far apart make it a hundredth too long', () => {
    const ends = [Float64Array.of(-1, 1.2, 0.3), Float64Array.of(1.15, 1.5, 0.65)];
    const lengthM = Math.hypot(2.15, 0.3, 0.35);
    const seen = ends.map((end) => pixelsIn(three, end)) as [Float64Array, Float64Array];
    const [pair] = rodLengths(three, [{ ends: seen, lengthM }]);
    expectClose(pair.measuredM, lengthM, 1e-10, 'm');
    const wider = three.map((one) => ({ ...one, translation: one.translation.map((x) => 1.01 * x) }));
    expectClose(rodLengths(wider, [{ ends: seen, lengthM }])[0].measuredM, 1.01 * lengthM, 1e-9, 'm');
    const hidden = seen[1].map((x, i) => (i > 1 ? Number.NaN : x));
    expect(rodLengths(three, [{ ends: [seen[0], hidden], lengthM }])).toEqual([]);
  });

  test('parts are dealt in turn', () => {
    expect(dealt([1, 2, 3, 4, 5], 2)).toEqual([
      [1, 3, 5],
      [2, 4],
    ]);
    expect(dealt([1], 4)).toEqual([[1]]);
  });
});

describe('boards', () => {
  const images = gymImages(gymPoses(2), 0);

  test('rows, columns and diagonals of an exact board are as long as they are', () => {
    const pairs = boardLengths(GYM_CAMERAS, images, 'place 01', GYM_BOARD);
    expect(pairs).toHaveLength(GYM_BOARD.rows + GYM_BOARD.columns + 2);
    for (const { measuredM, trueM } of pairs) expectClose(measuredM, trueM, 1e-9, 'm');
    const points = boardPoints(GYM_BOARD);
    expectClose(pairs.at(-1)!.trueM, Math.hypot(points.at(-3)!, points.at(-2)!), 1e-12, 'diagonal');
  });

  test('of a line with hidden corners the part that is seen is measured, and none shorter than half', () => {
    const hide = (corners: readonly number[]) =>
      images.map((image) => {
        const copy = image.corners.slice();
        for (const corner of corners) copy.fill(Number.NaN, 2 * corner, 2 * corner + 2);
        return { ...image, corners: copy };
      });
    const [row] = boardLengths(GYM_CAMERAS, hide([0]), 'place 01', GYM_BOARD);
    expectClose(row.trueM, 5 * GYM_BOARD.squareSizeM, 1e-12);
    // Only the last three of seven corners of the first row: two squares of six.
    const few = boardLengths(GYM_CAMERAS, hide([0, 1, 2, 3]), 'place 01', GYM_BOARD);
    expect(few).toHaveLength(GYM_BOARD.rows - 1 + GYM_BOARD.columns + 1);
  });

  test('one shared image leaves nothing to leave out', async () => {
    const found = await heldOutBoardLength(
      images.filter((image) => image.image === 'place 01'),
      GYM_BOARD,
      [],
    );
    expect(found.figure).toBeNull();
  });

  /**
   * The photographs of datasets/chessboard-corners: what the rig says of boards it has not seen. The true size is that of
   * the board (squares of 30 mm as stated by Bouguet's calibration example, as in cameras-stereo-chessboard.json). A corner
   * scatters by 0.2 px; at 0.4 m and a ray angle of 14° depth is known to about 0.6 mm: lengths of 150–283 mm between two
   * such corners cannot be off by more than 1 mm r.m.s.
   */
  test('the chessboard photographs: lengths of boards left out are right to 0.5 %', async () => {
    const cameras = ['left', 'right'].map((name) => ({ name, imageSize: CHESSBOARD_SIZE }));
    const found = await heldOutBoardLength(chessboardImages(), CHESSBOARD, cameras, { lenses: 'held' });
    expect(found.figure!.count).toBe(13 * (6 + 9 + 2));
    expect(found.figure!.rmsM).toBeLessThan(0.001);
    expect(found.figure!.share).toBeLessThan(0.005);
    expect(Math.abs(found.meanShare)).toBeLessThan(0.001);
    expect(found.notes).toEqual([]);
  });
});
