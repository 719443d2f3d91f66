import { type BoardDrawing, boardDrawing, drawnCorners } from '../../src/cameras/board-print.ts';
import { markerBits } from '../../src/cameras/charuco/dictionary.ts';
import { cornerGrid, placedMarkers } from '../../src/cameras/defined-board.ts';
import type { Camera } from '../../src/cameras/rig.ts';
import type { BoardDefinition } from '../../src/capture/board-file.ts';
import type { GreyImage } from '../../src/capture/image-file.ts';
import type { Random } from '../../src/numerics/random.ts';
import { rotationFromVector } from '../../src/numerics/rotation.ts';
import { type PictureLook, pagePicture, pagePixels } from './charuco-picture.ts';

/** A board drawn on its page, ready to be filmed. */
export interface PrintedPage {
  readonly board: BoardDefinition;
  readonly drawing: BoardDrawing;
  readonly cornersMm: Float64Array;
}

export async function printedPage(board: BoardDefinition): Promise<PrintedPage> {
  const ids = placedMarkers(board).map(({ id }) => id);
  const bits = board.markers === null ? () => new Uint8Array(0) : await markerBits(board.markers.dictionary, ids);
  const drawing = boardDrawing(board, board.paper ?? 'A3', bits);
  return { board, drawing, cornersMm: drawnCorners(board, drawing) };
}

/** The page as a camera placed over its board sees it, and the true pixels of its corners. */
export function filmed(
  { drawing, cornersMm }: PrintedPage,
  camera: Camera,
  look: Partial<PictureLook> = {},
): { image: GreyImage; truth: Float64Array } {
  const first = [cornersMm[0], cornersMm[1]] as const;
  return { image: pagePicture(drawing, first, camera, look), truth: pagePixels(cornersMm, first, camera) };
}

/** An invented phone camera of 960 × 540 px; its distortion bends the border of the picture by about 9 px. */
export const PHONE: Camera = {
  name: 'phone',
  imageWidth: 960,
  imageHeight: 540,
  fx: 750,
  fy: 750,
  cx: 484,
  cy: 266,
  skew: 0,
  distortion: [-0.12, 0.04, 0.0008, -0.0006, 0],
  rotation: Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1),
  translation: new Float64Array(3),
};

/** The same camera with two thirds of the pixels each way, for quick tests. */
export const SMALL_PHONE: Camera = {
  ...PHONE,
  imageWidth: 640,
  imageHeight: 360,
  fx: 500,
  fy: 500,
  cx: 322.5,
  cy: 177.2,
};

/** The camera with the board `distanceM` ahead, its middle at `offset` (metres) from the axis, turned by `tilt` (rotation vector). */
export function facing(
  camera: Camera,
  board: BoardDefinition,
  tilt: readonly number[],
  distanceM: number,
  offset: readonly [number, number] = [0, 0],
): Camera {
  const { columns, rows, squareSizeM } = cornerGrid(board);
  const [x, y] = [((columns - 1) * squareSizeM) / 2, ((rows - 1) * squareSizeM) / 2];
  const r = rotationFromVector([...tilt]);
  const translation = Float64Array.of(
    offset[0] - r[0] * x - r[1] * y,
    offset[1] - r[3] * x - r[4] * y,
    distanceM - r[6] * x - r[7] * y,
  );
  return { ...camera, rotation: r, translation };
}

/** A board held somewhere in the picture, 0.45 to 0.8 m away, tilted by up to 45°, turned by up to 20°. */
export function heldSomewhere(camera: Camera, board: BoardDefinition, random: Random): Camera {
  const distance = 0.45 + 0.35 * random.uniform();
  const direction = 2 * Math.PI * random.uniform();
  const tilt = (Math.PI / 4) * Math.sqrt(random.uniform());
  const spread = (n: number) => n * (random.uniform() - 0.5);
  return facing(camera, board, [tilt * Math.cos(direction), tilt * Math.sin(direction), spread(0.7)], distance, [
    spread(0.6 * distance),
    spread(0.2 * distance),
  ]);
}

export const flipped = ({ width, height, pixels }: GreyImage): GreyImage => ({
  width,
  height,
  pixels: pixels.map((_, i) => pixels[i - (i % width) + width - 1 - (i % width)]),
});

/** The part of a picture about the points (2 × n, px), with `border` px around them. */
export function croppedTo({ width, height, pixels }: GreyImage, points: Float64Array, border: number): GreyImage {
  const along = (axis: 0 | 1, size: number): [number, number] => {
    const values = [...points].filter((_, o) => o % 2 === axis);
    return [
      Math.max(0, Math.floor(Math.min(...values)) - border),
      Math.min(size, Math.ceil(Math.max(...values)) + border),
    ];
  };
  const [[u0, u1], [v0, v1]] = [along(0, width), along(1, height)];
  const part = new Uint8Array((u1 - u0) * (v1 - v0));
  for (let v = v0; v < v1; v++) part.set(pixels.subarray(v * width + u0, v * width + u1), (v - v0) * (u1 - u0));
  return { width: u1 - u0, height: v1 - v0, pixels: part };
}
