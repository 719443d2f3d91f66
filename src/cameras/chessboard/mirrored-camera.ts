import { median } from '../../numerics/statistics.ts';
import type { Board, BoardImage } from '../board.ts';
import { type ImageSize, type LensView, lensOfViews } from '../lens-calibration.ts';
import { angleBetween, composePoses, invertPose, type Pose } from '../pose.ts';

/** Relative poses of two cameras from different images agree within this, rad (2°), and clearly do not beyond this (6°). */
const AGREE_RAD = (2 * Math.PI) / 180;
const DISAGREE_RAD = (6 * Math.PI) / 180;

/** A camera that took pictures of the board. */
interface Photographer {
  readonly name: string;
  readonly imageSize: ImageSize;
}

/** Two cameras of which one shows a mirror image. Boards cannot tell which of the two. */
export interface MirroredPair {
  readonly camera: string;
  readonly against: string;
  readonly images: number;
  /** Median disagreement of the relative rotation between images, as the pictures are and with one of them turned over. */
  readonly asTheyAreDeg: number;
  readonly turnedOverDeg: number;
}

/**
 * Looks for a camera whose pictures are mirrored (a selfie camera that stores what its screen shows): its relative pose to
 * another camera then changes from image to image, and stays the same once its pictures are turned over. To be asked when
 * images contradict each other. Null where no such pair is found; needs two shared images with the board turned between
 * them. If all cameras are mirrored, or there is only one, a chessboard cannot show it: its pattern is its own mirror image.
 */
export async function mirroredPair(
  images: readonly BoardImage[],
  board: Board,
  cameras: readonly Photographer[],
): Promise<MirroredPair | null> {
  if ((board.columns + board.rows) % 2 === 0) return null;
  const viewsOf = async ({ name, imageSize }: Photographer, turnedOver: boolean) => {
    const own = images.filter((one) => one.camera === name);
    const used = turnedOver ? own.map((one) => turnedOverImage(one, board, imageSize.width)) : own;
    const lens = await lensOfViews(used, board, imageSize, 'k1 k2');
    return new Map(lens.views.map((view) => [view.image, view]));
  };
  const straight = await Promise.all(cameras.map((camera) => viewsOf(camera, false)));
  for (let c = 1; c < cameras.length; c++) {
    const turned = await viewsOf(cameras[c], true);
    for (let other = 0; other < c; other++) {
      const asTheyAre = disagreement(straight[other], straight[c]);
      const turnedOver = disagreement(straight[other], turned);
      if (!(asTheyAre.rad > DISAGREE_RAD && turnedOver.rad < AGREE_RAD)) continue;
      return {
        camera: cameras[c].name,
        against: cameras[other].name,
        images: asTheyAre.images,
        asTheyAreDeg: (asTheyAre.rad * 180) / Math.PI,
        turnedOverDeg: (turnedOver.rad * 180) / Math.PI,
      };
    }
  }
  return null;
}

/**
 * Corners of a mirrored picture as they would be without the mirror: u counted from the other side, and the corners renumbered
 * along the side with an even count, which keeps the first square dark and the order right-handed.
 */
export function turnedOverImage(image: BoardImage, { columns, rows }: Board, imageWidth: number): BoardImage {
  const corners = new Float64Array(image.corners.length);
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const from = columns % 2 === 0 ? row * columns + columns - 1 - column : (rows - 1 - row) * columns + column;
      const to = row * columns + column;
      corners[2 * to] = imageWidth - 1 - image.corners[2 * from];
      corners[2 * to + 1] = image.corners[2 * from + 1];
    }
  }
  return { ...image, corners };
}

/** Median angle between the relative rotations that the shared images give, and the one that agrees best; NaN below two. */
function disagreement(
  a: ReadonlyMap<string, LensView>,
  b: ReadonlyMap<string, LensView>,
): { rad: number; images: number } {
  const between: Pose[] = [];
  for (const [image, view] of a) {
    const other = b.get(image);
    if (other !== undefined) between.push(composePoses(other, invertPose(view)));
  }
  const spread = between.map((one) =>
    median(between.filter((x) => x !== one).map((x) => angleBetween(x.rotation, one.rotation))),
  );
  return { rad: between.length < 2 ? Number.NaN : Math.min(...spread), images: between.length };
}
