import type { Landmark } from '../capture/landmarks.ts';
import { SampleStatus } from '../capture/sample-status.ts';
import { reconstructionNotes } from '../messages/reconstruction.ts';
import { median } from '../numerics/statistics.ts';
import { LEAST_FREEDOM_FOR_NOISE, OUTLIER_FLOOR_OF_DIAGONAL, OUTLIER_SCALES } from './limits.ts';

/** What the noise is told from: redundant residuals of points. */
interface Residuals {
  readonly status: Uint8Array;
  /** Σ w r² of a point, px² of a view of weight 1. */
  readonly squaredSum: Float64Array;
  /** 2 · views − 3 of a point. */
  readonly freedom: Uint8Array;
}

/** Median of chi-square with one degree of freedom, and of more after Wilson & Hilferty (1931), within 0.7 %. */
const CHI_SQUARE_1_MEDIAN = 0.454936423119572;
function chiSquareMedian(freedom: number): number {
  return freedom === 1 ? CHI_SQUARE_1_MEDIAN : freedom * (1 - 2 / (9 * freedom)) ** 3;
}

/**
 * Robust standard deviation of a pixel coordinate per landmark, px: the median over frames of Σr² over the median it has
 * for unit normal noise. With two views this is the median absolute residual / 0.6745. Half of the frames may be wrong.
 * A landmark with few frames borrows the scale of all.
 */
export function robustScales(residuals: Residuals, landmarks: number): Float64Array {
  const { status, squaredSum, freedom } = residuals;
  const perChiSquare = Float64Array.from({ length: MOST_FREEDOM + 1 }, (_, f) => 1 / chiSquareMedian(f));
  const all = new Float64Array(status.length);
  const own = new Float64Array(Math.ceil(status.length / landmarks));
  const scales = new Float64Array(landmarks).fill(Number.NaN);
  let total = 0;
  for (let l = 0; l < landmarks; l++) {
    let count = 0;
    for (let s = l; s < status.length; s += landmarks) {
      if (status[s] === SampleStatus.seen) own[count++] = squaredSum[s] * perChiSquare[freedom[s]];
    }
    all.set(own.subarray(0, count), total);
    total += count;
    if (count >= LEAST_FREEDOM_FOR_NOISE) scales[l] = Math.sqrt(median(own.subarray(0, count)));
  }
  if (!scales.some(Number.isNaN)) return scales;
  const whole = total > 0 ? Math.sqrt(median(all.subarray(0, total))) : 0;
  return scales.map((scale) => (Number.isNaN(scale) ? whole : scale));
}

/** `freedom` is a byte. */
const MOST_FREEDOM = 255;

/** A residual above this is an outlier, px. */
export function outlierLimitPx(robustScalePx: number, diagonalPx: number): number {
  return Math.max(OUTLIER_SCALES * robustScalePx, OUTLIER_FLOOR_OF_DIAGONAL * diagonalPx);
}

/**
 * Standard deviation of a pixel coordinate per landmark, px: √(Σ w r² / Σ(2 · views − 3)) over the accepted frames; of a view of weight 1.
 * A point of n views has 2 n pixels and 3 unknowns, so two views leave one redundant residual, not four.
 * A landmark with too little freedom takes the value of the whole recording, with a note.
 */
export function pixelNoise(residuals: Residuals, landmarks: readonly Landmark[], notes: string[]): Float64Array {
  const count = landmarks.length;
  const sums = new Float64Array(count);
  const freedoms = new Float64Array(count);
  for (let s = 0; s < residuals.status.length; s++) {
    if (residuals.status[s] !== SampleStatus.seen) continue;
    sums[s % count] += residuals.squaredSum[s];
    freedoms[s % count] += residuals.freedom[s];
  }
  const total = (values: Float64Array) => values.reduce((sum, value) => sum + value, 0);
  const whole = Math.sqrt(total(sums) / total(freedoms));
  return Float64Array.from(landmarks, (landmark, l) => {
    if (freedoms[l] >= LEAST_FREEDOM_FOR_NOISE) return Math.sqrt(sums[l] / freedoms[l]);
    if (freedoms[l] > 0) notes.push(reconstructionNotes.noiseBorrowed(landmark));
    return whole;
  });
}
