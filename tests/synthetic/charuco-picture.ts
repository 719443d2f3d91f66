import type { BoardDrawing } from '../../src/cameras/board-print.ts';
import { projectInto, undistortInto } from '../../src/cameras/camera-model.ts';
import type { Camera } from '../../src/cameras/rig.ts';
import type { GreyImage } from '../../src/capture/image-file.ts';
import { type Random, seededRandom } from '../../src/numerics/random.ts';

/** How a picture of a printed page comes about. All of it is invented; the page is the one that is printed. */
export interface PictureLook {
  /** Gaussian blur, standard deviation, px. */
  readonly blurPx: number;
  /** Motion of the picture while the shutter is open, px along u. */
  readonly smearPx: number;
  /** Noise of each pixel, standard deviation, grey levels of 255. */
  readonly noise: number;
  /** Light on the right edge of the picture over that on the left. */
  readonly lightRatio: number;
  /** Exponent of the stored grey: grey = light^(1 / gamma). */
  readonly gamma: number;
  /** Reflectance of ink and paper. */
  readonly ink: number;
  readonly paper: number;
  readonly seed: number;
}

export const PLAIN_LOOK: PictureLook = {
  blurPx: 0.8,
  smearPx: 0,
  noise: 3,
  lightRatio: 0.6,
  gamma: 2.2,
  ink: 0.04,
  paper: 0.75,
  seed: 1,
};

/** Sub-samples along a side of a pixel that an edge crosses. */
const SUB = 8;

/**
 * A page (`BoardDrawing`, its rectangles and lines) in a room, as `camera` sees it. The world is the board: origin at its
 * first inner corner, x along a row, y down a column, metres, `scale` times the drawn size. Each pixel is the mean of the
 * light over its square (8 × 8 points where an edge crosses it), then blurred, made uneven, encoded, made noisy, rounded.
 */
export function pagePicture(
  drawing: BoardDrawing,
  firstCornerMm: readonly [number, number],
  camera: Camera,
  look: Partial<PictureLook> = {},
  scale = 1,
): GreyImage {
  const { blurPx, smearPx, noise, lightRatio, gamma, ink, paper, seed } = { ...PLAIN_LOOK, ...look };
  const { imageWidth: width, imageHeight: height } = camera;
  const random = seededRandom(seed);
  const light = background(width, height, random);
  paintPage(light, pageCells(drawing, ink, paper), firstCornerMm, camera, scale);
  if (blurPx > 0) blur(light, width, height, gaussian(blurPx), true, true);
  if (smearPx > 0) blur(light, width, height, box(smearPx), true, false);
  const pixels = new Uint8Array(width * height);
  for (let i = 0; i < pixels.length; i++) {
    const uneven = 1 + (lightRatio - 1) * ((i % width) / width);
    const grey = 255 * (light[i] * uneven) ** (1 / gamma) + noise * random.normal();
    pixels[i] = Math.max(0, Math.min(255, Math.round(grey)));
  }
  return { width, height, pixels };
}

/** The true pixels of page points (mm, 2 × n) in that picture. */
export function pagePixels(
  pointsMm: Float64Array,
  firstCornerMm: readonly [number, number],
  camera: Camera,
  scale = 1,
): Float64Array {
  const pixels = new Float64Array(pointsMm.length);
  for (let o = 0; o < pointsMm.length; o += 2) {
    const x = ((pointsMm[o] - firstCornerMm[0]) * scale) / 1000;
    const y = ((pointsMm[o + 1] - firstCornerMm[1]) * scale) / 1000;
    projectInto(pixels, o, camera, x, y, 0);
  }
  return pixels;
}

/** A wall with a slow gradient and some boxes on it, light 0–1. */
function background(width: number, height: number, random: Random): Float32Array {
  const light = new Float32Array(width * height);
  for (let v = 0; v < height; v++) {
    for (let u = 0; u < width; u++) light[v * width + u] = 0.25 + (0.15 * u) / width + (0.1 * v) / height;
  }
  for (let box = 0; box < 25; box++) {
    const [u0, v0] = [random.integer(width), random.integer(height)];
    const [w, h] = [10 + random.integer(width >> 3), 10 + random.integer(height >> 3)];
    const level = 0.05 + 0.5 * random.uniform();
    for (let v = v0; v < Math.min(height, v0 + h); v++) {
      light.fill(level, v * width + u0, v * width + Math.min(width, u0 + w));
    }
  }
  return light;
}

interface PageCells {
  readonly xs: Float64Array;
  readonly ys: Float64Array;
  /** Light of the cell between edges i and i + 1: (row of ys) * (xs.length − 1) + column. */
  readonly light: Float32Array;
  readonly widthMm: number;
  readonly heightMm: number;
}

/** The page cut along every edge drawn on it. */
function pageCells(drawing: BoardDrawing, ink: number, paper: number): PageCells {
  const lines = drawing.lines.map(({ x1, y1, x2, y2, widthMm }) => {
    const [half, across] = [widthMm / 2, y1 === y2];
    const [x, y] = [Math.min(x1, x2) - (across ? 0 : half), Math.min(y1, y2) - (across ? half : 0)];
    return {
      x,
      y,
      width: Math.abs(x2 - x1) + (across ? 0 : widthMm),
      height: Math.abs(y2 - y1) + (across ? widthMm : 0),
      ink: 'black',
    };
  });
  const shapes = [...drawing.rectangles, ...lines];
  const edges = (ends: number[]) =>
    Float64Array.from([...new Set(ends.map((x) => Math.round(1e6 * x) / 1e6))].sort((a, b) => a - b));
  const xs = edges([0, drawing.widthMm, ...shapes.flatMap(({ x, width }) => [x, x + width])]);
  const ys = edges([0, drawing.heightMm, ...shapes.flatMap(({ y, height }) => [y, y + height])]);
  const columns = xs.length - 1;
  const light = new Float32Array(columns * (ys.length - 1)).fill(paper);
  for (const shape of shapes) {
    for (let j = 0; j < ys.length - 1; j++) {
      const y = (ys[j] + ys[j + 1]) / 2;
      if (y < shape.y || y > shape.y + shape.height) continue;
      for (let i = 0; i < columns; i++) {
        const x = (xs[i] + xs[i + 1]) / 2;
        if (x > shape.x && x < shape.x + shape.width) light[j * columns + i] = shape.ink === 'black' ? ink : paper;
      }
    }
  }
  return { xs, ys, light, widthMm: drawing.widthMm, heightMm: drawing.heightMm };
}

/** Index of the cell that holds (x, y) mm, −1 off the page. */
function cellAt({ xs, ys, widthMm, heightMm }: PageCells, x: number, y: number): number {
  if (!(x >= 0 && x < widthMm && y >= 0 && y < heightMm)) return -1;
  return below(ys, y) * (xs.length - 1) + below(xs, x);
}

/** The last edge at or below `value`. */
function below(edges: Float64Array, value: number): number {
  let low = 0;
  let high = edges.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (edges[middle] <= value) low = middle;
    else high = middle;
  }
  return low;
}

function paintPage(
  light: Float32Array,
  cells: PageCells,
  firstCornerMm: readonly [number, number],
  camera: Camera,
  scale: number,
): void {
  const { imageWidth: width, imageHeight: height } = camera;
  // Page coordinates (mm) at the corners of all pixels of two rows.
  let upper = new Float64Array(2 * (width + 1));
  let lower = new Float64Array(2 * (width + 1));
  const fill = (row: Float64Array, v: number) => {
    for (let u = 0; u <= width; u++) pagePointInto(row, 2 * u, camera, u - 0.5, v - 0.5, firstCornerMm, scale);
  };
  fill(upper, 0);
  for (let v = 0; v < height; v++) {
    fill(lower, v + 1);
    for (let u = 0; u < width; u++) {
      const o = 2 * u;
      const a = cellAt(cells, upper[o], upper[o + 1]);
      const b = cellAt(cells, upper[o + 2], upper[o + 3]);
      const c = cellAt(cells, lower[o], lower[o + 1]);
      const d = cellAt(cells, lower[o + 2], lower[o + 3]);
      if (a < 0 && b < 0 && c < 0 && d < 0) continue;
      const i = v * width + u;
      if (a === b && a === c && a === d) light[i] = cells.light[a];
      else light[i] = meanOver(cells, upper, lower, o, light[i]);
    }
    [upper, lower] = [lower, upper];
  }
}

/** Mean light of one pixel whose corners lie at the page points of `upper` and `lower` from o; `off` beside the page. */
function meanOver(cells: PageCells, upper: Float64Array, lower: Float64Array, o: number, off: number): number {
  let sum = 0;
  for (let j = 0; j < SUB; j++) {
    const t = (j + 0.5) / SUB;
    for (let i = 0; i < SUB; i++) {
      const s = (i + 0.5) / SUB;
      const x = (1 - t) * ((1 - s) * upper[o] + s * upper[o + 2]) + t * ((1 - s) * lower[o] + s * lower[o + 2]);
      const y = (1 - t) * ((1 - s) * upper[o + 1] + s * upper[o + 3]) + t * ((1 - s) * lower[o + 1] + s * lower[o + 3]);
      const cell = cellAt(cells, x, y);
      sum += cell < 0 ? off : cells.light[cell];
    }
  }
  return sum / (SUB * SUB);
}

const ray = new Float64Array(2);

/** Where the ray through pixel (u, v) meets the page, mm, to out[o], out[o + 1]; NaN where it does not. */
function pagePointInto(
  out: Float64Array,
  o: number,
  camera: Camera,
  u: number,
  v: number,
  firstCornerMm: readonly [number, number],
  scale: number,
): void {
  out[o] = Number.NaN;
  out[o + 1] = Number.NaN;
  if (!undistortInto(ray, 0, camera, u, v)) return;
  const r = camera.rotation;
  const t = camera.translation;
  const [x, y] = [ray[0], ray[1]];
  // Rᵀ d and −Rᵀ t: ray and camera in the board's frame.
  const dz = r[2] * x + r[5] * y + r[8];
  const along = (r[2] * t[0] + r[5] * t[1] + r[8] * t[2]) / dz;
  if (!(along > 0)) return;
  const bx = along * (r[0] * x + r[3] * y + r[6]) - (r[0] * t[0] + r[3] * t[1] + r[6] * t[2]);
  const by = along * (r[1] * x + r[4] * y + r[7]) - (r[1] * t[0] + r[4] * t[1] + r[7] * t[2]);
  out[o] = firstCornerMm[0] + (1000 * bx) / scale;
  out[o + 1] = firstCornerMm[1] + (1000 * by) / scale;
}

function gaussian(sigma: number): Float64Array {
  const reach = Math.ceil(4 * sigma);
  const kernel = Float64Array.from({ length: 2 * reach + 1 }, (_, i) => Math.exp(-0.5 * ((i - reach) / sigma) ** 2));
  const sum = kernel.reduce((a, b) => a + b, 0);
  return kernel.map((x) => x / sum);
}

/** A box of `length` px, its end pixels in part. */
function box(length: number): Float64Array {
  const reach = Math.ceil((length - 1) / 2);
  const end = (length - (2 * reach - 1)) / 2;
  const kernel = new Float64Array(2 * reach + 1).fill(1);
  if (reach > 0) {
    kernel[0] = end;
    kernel[2 * reach] = end;
  }
  return kernel.map((x) => x / length);
}

function blur(
  light: Float32Array,
  width: number,
  height: number,
  kernel: Float64Array,
  alongU: boolean,
  alongV: boolean,
) {
  const reach = (kernel.length - 1) / 2;
  const pass = (count: number, lines: number, step: number, lineStep: number) => {
    // The line with its end values repeated, so that the inner loop has no bounds to mind.
    const line = new Float64Array(count + 2 * reach);
    for (let l = 0; l < lines; l++) {
      const from = l * lineStep;
      for (let i = 0; i < count; i++) line[reach + i] = light[from + i * step];
      line.fill(line[reach], 0, reach);
      line.fill(line[reach + count - 1], reach + count);
      for (let i = 0; i < count; i++) {
        let sum = 0;
        for (let k = 0; k < kernel.length; k++) sum += kernel[k] * line[i + k];
        light[from + i * step] = sum;
      }
    }
  };
  if (alongU) pass(width, height, 1, width);
  if (alongV) pass(height, width, width, 1);
}
