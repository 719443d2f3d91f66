import { describe, expect, test } from '@jest/globals';
import { boardPoints } from '../../../src/cameras/board.ts';
import { composePoses } from '../../../src/cameras/pose.ts';
import { boardSharpness } from '../../../src/cameras/still/board-sharpness.ts';
import { type FrameDifferences, quietFrames } from '../../../src/cameras/still/frame-difference.ts';
import { pictureOfBoard } from '../../../src/cameras/still/picture-of-board.ts';
import { rotationFromVector } from '../../../src/numerics/rotation.ts';
import { expectClose } from '../../expect-close.ts';
import { camera, pixelsOf } from '../synthetic-cameras.ts';
import { BOARD } from './moving-board.ts';
import { renderBoard } from './rendered-board.ts';

/** The board's middle 2 m ahead of a camera at the origin, turned by a vector (radians) about it. */
function boardBefore(turn: readonly [number, number, number]) {
  const rotation = rotationFromVector(turn);
  const middle = [(BOARD.squareSizeM * (BOARD.columns - 1)) / 2, (BOARD.squareSizeM * (BOARD.rows - 1)) / 2];
  const translation = Float64Array.from(
    [0, 0, 2],
    (value, i) => value - rotation[3 * i] * middle[0] - rotation[3 * i + 1] * middle[1],
  );
  return { rotation, translation };
}

const eye = camera({
  ...{ imageWidth: 320, imageHeight: 240, fx: 480, fy: 480, cx: 159.5, cy: 119.5 },
  ...{ rotation: rotationFromVector([0, 0, 0]), translation: new Float64Array(3) },
});
const cornersOf = (turn: readonly [number, number, number]) =>
  pixelsOf({ ...eye, ...composePoses(eye, boardBefore(turn)) }, boardPoints(BOARD));

describe('size and tilt of a board from its corners', () => {
  const [width, height] = [0.06 * 7, 0.06 * 4];

  test('facing the camera: no tilt, size by hand', () => {
    const picture = pictureOfBoard(cornersOf([0, 0, 0.3]), BOARD.columns)!;
    expectClose(picture.size, (480 / 2) * Math.sqrt(width * height), 1e-6, 'size, px');
    expectClose(picture.tiltAcross, 0, 1e-9, 'tilt across');
    expectClose(picture.tiltDown, 0, 1e-9, 'tilt down');
  });

  // Depth of the right rim over that of the middle is 1 + (half width · sin 30°) / 2 m.
  test.each([
    ['right rim farther', [0, -Math.PI / 6, 0], (width / 2) * 0.25, 0],
    ['right rim nearer', [0, Math.PI / 6, 0], (-width / 2) * 0.25, 0],
    ['lower rim farther', [Math.PI / 6, 0, 0], 0, (height / 2) * 0.25],
  ] as const)('%s', (_, turn, across, down) => {
    const picture = pictureOfBoard(cornersOf([...turn]), BOARD.columns)!;
    expectClose(picture.tiltAcross, across, 1e-9, 'tilt across');
    expectClose(picture.tiltDown, down, 1e-9, 'tilt down');
  });

  test('too few corners, corners on a line', () => {
    const few = cornersOf([0, 0, 0]).map((x, i) => (i < 14 ? x : Number.NaN));
    expect(pictureOfBoard(few, BOARD.columns)).toBeNull();
    const line = cornersOf([0, 0, 0]).map((x, i) => (i < 16 ? x : Number.NaN));
    expect(pictureOfBoard(line, BOARD.columns)).toBeNull();
  });
});

test('sharpness falls with blur and hardly with contrast', () => {
  const turn = [0.1, 0.2, 0.1] as const;
  const pixels = renderBoard(eye, BOARD, boardBefore(turn), 2);
  const blurred = pixels.map((_, i) => {
    let sum = 0;
    for (let k = 0; k < 9; k++)
      sum += pixels[Math.min(pixels.length - 1, Math.max(0, i + (k % 3) - 1 + 320 * (Math.floor(k / 3) - 1)))];
    return sum / 9;
  });
  const sharpness = (image: Uint8Array) =>
    boardSharpness({ width: 320, height: 240, pixels: image }, cornersOf(turn), BOARD.columns);
  expect(sharpness(blurred)).toBeLessThan(0.6 * sharpness(pixels));
  expectClose(sharpness(pixels.map((x) => 100 + 0.2 * x)) / sharpness(pixels), 1, 0.03, 'share of sharpness left');
  expect(boardSharpness({ width: 320, height: 240, pixels }, new Float64Array(80).fill(Number.NaN), 8)).toBeNaN();
});

test('quiet frames are the quieter share, whatever the size of change', () => {
  const timesS = Float64Array.from({ length: 300 }, (_, i) => i / 30);
  const motion = timesS.map((timeS) => (timeS % 2 < 1 ? 50 : 8));
  const differences: FrameDifferences = { camera: 'left', frames: Int32Array.from(timesS.keys()), timesS, motion };
  const quiet = quietFrames(differences, 0.4);
  for (const [i, timeS] of timesS.entries()) {
    if (timeS % 2 < 0.84) expect([i, quiet[i]]).toEqual([i, 0]);
    if (timeS % 2 > 1.2 && timeS % 2 < 1.8) expect([i, quiet[i]]).toEqual([i, 1]);
  }
});
