import { leastSquares } from '../../numerics/least-squares.ts';
import { median } from '../../numerics/statistics.ts';

/** How a flat board lies in one picture: board (columns and rows of squares) → pixels. */
export interface BoardSurface {
  /** Pixel of the board point (x, y), in squares from the first inner corner, to out[o], out[o + 1]. */
  pixelInto(out: Float64Array, o: number, x: number, y: number): void;
  /** Distance of each corner from where the surface puts it, px; NaN where the corner is. */
  readonly distances: Float64Array;
  /** 1.4826 × median of those distances / 1.1774: standard deviation of one coordinate if they were normal, px. */
  readonly sdPx: number;
}

/** Passes of reweighting. */
const PASSES = 8;
/** Cauchy weight 1 / (1 + (d / c)²), c in standard deviations: 95 % efficient for normal errors (Holland & Welsch 1977). */
const CAUCHY = 2.385;
/** Standard deviations below this are rounding, px. */
const LEAST_SD_PX = 0.02;
/** Corners below which the lens is taken as straight. */
const FEWEST_FOR_LENS = 12;
/** Ordinary size of the radial term at the corner of the picture: keeps it near 0 where corners do not tell. */
const USUAL_RADIAL = 0.3;
/** Median of a Rayleigh distribution over its scale. */
const RAYLEIGH_MEDIAN = 1.17741;

/**
 * Robust fit of a plane seen through a lens with one radial term about the middle of the picture:
 *
 *   q = H(x, y),  pixel = middle + D q (1 + κ |q|²),  D half the diagonal
 *
 * nine parameters, by least squares reweighted after Cauchy, so that some wrong corners do not pull it. Distortion beyond
 * one centred term is not in it and shows in the distances (for a picture of 1280 × 720 px with k1 −0.28, k2 0.09 and a
 * principal point 14 px off: below 0.1 px). corners: 2 × (row * columns + column), px, NaN where missing.
 * Null where fewer than 4 corners are there, or all in one line.
 */
export function fitBoardSurface(
  corners: Float64Array,
  columns: number,
  width: number,
  height: number,
): BoardSurface | null {
  const seen: number[] = [];
  for (let k = 0; 2 * k < corners.length; k++) if (Number.isFinite(corners[2 * k])) seen.push(k);
  if (!spansPlane(seen, columns)) return null;
  const rows = corners.length / 2 / columns;
  // Board coordinates −1 … 1 keep the columns of the Jacobian alike.
  const half = Math.max(columns, rows) / 2;
  const [bx, by] = [(columns - 1) / 2, (rows - 1) / 2];
  const [cx, cy] = [(width - 1) / 2, (height - 1) / 2];
  const diagonal = Math.hypot(width, height) / 2;
  const place = (out: Float64Array, o: number, p: ArrayLike<number>, x: number, y: number) => {
    const [s, t] = [(x - bx) / half, (y - by) / half];
    const w = 1 + (p[6] ?? 0) * s + (p[7] ?? 0) * t;
    const qx = (p[0] * s + p[1] * t + p[2]) / w;
    const qy = (p[3] * s + p[4] * t + p[5]) / w;
    const bend = 1 + (p[8] ?? 0) * (qx * qx + qy * qy);
    out[o] = cx + diagonal * qx * bend;
    out[o + 1] = cy + diagonal * qy * bend;
  };

  const weights = new Float64Array(seen.length).fill(1);
  const pixel = new Float64Array(2);
  const problem = (parameterCount: number) => ({
    residualCount: 2 * seen.length + 1,
    parameterCount,
    residualsInto(out: Float64Array, p: Float64Array) {
      seen.forEach((k, i) => {
        place(pixel, 0, p, k % columns, Math.floor(k / columns));
        out[2 * i] = weights[i] * (pixel[0] - corners[2 * k]);
        out[2 * i + 1] = weights[i] * (pixel[1] - corners[2 * k + 1]);
      });
      out[2 * seen.length] = (p[8] ?? 0) / USUAL_RADIAL;
    },
  });
  const parameters = seen.length < FEWEST_FOR_LENS ? 8 : 9;
  // An affine map first: linear, so it is found from any start.
  let p = leastSquares(problem(6), [0.1, 0, 0, 0, 0.1, 0], { typicalSizes: new Float64Array(6).fill(1) }).parameters;
  p = Float64Array.from({ length: parameters }, (_, i) => p[i] ?? 0);
  const distances = new Float64Array(corners.length / 2).fill(Number.NaN);
  let sdPx = Number.NaN;
  for (let pass = 0; pass < PASSES; pass++) {
    p = leastSquares(problem(parameters), p, {
      typicalSizes: new Float64Array(parameters).fill(0.1),
      tolerance: 1e-8,
    }).parameters;
    for (const k of seen) {
      place(pixel, 0, p, k % columns, Math.floor(k / columns));
      distances[k] = Math.hypot(pixel[0] - corners[2 * k], pixel[1] - corners[2 * k + 1]);
    }
    sdPx = median(seen.map((k) => distances[k])) / RAYLEIGH_MEDIAN;
    const c = CAUCHY * Math.max(sdPx, LEAST_SD_PX);
    // The root: residuals are squared afterwards.
    seen.forEach((k, i) => {
      weights[i] = 1 / Math.sqrt(1 + (distances[k] / c) ** 2);
    });
  }
  return { pixelInto: (out, o, x, y) => place(out, o, p, x, y), distances, sdPx };
}

/** Whether the corners lie in two columns and two rows at least, with two of them off each single line of the board. */
function spansPlane(seen: readonly number[], columns: number): boolean {
  const inColumn = new Map<number, number>();
  const inRow = new Map<number, number>();
  for (const k of seen) {
    const [column, row] = [k % columns, Math.floor(k / columns)];
    inColumn.set(column, (inColumn.get(column) ?? 0) + 1);
    inRow.set(row, (inRow.get(row) ?? 0) + 1);
  }
  const most = Math.max(0, ...inColumn.values(), ...inRow.values());
  return seen.length - most >= 2;
}
