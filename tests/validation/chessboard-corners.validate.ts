import { findChessboard } from '../../src/cameras/chessboard/find-chessboard.ts';
import { BOARD, camerasAroundBoard } from '../cameras/chessboard/board-scenes.ts';
import { boardPicture } from '../synthetic/board-picture.ts';
import type { Validation, ValidationRow } from './result.ts';

const SEED = 5;
const PICTURES = 16;

/** blur px, noise grey levels, motion px; largest accepted r.m.s. px, or null where it is only reported. */
const CONDITIONS: readonly [number, number, readonly [number, number] | undefined, number | null][] = [
  [0, 2, undefined, null],
  [0.5, 2, undefined, 0.1],
  [0.7, 2, undefined, 0.1],
  [1, 2, undefined, 0.1],
  [1, 5, undefined, 0.1],
  [1, 10, undefined, 0.1],
  [1.5, 2, undefined, 0.1],
  [2, 2, undefined, 0.1],
  [3, 2, undefined, null],
  [4, 2, undefined, null],
  [0.7, 2, [4, 1], 0.1],
  [0.7, 2, [8, 2], null],
  [0.7, 2, [8, 8], null],
  [0.7, 2, [20, 5], null],
];

/** Corner errors of the chessboard detector on rendered pictures, by blur, noise and motion. */
export const validation: Validation = {
  name: 'chessboard-corners',
  title: 'Chessboard corners on rendered pictures',
  async run(scale, progress) {
    const cameras = camerasAroundBoard(Math.max(3, Math.round(PICTURES * scale)), SEED);
    const rows: ValidationRow[] = [];
    CONDITIONS.forEach(([blurPx, noise, motionPx, limit], done) => {
      let [sum, count, found] = [0, 0, 0];
      cameras.forEach((camera, i) => {
        const { image, corners } = boardPicture({
          camera,
          board: BOARD,
          blurPx,
          noise,
          motionPx,
          shade: 0.5,
          seed: i + 1,
        });
        const outcome = findChessboard(image, BOARD);
        if (!outcome.found) return;
        found++;
        for (let k = 0; k < corners.length; k += 2) {
          if (!Number.isFinite(outcome.corners[k])) continue;
          sum += (outcome.corners[k] - corners[k]) ** 2 + (outcome.corners[k + 1] - corners[k + 1]) ** 2;
          count++;
        }
      });
      const motion = motionPx === undefined ? '' : `, motion ${motionPx.join(' and ')} px`;
      const what = `blur ${blurPx} px, noise ${noise}${motion}`;
      const least = limit === null ? null : 1;
      rows.push({
        what: `found, ${what}`,
        runs: cameras.length,
        value: found / cameras.length,
        unit: '1',
        from: least,
        to: null,
      });
      // Nothing found: no error to report.
      if (count === 0) return;
      rows.push({
        what: `corner r.m.s., ${what}`,
        runs: count,
        value: Math.sqrt(sum / count),
        unit: 'px',
        from: null,
        to: limit,
      });
      progress(done + 1, CONDITIONS.length);
    });
    return {
      seed: SEED,
      setting:
        '640 × 480 px, 9 × 6 corners, squares of about 25 px, tilted up to 26° about two axes and turned any way, strong lens distortion (k1 −0.28), light falling by half across the picture, clutter, tone curve 2.2; Gaussian blur in linear light on top of the pixel area',
      rows,
    };
  },
};
