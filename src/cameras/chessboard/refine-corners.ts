import type { GreyImage } from '../../capture/image-file.ts';
import { median } from '../../numerics/statistics.ts';
import { LEAST_PART_SEEN } from './board-in-grid.ts';
import { fitCorner } from './corner-fit.ts';
import type { CornerGrid } from './corner-grid.ts';
import type { ChessboardFound } from './outcome.ts';

/** Null where fewer than LEAST_PART_SEEN of the corners can be fitted. See `fitGrid`. */
export function refineCorners(image: GreyImage, grid: CornerGrid, scale: number): ChessboardFound | null {
  const fitted = fitGrid(image, grid, scale);
  return fitted.missing <= (1 - LEAST_PART_SEEN) * grid.columns * grid.rows ? fitted : null;
}

/**
 * Fits every corner of a grid (full pixels) to the picture, and the missing ones where their neighbours predict them.
 * `scale` of the level the corners come from: their error is a good part of its pixel. Medians of nothing are NaN.
 */
export function fitGrid(image: GreyImage, grid: CornerGrid, scale: number): ChessboardFound {
  const { columns, rows } = grid;
  const count = columns * rows;
  const starts = withPredictions(grid);
  const corners = new Float64Array(2 * count).fill(Number.NaN);
  const [sds, widths, contrasts, steps]: number[][] = [[], [], [], []];
  for (let k = 0; k < count; k++) {
    const along = stepAt(starts, columns, rows, k, 0);
    const down = stepAt(starts, columns, rows, k, 1);
    if (along === null || down === null || Number.isNaN(starts[2 * k])) continue;
    const fitted = fitCorner(
      image,
      starts[2 * k],
      starts[2 * k + 1],
      along,
      down,
      Math.max(0.8, 0.6 * scale, 0.06 * Math.hypot(...along)),
    );
    const colour = grid.firstBright === ((k % columns) + Math.floor(k / columns)) % 2 < 1;
    if (fitted === null || fitted.contrast > 0 !== colour) continue;
    corners[2 * k] = fitted.u;
    corners[2 * k + 1] = fitted.v;
    sds.push(fitted.sdPx);
    widths.push(fitted.edgeWidthPx);
    contrasts.push(Math.abs(fitted.contrast));
    steps.push(Math.min(Math.hypot(...along), Math.hypot(...down)));
  }
  return {
    found: true,
    corners,
    missing: count - sds.length,
    cornerSdPx: medianOrNaN(sds),
    roughnessPx: gridRoughness(corners, columns, rows),
    edgeWidthPx: medianOrNaN(widths),
    squarePx: medianOrNaN(steps),
    contrast: medianOrNaN(contrasts),
    firstSquare: grid.firstBright ? 'bright' : 'dark',
  };
}

const medianOrNaN = (x: readonly number[]): number => (x.length === 0 ? Number.NaN : median(x));

/** Vector to the next corner along (axis 0) or down (axis 1): half the way between both neighbours, or to the only one. */
function stepAt(corners: Float64Array, columns: number, rows: number, k: number, axis: 0 | 1): [number, number] | null {
  const [place, last, stride] =
    axis === 0 ? [k % columns, columns - 1, 1] : [Math.floor(k / columns), rows - 1, columns];
  const before = place > 0 && Number.isFinite(corners[2 * (k - stride)]) ? k - stride : k;
  const after = place < last && Number.isFinite(corners[2 * (k + stride)]) ? k + stride : k;
  if (before === after) return null;
  const steps = (after - before) / stride;
  return [
    (corners[2 * after] - corners[2 * before]) / steps,
    (corners[2 * after + 1] - corners[2 * before + 1]) / steps,
  ];
}

/** Weights of a cubic through two corners on each side of the middle one, and what the difference does to equal errors. */
const CUBIC = [-1 / 6, 4 / 6, -1, 4 / 6, -1 / 6] as const;
const CUBIC_GAIN = Math.hypot(...CUBIC);

/**
 * R.m.s. distance of a corner from the cubic through its four neighbours in line, divided by what that difference makes of
 * equal independent errors. Perspective and lens distortion are smooth over five corners; errors that differ from corner
 * to corner are not.
 */
function gridRoughness(corners: Float64Array, columns: number, rows: number): number {
  let [sum, count] = [0, 0];
  for (let k = 0; k < columns * rows; k++) {
    for (const [place, length, stride] of [
      [k % columns, columns, 1],
      [Math.floor(k / columns), rows, columns],
    ]) {
      if (place < 2 || place > length - 3) continue;
      let [x, y] = [0, 0];
      for (let t = 0; t < 5; t++) {
        x += CUBIC[t] * corners[2 * (k + (t - 2) * stride)];
        y += CUBIC[t] * corners[2 * (k + (t - 2) * stride) + 1];
      }
      if (!Number.isFinite(x + y)) continue;
      sum += x * x + y * y;
      count++;
    }
  }
  return count === 0 ? Number.NaN : Math.sqrt(sum / count) / CUBIC_GAIN;
}

/** Missing corners as the mean of two opposite neighbours, or the continuation of two corners on one side. */
function withPredictions({ columns, rows, corners }: CornerGrid): Float64Array {
  const out = corners.slice();
  for (let k = 0; k < columns * rows; k++) {
    if (Number.isFinite(out[2 * k])) continue;
    const at = (dc: number, dr: number) => {
      const [c, r] = [(k % columns) + dc, Math.floor(k / columns) + dr];
      if (c < 0 || r < 0 || c >= columns || r >= rows) return [Number.NaN, Number.NaN];
      const o = 2 * (r * columns + c);
      return [corners[o], corners[o + 1]];
    };
    const [l, r, u, d] = [at(-1, 0), at(1, 0), at(0, -1), at(0, 1)];
    const guesses = [0, 1].map((x) => {
      const all = [
        0.5 * (l[x] + r[x]),
        0.5 * (u[x] + d[x]),
        2 * l[x] - at(-2, 0)[x],
        2 * r[x] - at(2, 0)[x],
        2 * u[x] - at(0, -2)[x],
        2 * d[x] - at(0, 2)[x],
      ];
      return all.find(Number.isFinite) ?? Number.NaN;
    });
    out[2 * k] = guesses[0];
    out[2 * k + 1] = guesses[1];
  }
  return out;
}
