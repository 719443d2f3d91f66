import { MOMENT_LANDMARKS } from '../capture/landmarks.ts';
import { isUsable, SampleStatus } from '../capture/sample-status.ts';
import { reconstructionNotes } from '../messages/reconstruction.ts';
import { median } from '../numerics/statistics.ts';
import type { LabFrame } from './lab-frame.ts';
import type { MeasuredPoints } from './measured-points.ts';
import type { LandmarkQuality, ReconstructionQuality } from './trajectories.ts';
import { countByName } from './triangulate.ts';

/** Covariances looked at per landmark for its median standard deviation; a median needs no more. */
const COVARIANCES_SAMPLED = 100;

/**
 * The quality record of trajectories.
 * `beforeEdges`: status with filled samples still named so; `status`: final. Both `frame * landmarks + landmark`.
 */
export function assessQuality(
  points: MeasuredPoints,
  frame: LabFrame,
  beforeEdges: Uint8Array,
  status: Uint8Array,
  cutoffHz: Float64Array,
  notes: readonly string[],
): ReconstructionQuality {
  const ownNotes = [...notes];
  const residuals = residualSums(points);
  const perLandmark = points.landmarks.map((landmark, l): LandmarkQuality => {
    const counts = countColumn(points, beforeEdges, status, l);
    if (counts.seen === 0) ownNotes.push(reconstructionNotes.landmarkEmpty(landmark));
    return {
      landmark,
      ...counts,
      reprojectionRmsPx: rootMean(residuals.landmarkSquares[l], residuals.landmarkCounts[l]),
      sdM: medianSd(points, l),
      cutoffHz: Number.isFinite(cutoffHz[l]) ? cutoffHz[l] : null,
    };
  });
  const cameras = points.residuals?.cameras ?? [];
  const total = (values: Float64Array) => values.reduce((sum, value) => sum + value, 0);
  return {
    views: cameras.length,
    reprojectionRmsPx: rootMean(total(residuals.viewSquares), total(residuals.viewCounts)),
    perCamera: cameras.flatMap((camera, view) => {
      const reprojectionRmsPx = rootMean(residuals.viewSquares[view], residuals.viewCounts[view]);
      if (reprojectionRmsPx === null) {
        ownNotes.push(reconstructionNotes.viewUnused(camera));
        return [];
      }
      return [{ camera, reprojectionRmsPx, points: residuals.viewCounts[view] }];
    }),
    perLandmark,
    missingShare: missingShare(points, status),
    counts: countByName(status),
    headingDeg: frame.headingDeg,
    ...(points.residuals ? { sideSwaps: points.residuals.sideSwaps, otherPeople: points.residuals.otherPeople } : {}),
    floor: frame.floor,
    notes: ownNotes,
  };
}

/** Seen and filled samples that the result still has (smoothing drops short stretches), and the rest. */
function countColumn(
  points: MeasuredPoints,
  beforeEdges: Uint8Array,
  status: Uint8Array,
  landmark: number,
): { seen: number; filled: number; missing: number } {
  let seen = 0;
  let filled = 0;
  for (let s = landmark; s < status.length; s += points.landmarks.length) {
    if (!isUsable(status[s])) continue;
    if (beforeEdges[s] === SampleStatus.filled) filled++;
    else seen++;
  }
  return { seen, filled, missing: points.frames - seen - filled };
}

/**
 * Share of missing samples among the required landmarks that the recording has; 1 where it has none. A landmark that no
 * file names (legs filmed without the trunk) is not a gap: what cannot be computed without it is said elsewhere.
 */
function missingShare(points: MeasuredPoints, status: Uint8Array): number {
  let usable = 0;
  let samples = 0;
  for (const landmark of MOMENT_LANDMARKS) {
    const l = points.landmarks.indexOf(landmark);
    if (l < 0) continue;
    samples += points.frames;
    for (let s = l; s < status.length; s += points.landmarks.length) if (isUsable(status[s])) usable++;
  }
  return samples === 0 ? 1 : 1 - usable / samples;
}

/** Sums of squared reprojection distances, px², and how many, by landmark and by view. */
interface ResidualSums {
  readonly landmarkSquares: Float64Array;
  readonly landmarkCounts: Float64Array;
  readonly viewSquares: Float64Array;
  readonly viewCounts: Float64Array;
}

function residualSums({ residuals, landmarks, status }: MeasuredPoints): ResidualSums {
  const count = landmarks.length;
  const views = residuals?.triangulation.views ?? 0;
  const sums: ResidualSums = {
    landmarkSquares: new Float64Array(count),
    landmarkCounts: new Float64Array(count),
    viewSquares: new Float64Array(views),
    viewCounts: new Float64Array(views),
  };
  if (residuals === null) return sums;
  const { squaredResidual } = residuals.triangulation;
  for (let s = 0; s < status.length; s++) {
    const l = s % count;
    for (let v = 0; v < views; v++) {
      const squared = squaredResidual[s * views + v];
      if (Number.isNaN(squared)) continue;
      sums.landmarkSquares[l] += squared;
      sums.landmarkCounts[l]++;
      sums.viewSquares[v] += squared;
      sums.viewCounts[v]++;
    }
  }
  return sums;
}

/** Root mean square distance, px; null without any. */
function rootMean(squares: number, count: number): number | null {
  return count === 0 ? null : Math.sqrt(squares / count);
}

/** Median over frames of the standard deviation along the worst direction, metres; null where not known. */
function medianSd({ covariance, frames, landmarks }: MeasuredPoints, landmark: number): number | null {
  const stride = Math.max(1, Math.floor(frames / COVARIANCES_SAMPLED));
  const found = new Float64Array(Math.ceil(frames / stride));
  let count = 0;
  for (let k = 0; k < frames; k += stride) {
    const o = 6 * (k * landmarks.length + landmark);
    if (!Number.isNaN(covariance[o])) found[count++] = Math.sqrt(largestEigenvalue(covariance, o));
  }
  return count === 0 ? null : median(found.subarray(0, count));
}

/**
 * Largest eigenvalue of the symmetric 3 × 3 matrix at c[o …] (upper triangle), by the trigonometric solution of its
 * characteristic equation (Smith 1961, Commun. ACM 4:168). Relative error near rounding: it is the largest.
 */
function largestEigenvalue(c: Float64Array, o: number): number {
  const mean = (c[o] + c[o + 3] + c[o + 5]) / 3;
  const x = c[o] - mean;
  const y = c[o + 3] - mean;
  const z = c[o + 5] - mean;
  const xy = c[o + 1];
  const xz = c[o + 2];
  const yz = c[o + 4];
  const p = Math.sqrt((x * x + y * y + z * z + 2 * (xy * xy + xz * xz + yz * yz)) / 6);
  if (p === 0) return mean;
  const determinant = x * (y * z - yz * yz) - xy * (xy * z - yz * xz) + xz * (xy * yz - y * xz);
  const cosine = Math.min(1, Math.max(-1, determinant / (2 * p * p * p)));
  return mean + 2 * p * Math.cos(Math.acos(cosine) / 3);
}
