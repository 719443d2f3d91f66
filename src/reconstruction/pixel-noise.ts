import type { Landmark } from '../capture/landmarks.ts';
import { SampleStatus } from '../capture/sample-status.ts';
import { reconstructionNotes } from '../messages/reconstruction.ts';
import { median } from '../numerics/statistics.ts';
import { LEAST_FREEDOM_FOR_NOISE, OUTLIER_FLOOR_OF_DIAGONAL, OUTLIER_SCALES } from './limits.ts';

/** What the noise is told from: redundant residuals of points. */
interface Residuals {
  readonly status: Uint8Array;
  /** Σr² of a point, px². */
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
  const ratios: number[][] = Array.from({ length: landmarks }, () => []);
  for (let s = 0; s < residuals.status.length; s++) {
    if (residuals.status[s] !== SampleStatus.seen) continue;
    ratios[s % landmarks].push(residuals.squaredSum[s] / chiSquareMedian(residuals.freedom[s]));
  }
  const all = ratios.flat();
  const whole = all.length > 0 ? Math.sqrt(median(all)) : 0;
  return Float64Array.from(ratios, (own) => (own.length < LEAST_FREEDOM_FOR_NOISE ? whole : Math.sqrt(median(own))));
}

/** A residual above this is an outlier, px. */
export function outlierLimitPx(robustScalePx: number, diagonalPx: number): number {
  return Math.max(OUTLIER_SCALES * robustScalePx, OUTLIER_FLOOR_OF_DIAGONAL * diagonalPx);
}

/**
 * Standard deviation of a pixel coordinate per landmark, px: √(Σr² / Σ(2 · views − 3)) over the accepted frames.
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
