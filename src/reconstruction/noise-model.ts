import type { Evidence } from './evidence.ts';
import type { MeasuredPoints } from './measured-points.ts';
import { pointNoise } from './point-noise.ts';

export { SLOW_S } from './limits.ts';

/**
 * The evidence of measured points: the pixel noise with which they were triangulated, or the noise of 3D points.
 * 3D points are in lab axes by now (`turnToLab` turns them in place), so that no turn is needed. Equations:
 * docs/method/points.md.
 */
export function noiseModel(points: MeasuredPoints, _turn: Float64Array): Evidence {
  if (points.residuals === null) return pointNoise(points);
  const { triangulation, cameraModels } = points.residuals;
  return {
    kind: 'views',
    cameras: cameraModels,
    used: Uint8Array.from(triangulation.squaredResidual, (square) => (Number.isNaN(square) ? 0 : 1)),
    weight: triangulation.weight,
    noise: triangulation.noise,
  };
}
