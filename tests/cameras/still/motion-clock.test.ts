import { describe, expect, test } from '@jest/globals';
import { boardSpeed } from '../../../src/cameras/still/board-track.ts';
import { offsetFromMotion } from '../../../src/cameras/still/motion-clock.ts';
import { dataError } from '../../capture/written-files.ts';
import { expectClose } from '../../expect-close.ts';
import { stands, trackOf, twoCameras } from './moving-board.ts';

const cameras = twoCameras();

/** Board speeds in two videos of which the second begins `laterS` after the first. */
function speeds(seed: number, laterS: number, count = 14) {
  const list = stands(count, seed);
  const lengthS = list[count - 1].toS - Math.max(0, laterS);
  return cameras.map((camera, c) => {
    const startS = c === 1 ? laterS : 0;
    const track = trackOf(camera, list, {
      rateHz: c === 0 ? 30 : 25,
      lengthS,
      startS,
      noisePx: 0.15,
      seed: 10 * seed + c,
      wobbleM: 0.0005,
    });
    return { camera: camera.name, timesS: track.timesS, motion: boardSpeed(track) };
  });
}

describe('clock offset from the movement of the board', () => {
  test.each([
    [1, 3.37],
    [2, -2.21],
    [3, 0],
    [4, 7.913],
  ])('seed %d, %d s', (seed, laterS) => {
    const [first, second] = speeds(seed, laterS);
    const found = offsetFromMotion(first, second, 12);
    // The limit of what still moments need (0.2 s) is far above; measured in docs/method/video.md.
    expectClose(found.offsetS, laterS, 0.04, 'offset, s');
    expect(found.correlation).toBeGreaterThan(0.7);
  });

  test('movement that repeats itself is refused', () => {
    const timesS = Float64Array.from({ length: 900 }, (_, i) => i / 30);
    const motion = timesS.map((timeS) => 1 + Math.sin(2 * Math.PI * timeS));
    const error = dataError(() =>
      offsetFromMotion({ camera: 'left', timesS, motion }, { camera: 'right', timesS, motion }, 10),
    );
    expect(error.code).toBe('board-motion-unclear');
  });

  test('unrelated movement and a board at rest are refused', () => {
    const [first] = speeds(5, 0);
    const [, other] = speeds(6, 0);
    expect(dataError(() => offsetFromMotion(first, other, 10)).code).toBe('board-motion-unclear');
    const rest = { ...other, motion: other.timesS.map(() => 0) };
    expect(dataError(() => offsetFromMotion(first, rest, 10)).code).toBe('board-motion-unclear');
  });
});
