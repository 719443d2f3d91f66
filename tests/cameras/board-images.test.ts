import { beforeAll, describe, expect, test } from '@jest/globals';
import type { Board } from '../../src/cameras/board.ts';
import { type BoardPicture, boardImagesFromPictures, namePictures } from '../../src/cameras/board-images.ts';
import { findChessboard } from '../../src/cameras/chessboard/find-chessboard.ts';
import { mirroredPair, turnedOverImage } from '../../src/cameras/chessboard/mirrored-camera.ts';
import type { GreyImage } from '../../src/capture/image-file.ts';
import { DataError } from '../../src/errors.ts';
import { boardMissed } from '../../src/messages/images.ts';
import { rotationFromVector } from '../../src/numerics/rotation.ts';
import { boardPicture } from '../synthetic/board-picture.ts';
import { BOARD, cameraBefore, camerasAroundBoard, cornerRms } from './chessboard/board-scenes.ts';
import { boardImages, cameraLookingAt } from './synthetic-cameras.ts';

function refusal(work: () => unknown): DataError {
  try {
    work();
  } catch (error) {
    if (error instanceof DataError) return error;
    throw error;
  }
  throw new Error('nothing was refused');
}

const mirrored = ({ width, height, pixels }: GreyImage): GreyImage => ({
  width,
  height,
  pixels: pixels.map((_, k) => pixels[k - (k % width) + width - 1 - (k % width)]),
});

describe('names of pictures', () => {
  const names = (files: string[], camera: string | null = null) =>
    namePictures(files, camera).map((one) => [one.camera, one.image]);

  test('camera and number, or a folder for each camera, or one camera', () => {
    expect(names(['a/left01.jpg', 'a/right-01.jpg', 'a/cam 2_7.png'])).toEqual([
      ['left', '01'],
      ['right', '01'],
      ['cam 2', '7'],
    ]);
    expect(names(['x/left/01.jpg', 'x/right/right_01.jpg'])).toEqual([
      ['left', '01'],
      ['right', '01'],
    ]);
    expect(names(['IMG_1.jpg', 'board.png'], 'phone')).toEqual([
      ['phone', 'IMG_1'],
      ['phone', 'board'],
    ]);
  });

  test('a name that says too little, and one picture twice', () => {
    expect(refusal(() => names(['board.jpg'])).code).toBe('board-picture-name-unclear');
    expect(refusal(() => names(['left/01.jpg', '01.jpg'])).code).toBe('board-picture-name-unclear');
    const twice = refusal(() => names(['left01.jpg', 'left01.png']));
    expect([twice.code, twice.facts.camera, twice.facts.image]).toEqual(['board-picture-twice', 'left', '01']);
  });
});

describe('many pictures', () => {
  let good: GreyImage;
  let blurred: GreyImage;
  let foreign: GreyImage;
  beforeAll(() => {
    const [camera] = camerasAroundBoard(1, 11);
    good = boardPicture({ camera, board: BOARD }).image;
    blurred = boardPicture({ camera, board: BOARD, blurPx: 9 }).image;
    foreign = boardPicture({ camera, board: { ...BOARD, columns: 8 } }).image;
  });

  test('each has its outcome; only boards that were found go on', () => {
    const pictures: BoardPicture[] = [
      { camera: 'left', image: '01', picture: good },
      { camera: 'left', image: '02', picture: blurred },
      { camera: 'right', image: '01', picture: foreign },
    ];
    const steps: number[] = [];
    const { images, outcomes } = boardImagesFromPictures(pictures, BOARD, (done) => steps.push(done));
    expect(steps).toEqual([1, 2, 3]);
    expect(images.map(({ camera, image, corners }) => [camera, image, corners.length])).toEqual([['left', '01', 108]]);
    expect(outcomes.map((one) => [one.found, one.reason, one.blurred, one.corners])).toEqual([
      [true, null, false, 54],
      [false, 'too-blurred', true, 0],
      [false, 'other-size', false, 0],
    ]);
    expect(outcomes[2].seen).toEqual({ columns: 8, rows: 6 });
    expect(boardMissed(outcomes[2], BOARD)).toContain('8 × 6 inner corners instead of 9 × 6');
  });

  test('a turned, a resized and a cropped picture are named', () => {
    const size = (width: number, height: number) => ({ width, height, pixels: new Uint8Array(width * height) });
    const odd = (picture: GreyImage) =>
      refusal(() =>
        boardImagesFromPictures(
          [good, good, picture].map((one, i) => ({ camera: 'a', image: `${i}`, picture: one })),
          BOARD,
        ),
      );
    for (const [width, height, cause] of [
      [480, 640, 'turned'],
      [320, 240, 'resized'],
      [640, 360, 'other-mode'],
    ] as const) {
      const { code, facts } = odd(size(width, height));
      expect([code, facts.image, facts.width, facts.cause]).toEqual(['image-size-differs', '2', width, cause]);
    }
    const upside = odd({ ...good, sourceOrientation: 3 });
    expect([upside.code, upside.facts.image, upside.facts.orientation]).toEqual(['image-orientation-differs', '2', 3]);
  });

  test('a symmetric board is refused for two cameras, and does for one', () => {
    const board: Board = { columns: 7, rows: 5, squareSizeM: 0.03 };
    const picture = boardPicture({ camera: cameraBefore(0.6), board }).image;
    const both = ['a', 'b'].map((camera) => ({ camera, image: '1', picture }));
    expect(refusal(() => boardImagesFromPictures(both, board)).code).toBe('chessboard-symmetric');
    expect(boardImagesFromPictures(both.slice(0, 1), board).images).toHaveLength(1);
  });
});

describe('mirrored pictures', () => {
  test('both counts odd and unequal: the one picture whose colours are a mirror image is named', () => {
    const board: Board = { columns: 7, rows: 5, squareSizeM: 0.03 };
    const pictures = camerasAroundBoard(3, 4).map((camera, i): BoardPicture => {
      const { image } = boardPicture({ camera, board });
      return { camera: 'a', image: `${i}`, picture: i === 1 ? mirrored(image) : image };
    });
    const { images, outcomes } = boardImagesFromPictures(pictures, board);
    expect(outcomes.map(({ reason }) => reason)).toEqual([null, 'mirrored', null]);
    expect(images.map(({ image }) => image)).toEqual(['0', '2']);
  });

  test.each([
    [9, 6],
    [6, 9],
  ])(
    '%i × %i is its own mirror image: found in a mirrored picture, with corners that turn over as predicted',
    (columns, rows) => {
      const board: Board = { columns, rows, squareSizeM: 0.03 };
      const { image, corners } = boardPicture({ camera: cameraBefore(0.6), board });
      const outcome = findChessboard(mirrored(image), board);
      expect(outcome.found).toBe(true);
      if (!outcome.found) return;
      const over = turnedOverImage({ camera: '', image: '', corners: outcome.corners }, board, image.width);
      expect(cornerRms(over.corners, corners)).toBeLessThan(0.1);
    },
  );

  test('one of two cameras mirrored: the pair is named; straight pictures give nothing', async () => {
    const cameras = [
      cameraLookingAt('a', [0.3, 1.2, 2.5], [0, 1, 0]),
      cameraLookingAt('b', [1.6, 1.1, 2.0], [0, 1, 0]),
    ];
    const facing = [0, 1, 2, 3, 4, 5].map((i) => {
      const turn = rotationFromVector([
        0.3 * Math.sin(2 * i),
        Math.PI * 0 + 0.3 * Math.cos(3 * i),
        0.4 * Math.sin(5 * i),
      ]);
      // x to the world's +X, y downward, z away from the cameras at +Z.
      const rotation = Float64Array.from(turn, (x, k) => (k % 3 === 0 ? x : -x));
      return [`${i}`, { rotation, translation: Float64Array.of(-0.15, 1.1, 0.1 * Math.sin(i)) }] as const;
    });
    const straight = boardImages(cameras, BOARD, new Map(facing), 0.1);
    const setup = cameras.map(({ name }) => ({ name, imageSize: { width: 1920, height: 1080 } }));
    expect(await mirroredPair(straight, BOARD, setup)).toBeNull();
    const flipped = straight.map((one) => (one.camera === 'b' ? turnedOverImage(one, BOARD, 1920) : one));
    const pair = await mirroredPair(flipped, BOARD, setup);
    expect([pair?.camera, pair?.against, pair?.images]).toEqual(['b', 'a', 6]);
    expect(pair!.asTheyAreDeg).toBeGreaterThan(6);
  });
});
