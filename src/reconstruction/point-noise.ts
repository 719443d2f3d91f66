import { SampleStatus } from '../capture/sample-status.ts';
import { noiseNotes } from '../messages/reconstruction.ts';
import { mean } from '../numerics/statistics.ts';
import type { PointEvidence } from './evidence.ts';
import { LEAST_DIFFERENCES_FOR_NOISE, SLOW_S } from './limits.ts';
import type { MeasuredPoints } from './measured-points.ts';
import { varianceWithoutGlitches } from './white-noise.ts';

/**
 * Noise of points that came as 3D coordinates: the stated standard deviation, else from the fourth differences of each
 * coordinate (`white-noise.ts`), along the axes that the points are in. The slow part cannot be told from motion.
 */
export function pointNoise(points: MeasuredPoints): PointEvidence {
  const count = points.landmarks.length;
  const slowM = new Float64Array(3 * count);
  const statedVariance = firstKnown(points.covariance);
  if (statedVariance !== null) {
    const whiteM = new Float64Array(3 * count).fill(Math.sqrt(statedVariance));
    return { kind: 'points', whiteM, slowM, slowS: SLOW_S, notes: [noiseNotes.pointsStated] };
  }
  const notes = [noiseNotes.pointsMeasured];
  return { kind: 'points', whiteM: measured(points, notes), slowM, slowS: SLOW_S, notes };
}

/** The stated variance stands in every seen sample. */
function firstKnown(covariance: Float64Array): number | null {
  for (let i = 0; i < covariance.length; i += 6) if (!Number.isNaN(covariance[i])) return covariance[i];
  return null;
}

function measured({ landmarks, frames, position, status }: MeasuredPoints, notes: string[]): Float64Array {
  const count = landmarks.length;
  const variance = new Float64Array(3 * count).fill(Number.NaN);
  const values = [0, 1, 2].map(() => new Float64Array(frames));
  for (let l = 0; l < count; l++) {
    let found = 0;
    let run = 0;
    for (let k = 0; k < frames; k++) {
      run = status[k * count + l] === SampleStatus.seen ? run + 1 : 0;
      if (run < 5) continue;
      const at = (back: number, axis: number) => position[3 * ((k - back) * count + l) + axis];
      for (let axis = 0; axis < 3; axis++) {
        values[axis][found] =
          (at(4, axis) - 4 * at(3, axis) + 6 * at(2, axis) - 4 * at(1, axis) + at(0, axis)) / Math.sqrt(70);
      }
      found++;
    }
    if (found < LEAST_DIFFERENCES_FOR_NOISE / 2) continue;
    for (let axis = 0; axis < 3; axis++)
      variance[3 * l + axis] = varianceWithoutGlitches(values[axis].subarray(0, found));
  }
  for (let axis = 0; axis < 3; axis++) {
    const own = variance.filter((value, i) => i % 3 === axis && !Number.isNaN(value));
    const common = own.length > 0 ? mean(own) : 0;
    for (let l = 0; l < count; l++) {
      if (!Number.isNaN(variance[3 * l + axis])) continue;
      variance[3 * l + axis] = common;
      if (axis === 0) notes.push(noiseNotes.pointsBorrowed(landmarks[l]));
    }
  }
  return variance.map(Math.sqrt);
}
