import { describe, expect, test } from '@jest/globals';
import type { BoardImage } from '../../src/cameras/board.ts';
import { type BoardLens, fitBoardLens } from '../../src/cameras/board-lens.ts';
import { calibrateRigFromBoard } from '../../src/cameras/board-rig.ts';
import { cameraWithLens } from '../../src/cameras/lens-calibration.ts';
import { parseLenses, serialiseLenses } from '../../src/cameras/lens-file.ts';
import type { Pose } from '../../src/cameras/pose.ts';
import { DataError } from '../../src/errors.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { multiply3, rotationFromVector } from '../../src/numerics/rotation.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { boardImages, cameraLookingAt } from './synthetic-cameras.ts';

const BOARD = { columns: 9, rows: 6, squareSizeM: 0.06 };
const SIZE = { width: 1920, height: 1080 };
const lens = { distortion: [-0.22, 0.09, 0, 0, 0] as const, fx: 1480, fy: 1480, cx: 955, cy: 542 };
const CAMERAS = [
  cameraLookingAt('left', [-1.2, 1.3, 3.2], [0, 1, 0], lens),
  cameraLookingAt('right', [1.5, 1.2, 3], [0, 1, 0], lens),
];
const FACING = Float64Array.of(1, 0, 0, 0, -1, 0, 0, 0, -1);

const POSES = new Map<string, Pose>(
  Array.from({ length: 12 }, (_, i) => {
    const random = seededRandom(300 + i);
    const tilt = [0, 1, 2].map(() => 1.2 * (random.uniform() - 0.5));
    const place = [-0.25, 1.2, 0].map((x, k) => x + [1.2, 0.7, 0.8][k] * (random.uniform() - 0.5));
    return [
      String(i + 1).padStart(2, '0'),
      { rotation: multiply3(rotationFromVector(tilt), FACING), translation: Float64Array.from(place) },
    ];
  }),
);
const NOISE_PX = 0.15;
const IMAGES = boardImages(CAMERAS, BOARD, POSES, NOISE_PX);
const SETUP = CAMERAS.map(({ name }) => ({ name, imageSize: SIZE }));
const OPTIONS = { distortion: 'auto', outliers: 'dropped', loss: 'huber' } as const;

const of = (camera: string) => IMAGES.filter((image) => image.camera === camera);
const changed = (camera: string, names: readonly string[], change: (image: BoardImage) => BoardImage) =>
  IMAGES.map((image) => (image.camera === camera && names.includes(image.image) ? change(image) : image));

async function refusal(work: Promise<unknown>): Promise<DataError> {
  try {
    await work;
  } catch (error) {
    if (error instanceof DataError) return error;
    throw error;
  }
  throw new Error('nothing was refused');
}

/** The same board photographed while it was bent: corners off by up to 6 px, as no flat board would show them. */
const bent = (image: BoardImage): BoardImage => ({
  ...image,
  corners: image.corners.map((x, o) => x + (o % 2 === 1 ? 6 * Math.sin((3 * (Math.floor(o / 2) % 9)) / 8) : 0)),
});

/** Another board with as many squares, each three quarters as large. */
const smaller = (images: readonly BoardImage[], name: string): BoardImage[] =>
  images.map((image) => {
    if (image.image !== name) return image;
    const camera = CAMERAS.find((one) => one.name === image.camera)!;
    const board = { ...BOARD, squareSizeM: 0.045 };
    return boardImages([camera], board, new Map([[name, POSES.get(name)!]]), NOISE_PX)[0];
  });

describe('one lens', () => {
  test('a picture of a bent board is left out by name, and the lens is as without it', async () => {
    const with07 = changed('left', ['07'], bent).filter(({ camera }) => camera === 'left');
    const found = await fitBoardLens(with07, BOARD, SIZE);
    expect(found.dropped.map(({ image }) => image)).toEqual(['07']);
    const without = await fitBoardLens(
      of('left').filter(({ image }) => image !== '07'),
      BOARD,
      SIZE,
    );
    expectClose(found.camera.fx, without.camera.fx, 1e-6, 'focal length, same images and same start values');
    const sd = Math.sqrt(found.covariance[0]);
    expectClose(found.camera.fx, 1480, 4 * sd, 'true focal length within four standard deviations');
  });

  test('half the pictures of a bent board: nothing is called an outlier, and the misfit shows', async () => {
    const names = ['02', '04', '06', '08', '10', '12'];
    const mixed = changed('left', names, bent).filter(({ camera }) => camera === 'left');
    const found = await fitBoardLens(mixed, BOARD, SIZE);
    expect(found.rmsPx).toBeGreaterThan(1);
  });

  test('distortion terms: those of the true lens are enough, fewer are not', async () => {
    const { terms, choice } = await fitBoardLens(of('left'), BOARD, SIZE);
    expect(['k1', 'k1 k2']).toContain(terms);
    const heldOut = (wanted: string) => choice!.tried.find((one) => one.terms === wanted)!.heldOutRmsPx!;
    expect(heldOut('none')).toBeGreaterThan(1.2 * heldOut('k1 k2'));
  });

  test('a lens file is read back to the last digit', async () => {
    const fit = await fitBoardLens(of('left'), BOARD, SIZE);
    const record = {
      camera: fit.camera,
      mode: { from: 'video' as const, ...SIZE },
      parameters: fit.parameters,
      covariance: fit.covariance,
      rmsPx: fit.rmsPx,
      views: fit.views.length,
      coverage: 0.5,
      tiltRangeDeg: 40,
      notes: ['a note'],
    };
    const [back] = parseLenses(JSON.parse(serialiseLenses([record])), 'l.json');
    expect(back).toEqual(record);
  });
});

describe('a rig', () => {
  test('a pair of pictures of a moved board is left out by name', async () => {
    const moved = changed('right', ['05'], (image) => ({
      ...IMAGES.find((one) => one.camera === 'right' && one.image === '09')!,
      image: image.image,
    }));
    const { dropped, bundle } = await calibrateRigFromBoard(moved, BOARD, SETUP, OPTIONS);
    expect(dropped.map(({ camera, image }) => `${camera} ${image}`)).toEqual(['left 05', 'right 05']);
    // Noise of NOISE_PX a coordinate; relative standard deviation of an r.m.s. over 2 × 1188 values is 1.5 %.
    expectClose(bundle.rmsPx, NOISE_PX * Math.SQRT2, 0.06 * NOISE_PX, 'r.m.s.');
  });

  test('a pair of pictures of another board, with smaller squares, is left out by name', async () => {
    const { dropped } = await calibrateRigFromBoard(smaller(IMAGES, '08'), BOARD, SETUP, OPTIONS);
    expect(dropped.map(({ image }) => image)).toEqual(['08', '08']);
  });

  test('the pictures of one pair exchanged: said so', async () => {
    const exchanged = IMAGES.map((image) => {
      if (image.image !== '03') return image;
      const other = IMAGES.find((one) => one.image === '03' && one.camera !== image.camera)!;
      return { ...image, corners: other.corners };
    });
    const { dropped } = await calibrateRigFromBoard(exchanged, BOARD, SETUP, OPTIONS);
    expect(dropped.map(({ image }) => image)).toEqual(['03', '03']);
    const error = await refusal(calibrateRigFromBoard(exchanged, BOARD, SETUP));
    expect([error.code, error.facts.image]).toEqual(['board-pictures-exchanged', '03']);
  });

  test('a camera that stores its pictures mirrored is named', async () => {
    const mirrored = IMAGES.map((image) => {
      if (image.camera !== 'right') return image;
      const corners = new Float64Array(image.corners.length);
      for (let k = 0; 2 * k < corners.length; k++) {
        // Counted along the side with the even count from its other end: the first square stays dark, the order right-handed.
        const from = 9 * (5 - Math.floor(k / 9)) + (k % 9);
        corners[2 * k] = SIZE.width - 1 - image.corners[2 * from];
        corners[2 * k + 1] = image.corners[2 * from + 1];
      }
      return { ...image, corners };
    });
    const error = await refusal(calibrateRigFromBoard(mirrored, BOARD, SETUP, OPTIONS));
    // The mirror makes the two cameras' pictures contradict each other; which of the two is mirrored cannot be told.
    expect(error.code).toBe('board-pictures-mirrored');
  });

  test('lenses known from elsewhere: three board images are enough, and the lens moves within its uncertainty only', async () => {
    const fits: BoardLens[] = [];
    for (const { name } of CAMERAS) fits.push(await fitBoardLens(of(name), BOARD, SIZE));
    const setup = fits.map((fit, i) => ({
      ...SETUP[i],
      lens: {
        camera: fit.camera,
        mode: { from: 'corners' as const, ...SIZE },
        parameters: fit.parameters,
        covariance: fit.covariance,
        rmsPx: fit.rmsPx,
        views: 12,
        coverage: 1,
        tiltRangeDeg: 40,
        notes: [],
      },
    }));
    const few = IMAGES.filter(({ image }) => ['01', '02', '03'].includes(image));
    const { rig, relative } = await calibrateRigFromBoard(few, BOARD, setup, OPTIONS);
    rig.cameras.forEach((camera, i) => {
      expectClose(camera.fx, fits[i].camera.fx, 3 * Math.sqrt(fits[i].covariance[0]), `${camera.name} focal length`);
    });
    const exact = await calibrateRigFromBoard(boardImages(CAMERAS, BOARD, POSES), BOARD, SETUP, {
      distortion: 'k1 k2',
    });
    const scaled = relative[0].translationM.map(
      (x, k) => (x - exact.relative[0].translationM[k]) / relative[0].translationSdM[k],
    );
    expectAllClose(scaled, [0, 0, 0], 4, 'translation, in standard deviations');
    expect(cameraWithLens(exact.lenses[0]).fx).toBeCloseTo(1480, 2);
  });
});
