import type { DroppedView } from '../cameras/calibration.ts';
import { findCharuco } from '../cameras/charuco/find-charuco.ts';
import { findChessboard } from '../cameras/chessboard/find-chessboard.ts';
import { cornerGrid } from '../cameras/defined-board.ts';
import { type BoardVideo, type FindBoard, searchStillMoments } from '../cameras/still/search-still-moments.ts';
import { boardImagesOf } from '../cameras/still-moments.ts';
import type { BoardDefinition } from '../capture/board-file.ts';
import { probeVideo, type VideoInfo } from '../capture/video/probe.ts';
import { readFramesAt, readVideoFrames } from '../capture/video/read-frames.ts';
import { clockFromMovement, videoTooSlow } from '../messages/calibrate.ts';
import type { BoardSightings } from './board-sightings.ts';
import type { Progress } from './progress.ts';

/** Width to which all frames are made small to see when the picture is quiet, px. */
const SMALL_WIDTH_PX = 160;

/** The board at the moments at which it stands still before all cameras; frames are looked at, not kept. */
export async function findBoardInVideos(
  videos: readonly { readonly camera: string; readonly file: string }[],
  board: BoardDefinition,
  progress: Progress,
): Promise<BoardSightings> {
  const infos: VideoInfo[] = [];
  for (const { camera, file } of videos) {
    const info = await probeVideo(file);
    if (info.slowMotion !== null) throw videoTooSlow(file, camera);
    infos.push(info);
  }
  const { columns } = cornerGrid(board);
  let looked = 0;
  const find = finderOf(board);
  const counted: FindBoard = async (image) => {
    looked++;
    progress.step(looked, looked + 1, `looking for the board in frame ${looked}`);
    return find(image);
  };
  const found = await searchStillMoments(
    videos.map(({ camera }, c): BoardVideo => {
      const info = infos[c];
      return {
        camera,
        imageSize: info.uprightSize,
        smallFrames: () => readVideoFrames(info, { maxWidth: SMALL_WIDTH_PX }),
        framesAt: (indices) => readFramesAt(info, indices),
      };
    }),
    counted,
    { columns },
  );
  progress.end();
  const dropped: DroppedView[] = found.leftOut.flatMap(({ timeS, reason }) =>
    videos.map(({ camera }) => ({ camera, image: `t${timeS.toFixed(2)}`, reason })),
  );
  return {
    images: boardImagesOf(found),
    dropped,
    sizes: new Map(videos.map(({ camera }, c) => [camera, infos[c].uprightSize])),
    from: 'video',
    videos: new Map(videos.map(({ camera }, c) => [camera, infos[c]])),
    looked: new Map(found.tracks.map(({ camera, frames }) => [camera, frames.length])),
    notes: videos.slice(1).map(({ camera }, c) => clockFromMovement(camera, videos[0].camera, found.offsetsS[c + 1])),
  };
}

function finderOf(board: BoardDefinition): FindBoard {
  if (board.pattern === 'chessboard') {
    const grid = cornerGrid(board);
    return (image) => {
      const outcome = findChessboard(image, grid);
      return outcome.found ? outcome.corners : null;
    };
  }
  return async (image) => {
    // Why a frame shows no board does not matter here, and to find out takes longer than to look at the next.
    const outcome = await findCharuco(image, board, { explain: false });
    return outcome.found ? outcome.corners : null;
  };
}
