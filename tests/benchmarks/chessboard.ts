/**
 * Time to find a chessboard: photographs of 640 × 480 px and rendered pictures of 1920 × 1080 and 4032 × 3024 px, against
 * OpenCV's findChessboardCornersSB in Python on the same pictures in the same run, where python3 with cv2 is there.
 *
 *   npx tsx tests/benchmarks/chessboard.ts
 */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { performance } from 'node:perf_hooks';
import { fileURLToPath } from 'node:url';
import sharp from 'sharp';
import { findChessboard } from '../../src/cameras/chessboard/find-chessboard.ts';
import { readGreyImage } from '../../src/capture/image-file.ts';
import { median } from '../../src/numerics/statistics.ts';
import { BOARD, camerasAroundBoard, SMALL_LENS } from '../cameras/chessboard/board-scenes.ts';
import { boardPicture } from '../synthetic/board-picture.ts';

const ROUNDS = 5;
const PYTHON = `
import sys, time, json
import cv2
cv2.setNumThreads(1)
out = []
for file in sys.argv[1:]:
    grey = cv2.imread(file, cv2.IMREAD_GRAYSCALE)
    best, found = 1e9, False
    for _ in range(${ROUNDS}):
        start = time.perf_counter()
        found, _corners = cv2.findChessboardCornersSB(grey, (9, 6), flags=cv2.CALIB_CB_ACCURACY)
        best = min(best, time.perf_counter() - start)
    out.append([best * 1000, bool(found)])
print(json.dumps(out))
`;

const folder = mkdtempSync(join(tmpdir(), 'chessboard-'));
try {
  const photographs = fileURLToPath(new URL('../../datasets/chessboard-photographs/', import.meta.url));
  const sets: [string, string[]][] = [
    [
      '26 photographs, 640 × 480',
      readdirSync(photographs)
        .filter((f) => f.endsWith('.jpg'))
        .map((f) => photographs + f),
    ],
    ['4 rendered, 1920 × 1080', await rendered(1920, 1080, 2.25, 4)],
    ['1 rendered, 4032 × 3024', await rendered(4032, 3024, 6.3, 1)],
  ];
  for (const [name, files] of sets) {
    const ours = await timesOf(files);
    const theirs = opencvTimes(files);
    const both =
      theirs === null
        ? 'OpenCV for Python is not here'
        : `OpenCV SB ${report(theirs)}, ours / theirs ${(median(ours.map(([ms]) => ms)) / median(theirs.map(([ms]) => ms))).toFixed(2)}`;
    console.log(`${name}: ours ${report(ours)}; ${both}`);
  }
} finally {
  rmSync(folder, { recursive: true });
}

function report(results: readonly [number, boolean][]): string {
  const found = results.filter(([, ok]) => ok).length;
  return `${median(results.map(([ms]) => ms)).toFixed(0)} ms (median), ${found} found`;
}

async function rendered(width: number, height: number, factor: number, count: number): Promise<string[]> {
  const lens = {
    ...SMALL_LENS,
    imageWidth: width,
    imageHeight: height,
    fx: 535 * factor,
    fy: 535 * factor,
    cx: width / 2,
    cy: height / 2,
  };
  const cameras = camerasAroundBoard(count, 7, lens, 0.6);
  return Promise.all(
    cameras.map(async (camera, i) => {
      const { image } = boardPicture({ camera, board: BOARD, blurPx: 1.5, noise: 3, supersampling: 2, seed: i + 1 });
      const file = join(folder, `${width}-${i}.png`);
      await sharp(image.pixels, { raw: { width, height, channels: 1 } })
        .png()
        .toFile(file);
      return file;
    }),
  );
}

/** Best of ROUNDS for each picture, ms; the file is read beforehand. */
async function timesOf(files: readonly string[]): Promise<[number, boolean][]> {
  const results: [number, boolean][] = [];
  for (const file of files) {
    const image = await readGreyImage(file);
    let [best, found] = [Number.POSITIVE_INFINITY, false];
    for (let round = 0; round < ROUNDS; round++) {
      const start = performance.now();
      found = findChessboard(image, BOARD).found;
      best = Math.min(best, performance.now() - start);
    }
    results.push([best, found]);
  }
  return results;
}

function opencvTimes(files: readonly string[]): [number, boolean][] | null {
  for (const python of ['python3', '/usr/bin/python3']) {
    const run = spawnSync(python, ['-c', PYTHON, ...files], { encoding: 'utf8' });
    if (run.status === 0) return JSON.parse(run.stdout);
  }
  return null;
}
