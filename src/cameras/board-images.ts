import type { GreyImage } from '../capture/image-file.ts';
import {
  boardPictureNameUnclear,
  boardPictureTwice,
  chessboardSymmetric,
  imageOrientationDiffers,
  imageSizeDiffers,
} from '../messages/images.ts';
import { median } from '../numerics/statistics.ts';
import { type Board, type BoardImage, checkBoard } from './board.ts';
import { findChessboard, settlesOrder } from './chessboard/find-chessboard.ts';
import type { ChessboardFound, ChessboardOutcome, GridSize, MissReason } from './chessboard/outcome.ts';

/** Camera and moment of a picture, from its file's name. */
export interface PictureName {
  readonly file: string;
  readonly camera: string;
  /** Pairs the pictures that several cameras took of the board in one place. */
  readonly image: string;
}

export interface BoardPicture {
  readonly camera: string;
  readonly image: string;
  readonly picture: GreyImage;
}

export interface PictureOutcome {
  readonly camera: string;
  readonly image: string;
  readonly found: boolean;
  /** Corners measured. */
  readonly corners: number;
  /** Null where the board was found. 'mirrored': its colours are those of a flipped picture. */
  readonly reason: MissReason | 'mirrored' | null;
  /** Size of the grid seen instead of the board, longer side first; null where the board or no grid was seen. */
  readonly seen: GridSize | null;
  /** Corners found in that grid. */
  readonly cornersSeen: number;
  /** 10 % to 90 % width of the edges, px; NaN for a picture without edges. */
  readonly edgeWidthPx: number;
  /** Bright − dark squares, or the spread of the picture, grey levels of 255. */
  readonly contrast: number;
  /** Given up as too blurred, or its edges much wider than in this camera's other pictures. */
  readonly blurred: boolean;
}

/** Edges this many times as wide as the camera's median, and at least BLURRED_PX: blurred. Common practice, no source. */
const BLURRED_TIMES = 2;
const BLURRED_PX = 4;

/**
 * Camera and image from file names: `left01.jpg`, `right-01.jpg` in one folder (camera, then number), or one folder a
 * camera, `left/01.jpg`, `right/01.jpg`, where files lie in several folders. With `camera` all files are of that one and
 * names do not matter. Throws where a name says too little or two files say the same.
 */
export function namePictures(files: readonly string[], camera: string | null = null): PictureName[] {
  const folders = new Set(files.map((file) => partsOf(file).folder));
  const names = files.map((file): PictureName => {
    const { folder, base } = partsOf(file);
    if (camera !== null) return { file, camera, image: base };
    if (folders.size > 1) {
      if (folder === '') throw boardPictureNameUnclear(file);
      const own = base.startsWith(folder) ? base.slice(folder.length).replace(/^[-_ ]+(?=.)/, '') : base;
      return { file, camera: folder, image: own === '' ? base : own };
    }
    const parts = /^(.+?)[-_ ]+(\d+)$/.exec(base) ?? /^(.*?\D)(\d+)$/.exec(base);
    if (parts === null) throw boardPictureNameUnclear(file);
    return { file, camera: parts[1], image: parts[2] };
  });
  const seen = new Map<string, string>();
  for (const { file, camera: own, image } of names) {
    const key = JSON.stringify([own, image]);
    const first = seen.get(key);
    if (first !== undefined) throw boardPictureTwice(own, image, first, file);
    seen.set(key, file);
  }
  return names;
}

function partsOf(file: string): { folder: string; base: string } {
  const steps = file.split(/[\\/]/);
  return { folder: steps.at(-2) ?? '', base: steps.at(-1)!.replace(/\.[^.]+$/, '') };
}

/**
 * The board's corners in each picture, and for every picture what became of it. Pictures without the board are in
 * `outcomes` only. Throws a DataError for a board whose first corner several cameras cannot agree on, and for a camera
 * whose pictures differ in size or in the way the camera was held. `progress` is called after each picture.
 */
export function boardImagesFromPictures(
  pictures: readonly BoardPicture[],
  board: Board,
  progress: (done: number, total: number) => void = () => {},
): { images: BoardImage[]; outcomes: PictureOutcome[] } {
  checkBoard(board);
  const cameras = [...new Set(pictures.map(({ camera }) => camera))];
  if (cameras.length > 1 && !settlesOrder(board)) throw chessboardSymmetric(board.columns, board.rows, cameras.length);
  for (const camera of cameras) refuseOtherModes(pictures.filter((one) => one.camera === camera));
  const results = pictures.map(({ picture }, done) => {
    const outcome = findChessboard(picture, board);
    progress(done + 1, pictures.length);
    return outcome;
  });
  const flipped = flippedPictures(results, board);
  const usual = new Map(
    cameras.map((camera) => {
      const widths = results.flatMap((one, i) => (pictures[i].camera === camera && one.found ? [one.edgeWidthPx] : []));
      return [camera, widths.length === 0 ? Number.NaN : median(widths)];
    }),
  );
  const outcomes = results.map((outcome, i) =>
    describe(pictures[i], outcome, flipped[i], usual.get(pictures[i].camera)!),
  );
  const images = pictures.flatMap(({ camera, image }, i): BoardImage[] => {
    const outcome = results[i];
    return outcome.found && !flipped[i] ? [{ camera, image, corners: outcome.corners }] : [];
  });
  return { images, outcomes };
}

function describe(
  { camera, image }: BoardPicture,
  outcome: ChessboardOutcome,
  flipped: boolean,
  usualWidthPx: number,
): PictureOutcome {
  const { edgeWidthPx, contrast } = outcome;
  const wide = edgeWidthPx > Math.max(BLURRED_PX, BLURRED_TIMES * usualWidthPx);
  return outcome.found
    ? {
        camera,
        image,
        found: !flipped,
        corners: flipped ? 0 : outcome.corners.length / 2 - outcome.missing,
        reason: flipped ? 'mirrored' : null,
        seen: null,
        cornersSeen: outcome.corners.length / 2 - outcome.missing,
        edgeWidthPx,
        contrast,
        blurred: wide,
      }
    : {
        camera,
        image,
        found: false,
        corners: 0,
        reason: outcome.reason,
        seen: outcome.seen,
        cornersSeen: outcome.cornersSeen,
        edgeWidthPx,
        contrast,
        blurred: outcome.reason === 'too-blurred',
      };
}

/**
 * Which pictures show the colours of a mirror image. Only a board with both counts odd and unequal can show it: half a
 * turn keeps its colours, a mirror exchanges them. Those in the minority are flipped; a tie or one picture tells nothing.
 */
function flippedPictures(results: readonly ChessboardOutcome[], { columns, rows }: Board): boolean[] {
  const canTell = columns % 2 === 1 && rows % 2 === 1 && columns !== rows;
  const found = results.filter((one): one is ChessboardFound => one.found);
  const dark = found.filter((one) => one.firstSquare === 'dark').length;
  if (!canTell || 2 * dark === found.length) return results.map(() => false);
  const rare = 2 * dark > found.length ? 'bright' : 'dark';
  return results.map((one) => one.found && one.firstSquare === rare);
}

/** A lens holds for one size and one way of holding the camera: the picture that differs from most others is named. */
function refuseOtherModes(pictures: readonly BoardPicture[]): void {
  const sizeOf = ({ picture }: BoardPicture) => `${picture.width} ${picture.height}`;
  const [usual, odd] = usualAndOdd(pictures, sizeOf);
  if (odd !== undefined) {
    const { width, height } = usual.picture;
    const count = pictures.filter((one) => sizeOf(one) === sizeOf(usual)).length;
    throw imageSizeDiffers(odd.camera, odd.image, [odd.picture.width, odd.picture.height], [width, height], count);
  }
  const turnOf = ({ picture }: BoardPicture) => String(picture.sourceOrientation ?? 1);
  const [straight, turned] = usualAndOdd(pictures, turnOf);
  if (turned === undefined) return;
  const count = pictures.filter((one) => turnOf(one) === turnOf(straight)).length;
  throw imageOrientationDiffers(turned.camera, turned.image, Number(turnOf(turned)), Number(turnOf(straight)), count);
}

/** A picture of the commonest kind, and the first of another kind. */
function usualAndOdd(
  pictures: readonly BoardPicture[],
  kindOf: (one: BoardPicture) => string,
): [BoardPicture, BoardPicture | undefined] {
  const count = (kind: string) => pictures.filter((one) => kindOf(one) === kind).length;
  const usual = pictures.reduce((best, one) => (count(kindOf(one)) > count(kindOf(best)) ? one : best));
  return [usual, pictures.find((one) => kindOf(one) !== kindOf(usual))];
}
