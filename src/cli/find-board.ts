import type { Board, BoardImage } from '../cameras/board.ts';
import { type BoardPicture, boardImagesFromPictures } from '../cameras/board-images.ts';
import type { DroppedView } from '../cameras/calibration.ts';
import { findCharuco } from '../cameras/charuco/find-charuco.ts';
import { cornerGrid, refuseSymmetricBoard } from '../cameras/defined-board.ts';
import type { BoardDefinition } from '../capture/board-file.ts';
import { readGreyImage } from '../capture/image-file.ts';
import type { InputLedger } from '../capture/input-file.ts';
import { charucoMissedReason } from '../messages/boards.ts';
import { boardBlurred, boardNotFoundAnywhere, sourcesMixed } from '../messages/calibrate.ts';
import { boardMissed } from '../messages/images.ts';
import { median } from '../numerics/statistics.ts';
import { findBoardInVideos } from './board-in-videos.ts';
import type { BoardSightings } from './board-sightings.ts';
import type { PictureSource } from './picture-sources.ts';
import type { Progress } from './progress.ts';

/** Finds a board in photographs, or in the still moments of videos. Errors: those of the readers; board-not-found-anywhere. */
export async function findBoard(
  sources: readonly PictureSource[],
  board: BoardDefinition,
  progress: Progress,
  ledger: InputLedger | null,
): Promise<BoardSightings> {
  refuseSymmetricBoard(board, sources.length);
  const videos = sources.filter((source) => source.kind === 'video');
  if (videos.length > 0 && videos.length < sources.length) throw sourcesMixed(videos[0].camera);
  const found =
    videos.length > 0
      ? await findBoardInVideos(videos, board, progress)
      : await findBoardInPhotographs(sources, board, progress, ledger);
  for (const { camera } of sources) {
    if (found.images.some((image) => image.camera === camera)) continue;
    const reasons = found.dropped.filter((one) => one.camera === camera).map(({ reason }) => reason);
    throw boardNotFoundAnywhere(camera, found.looked.get(camera) ?? 0, commonest(reasons));
  }
  return found;
}

async function findBoardInPhotographs(
  sources: readonly PictureSource[],
  board: BoardDefinition,
  progress: Progress,
  ledger: InputLedger | null,
): Promise<BoardSightings> {
  const named = sources.flatMap((source) =>
    source.kind === 'photographs' ? source.pictures.map((one) => ({ camera: source.camera, ...one })) : [],
  );
  const pictures: BoardPicture[] = [];
  for (const [k, { camera, image, file }] of named.entries()) {
    progress.step(k, 2 * named.length, `reading ${camera} ${image}`);
    pictures.push({ camera, image, picture: await readGreyImage(file, ledger) });
  }
  const seek = (done: number) => {
    const at = pictures[done];
    if (at) progress.step(named.length + done, 2 * named.length, `looking for the board: ${at.camera} ${at.image}`);
  };
  const { images, dropped } = await boardIn(pictures, board, seek);
  progress.end();
  return {
    images,
    dropped,
    sizes: new Map(pictures.map(({ camera, picture }) => [camera, { width: picture.width, height: picture.height }])),
    from: 'photographs',
    videos: new Map(),
    looked: new Map(sources.map(({ camera }) => [camera, named.filter((one) => one.camera === camera).length])),
    notes: [],
  };
}

/** Corners in each picture that shows the board sharply; the others with the reason. */
export async function boardIn(
  pictures: readonly BoardPicture[],
  board: BoardDefinition,
  seek: (done: number) => void = () => {},
): Promise<{ images: BoardImage[]; dropped: DroppedView[] }> {
  return board.pattern === 'chessboard'
    ? chessboardIn(pictures, cornerGrid(board), seek)
    : charucoIn(pictures, board, seek);
}

function chessboardIn(pictures: readonly BoardPicture[], board: Board, seek: (done: number) => void) {
  const { images, outcomes } = boardImagesFromPictures(pictures, board, seek);
  const dropped: DroppedView[] = [];
  for (const outcome of outcomes) {
    const { camera, image, found, blurred, edgeWidthPx } = outcome;
    if (!found) dropped.push({ camera, image, reason: boardMissed(outcome, board) });
    else if (blurred) dropped.push({ camera, image, reason: boardBlurred(edgeWidthPx) });
  }
  return { images: images.filter((one) => !isIn(dropped, one)), dropped };
}

/** Edges this many times as wide as the camera's median, and at least BLURRED_PX: blurred. Common practice, no source. */
const BLURRED_TIMES = 2;
const BLURRED_PX = 4;

async function charucoIn(pictures: readonly BoardPicture[], board: BoardDefinition, seek: (done: number) => void) {
  const dropped: DroppedView[] = [];
  const found: (BoardImage & { readonly edgeWidthPx: number })[] = [];
  for (const [k, { camera, image, picture }] of pictures.entries()) {
    seek(k);
    const outcome = await findCharuco(picture, board);
    if (outcome.found) found.push({ camera, image, corners: outcome.corners, edgeWidthPx: outcome.edgeWidthPx });
    else dropped.push({ camera, image, reason: charucoMissedReason(board.name, outcome) });
  }
  for (const { camera, image, edgeWidthPx } of found) {
    const usual = median(found.filter((one) => one.camera === camera).map((one) => one.edgeWidthPx));
    if (edgeWidthPx > Math.max(BLURRED_PX, BLURRED_TIMES * usual)) {
      dropped.push({ camera, image, reason: boardBlurred(edgeWidthPx) });
    }
  }
  const images = found
    .filter((one) => !isIn(dropped, one))
    .map(({ camera, image, corners }) => ({ camera, image, corners }));
  return { images, dropped };
}

const isIn = (dropped: readonly DroppedView[], { camera, image }: BoardImage): boolean =>
  dropped.some((one) => one.camera === camera && one.image === image);

/** The reason given most often, with its count. */
function commonest(reasons: readonly string[]): string {
  if (reasons.length === 0) return 'no picture was given';
  const count = (reason: string) => reasons.filter((one) => one === reason).length;
  const most = reasons.reduce((a, b) => (count(b) > count(a) ? b : a));
  return `${count(most)} of ${reasons.length}: ${most}`;
}
