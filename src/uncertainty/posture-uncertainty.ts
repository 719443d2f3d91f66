import type { Camera } from '../cameras/rig.ts';
import type { Landmark } from '../capture/landmarks.ts';
import type { Smoothing } from '../capture/recording.ts';
import { filterGroup } from '../reconstruction/cutoffs.ts';
import { filteredVariancePx2, type PixelNoise } from './filtered-noise.ts';
import { pointCovarianceInto, variancePropagated } from './point-covariance.ts';
import { POSTURE_QUANTITIES, type PostureQuantity, type PostureSensitivity } from './posture-sensitivity.ts';

/** Half width of a 95 % interval over the standard deviation, normal errors. */
export const HALF_WIDTH_95 = 1.959963984540054;

/** One camera as it films: where it stands, its clock and its errors. */
export interface Filming {
  readonly camera: Camera;
  readonly frameRateHz: number;
  /** Error of a landmark's pixel coordinates; one for all, or by landmark where it was measured. */
  readonly noise: (landmark: Landmark) => PixelNoise;
}

export type FixedSmoothing = Extract<Smoothing, { kind: 'fixed' }>;

/** Variance of a filtered pixel coordinate: `landmark * views + view`, px². */
export function pixelVariances(
  landmarks: readonly Landmark[],
  filmings: readonly Filming[],
  cutoffHz: (landmark: Landmark) => number,
): Float64Array {
  const known = new Map<string, number>();
  const out = new Float64Array(landmarks.length * filmings.length);
  landmarks.forEach((landmark, l) => {
    filmings.forEach(({ frameRateHz, noise }, v) => {
      const { whitePx, slowPx, slowS } = noise(landmark);
      const key = [cutoffHz(landmark), frameRateHz, whitePx, slowPx, slowS].join();
      const value = known.get(key) ?? filteredVariancePx2({ whitePx, slowPx, slowS }, cutoffHz(landmark), frameRateHz);
      known.set(key, value);
      out[l * filmings.length + v] = value;
    });
  });
  return out;
}

/** The fixed cut-off of a landmark, Hz, by its group. */
export function fixedCutoff({ legsHz, trunkHz, barHz }: FixedSmoothing): (landmark: Landmark) => number {
  return (landmark) => ({ legs: legsHz, trunk: trunkHz, bar: barHz })[filterGroup(landmark)];
}

/** Covariances of filtered points, `6 * landmark`, m², upper triangles, lab axes. variances: as of `pixelVariances`. */
export function pointCovariances(
  cameras: readonly Camera[],
  variances: Float64Array,
  position: Float64Array,
): Float64Array {
  const views = cameras.length;
  const count = position.length / 3;
  const out = new Float64Array(6 * count);
  for (let l = 0; l < count; l++) {
    const own = variances.subarray(l * views, (l + 1) * views);
    pointCovarianceInto(out, 6 * l, cameras, own, position[3 * l], position[3 * l + 1], position[3 * l + 2]);
  }
  return out;
}

/**
 * Standard deviation of g · points: errors of different points are independent, since a detector's errors are taken so.
 * gradient: `3 * landmark`. A point of unknown covariance with no part in g does not matter; with one the result is NaN.
 */
export function standardDeviation(gradient: Float64Array, covariances: Float64Array): number {
  let variance = 0;
  for (let l = 0; 3 * l < gradient.length; l++) {
    const [gx, gy, gz] = [gradient[3 * l], gradient[3 * l + 1], gradient[3 * l + 2]];
    if (gx !== 0 || gy !== 0 || gz !== 0) variance += variancePropagated(covariances, 6 * l, gx, gy, gz);
  }
  return Math.sqrt(variance);
}

/** Standard deviations of all quantities in a posture held as it is. NaN where not defined. */
export function quantitySds(
  sensitivity: PostureSensitivity,
  covariances: Float64Array,
): Record<PostureQuantity, number> {
  return Object.fromEntries(
    POSTURE_QUANTITIES.map((name) => [name, standardDeviation(sensitivity.byPoint[name], covariances)]),
  ) as Record<PostureQuantity, number>;
}

/**
 * Gradient of a quantity as it is *read at a thigh elevation*: an error of the elevation moves the moment of reading along
 * the movement, so that δq = g_q · δ − (dq/dθ) g_θ · δ, with dq/dθ along the movement, per degree.
 */
export function gradientAtElevation(
  sensitivity: PostureSensitivity,
  quantity: PostureQuantity,
  perDegreeOfElevation: number,
): Float64Array {
  const own = sensitivity.byPoint[quantity];
  const elevation = sensitivity.byPoint.thigh_elevation_both_deg;
  return own.map((value, i) => value - perDegreeOfElevation * elevation[i]);
}
