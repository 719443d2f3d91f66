import { type Command, Option } from 'commander';
import { fitBoardLens } from '../cameras/board-lens.ts';
import type { DroppedView } from '../cameras/calibration.ts';
import { cornerGrid } from '../cameras/defined-board.ts';
import { type BoardTerms, tiltRange } from '../cameras/lens-calibration.ts';
import { type KnownLensRecord, serialiseLenses } from '../cameras/lens-file.ts';
import { coverageOf } from '../cameras/rig-quality.ts';
import { readBoard } from '../capture/board-file.ts';
import { imagesLeftOut, lensesWritten, photographsOnly, picturesSummary } from '../messages/calibrate.ts';
import { alignedTable } from './calibrate-summary.ts';
import { findBoard } from './find-board.ts';
import { pictureSources } from './picture-sources.ts';
import { placeOption } from './place-option.ts';
import { progressOn } from './progress.ts';
import { writeFile } from './write-files.ts';

/** Distortion terms as they are written on the command line. */
export const DISTORTION_CHOICES = ['auto', 'none', 'k1', 'k1,k2', 'k1,k2,p1,p2', 'k1,k2,p1,p2,k3'] as const;
export const termsOf = (text: string): BoardTerms | 'auto' => text.replaceAll(',', ' ') as BoardTerms | 'auto';

/** Hooks `calibrate lens` onto the command line. */
export function registerCalibrateLens(calibrate: Command): void {
  calibrate
    .command('lens')
    .description('How each camera sees, from pictures or videos of a printed board; no rig is needed.')
    .argument('<sources...>', 'CAMERA=FOLDER, CAMERA=VIDEO, "CAMERA=PATTERN", or pictures called left01.jpg …')
    .requiredOption('--board <board>', 'built-in board (kneeward board --list) or board file')
    .addOption(
      new Option('--distortion <terms>', 'lens terms fitted; auto = the fewest that predict unseen pictures')
        .choices(DISTORTION_CHOICES)
        .default('auto'),
    )
    .addOption(new Option('--out <file>', 'lens file to write').argParser(placeOption).default('lens.json'))
    .option('--quiet', 'no progress', false)
    .addHelpText(
      'after',
      '\nExamples:\n  kneeward calibrate lens left=left.mp4 right=right.mp4 --board charuco-a3 --out lens.json' +
        '\n  kneeward calibrate lens datasets/chessboard-photographs --board datasets/chessboard-photographs/board.json --out out/lens.json',
    )
    .action(async (sources: string[], given) => {
      const progress = progressOn(process.stderr, given.quiet);
      const { lenses, summary, left } = await calibrateLenses(
        sources,
        given.board,
        termsOf(given.distortion),
        progress,
      );
      for (const line of left) process.stderr.write(`${line}\n`);
      writeFile(given.out, serialiseLenses(lenses));
      process.stdout.write(`${summary}${lensesWritten(given.out)}\n`);
    });
}

/** Lenses of all cameras that the sources show; `left`: pictures left out, with the reason, one line each. */
export async function calibrateLenses(
  args: readonly string[],
  boardName: string,
  distortion: BoardTerms | 'auto',
  progress: ReturnType<typeof progressOn>,
): Promise<{ lenses: KnownLensRecord[]; summary: string; left: string[] }> {
  const board = readBoard(boardName);
  const sources = pictureSources(args);
  const found = { ...(await findBoardForLens(sources, board, progress)) };
  const lenses: KnownLensRecord[] = [];
  const dropped: DroppedView[] = [...found.dropped];
  for (const { camera } of sources) {
    const own = found.images.filter((image) => image.camera === camera);
    const imageSize = found.sizes.get(camera)!;
    const fit = await fitBoardLens(own, cornerGrid(board), imageSize, { distortion });
    dropped.push(...fit.dropped);
    const used = own.filter((image) => fit.views.some((view) => view.image === image.image));
    const corners = used.flatMap(({ corners: c }) =>
      Array.from({ length: c.length / 2 }, (_, k) => ({ u: c[2 * k], v: c[2 * k + 1] })).filter(({ u }) =>
        Number.isFinite(u),
      ),
    );
    lenses.push({
      camera: fit.camera,
      mode: { from: found.from, ...imageSize },
      parameters: fit.parameters,
      covariance: fit.covariance,
      rmsPx: fit.rmsPx,
      views: fit.views.length,
      coverage: coverageOf(fit.camera, corners),
      tiltRangeDeg: tiltRange(fit.views),
      notes: found.from === 'photographs' ? [photographsOnly()] : [],
    });
  }
  return {
    lenses,
    summary: `${lensTable(lenses)}${lenses.flatMap(notesOf).join('')}`,
    left: [
      ...sources.map(({ camera }) => {
        const total = found.looked.get(camera) ?? 0;
        return picturesSummary(camera, found.images.filter((image) => image.camera === camera).length, total);
      }),
      ...dropped.map(({ camera, image, reason }) => imagesLeftOut(camera, image, reason)),
    ],
  };
}

/** One camera at a time: a board that several cameras could count differently is no trouble for a lens. */
async function findBoardForLens(
  sources: ReturnType<typeof pictureSources>,
  board: ReturnType<typeof readBoard>,
  progress: ReturnType<typeof progressOn>,
) {
  const each = [];
  for (const source of sources) each.push(await findBoard([source], board, progress, null));
  return {
    images: each.flatMap((one) => one.images),
    dropped: each.flatMap((one) => one.dropped),
    sizes: new Map(each.flatMap((one) => [...one.sizes])),
    from: each[0].from,
    looked: new Map(each.flatMap((one) => [...one.looked])),
  };
}

function lensTable(lenses: readonly KnownLensRecord[]): string {
  const rows = lenses.map(({ camera, parameters, covariance, rmsPx, views, coverage, tiltRangeDeg }) => {
    const sd = (name: (typeof parameters)[number]) => {
      const k = parameters.indexOf(name);
      return k < 0 ? '' : ` ± ${Math.sqrt(covariance[k * (parameters.length + 1)]).toFixed(1)}`;
    };
    const terms = parameters.filter((one) => /^[kp]\d$/.test(one));
    return [
      camera.name,
      `${camera.imageWidth} × ${camera.imageHeight}`,
      String(views),
      rmsPx.toFixed(3),
      `${camera.fx.toFixed(1)}${sd('fx')}, ${camera.fy.toFixed(1)}${sd('fy')}`,
      `${camera.cx.toFixed(1)}${sd('cx')}, ${camera.cy.toFixed(1)}${sd('cy')}`,
      terms.length === 0 ? 'none' : terms.map((term) => `${term} ${termValue(camera.distortion, term)}`).join(' '),
      `${(100 * coverage).toFixed(0)} %`,
      `${tiltRangeDeg.toFixed(0)}°`,
    ];
  });
  const header = [
    'camera',
    'picture px',
    'used',
    'rms px',
    'focal px',
    'principal point px',
    'distortion',
    'covers',
    'tilts',
  ];
  return alignedTable([header, ...rows]);
}

function termValue(distortion: readonly number[], term: string): string {
  return distortion[['k1', 'k2', 'p1', 'p2', 'k3'].indexOf(term)].toFixed(4);
}

const notesOf = ({ camera, notes }: KnownLensRecord): string[] =>
  notes.map((note) => `note: camera ${camera.name}: ${note}\n`);
