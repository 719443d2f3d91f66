import type { Distortion } from './rig.ts';

/**
 * Brown–Conrady lens distortion on normalised image coordinates (Brown 1971, "Close-range camera calibration";
 * coefficient order k1 k2 p1 p2 k3 of OpenCV):
 *
 *   r² = x² + y²,  g = 1 + k1 r² + k2 r⁴ + k3 r⁶
 *   x' = x g + 2 p1 x y + p2 (r² + 2 x²)
 *   y' = y g + p1 (r² + 2 y²) + 2 p2 x y
 *
 * Writes x', y' to out[o], out[o + 1]. Safe when x, y were read from there.
 */
export function distortInto(out: Float64Array, o: number, d: Distortion, x: number, y: number): void {
  const xx = x * x;
  const yy = y * y;
  const xy = x * y;
  const r2 = xx + yy;
  const g = 1 + r2 * (d[0] + r2 * (d[1] + r2 * d[4]));
  out[o] = x * g + 2 * d[2] * xy + d[3] * (r2 + 2 * xx);
  out[o + 1] = y * g + d[2] * (r2 + 2 * yy) + 2 * d[3] * xy;
}

/** `distortInto`, and the Jacobian ∂(x', y')/∂(x, y) row-major at j[jo … jo + 3]. It is symmetric. */
export function distortWithJacobianInto(
  out: Float64Array,
  o: number,
  j: Float64Array,
  jo: number,
  d: Distortion,
  x: number,
  y: number,
): void {
  const xx = x * x;
  const yy = y * y;
  const xy = x * y;
  const r2 = xx + yy;
  const g = 1 + r2 * (d[0] + r2 * (d[1] + r2 * d[4]));
  const dg = d[0] + r2 * (2 * d[1] + 3 * d[4] * r2);
  out[o] = x * g + 2 * d[2] * xy + d[3] * (r2 + 2 * xx);
  out[o + 1] = y * g + d[2] * (r2 + 2 * yy) + 2 * d[3] * xy;
  const off = 2 * (xy * dg + d[2] * x + d[3] * y);
  j[jo] = g + 2 * xx * dg + 2 * d[2] * y + 6 * d[3] * x;
  j[jo + 1] = off;
  j[jo + 2] = off;
  j[jo + 3] = g + 2 * yy * dg + 6 * d[2] * y + 2 * d[3] * x;
}

/** Normalised units: 1e-12 is a billionth of a pixel at a focal length of 1000 px. */
const CONVERGED = 1e-12;
const MOST_STEPS = 60;

const point = new Float64Array(2);
const slope = new Float64Array(4);

/**
 * The undistorted normalised coordinates whose distorted image is (xd, yd), by Newton's method from (xd, yd).
 * Steps that leave the invertible disc are halved. Returns false and writes NaN where no solution exists inside the
 * disc (the pixel lies beyond the edge of the distortion model) or Newton does not converge.
 */
export function undistortNormalisedInto(out: Float64Array, o: number, d: Distortion, xd: number, yd: number): boolean {
  if (d[0] === 0 && d[1] === 0 && d[2] === 0 && d[3] === 0 && d[4] === 0) {
    out[o] = xd;
    out[o + 1] = yd;
    return Number.isFinite(xd) && Number.isFinite(yd);
  }
  const limit = invertibleRadius(d);
  const limit2 = limit * limit;
  let x = xd;
  let y = yd;
  if (x * x + y * y >= limit2) {
    const shrink = (0.99 * limit) / Math.hypot(x, y);
    x *= shrink;
    y *= shrink;
  }
  for (let step = 0; step < MOST_STEPS; step++) {
    distortWithJacobianInto(point, 0, slope, 0, d, x, y);
    const ex = xd - point[0];
    const ey = yd - point[1];
    const determinant = slope[0] * slope[3] - slope[1] * slope[2];
    if (!(determinant > 0)) break;
    if (Math.abs(ex) <= CONVERGED && Math.abs(ey) <= CONVERGED) {
      out[o] = x;
      out[o + 1] = y;
      return true;
    }
    let dx = (slope[3] * ex - slope[1] * ey) / determinant;
    let dy = (slope[0] * ey - slope[2] * ex) / determinant;
    for (let halving = 0; halving < 30 && (x + dx) ** 2 + (y + dy) ** 2 >= limit2; halving++) {
      dx *= 0.5;
      dy *= 0.5;
    }
    x += dx;
    y += dy;
  }
  out[o] = Number.NaN;
  out[o + 1] = Number.NaN;
  return false;
}

const knownRadii = new WeakMap<Distortion, number>();

/**
 * The undistorted normalised radius up to which the radial part r (1 + k1 r² + k2 r⁴ + k3 r⁶) grows and can be inverted;
 * Infinity where it always grows. Beyond it the model folds the picture back on itself.
 */
export function invertibleRadius(d: Distortion): number {
  const known = knownRadii.get(d);
  if (known !== undefined) return known;
  const radius = Math.sqrt(firstZeroOfSlope(d[0], d[1], d[4]));
  knownRadii.set(d, radius);
  return radius;
}

/** Smallest s = r² > 0 with 1 + 3 k1 s + 5 k2 s² + 7 k3 s³ = 0, or Infinity. */
function firstZeroOfSlope(k1: number, k2: number, k3: number): number {
  const a = 3 * k1;
  const b = 5 * k2;
  const c = 7 * k3;
  const slopeAt = (s: number) => 1 + s * (a + s * (b + s * c));
  // Cauchy's bound: no root is greater. Between the turning points the slope is monotone, so bisection is safe.
  const leading = c !== 0 ? c : b !== 0 ? b : a;
  if (leading === 0) return Number.POSITIVE_INFINITY;
  const greatest = 1 + Math.max(1, Math.abs(a), Math.abs(b), Math.abs(c)) / Math.abs(leading);
  const ends = [...turningPoints(a, b, c), greatest].filter((s) => s > 0).sort((p, q) => p - q);
  let low = 0;
  for (const end of ends) {
    if (slopeAt(end) <= 0) {
      let high = end;
      for (let i = 0; i < 200 && high - low > 1e-15 * high; i++) {
        const middle = 0.5 * (low + high);
        if (slopeAt(middle) > 0) low = middle;
        else high = middle;
      }
      return low;
    }
    low = end;
  }
  return Number.POSITIVE_INFINITY;
}

/** Real zeros of a + 2 b s + 3 c s². */
function turningPoints(a: number, b: number, c: number): number[] {
  if (c === 0) return b === 0 ? [] : [-a / (2 * b)];
  const discriminant = b * b - 3 * a * c;
  if (discriminant < 0) return [];
  const root = Math.sqrt(discriminant);
  return [(-b - root) / (3 * c), (-b + root) / (3 * c)];
}
