import type { Landmark } from '../../../src/capture/landmarks.ts';
import { SampleStatus } from '../../../src/capture/sample-status.ts';
import { zeroLagLowPass } from '../../../src/numerics/butterworth.ts';
import { seededRandom } from '../../../src/numerics/random.ts';
import type { Trajectories } from '../../../src/reconstruction/trajectories.ts';
import { DEMO_RECORDINGS, liftOf } from '../../synthetic/demo.ts';
import { landmarksOf } from '../../synthetic/lift.ts';

export const RATE_HZ = 60;

/** One repetition of a virtual lifter as exact points, `3 * (frame * landmarks + landmark)`; lifter faces lab X. */
export function trueLift(
  landmarks: readonly Landmark[],
  recording = 0,
  rateHz = RATE_HZ,
): { readonly frames: number; readonly position: Float64Array } {
  const recorded = DEMO_RECORDINGS[recording];
  const lift = liftOf({ ...recorded, plan: { ...recorded.plan, repetitions: 1 } }, 'inside');
  const frames = Math.floor(lift.course.durationS * rateHz);
  const position = new Float64Array(3 * frames * landmarks.length);
  for (let k = 0; k < frames; k++) {
    const points = landmarksOf(lift.postureAt(k / rateHz), lift.setup.equipment);
    landmarks.forEach((landmark, l) => {
      position.set(points.get(landmark)!, 3 * (k * landmarks.length + l));
    });
  }
  return { frames, position };
}

/** White noise of a view pair: depth worse than width, height best; standard deviation of a coordinate in mm. */
export const NOISE_SD_M = [0.0027, 0.0019, 0.0027] as const;

/** The points with white noise (times `scale`), not yet smoothed. */
export function withNoise(position: Float64Array, seed: number, scale = 1): Float64Array {
  const random = seededRandom(seed);
  return position.map((value, i) => value + scale * NOISE_SD_M[i % 3] * random.normal());
}

/** Trajectories of raw points, smoothed by a zero-lag filter per landmark where a cut-off is given. Gaps are not filtered across: use whole series. */
export function smoothedPoints(
  landmarks: readonly Landmark[],
  raw: Float64Array,
  cutoffHz: (landmark: Landmark) => number,
  scale = 1,
  rateHz = RATE_HZ,
): Trajectories {
  const count = landmarks.length;
  const frames = raw.length / (3 * count);
  const position = raw.slice();
  const covariance = new Float64Array(6 * frames * count);
  const [x, y, z] = NOISE_SD_M.map((sd) => (scale * sd) ** 2);
  for (let s = 0; s < frames * count; s++) covariance.set([x, 0, 0, y, 0, z], 6 * s);
  landmarks.forEach((landmark, l) => {
    for (let axis = 0; axis < 3 && Number.isFinite(cutoffHz(landmark)); axis++) {
      const series = Float64Array.from({ length: frames }, (_, k) => raw[3 * (k * count + l) + axis]);
      const smooth = zeroLagLowPass(series, rateHz, cutoffHz(landmark));
      for (let k = 0; k < frames; k++) position[3 * (k * count + l) + axis] = smooth[k];
    }
  });
  return {
    frameRateHz: rateHz,
    frames,
    startS: 0,
    landmarks,
    position,
    covariance,
    status: new Uint8Array(frames * count).fill(SampleStatus.seen),
    floorHeightM: 0,
    cutoffHz: Float64Array.from(landmarks, cutoffHz),
    quality: {
      views: 2,
      reprojectionRmsPx: null,
      perCamera: [],
      perLandmark: [],
      missingShare: 0,
      counts: {},
      headingDeg: 0,
      floor: 'world zero',
      notes: [],
    },
  };
}

/** As the analyser smooths without further settings. */
export const usualCutoffHz = (landmark: Landmark): number => (/knee|ankle|toe|heel/.test(landmark) ? 6 : 3);

export const LEGS: readonly Landmark[] = [
  'left_hip',
  'right_hip',
  'left_knee',
  'right_knee',
  'left_ankle',
  'right_ankle',
];
export const BODY: readonly Landmark[] = [
  'left_shoulder',
  'right_shoulder',
  'left_elbow',
  'right_elbow',
  'left_wrist',
  'right_wrist',
  ...LEGS,
  'left_big_toe',
  'left_heel',
  'right_big_toe',
  'right_heel',
  'bar_left_end',
  'bar_right_end',
];

/** Root mean square 3D distance of the landmarks that match, over frames from `margin` on to `margin` before the end. */
export function rmsDistance(
  found: Float64Array,
  truth: Float64Array,
  landmarks: readonly Landmark[],
  which: RegExp,
  margin = 20,
): number {
  const count = landmarks.length;
  const frames = truth.length / (3 * count);
  let sum = 0;
  let n = 0;
  for (let k = margin; k < frames - margin; k++) {
    for (let l = 0; l < count; l++) {
      if (!which.test(landmarks[l])) continue;
      const at = 3 * (k * count + l);
      const square =
        (found[at] - truth[at]) ** 2 + (found[at + 1] - truth[at + 1]) ** 2 + (found[at + 2] - truth[at + 2]) ** 2;
      if (Number.isNaN(square)) continue;
      sum += square;
      n++;
    }
  }
  return Math.sqrt(sum / n);
}
