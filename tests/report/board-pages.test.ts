import { execFileSync, spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from '@jest/globals';
import sharp from 'sharp';
import { findCharuco } from '../../src/cameras/charuco/find-charuco.ts';
import { builtInBoards, readBoard } from '../../src/capture/board-file.ts';
import type { GreyImage } from '../../src/capture/image-file.ts';
import { boardPdf } from '../../src/report/board-pdf.ts';
import { boardSvg } from '../../src/report/board-svg.ts';
import { temporaryFolder, write } from '../capture/written-files.ts';
import { expectClose } from '../expect-close.ts';
import { type PrintedPage, printedPage } from '../synthetic/charuco-views.ts';

const folder = temporaryFolder();
/** Dots per inch of the rasterised pages: 10 pixels a millimetre. */
const DPI = 254;
const PER_MM = DPI / 25.4;
/** Half a pixel: what an edge in a picture without smoothed edges can be off. */
const TOLERANCE_MM = 0.05;

const hasPoppler = spawnSync('pdftoppm', ['-v']).error === undefined;
const withPoppler = hasPoppler ? test : test.skip;
if (!hasPoppler) process.stderr.write('pdftoppm (poppler) is not installed: the PDF pages are not rasterised\n');

/** sharp applies a density both to the millimetres of the file and, over 72, to the picture: this gives 10 pixels a millimetre. */
const SVG_DENSITY = Math.sqrt(10 * 25.4 * 72);

async function fromSvg(page: PrintedPage): Promise<GreyImage> {
  const { data, info } = await sharp(Buffer.from(boardSvg(page.drawing)), { density: SVG_DENSITY })
    .flatten({ background: '#fff' })
    .greyscale()
    .raw()
    .toBuffer({ resolveWithObject: true });
  return { width: info.width, height: info.height, pixels: new Uint8Array(data) };
}

async function fromPdf(page: PrintedPage): Promise<GreyImage> {
  const file = write(folder, `${page.board.name}.pdf`, await boardPdf(page.drawing));
  execFileSync('pdftoppm', ['-r', String(DPI), '-gray', '-singlefile', file, join(folder, page.board.name)]);
  const bytes = readFileSync(join(folder, `${page.board.name}.pgm`));
  const header = /^P5\s+(\d+)\s+(\d+)\s+255\s/.exec(bytes.subarray(0, 40).toString('latin1'))!;
  return {
    width: Number(header[1]),
    height: Number(header[2]),
    pixels: new Uint8Array(bytes.subarray(header[0].length)),
  };
}

/** Where black and white change along a row or column of pixels that starts at (x, y) mm, mm from there, to a part of a pixel. */
function edgeAlong(
  { width, pixels }: GreyImage,
  x: number,
  y: number,
  way: 'across' | 'down',
  lengthMm: number,
): number {
  const [u, v] = [Math.round(x * PER_MM), Math.round(y * PER_MM)];
  const count = Math.round(lengthMm * PER_MM);
  const at = (i: number) => pixels[(way === 'across' ? v : v + i) * width + (way === 'across' ? u + i : u)];
  const [first, last] = [at(0), at(count - 1)];
  expect(Math.abs(first - last)).toBeGreaterThan(200);
  let area = 0;
  for (let i = 0; i < count; i++) area += (at(i) - last) / (first - last);
  // Pixel u covers u … u + 1 of the page.
  return ((way === 'across' ? u : v) + area) / PER_MM - (way === 'across' ? x : y);
}

/** Middles of the dark marks along a row or column of pixels, mm. */
function marks({ width, pixels }: GreyImage, at: number, from: number, to: number, way: 'across' | 'down'): number[] {
  const line = Math.round(at * PER_MM);
  const found: number[] = [];
  let [sum, moment] = [0, 0];
  for (let i = Math.round(from * PER_MM); i <= Math.round(to * PER_MM); i++) {
    const ink = 255 - (way === 'across' ? pixels[line * width + i] : pixels[i * width + line]);
    if (ink > 20) {
      sum += ink;
      moment += ink * (i + 0.5);
    } else if (sum > 0) {
      found.push(moment / sum / PER_MM);
      [sum, moment] = [0, 0];
    }
  }
  return found;
}

/** Corners, then both rules, of a rasterised page against exact millimetres. */
function checkPage(image: GreyImage, { board, drawing, cornersMm }: PrintedPage): void {
  // poppler rounds the page up to whole pixels.
  for (const [found, wanted] of [
    [image.width, drawing.widthMm * PER_MM],
    [image.height, drawing.heightMm * PER_MM],
  ]) {
    expect([wanted, wanted + 1]).toContain(found);
  }
  const reach = 1.5;
  for (let o = 0; o < cornersMm.length; o += 2) {
    const [x, y] = [cornersMm[o], cornersMm[o + 1]];
    for (const side of [-1, 1]) {
      expectClose(
        edgeAlong(image, x - reach, y + side, 'across', 2 * reach),
        reach,
        TOLERANCE_MM,
        `${board.name} x ${x}`,
      );
      expectClose(
        edgeAlong(image, x + side, y - reach, 'down', 2 * reach),
        reach,
        TOLERANCE_MM,
        `${board.name} y ${y}`,
      );
    }
  }
  const [along, down] = drawing.lines.filter(({ x1, y1, x2, y2 }) => Math.hypot(x2 - x1, y2 - y1) > 50);
  for (const ticks of [
    marks(image, along.y1 - 0.6, along.x1 - 2, along.x1 + 102, 'across'),
    marks(image, down.x1 - 0.6, down.y1 - 2, down.y1 + 102, 'down'),
  ]) {
    expect(ticks).toHaveLength(11);
    expectClose(ticks[10] - ticks[0], 100, TOLERANCE_MM, 'rule');
  }
}

describe.each(builtInBoards())('the pages of %s', (name) => {
  test('SVG: millimetres in the file, corners and rules at their places when rasterised', async () => {
    const page = await printedPage(readBoard(name));
    const { widthMm, heightMm } = page.drawing;
    const svg = boardSvg(page.drawing);
    expect(svg).toContain(`width="${widthMm}mm" height="${heightMm}mm" viewBox="0 0 ${widthMm} ${heightMm}"`);
    checkPage(await fromSvg(page), page);
  });

  withPoppler('PDF: corners and rules at their places when rasterised by poppler', async () => {
    const page = await printedPage(readBoard(name));
    checkPage(await fromPdf(page), page);
  });

  test('PDF: the size of the paper in points, the wish not to scale, and the same bytes each time', async () => {
    const page = await printedPage(readBoard(name));
    const bytes = await boardPdf(page.drawing);
    const text = Buffer.from(bytes).toString('latin1');
    const box = /\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(text)!;
    expectClose(Number(box[1]), (page.drawing.widthMm * 72) / 25.4, 1e-5);
    expectClose(Number(box[2]), (page.drawing.heightMm * 72) / 25.4, 1e-5);
    expect(text).toMatch(/\/PrintScaling \/None/);
    expect(Buffer.compare(Buffer.from(await boardPdf(page.drawing)), Buffer.from(bytes))).toBe(0);
  });
});

test('the detector finds the printed page of the ChArUco board at its exact millimetres', async () => {
  const board = readBoard('charuco-a4');
  const page = await printedPage(board);
  const outcome = await findCharuco(await fromSvg(page), board);
  expect(outcome.found && outcome.seen).toBe(24);
  if (!outcome.found) return;
  for (const [o, x] of outcome.corners.entries()) {
    expectClose((x + 0.5) / PER_MM, page.cornersMm[o], TOLERANCE_MM, `corner ${o >> 1}`);
  }
});
