import { Matrix, SingularValueDecomposition } from 'ml-matrix';
import {
  controlPointsBothSides,
  controlPointsCoplanar,
  controlPointsDoNotFit,
  controlPointsDuplicate,
  controlPointsMirrored,
  controlPointsOneDepth,
  controlPointsOnLine,
  controlPointsTooFew,
  controlPointsUndetermined,
} from '../messages/cameras.ts';
import { dltHomogeneous, dltProject } from './dlt.ts';
import { type DecomposedProjection, decomposeProjection } from './projection-matrix.ts';

/** 11 parameters need 12 equations: six points (Abdel-Aziz & Karara 1971). */
export const FEWEST_CONTROL_POINTS = 6;
/** Second singular value of the centred points over the first below which they lie on a line. Common practice, no source. */
export const LINE_LIMIT = 0.01;
/** Third singular value over the first below which they lie in a plane. Common practice, no source. */
export const PLANE_LIMIT = 0.01;
/** Two points nearer than this part of the set's extent are one. Common practice, no source. */
export const DUPLICATE_LIMIT = 1e-6;
/** Range of depths over mean depth below which focal length and distance cannot be told apart. Common practice, no source. */
export const DEPTH_LIMIT = 0.02;
/** Eleventh singular value of the normalised design matrix over the first: below, a second camera fits as well. Common practice, no source. */
export const DESIGN_LIMIT = 1e-4;

/** Largest r.m.s. residual over the image diagonal; above it labels are taken to be wrong. Common practice, no source. */
export const MISFIT_LIMIT = 0.02;

/** The points one camera sees: `labels`, 3 × n metres, 2 × n pixels, all finite. */
export interface SeenControlPoints {
  readonly camera: string;
  readonly labels: readonly string[];
  readonly points: Float64Array;
  readonly pixels: Float64Array;
}

/** Refuses sets that cannot determine a camera, before anything is computed from their pixels. */
export function checkControlPointGeometry({ camera, labels, points }: SeenControlPoints): void {
  if (labels.length < FEWEST_CONTROL_POINTS) throw controlPointsTooFew(camera, labels.length, FEWEST_CONTROL_POINTS);
  const singular = centredSingularValues(points);
  const twins = closestPair(points);
  if (twins.distance <= DUPLICATE_LIMIT * singular[0]) {
    throw controlPointsDuplicate(camera, labels[twins.a], labels[twins.b]);
  }
  const line = singular[1] / singular[0];
  if (line < LINE_LIMIT) throw controlPointsOnLine(camera, line, LINE_LIMIT);
  const plane = singular[2] / singular[0];
  if (plane < PLANE_LIMIT) throw controlPointsCoplanar(camera, plane, PLANE_LIMIT);
}

/**
 * DLT of one camera's control points and its decomposition, or the reason why the set is refused: undetermined, points in
 * front and behind, mirrored, all at one depth; where the DLT misses by more than `limitPx` r.m.s., that instead.
 */
export function startingCamera(seen: SeenControlPoints, limitPx: number): DecomposedProjection {
  const { camera, labels, points, pixels } = seen;
  const { matrix, singularValues } = dltHomogeneous(points, pixels);
  const determined = singularValues[10] / singularValues[0];
  if (!(determined > DESIGN_LIMIT)) throw controlPointsUndetermined(camera, determined, DESIGN_LIMIT);
  const rmsPx = dltRms(matrix, points, pixels);
  // Wrong labels can turn the best camera into any shape: a bad fit is the news then, not its shape.
  const refuse = (reason: () => Error) =>
    rmsPx > limitPx ? controlPointsDoNotFit(camera, rmsPx, limitPx, suspects(seen, limitPx)) : reason();
  const depths = thirdCoordinates(matrix, points);
  const behind = labels.filter((_, i) => depths[i] < 0);
  if (behind.length > 0 && behind.length < labels.length) {
    const fewer = behind.length <= labels.length / 2 ? behind : labels.filter((_, i) => depths[i] >= 0);
    throw refuse(() => controlPointsBothSides(camera, fewer));
  }
  const found = decomposeProjection(behind.length === 0 ? matrix : matrix.map((x) => -x));
  if (found.handedness < 0) throw refuse(() => controlPointsMirrored(camera));
  let nearest = Number.POSITIVE_INFINITY;
  let farthest = 0;
  let mean = 0;
  for (const depth of depths) {
    nearest = Math.min(nearest, Math.abs(depth));
    farthest = Math.max(farthest, Math.abs(depth));
    mean += Math.abs(depth) / depths.length;
  }
  const spread = (farthest - nearest) / mean;
  if (spread < DEPTH_LIMIT) throw refuse(() => controlPointsOneDepth(camera, spread, DEPTH_LIMIT));
  return found;
}

/** Singular values of the points about their mean, largest first. */
function centredSingularValues(points: Float64Array): number[] {
  const n = points.length / 3;
  const mean = [0, 0, 0];
  for (let i = 0; i < points.length; i++) mean[i % 3] += points[i] / n;
  const centred = new Matrix(n, 3);
  for (let i = 0; i < points.length; i++) centred.set(Math.floor(i / 3), i % 3, points[i] - mean[i % 3]);
  return new SingularValueDecomposition(centred, { autoTranspose: true }).diagonal;
}

function closestPair(points: Float64Array): { a: number; b: number; distance: number } {
  const n = points.length / 3;
  let closest = { a: 0, b: 1, distance: Number.POSITIVE_INFINITY };
  for (let a = 0; a < n; a++) {
    for (let b = a + 1; b < n; b++) {
      const distance = Math.hypot(
        points[3 * a] - points[3 * b],
        points[3 * a + 1] - points[3 * b + 1],
        points[3 * a + 2] - points[3 * b + 2],
      );
      if (distance < closest.distance) closest = { a, b, distance };
    }
  }
  return closest;
}

/** Root mean square distance, px. */
function dltRms(matrix: Float64Array, points: Float64Array, pixels: Float64Array): number {
  const predicted = dltProject(matrix, points);
  let squares = 0;
  for (let i = 0; i < pixels.length; i++) squares += (predicted[i] - pixels[i]) ** 2;
  return Math.sqrt(squares / (pixels.length / 2));
}

/** Most points for which every pair is tried: 780 pairs take about a tenth of a second. */
const MOST_FOR_PAIRS = 40;

/**
 * What to say about a set that no camera fits: the two labels whose exchange makes it fit, or the one point without
 * which it fits, or nothing where neither helps.
 */
export function suspects({ labels, points, pixels }: SeenControlPoints, limitPx: number): string {
  const n = labels.length;
  if (n > MOST_FOR_PAIRS) return '';
  let best = { rmsPx: limitPx / 4, text: '' };
  const consider = (rmsPx: number, text: string) => {
    if (rmsPx < best.rmsPx) best = { rmsPx, text };
  };
  // Seven points without one still leave an equation over; fewer would fit anything.
  for (let a = 0; a < n && n > FEWEST_CONTROL_POINTS; a++) {
    const keep = (width: number) => (_: number, o: number) => Math.floor(o / width) !== a;
    const [p, q] = [points.filter(keep(3)), pixels.filter(keep(2))];
    consider(dltRms(dltHomogeneous(p, q).matrix, p, q), `Without ${labels[a]} the others fit.`);
  }
  for (let a = 0; a < n; a++) {
    for (let b = a + 1; b < n; b++) {
      const swapped = pixels.slice();
      swapped.copyWithin(2 * a, 2 * b, 2 * b + 2);
      swapped.set(pixels.subarray(2 * a, 2 * a + 2), 2 * b);
      consider(
        dltRms(dltHomogeneous(points, swapped).matrix, points, swapped),
        `With ${labels[a]} and ${labels[b]} exchanged they fit.`,
      );
    }
  }
  return best.text;
}

function thirdCoordinates(p: Float64Array, points: Float64Array): Float64Array {
  return Float64Array.from(
    { length: points.length / 3 },
    (_, i) => p[8] * points[3 * i] + p[9] * points[3 * i + 1] + p[10] * points[3 * i + 2] + p[11],
  );
}
