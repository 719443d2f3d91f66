import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, test } from '@jest/globals';
import type { BoardImage } from '../../../src/cameras/board.ts';
import { boardImagesFromPictures, namePictures, type PictureOutcome } from '../../../src/cameras/board-images.ts';
import { type BoardRig, calibrateRigFromBoard } from '../../../src/cameras/board-rig.ts';
import { readGreyImage } from '../../../src/capture/image-file.ts';
import { seededRandom } from '../../../src/numerics/random.ts';
import { expectClose } from '../../expect-close.ts';
import { reference } from '../../reference.ts';
import { CHESSBOARD, CHESSBOARD_SIZE, chessboardImages } from '../chessboard-corners.ts';

/** The pictures of datasets/chessboard-photographs, from the files to the rig. */
const FOLDER = fileURLToPath(new URL('../../../datasets/chessboard-photographs/', import.meta.url));
const CAMERAS = ['left', 'right'].map((name) => ({ name, imageSize: CHESSBOARD_SIZE }));

interface Published {
  readonly translationMm: number[];
  readonly translation3SdMm: number[];
  readonly rotationVector: number[];
  readonly rotation3Sd: number[];
}
const published = reference('cameras-stereo-chessboard').published as Published;
const duda = reference<{ camera: string; image: string; corners: number[] }>('cameras-chessboard-sb');

let images: BoardImage[];
let outcomes: PictureOutcome[];
beforeAll(async () => {
  const files = readdirSync(FOLDER)
    .filter((file) => file.endsWith('.jpg'))
    .map((file) => FOLDER + file);
  const pictures = await Promise.all(
    namePictures(files).map(async ({ camera, image, file }) => ({ camera, image, picture: await readGreyImage(file) })),
  );
  ({ images, outcomes } = boardImagesFromPictures(pictures, CHESSBOARD));
});

const solve = (used: readonly BoardImage[], lenses: 'refined' | 'held' = 'refined') =>
  calibrateRigFromBoard(used, CHESSBOARD, CAMERAS, { lenses, distortion: 'k1 k2 p1 p2' });

/** R.m.s. distance of the corners of two lists, px, over the images that both have. */
function rmsApart(others: readonly { camera: string; image: string; corners: ArrayLike<number> }[]): number {
  let [sum, count] = [0, 0];
  for (const other of others) {
    const { corners } = images.find((one) => one.camera === other.camera && one.image === other.image)!;
    for (let k = 0; k < corners.length; k += 2) {
      sum += (corners[k] - other.corners[k]) ** 2 + (corners[k + 1] - other.corners[k + 1]) ** 2;
      count++;
    }
  }
  return Math.sqrt(sum / count);
}

test('all 54 corners in all 13 pairs', () => {
  expect(outcomes.map(({ found, corners, blurred }) => [found, corners, blurred])).toEqual(
    Array.from({ length: 26 }, () => [true, 54, false]),
  );
});

test('the same corners in the same order as OpenCV findChessboardCorners + cornerSubPix (window 5)', () => {
  // Its window takes in the neighbouring edges of foreshortened squares; its own lens residual is 0.20 px.
  const apart = rmsApart(chessboardImages());
  expect(apart).toBeLessThan(0.2);
});

test('the same corners as OpenCV findChessboardCornersSB', () => {
  expect(duda.cases).toHaveLength(26);
  expectClose(rmsApart(duda.cases), 0, duda.tolerance, 'r.m.s. distance px');
});

describe.each(['refined', 'held'] as const)('rig from the pictures, lenses %s', (lenses) => {
  let made: BoardRig;
  beforeAll(async () => {
    made = await solve(images, lenses);
  });

  test('lenses fit to 0.22 px, the pair to 0.23 px, and better than the corners of either other detector', () => {
    // 0.22 and 0.23: the residuals of OpenCV's reference calibration with a margin of 0.01 px.
    const known = reference('cameras-stereo-chessboard').opencv as Record<'leftRmsPx' | 'rightRmsPx', number>;
    for (const lens of made.lenses) expect(lens.rmsPx).toBeLessThan(0.22);
    expect(made.bundle.rmsPx).toBeLessThan(0.23);
    expect(made.lenses[0].rmsPx).toBeLessThan(Math.min(known.leftRmsPx, duda.leftRmsPx as number));
    expect(made.lenses[1].rmsPx).toBeLessThan(Math.min(known.rightRmsPx, duda.rightRmsPx as number));
  });

  test('the relative pose lies inside the published 3-sigma intervals', () => {
    const { translationM, rotationVector } = made.relative[0];
    for (let k = 0; k < 3; k++) {
      expectClose(1000 * translationM[k], published.translationMm[k], published.translation3SdMm[k], `T${'xyz'[k]} mm`);
      expectClose(rotationVector[k], published.rotationVector[k], published.rotation3Sd[k], `om ${'xyz'[k]}`);
    }
  });

  test('pair 02, which a window of 11 px spoils, fits as well as the others', () => {
    for (const lens of made.lenses) {
      const [view] = lens.views.filter(({ image }) => image === '02');
      expect(view.rmsPx).toBeLessThan(0.22);
    }
  });
});

test('nine random sets of 8 pairs: T inside the published interval widened by its own standard deviation', async () => {
  const names = [...new Set(images.map(({ image }) => image))];
  const random = seededRandom(3);
  for (let set = 0; set < 9; set++) {
    const pool = [...names];
    const picked = Array.from({ length: 8 }, () => pool.splice(random.integer(pool.length), 1)[0]);
    const made = await solve(images.filter(({ image }) => picked.includes(image)));
    const { translationM, translationSdM } = made.relative[0];
    for (let k = 0; k < 3; k++) {
      const tolerance = published.translation3SdMm[k] + 1000 * translationSdM[k];
      expectClose(1000 * translationM[k], published.translationMm[k], tolerance, `set ${set}, T${'xyz'[k]} mm`);
    }
  }
});
