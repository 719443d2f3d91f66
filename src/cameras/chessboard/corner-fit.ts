import type { GreyImage } from '../../capture/image-file.ts';

/** Taken out of the global object once: looked up per pixel it costs more than the arithmetic where globals are intercepted. */
const { abs, exp, sqrt } = Math;

/** What the neighbourhood of one corner tells. */
export interface FittedCorner {
  readonly u: number;
  readonly v: number;
  /** Standard deviation of the less certain direction, px, from the residuals of the fit. */
  readonly sdPx: number;
  /** 10 % to 90 % width of the wider of the two edges, px. */
  readonly edgeWidthPx: number;
  /** Bright − dark, grey levels; negative where the quarter between +column and +row is the dark one. */
  readonly contrast: number;
}

/** Half sides of the window in squares: half of the way to the next edge would be 0.5. */
const HALF_SQUARE = 0.45;
/**
 * Largest radius of the window, px: straight edges are assumed, and a lens bends them by κ w²/6 on average.
 * Common practice, no source.
 */
const LARGEST_RADIUS_PX = 14;
/** 10 % to 90 % of a Gaussian edge: 2 × 1.2816 standard deviations. */
export const WIDTH_PER_SIGMA = 2.563;
/** Variance that a pixel's own area adds to an edge, px². */
export const PIXEL_VARIANCE = 1 / 12;
/** Residual r.m.s. as part of half the contrast above which there is no such corner. */
const WORST_MISFIT = 0.35;
const PARAMETERS = 10;

/**
 * Least-squares fit of a blurred corner to the grey values about (x, y):
 *
 *   I(p) = b + g·(p − start) + c · erf(d₁(p)/√2 σ₁) · erf(d₂(p)/√2 σ₂)
 *
 * with d₁, d₂ the distances from two straight lines through the corner, σ₁, σ₂ the blur across them (motion blurs one
 * more than the other) and g uneven light. A point of symmetry of the model, so that blur, contrast and the camera's tone
 * curve do not move it. `column`, `row`: vectors to the next corners, px; the window is the parallelogram of the nearest
 * HALF_SQUARE of the squares around, so it shrinks with a foreshortened square. Null where the fit fails or runs away.
 */
export function fitCorner(
  image: GreyImage,
  x: number,
  y: number,
  column: readonly [number, number],
  row: readonly [number, number],
  startSigma: number,
): FittedCorner | null {
  const window = windowPixels(image, x, y, column, row);
  if (window.count < 2 * PARAMETERS) return null;
  const p = startValues(window, column, row, startSigma);
  if (p === null) return null;
  const cost = minimise(window, p);
  const shortest = Math.min(Math.hypot(...column), Math.hypot(...row));
  if (!(Math.hypot(p[0], p[1]) < Math.max(0.3 * shortest, 1.5))) return null;
  if (!(sqrt(cost / window.weightSum) < WORST_MISFIT * abs(p[9]))) return null;
  // Blur as wide as the square: the edges of the neighbours are in the window.
  if (Math.max(abs(p[4]), abs(p[5])) > shortest) return null;
  const sdPx = cornerSd(cost / (window.count - PARAMETERS));
  if (Number.isNaN(sdPx)) return null;
  const sigma = sqrt(Math.max(p[4] ** 2, p[5] ** 2) + PIXEL_VARIANCE);
  return { u: x + p[0], v: y + p[1], sdPx, edgeWidthPx: WIDTH_PER_SIGMA * sigma, contrast: 2 * p[9] };
}

interface Window {
  readonly count: number;
  /** Per pixel: position from the start, px, grey value, square root of its weight. */
  readonly dx: Float64Array;
  readonly dy: Float64Array;
  readonly grey: Float64Array;
  readonly rootWeight: Float64Array;
  readonly weightSum: number;
}

function windowPixels(
  { width, height, pixels }: GreyImage,
  x: number,
  y: number,
  [ax, ay]: readonly [number, number],
  [bx, by]: readonly [number, number],
): Window {
  const determinant = ax * by - ay * bx;
  const reachX = Math.min(LARGEST_RADIUS_PX, HALF_SQUARE * (abs(ax) + abs(bx)));
  const reachY = Math.min(LARGEST_RADIUS_PX, HALF_SQUARE * (abs(ay) + abs(by)));
  const [x0, x1] = [Math.max(0, Math.ceil(x - reachX)), Math.min(width - 1, Math.floor(x + reachX))];
  const [y0, y1] = [Math.max(0, Math.ceil(y - reachY)), Math.min(height - 1, Math.floor(y + reachY))];
  const room = Math.max(0, x1 - x0 + 1) * Math.max(0, y1 - y0 + 1);
  const [dx, dy, grey, rootWeight] = [0, 1, 2, 3].map(() => new Float64Array(room));
  let [count, weightSum] = [0, 0];
  for (let v = y0; v <= y1; v++) {
    for (let u = x0; u <= x1; u++) {
      const [px, py] = [u - x, v - y];
      const a = (px * by - py * bx) / determinant / HALF_SQUARE;
      const b = (ax * py - ay * px) / determinant / HALF_SQUARE;
      const r2 = (px * px + py * py) / (LARGEST_RADIUS_PX * LARGEST_RADIUS_PX);
      const weight = (1 - a * a) * (1 - b * b) * (1 - r2);
      if (a * a >= 1 || b * b >= 1 || r2 >= 1) continue;
      dx[count] = px;
      dy[count] = py;
      grey[count] = pixels[v * width + u];
      rootWeight[count] = sqrt(weight);
      weightSum += weight;
      count++;
    }
  }
  return { count, dx, dy, grey, rootWeight, weightSum };
}

/** x y φ₁ φ₂ σ₁ σ₂ b gx gy c; null where the window is of one grey. */
function startValues(
  { count, dx, dy, grey }: Window,
  column: readonly [number, number],
  row: readonly [number, number],
  startSigma: number,
): Float64Array | null {
  const angles = [Math.atan2(column[1], column[0]), Math.atan2(row[1], row[0])];
  const [s1, c1, s2, c2] = [Math.sin(angles[0]), Math.cos(angles[0]), Math.sin(angles[1]), Math.cos(angles[1])];
  let [same, nSame, other, nOther] = [0, 0, 0, 0];
  for (let k = 0; k < count; k++) {
    const quarter = (dy[k] * c1 - dx[k] * s1) * (dx[k] * s2 - dy[k] * c2);
    if (quarter > 0) {
      same += grey[k];
      nSame++;
    } else {
      other += grey[k];
      nOther++;
    }
  }
  if (nSame === 0 || nOther === 0) return null;
  const [bright, dark] = [same / nSame, other / nOther];
  if (abs(bright - dark) < 1) return null;
  return Float64Array.of(0, 0, ...angles, startSigma, startSigma, 0.5 * (bright + dark), 0, 0, 0.5 * (bright - dark));
}

/** Normal equations of the last evaluation: JᵀJ (lower triangle, PARAMETERS × PARAMETERS) and Jᵀr. */
const normal = new Float64Array(PARAMETERS * PARAMETERS);
const gradient = new Float64Array(PARAMETERS);
const jacobianRow = new Float64Array(PARAMETERS);

/** Weighted sum of squares at p; fills `normal` and `gradient`. */
function evaluate({ count, dx, dy, grey, rootWeight }: Window, p: Float64Array): number {
  const [s1, c1, s2, c2] = [Math.sin(p[2]), Math.cos(p[2]), Math.sin(p[3]), Math.cos(p[3])];
  const v1 = p[4] * p[4] + PIXEL_VARIANCE;
  const v2 = p[5] * p[5] + PIXEL_VARIANCE;
  const k1 = 1 / sqrt(2 * v1);
  const k2 = 1 / sqrt(2 * v2);
  const j = jacobianRow;
  normal.fill(0);
  gradient.fill(0);
  let cost = 0;
  for (let k = 0; k < count; k++) {
    const x = dx[k] - p[0];
    const y = dy[k] - p[1];
    const d1 = c1 * y - s1 * x;
    const d2 = s2 * x - c2 * y;
    const bell1 = exp(-d1 * d1 * k1 * k1);
    const bell2 = exp(-d2 * d2 * k2 * k2);
    const e1 = errorFunction(d1 * k1, bell1);
    const e2 = errorFunction(d2 * k2, bell2);
    const w = rootWeight[k];
    const r = w * (p[6] + p[7] * dx[k] + p[8] * dy[k] + p[9] * e1 * e2 - grey[k]);
    // By distance: 2/√π exp(−z²) / (√2 σ).
    const g1 = w * p[9] * e2 * TWO_OVER_ROOT_PI * k1 * bell1;
    const g2 = w * p[9] * e1 * TWO_OVER_ROOT_PI * k2 * bell2;
    j[0] = g1 * s1 - g2 * s2;
    j[1] = -g1 * c1 + g2 * c2;
    j[2] = g1 * (-s1 * y - c1 * x);
    j[3] = g2 * (c2 * x + s2 * y);
    j[4] = (-g1 * d1 * p[4]) / v1;
    j[5] = (-g2 * d2 * p[5]) / v2;
    j[6] = w;
    j[7] = w * dx[k];
    j[8] = w * dy[k];
    j[9] = w * e1 * e2;
    cost += r * r;
    for (let a = 0; a < PARAMETERS; a++) {
      const ja = j[a];
      gradient[a] += ja * r;
      for (let b = 0; b <= a; b++) normal[PARAMETERS * a + b] += ja * j[b];
    }
  }
  return cost;
}

const MOST_STEPS = 40;
/** Steps of the corner below this end the search, px. */
const STILL_PX = 2e-4;
const trial = new Float64Array(PARAMETERS);
const kept = new Float64Array(PARAMETERS * PARAMETERS);
const keptGradient = new Float64Array(PARAMETERS);
const factor = new Float64Array(PARAMETERS * PARAMETERS);
const step = new Float64Array(PARAMETERS);

/**
 * Levenberg–Marquardt on the normal equations, in place; returns the weighted sum of squares and leaves JᵀJ of
 * the last point from which a step was tried in `kept`. Not `numerics/leastSquares`: that forms the Jacobian and its QR, several times the work, for digits
 * that grey values do not have.
 */
function minimise(window: Window, p: Float64Array): number {
  let cost = evaluate(window, p);
  let damping = 1e-3;
  for (let count = 0; count < MOST_STEPS; count++) {
    kept.set(normal);
    keptGradient.set(gradient);
    let moved = Number.NaN;
    for (; damping < 1e8; damping *= 8) {
      if (!solveDamped(damping)) continue;
      for (let a = 0; a < PARAMETERS; a++) trial[a] = p[a] - step[a];
      const next = evaluate(window, trial);
      if (!(next <= cost)) continue;
      moved = Math.hypot(step[0], step[1]);
      const fall = (cost - next) / cost;
      p.set(trial);
      cost = next;
      damping = Math.max(1e-9, damping / 8);
      if (fall < 1e-9) moved = 0;
      break;
    }
    if (!(moved > STILL_PX)) break;
  }
  return cost;
}

/** step = (kept + damping · diag(kept))⁻¹ · keptGradient by Cholesky; false where that is not positive definite. */
function solveDamped(damping: number): boolean {
  if (!factorise(damping)) return false;
  for (let a = 0; a < PARAMETERS; a++) step[a] = keptGradient[a];
  substituteInPlace(step);
  return true;
}

function factorise(damping: number): boolean {
  const n = PARAMETERS;
  for (let a = 0; a < n; a++) {
    for (let b = 0; b <= a; b++) {
      let sum = kept[n * a + b] * (a === b ? 1 + damping : 1);
      for (let k = 0; k < b; k++) sum -= factor[n * a + k] * factor[n * b + k];
      if (a === b) {
        if (!(sum > 1e-14 * kept[n * a + a])) return false;
        factor[n * a + a] = sqrt(sum);
      } else factor[n * a + b] = sum / factor[n * b + b];
    }
  }
  return true;
}

function substituteInPlace(x: Float64Array): void {
  const n = PARAMETERS;
  for (let a = 0; a < n; a++) {
    for (let k = 0; k < a; k++) x[a] -= factor[n * a + k] * x[k];
    x[a] /= factor[n * a + a];
  }
  for (let a = n - 1; a >= 0; a--) {
    for (let k = a + 1; k < n; k++) x[a] -= factor[n * k + a] * x[k];
    x[a] /= factor[n * a + a];
  }
}

/** Largest standard deviation of the corner's place over all directions, px; NaN where it is not determined. */
function cornerSd(residualVariance: number): number {
  if (!factorise(0)) return Number.NaN;
  const column = (a: number) => {
    step.fill(0);
    step[a] = residualVariance;
    substituteInPlace(step);
    return [step[0], step[1]] as const;
  };
  const [xx, xy] = column(0);
  const yy = column(1)[1];
  return sqrt(0.5 * (xx + yy) + Math.hypot(0.5 * (xx - yy), xy));
}

const TWO_OVER_ROOT_PI = 2 / sqrt(Math.PI);

/** Abramowitz & Stegun (1964), 7.1.26: error below 1.5e-7. `bell` = exp(−z²). */
function errorFunction(z: number, bell: number): number {
  const t = 1 / (1 + 0.3275911 * abs(z));
  const tail = t * (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429)))) * bell;
  return z < 0 ? tail - 1 : 1 - tail;
}
