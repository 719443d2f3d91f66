import type { SeenControlPoints } from './control-point-checks.ts';
import { type CameraFit, type FreeLensParameter, fitCamera } from './fit-camera.ts';
import { coversImage } from './image-cover.ts';
import type { Camera } from './rig.ts';

export interface ControlPointOptions {
  /** One focal length (square pixels, the default), two, or whichever the points support. */
  readonly focal?: 'one' | 'two' | 'auto';
  /** Distortion terms: none, k1, k1 and k2, or (the default) as many as the points support. */
  readonly distortion?: 'none' | 'k1' | 'k1 k2' | 'auto';
}

/** A larger lens model must lower AICc by this much (Burnham & Anderson 2002, §2.6: below 2 both are well supported). */
export const AICC_GAIN = 2;
/** Residuals below this are rounding and support no further parameter, px. Common practice, no source. */
export const ROUNDING_PX = 1e-3;
/** Lens models allowed by the options, fewest parameters first. */
export function lensModels({ focal = 'one', distortion = 'auto' }: ControlPointOptions): FreeLensParameter[][] {
  const focals: FreeLensParameter[][] = [];
  if (focal !== 'two') focals.push(['f']);
  if (focal !== 'one') focals.push(['fx', 'fy']);
  const terms: FreeLensParameter[][] = [];
  if (distortion === 'none' || distortion === 'auto') terms.push([]);
  if (distortion === 'k1' || distortion === 'auto') terms.push(['k1']);
  if (distortion === 'k1 k2' || distortion === 'auto') terms.push(['k1', 'k2']);
  return terms
    .flatMap((term) => focals.map((f): FreeLensParameter[] => [...f, 'cx', 'cy', ...term]))
    .sort((a, b) => a.length - b.length);
}

/** The better of the fits from all starts; none where the points have no equation left over. */
export function bestFit(
  starts: readonly Camera[],
  seen: SeenControlPoints,
  free: readonly FreeLensParameter[],
): CameraFit[] {
  if (2 * seen.labels.length <= free.length + 6) return [];
  const fits = starts
    .map((start) => fitCamera(start, seen.points, seen.pixels, free))
    .sort((a, b) => a.residualSumOfSquares - b.residualSumOfSquares);
  return fits.slice(0, 1);
}

/** AICc of Gaussian residuals of unknown variance, which counts as one more parameter; Infinity without spare equations. */
export function aicc(fit: CameraFit): number {
  const n = fit.residuals.length;
  const k = fit.parameterCount + 1;
  if (n - k - 1 <= 0) return Number.POSITIVE_INFINITY;
  const variance = Math.max(fit.residualSumOfSquares / n, ROUNDING_PX ** 2);
  return n * Math.log(variance) + 2 * k + (2 * k * (k + 1)) / (n - k - 1);
}

/** The smallest model, or a larger one that lowers AICc by more than AICC_GAIN, is determined and covers the image. */
export function chooseFit(fits: readonly CameraFit[]): CameraFit {
  let chosen = fits[0];
  for (const fit of fits.slice(1)) {
    const better = aicc(fit) < aicc(chosen) - AICC_GAIN;
    if (better && fit.rank === fit.parameterCount && coversImage(fit.camera)) chosen = fit;
  }
  return chosen;
}
