import { expect, test } from '@jest/globals';
import { boardPoints } from '../../../src/cameras/board.ts';
import { findChessboard } from '../../../src/cameras/chessboard/find-chessboard.ts';
import { composePoses } from '../../../src/cameras/pose.ts';
import { type BoardVideo, searchStillMoments } from '../../../src/cameras/still/search-still-moments.ts';
import { probeVideo } from '../../../src/capture/video/probe.ts';
import { readFramesAt, readVideoFrames } from '../../../src/capture/video/read-frames.ts';
import { describeWithFfmpeg, writeVideo } from '../../capture/video/video-files.ts';
import { temporaryFolder } from '../../capture/written-files.ts';
import { expectClose } from '../../expect-close.ts';
import { pixelsOf } from '../synthetic-cameras.ts';
import { BOARD, boardPose, stands, twoCameras } from './moving-board.ts';
import { renderBoard } from './rendered-board.ts';

const folder = temporaryFolder();

describeWithFfmpeg('from two videos to pairs of boards, nothing given', () => {
  const size = { width: 320, height: 240 };
  const cameras = twoCameras({ imageWidth: 320, imageHeight: 240, fx: 480, fy: 480, cx: 159.5, cy: 119.5 });
  // Within both pictures: the board's middle within 0.15 m of the point both cameras look at.
  const list = stands(4, 21, [0.9, 1.3]).map((stand) => ({
    ...stand,
    place: stand.place.map((value, i) => (i === 1 ? 1.1 + 0.3 * (value - 1.1) : 0.3 * value)) as [
      number,
      number,
      number,
    ],
  }));
  const lastS = list[3].toS;
  const clocks = [
    { rateHz: 15, startS: 0.4, lengthS: lastS - 0.6 },
    { rateHz: 12.5, startS: 1.73, lengthS: lastS - 1.9 },
  ];
  const trueOffsetS = clocks[1].startS - clocks[0].startS;

  test('each stand gives its pair; clocks come from the movement in the pictures', async () => {
    const videos: BoardVideo[] = [];
    for (const [c, { rateHz, startS, lengthS }] of clocks.entries()) {
      const count = Math.floor(rateHz * lengthS);
      const pixels = new Uint8Array(count * size.width * size.height);
      for (let k = 0; k < count; k++) {
        pixels.set(
          renderBoard(cameras[c], BOARD, boardPose(list, startS + k / rateHz), 2),
          k * size.width * size.height,
        );
      }
      const file = writeVideo(`${folder}/${cameras[c].name}.mp4`, pixels, { ...size, rateHz });
      const info = await probeVideo(file);
      videos.push({
        camera: cameras[c].name,
        imageSize: info.uprightSize,
        smallFrames: () => readVideoFrames(info, { maxWidth: 160 }),
        framesAt: (indices) => readFramesAt(info, indices),
      });
    }
    const find = (image: Parameters<typeof findChessboard>[0]) => {
      const outcome = findChessboard(image, BOARD);
      return outcome.found ? outcome.corners : null;
    };
    const options = { columns: BOARD.columns, mostOffsetS: 4 };
    const { moments, offsetsS } = await searchStillMoments(videos, find, options);
    // Both videos change at 12.5 to 15 frames a second: a quarter of a frame.
    expectClose(offsetsS[1], trueOffsetS, 0.02, 'offset from the pictures, s');
    const at = (timeS: number) => list.findIndex(({ fromS, toS }) => timeS > fromS - 0.1 && timeS < toS + 0.1);
    const stood = moments.map(({ views }) => views.map(({ timeS }, c) => at(timeS + clocks[c].startS)));
    for (const [left, right] of stood) expect(right).toBe(left);
    expect(new Set(stood.map(([left]) => left)).size).toBeGreaterThanOrEqual(3);
    for (const { views } of moments) {
      for (const [c, { corners, timeS }] of views.entries()) {
        const placed = { ...cameras[c], ...composePoses(cameras[c], boardPose(list, timeS + clocks[c].startS)) };
        const truth = pixelsOf(placed, boardPoints(BOARD));
        let worst = 0;
        for (let o = 0; o < truth.length; o += 2) {
          worst = Math.max(worst, Math.hypot(corners[o] - truth[o], corners[o + 1] - truth[o + 1]));
        }
        // Squares of 9 to 10 px, two samples a pixel each way and a lossy codec: the frame is the right one, its corners near.
        expect(worst).toBeLessThan(0.5);
      }
    }
  }, 180_000);
});
