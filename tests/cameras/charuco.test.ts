import { describe, expect, test } from '@jest/globals';
import { fitBoardSurface } from '../../src/cameras/charuco/board-surface.ts';
import { findCharuco } from '../../src/cameras/charuco/find-charuco.ts';
import type { CharucoMissed, CharucoOutcome } from '../../src/cameras/charuco/outcome.ts';
import { cornerGrid } from '../../src/cameras/defined-board.ts';
import { calibrateLens } from '../../src/cameras/lens-calibration.ts';
import { type BoardDefinition, readBoard } from '../../src/capture/board-file.ts';
import { charucoMissed } from '../../src/messages/boards.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { expectClose } from '../expect-close.ts';
import { pagePixels } from '../synthetic/charuco-picture.ts';
import {
  croppedTo,
  facing,
  filmed,
  flipped,
  heldSomewhere,
  PHONE,
  printedPage,
  SMALL_PHONE,
} from '../synthetic/charuco-views.ts';
import { validation } from '../validation/charuco.validate.ts';

const a4 = readBoard('charuco-a4');
const page = await printedPage(a4);
const straight = facing(SMALL_PHONE, a4, [0.3, -0.4, 0.1], 0.5);
const sharp = filmed(page, straight);

function missed(outcome: CharucoOutcome): CharucoMissed {
  if (outcome.found) throw new Error(`found ${outcome.seen} corners`);
  return outcome;
}

/** Errors of the corners found, px. */
function errors(outcome: CharucoOutcome, truth: Float64Array): number[] {
  if (!outcome.found) throw new Error(`missed: ${outcome.reason}`);
  const found: number[] = [];
  for (let o = 0; o < truth.length; o += 2) {
    const d = Math.hypot(outcome.corners[o] - truth[o], outcome.corners[o + 1] - truth[o + 1]);
    if (Number.isFinite(d)) found.push(d);
  }
  return found;
}

describe('corners of a rendered ChArUco board', () => {
  test('in board order, each within 0.3 px', async () => {
    const { image, truth } = sharp;
    const outcome = await findCharuco(image, a4);
    const found = errors(outcome, truth);
    expect(found).toHaveLength(24);
    expect(Math.max(...found)).toBeLessThan(0.3);
  });

  test('upside down, the numbers stay with their corners', async () => {
    const turned = facing(SMALL_PHONE, a4, [0, 0, 3.1], 0.5);
    const { image, truth } = filmed(page, turned);
    expect(Math.max(...errors(await findCharuco(image, a4), truth))).toBeLessThan(0.3);
  });

  test('a board partly outside the picture gives the corners that are inside, NaN for the others', async () => {
    const { image, truth } = filmed(page, facing(SMALL_PHONE, a4, [0.2, 0.3, 0], 0.45, [0.24, 0]));
    const outcome = await findCharuco(image, a4);
    const found = errors(outcome, truth);
    expect(found.length).toBeGreaterThanOrEqual(8);
    expect(found.length).toBeLessThan(24);
    expect(Math.max(...found)).toBeLessThan(0.3);
    expect(outcome.found && outcome.corners.filter(Number.isNaN).length).toBe(2 * (24 - found.length));
  });

  test('a corner that something covers in part is cut, not reported wrong', async () => {
    const { image, truth } = sharp;
    // A dark strip over part of the neighbourhood of corner 9, and so over one of its edges.
    const [u, v] = [Math.round(truth[18]), Math.round(truth[19])];
    const pixels = image.pixels.slice();
    for (let dv = 1; dv < 6; dv++) pixels.fill(60, (v + dv) * image.width + u - 7, (v + dv) * image.width + u + 8);
    const outcome = await findCharuco({ ...image, pixels }, a4);
    expect(outcome.found && Number.isNaN(outcome.corners[18])).toBe(true);
    expect(Math.max(...errors(outcome, truth))).toBeLessThan(0.3);
  });
});

describe('pictures that cannot be used are named', () => {
  const variant = (changes: Partial<BoardDefinition>, markers: object = {}): BoardDefinition => ({
    ...a4,
    ...changes,
    markers: { ...a4.markers!, ...markers },
  });
  const looking = async (drawn: BoardDefinition) =>
    filmed(await printedPage(drawn), facing(SMALL_PHONE, drawn, [0.2, -0.2, 0.1], 0.45)).image;

  test('mirrored', async () => {
    expect(missed(await findCharuco(flipped(sharp.image), a4)).reason).toBe('mirrored');
  });

  test.each([
    ['dictionary', variant({}, { dictionary: 'DICT_5X5_100' })],
    ['ids', variant({}, { firstId: 20 })],
    ['arrangement', variant({ squaresAcross: 7, squaresDown: 5, squareMm: 25 }, { sideMm: 18.75 })],
    ['marker size', variant({}, { sideMm: 19 })],
  ])('another board: %s', async (what, drawn) => {
    const outcome = missed(await findCharuco(await looking(drawn), a4));
    expect([outcome.reason, outcome.other?.what]).toEqual(['other-board', what]);
  });

  /** Searching for the reason takes long: only the part of the picture about the board. */
  const near = ({ image, truth }: typeof sharp) => croppedTo(image, truth, 45);

  test('blurred by a wrong focus', async () => {
    const outcome = missed(await findCharuco(near(filmed(page, straight, { blurPx: 5 })), a4));
    expect(outcome.reason).toBe('too-blurred');
    // 10 % to 90 % of a Gaussian edge of 5 px is 12.8 px.
    expect(outcome.edgeWidthPx).toBeGreaterThan(8);
  });

  test('moved before a sharp wall while the shutter was open', async () => {
    const outcome = missed(await findCharuco(near(filmed(page, straight, { smearPx: 14 })), a4));
    expect(['too-blurred', 'unreadable']).toContain(outcome.reason);
  });

  test('too far away', async () => {
    const far = near(filmed(page, facing(SMALL_PHONE, a4, [0.2, 0.1, 0], 1.6)));
    expect(missed(await findCharuco(far, a4)).reason).toBe('unreadable');
  });

  test('not there at all', async () => {
    const { image } = filmed(page, facing(SMALL_PHONE, a4, [0, 0, 0], 1, [5, 0]));
    expect(missed(await findCharuco(image, a4, { explain: false })).reason).toBe('no-board');
    expect(missed(await findCharuco(image, a4)).reason).toBe('no-board');
  });

  test('the message carries the reason as its code', () => {
    const miss = {
      reason: 'other-board',
      markersSeen: 0,
      cornersSeen: 0,
      edgeWidthPx: Number.NaN,
      surfaceRmsPx: Number.NaN,
      other: { what: 'ids', dictionary: 'DICT_4X4_1000', ids: [20, 21] },
    } as const;
    const error = charucoMissed('left-03.jpg', 'charuco-a4', miss);
    expect(error.code).toBe('charuco-other-board');
    expect(error.facts).toEqual({
      image: 'left-03.jpg',
      board: 'charuco-a4',
      markersSeen: 0,
      cornersSeen: 0,
      other: 'ids',
    });
  });
});

describe('the surface that corners must lie on', () => {
  const truth = filmedCorners();

  function filmedCorners(): Float64Array {
    const random = seededRandom(5);
    const camera = facing(SMALL_PHONE, a4, [0.4, 0.5, 0.2], 0.5, [0.1, -0.05]);
    const pixels = pagePixels(page.cornersMm, [page.cornersMm[0], page.cornersMm[1]], camera);
    return pixels.map((x) => x + 0.05 * random.normal());
  }

  test('three wrong corners of 24 do not bend it: each keeps its distance, the others theirs', () => {
    const wrong = truth.slice();
    wrong[0] += 3;
    wrong[23] -= 1;
    wrong[40] += 0.7;
    const surface = fitBoardSurface(wrong, 4, SMALL_PHONE.imageWidth, SMALL_PHONE.imageHeight)!;
    // A corner at the rim carries some of its own weight; the noise of 0.05 px comes on top.
    expectClose(surface.distances[0], 3, 0.3);
    expectClose(surface.distances[11], 1, 0.3);
    expectClose(surface.distances[20], 0.7, 0.3);
    const others = [...surface.distances].filter((_, k) => ![0, 11, 20].includes(k));
    expect(Math.max(...others)).toBeLessThan(0.25);
  });

  test('corners of one row, or of one row and one more, span no plane', () => {
    const line = truth.map((x, o) => (o < 8 ? x : Number.NaN));
    expect(fitBoardSurface(line, 4, 640, 360)).toBeNull();
    const oneMore = truth.map((x, o) => (o < 10 ? x : Number.NaN));
    expect(fitBoardSurface(oneMore, 4, 640, 360)).toBeNull();
  });
});

describe('the lens from ChArUco pictures', () => {
  test('missing corners are no obstacle: the focal length comes out within four standard deviations', async () => {
    const random = seededRandom(11);
    const images = Array.from({ length: 10 }, (_, i) => {
      const truth = pagePixels(
        page.cornersMm,
        [page.cornersMm[0], page.cornersMm[1]],
        heldSomewhere(PHONE, a4, random),
      );
      // Of every second picture a quarter of the corners is missing, of one picture all but nine.
      const gone = (k: number) => (i === 3 ? k > 8 : i % 2 === 0 && k % 4 === 0);
      const corners = truth.map((x, o) => (gone(o >> 1) ? Number.NaN : x + 0.05 * random.normal()));
      return { camera: 'phone', image: String(i), corners };
    });
    const lens = await calibrateLens(images, cornerGrid(a4), { width: 960, height: 540 });
    expectClose(lens.fx, PHONE.fx, 4 * lens.standardDeviations[0], 'fx');
    expectClose(lens.fy, PHONE.fy, 4 * lens.standardDeviations[1], 'fy');
    expect(lens.standardDeviations[0]).toBeLessThan(1.5);
    expect(lens.rmsPx).toBeLessThan(0.1);
  });

  test('a short run of the validation passes', async () => {
    const { rows } = await validation.run(0.01, () => {});
    const error = rows.find(({ what }) => what.startsWith('corner error after'))!;
    expect(error.value).toBeLessThanOrEqual(error.to!);
    expect(error.runs).toBeGreaterThan(50);
  });
});
