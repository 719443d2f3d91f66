import { type Board, boardPoints } from '../../src/cameras/board.ts';
import { projectInto, undistortInto } from '../../src/cameras/camera-model.ts';
import type { Camera } from '../../src/cameras/rig.ts';
import type { GreyImage } from '../../src/capture/image-file.ts';
import { type Random, seededRandom } from '../../src/numerics/random.ts';

/** Taken out of the global object once: looked up per pixel it costs more than the arithmetic where globals are intercepted. */
const { floor, max, min } = Math;

/** How a picture of a chessboard is made. The camera's world is the board's own frame (`board.ts`). */
export interface BoardPictureSetting {
  readonly camera: Camera;
  readonly board: Board;
  /** Further boards in the picture, by their cameras (same lens and size, other pose). */
  readonly others?: readonly { readonly camera: Camera; readonly board: Board }[];
  /** Samples per pixel each way. Default 4. */
  readonly supersampling?: number;
  /** Standard deviation of the Gaussian blur, px, on top of the pixel's own area. Default 0.7. */
  readonly blurPx?: number;
  /** Path of the picture during the exposure, px. */
  readonly motionPx?: readonly [number, number];
  /** Grey levels of 255. Default 2. */
  readonly noise?: number;
  /** Light falls by this part from the left border to the right one. Default 0. */
  readonly shade?: number;
  /** Stored value = light^(1/gamma). Default 2.2. */
  readonly gamma?: number;
  /** Bars, boxes, tiles and speckles behind the board. Default true. */
  readonly clutter?: boolean;
  /** Grey discs in front of the board: u, v, radius, px. */
  readonly covers?: readonly (readonly [number, number, number])[];
  readonly seed?: number;
}

/** Part of the light that paper and ink send back. */
const PAPER = 0.8;
const INK = 0.04;
/** White paper around the squares, in squares. */
const MARGIN = 0.7;

/** A rendered picture and where its inner corners truly are, 2 × n px. */
export function boardPicture(setting: BoardPictureSetting): { image: GreyImage; corners: Float64Array } {
  const { camera, board, others = [], supersampling = 4, blurPx = 0.7, motionPx, noise = 2, shade = 0 } = setting;
  const { gamma = 2.2, clutter = true, covers = [], seed = 1 } = setting;
  const { imageWidth: width, imageHeight: height } = camera;
  const random = seededRandom(seed);
  let light = clutter ? clutteredWall(width, height, random) : new Float32Array(width * height).fill(0.3);
  for (const other of others) drawBoard(light, other.camera, other.board, supersampling);
  drawBoard(light, camera, board, supersampling);
  for (const cover of covers) drawDisc(light, width, height, cover);
  for (let k = 0; k < light.length; k++) light[k] *= 1 - (shade * (k % width)) / width;
  if (motionPx !== undefined) light = smeared(light, width, height, motionPx);
  if (blurPx > 0) light = blurred(light, width, height, blurPx);
  const pixels = new Uint8Array(light.length);
  const normals = normalTable();
  const shift = random.integer(normals.length);
  for (let k = 0; k < light.length; k++) {
    const stored = 255 * max(0, light[k]) ** (1 / gamma) + noise * normals[(k + shift) % normals.length];
    pixels[k] = max(0, min(255, floor(stored + 0.5)));
  }
  const points = boardPoints(board);
  const corners = new Float64Array(2 * board.columns * board.rows);
  for (let k = 0; 3 * k < points.length; k++) projectInto(corners, 2 * k, camera, points[3 * k], points[3 * k + 1], 0);
  return { image: { width, height, pixels }, corners };
}

let table: Float32Array | undefined;

/** Standard normal numbers, made once: a prime count, so that the rows of a picture do not repeat them side by side. */
function normalTable(): Float32Array {
  const random = seededRandom(99);
  table ??= Float32Array.from({ length: 65521 }, random.normal);
  return table;
}

/** Every pixel's samples are followed backwards through the lens to the plane of the board. */
function drawBoard(light: Float32Array, camera: Camera, board: Board, n: number): void {
  const { imageWidth: width, imageHeight: height } = camera;
  const boardFromRay = inverse3(planeOf(camera));
  const rays = rayLattice(camera);
  const across = floor(width / LATTICE) + 2;
  const [u0, u1, v0, v1] = boundsOf(camera, board);
  for (let v = max(0, v0); v < min(height, v1); v++) {
    for (let u = max(0, u0); u < min(width, u1); u++) {
      let [sum, seen] = [0, 0];
      for (let sub = 0; sub < n * n; sub++) {
        // A turned lattice: no two samples share a row or a column, so that level edges are not rounded to 1/n px.
        const x = (u + (sub + 0.5) / (n * n)) / LATTICE;
        const y = (v + (n * (sub % n) + floor(sub / n) + 0.5) / (n * n)) / LATTICE;
        const [x0, y0] = [floor(x), floor(y)];
        const [fx, fy] = [x - x0, y - y0];
        const o = 2 * (y0 * across + x0);
        const down = o + 2 * across;
        const a =
          (1 - fy) * ((1 - fx) * rays[o] + fx * rays[o + 2]) + fy * ((1 - fx) * rays[down] + fx * rays[down + 2]);
        const b =
          (1 - fy) * ((1 - fx) * rays[o + 1] + fx * rays[o + 3]) +
          fy * ((1 - fx) * rays[down + 1] + fx * rays[down + 3]);
        const w = boardFromRay[6] * a + boardFromRay[7] * b + boardFromRay[8];
        const grey = paperAt(
          (boardFromRay[0] * a + boardFromRay[1] * b + boardFromRay[2]) / w / board.squareSizeM,
          (boardFromRay[3] * a + boardFromRay[4] * b + boardFromRay[5]) / w / board.squareSizeM,
          board,
        );
        if (grey < 0) continue;
        sum += grey;
        seen++;
      }
      if (seen > 0) light[v * width + u] = (sum + (n * n - seen) * light[v * width + u]) / (n * n);
    }
  }
}

/** First and last + 1 column and row of the pixels that the paper can reach: its outline, projected, and 2 px more. */
function boundsOf(camera: Camera, { columns, rows, squareSizeM }: Board): [number, number, number, number] {
  const bounds: [number, number, number, number] = [camera.imageWidth, 0, camera.imageHeight, 0];
  const pixel = new Float64Array(2);
  const [left, across] = [-1 - MARGIN, columns + 1 + 2 * MARGIN];
  const [top, down] = [-1 - MARGIN, rows + 1 + 2 * MARGIN];
  for (let step = 0; step <= 80; step++) {
    const part = (step % 20) / 20;
    const [x, y] = [
      [part, 0],
      [1, part],
      [1 - part, 1],
      [0, 1 - part],
    ][floor(step / 20) % 4];
    projectInto(pixel, 0, camera, (left + across * x) * squareSizeM, (top + down * y) * squareSizeM, 0);
    // Behind the camera, or folded by the lens: anywhere.
    if (!Number.isFinite(pixel[0])) return [0, camera.imageWidth, 0, camera.imageHeight];
    bounds[0] = min(bounds[0], floor(pixel[0]) - 2);
    bounds[1] = max(bounds[1], Math.ceil(pixel[0]) + 3);
    bounds[2] = min(bounds[2], floor(pixel[1]) - 2);
    bounds[3] = max(bounds[3], Math.ceil(pixel[1]) + 3);
  }
  return bounds;
}

/** Light from the board at (x, y), in squares from the first corner; −1 beside the board. The outermost square is dark. */
function paperAt(x: number, y: number, { columns, rows }: Board): number {
  if (!(x > -1 - MARGIN && y > -1 - MARGIN && x < columns + MARGIN && y < rows + MARGIN)) return -1;
  if (x < -1 || y < -1 || x > columns || y > rows) return PAPER;
  return (floor(x) + floor(y)) % 2 === 0 ? INK : PAPER;
}

/** Pixels between the places at which the lens is inverted; in between the ray is interpolated (error below 1e-3 px). */
const LATTICE = 2;

function rayLattice(camera: Camera): Float64Array {
  const across = floor(camera.imageWidth / LATTICE) + 2;
  const down = floor(camera.imageHeight / LATTICE) + 2;
  const rays = new Float64Array(2 * across * down);
  for (let k = 0; k < across * down; k++) {
    // The lattice starts at the outer corner of the first pixel, (−0.5, −0.5).
    undistortInto(rays, 2 * k, camera, LATTICE * (k % across) - 0.5, LATTICE * floor(k / across) - 0.5);
  }
  return rays;
}

/** Columns r₁, r₂, t: (X, Y, 1) of the board to the camera's frame. */
function planeOf({ rotation: r, translation: t }: Camera): number[] {
  return [r[0], r[1], t[0], r[3], r[4], t[1], r[6], r[7], t[2]];
}

function inverse3(m: readonly number[]): number[] {
  const cofactor = (i: number, j: number) => {
    const at = (r: number, c: number) => m[3 * ((i + r) % 3) + ((j + c) % 3)];
    return at(1, 1) * at(2, 2) - at(1, 2) * at(2, 1);
  };
  const determinant = m[0] * cofactor(0, 0) + m[1] * cofactor(0, 1) + m[2] * cofactor(0, 2);
  return Array.from({ length: 9 }, (_, k) => cofactor(k % 3, floor(k / 3)) / determinant);
}

function clutteredWall(width: number, height: number, random: Random): Float32Array {
  const light = new Float32Array(width * height);
  for (let k = 0; k < light.length; k++) light[k] = 0.2 + (0.2 * floor(k / width)) / height;
  const unit = width / 100;
  for (let bar = 0; bar < 60; bar++) {
    const box = [
      random.uniform() * width,
      random.uniform() * height,
      (2 + 20 * random.uniform()) * unit,
      (1 + 6 * random.uniform()) * unit,
    ];
    const angle = Math.PI * random.uniform();
    drawBox(light, width, height, box, angle, 0.9 * random.uniform());
  }
  // A tiled patch: squares, but no board.
  const [left, top, tile] = [random.uniform() * 0.7 * width, random.uniform() * 0.7 * height, 2.5 * unit];
  for (let i = 0; i < 16; i++) {
    const [x, y] = [left + (i % 4) * tile, top + floor(i / 4) * tile];
    const grey = (i + floor(i / 4)) % 2 === 0 ? 0.1 : 0.6;
    drawBox(light, width, height, [x, y, 0.5 * tile, 0.5 * tile], 0, grey);
  }
  for (let dot = 0; dot < 300; dot++) {
    const box = [
      random.uniform() * width,
      random.uniform() * height,
      (0.2 + 0.4 * random.uniform()) * unit,
      0.3 * unit,
    ];
    drawBox(light, width, height, box, Math.PI * random.uniform(), random.uniform());
  }
  return light;
}

/** box: centre and half sides, px. */
function drawBox(
  light: Float32Array,
  width: number,
  height: number,
  [x, y, halfX, halfY]: readonly number[],
  angle: number,
  grey: number,
): void {
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const reach = Math.hypot(halfX, halfY);
  for (let v = max(0, floor(y - reach)); v <= min(height - 1, y + reach); v++) {
    for (let u = max(0, floor(x - reach)); u <= min(width - 1, x + reach); u++) {
      const [a, b] = [(u - x) * c + (v - y) * s, (v - y) * c - (u - x) * s];
      if (a <= halfX && a >= -halfX && b <= halfY && b >= -halfY) light[v * width + u] = grey;
    }
  }
}

function drawDisc(light: Float32Array, width: number, height: number, [x, y, radius]: readonly number[]): void {
  for (let v = max(0, floor(y - radius)); v <= min(height - 1, y + radius); v++) {
    for (let u = max(0, floor(x - radius)); u <= min(width - 1, x + radius); u++) {
      if ((u - x) ** 2 + (v - y) ** 2 <= radius * radius) light[v * width + u] = 0.25;
    }
  }
}

function smeared(
  light: Float32Array,
  width: number,
  height: number,
  [dx, dy]: readonly [number, number],
): Float32Array {
  const steps = max(2, Math.ceil(3 * Math.hypot(dx, dy)));
  const out = new Float32Array(light.length);
  for (let step = 0; step < steps; step++) {
    const part = (step + 0.5) / steps - 0.5;
    for (let v = 0; v < height; v++) {
      for (let u = 0; u < width; u++) {
        const x = max(0, min(width - 1.001, u + part * dx));
        const y = max(0, min(height - 1.001, v + part * dy));
        const [x0, y0] = [floor(x), floor(y)];
        const o = y0 * width + x0;
        const [fx, fy] = [x - x0, y - y0];
        out[v * width + u] +=
          ((1 - fy) * ((1 - fx) * light[o] + fx * light[o + 1]) +
            fy * ((1 - fx) * light[o + width] + fx * light[o + width + 1])) /
          steps;
      }
    }
  }
  return out;
}

function blurred(light: Float32Array, width: number, height: number, sigma: number): Float32Array {
  const reach = Math.ceil(4 * sigma);
  const kernel = Float64Array.from({ length: 2 * reach + 1 }, (_, i) => Math.exp(-0.5 * ((i - reach) / sigma) ** 2));
  const sum = kernel.reduce((a, b) => a + b, 0);
  const pass = (from: Float32Array, stride: number, last: number, placeOf: (k: number) => number) =>
    from.map((_, k) => {
      const place = placeOf(k);
      let value = 0;
      for (let i = -reach; i <= reach; i++) {
        value += kernel[i + reach] * from[k + stride * (max(0, min(last, place + i)) - place)];
      }
      return value / sum;
    });
  const along = pass(light, 1, width - 1, (k) => k % width);
  return pass(along, width, height - 1, (k) => floor(k / width));
}
