import type { Evidence } from './evidence.ts';
import type { MeasuredPoints } from './measured-points.ts';

/** How long the slow part is taken to last, seconds: a prior that no pair of views can check. Common practice, no source. */
export const SLOW_S = 0.15;

/** The evidence of measured points; `turn`: labFromWorld, row-major 3 × 3. */
export function noiseModel(points: MeasuredPoints, _turn: Float64Array): Evidence {
  const count = points.landmarks.length;
  if (points.residuals === null) {
    const whiteM = new Float64Array(3 * count);
    for (let l = 0; l < count; l++) {
      const variance = points.covariance[6 * l];
      whiteM.fill(Number.isFinite(variance) ? Math.sqrt(variance) : 0, 3 * l, 3 * l + 3);
    }
    return { kind: 'points', whiteM, slowM: new Float64Array(3 * count), slowS: SLOW_S, notes: [] };
  }
  const { triangulation } = points.residuals;
  const { views, squaredResidual, pixelSd } = triangulation;
  return {
    kind: 'views',
    cameras: points.residuals.cameraModels,
    used: Uint8Array.from(squaredResidual, (square) => (Number.isNaN(square) ? 0 : 1)),
    weight: new Float64Array(count * views).fill(1),
    noise: {
      whitePx: Float64Array.from({ length: count * views }, (_, i) => pixelSd[Math.floor(i / views)]),
      slowPx: new Float64Array(count * views),
      slowS: SLOW_S,
      notes: [],
    },
  };
}
