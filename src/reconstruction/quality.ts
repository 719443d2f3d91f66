import { MOMENT_LANDMARKS } from '../capture/landmarks.ts';
import { isUsable, SampleStatus } from '../capture/sample-status.ts';
import { reconstructionNotes } from '../messages/reconstruction.ts';
import { median } from '../numerics/statistics.ts';
import { eigenSymmetric } from '../numerics/symmetric-eigen.ts';
import type { LabFrame } from './lab-frame.ts';
import type { MeasuredPoints } from './measured-points.ts';
import type { LandmarkQuality, ReconstructionQuality } from './trajectories.ts';
import { countByName } from './triangulate.ts';

/** Covariances looked at per landmark for its median standard deviation; a median needs no more. */
const COVARIANCES_SAMPLED = 500;

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
  const perLandmark = points.landmarks.map((landmark, l): LandmarkQuality => {
    const counts = countColumn(points, beforeEdges, status, l);
    if (counts.seen === 0) ownNotes.push(reconstructionNotes.landmarkEmpty(landmark));
    return {
      landmark,
      ...counts,
      reprojectionRmsPx: rmsOf(squaredResiduals(points, { landmark: l })),
      sdM: medianSd(points, l),
      cutoffHz: Number.isFinite(cutoffHz[l]) ? cutoffHz[l] : null,
    };
  });
  const cameras = points.residuals?.cameras ?? [];
  return {
    views: cameras.length,
    reprojectionRmsPx: rmsOf(squaredResiduals(points, {})),
    perCamera: cameras.flatMap((camera, view) => {
      const squares = squaredResiduals(points, { view });
      const reprojectionRmsPx = rmsOf(squares);
      if (reprojectionRmsPx === null) {
        ownNotes.push(reconstructionNotes.viewUnused(camera));
        return [];
      }
      return [{ camera, reprojectionRmsPx, points: squares.length }];
    }),
    perLandmark,
    missingShare: missingShare(points, status),
    counts: countByName(status),
    headingDeg: frame.headingDeg,
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

function squaredResiduals(points: MeasuredPoints, only: { view?: number; landmark?: number }): number[] {
  const found: number[] = [];
  if (points.residuals === null) return found;
  const { squaredResidual, views } = points.residuals.triangulation;
  const count = points.landmarks.length;
  for (let s = only.landmark ?? 0; s < points.status.length; s += only.landmark === undefined ? 1 : count) {
    for (let v = 0; v < views; v++) {
      if (only.view !== undefined && v !== only.view) continue;
      const squared = squaredResidual[s * views + v];
      if (!Number.isNaN(squared)) found.push(squared);
    }
  }
  return found;
}

/** Root mean square distance, px; null without any. */
function rmsOf(squares: readonly number[]): number | null {
  if (squares.length === 0) return null;
  return Math.sqrt(squares.reduce((sum, square) => sum + square, 0) / squares.length);
}

/** Median over frames of the standard deviation along the worst direction, metres; null where not known. */
function medianSd(points: MeasuredPoints, landmark: number): number | null {
  const { covariance, frames } = points;
  const stride = Math.max(1, Math.floor(frames / COVARIANCES_SAMPLED));
  const found: number[] = [];
  for (let k = 0; k < frames; k += stride) {
    const o = 6 * (k * points.landmarks.length + landmark);
    if (Number.isNaN(covariance[o])) continue;
    const [xx, xy, xz, yy, yz, zz] = covariance.subarray(o, o + 6);
    const { values } = eigenSymmetric([xx, xy, xz, xy, yy, yz, xz, yz, zz], 3);
    found.push(Math.sqrt(values[2]));
  }
  return found.length === 0 ? null : median(found);
}
