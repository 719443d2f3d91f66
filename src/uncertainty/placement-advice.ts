import { bodyMotion } from '../body/body-motion-from-trajectories.ts';
import type { Camera, CameraRig } from '../cameras/rig.ts';
import { type Landmark, MOMENT_LANDMARKS } from '../capture/landmarks.ts';
import type { RecordingData } from '../capture/recording.ts';
import { adviceWords } from '../messages/plan.ts';
import { multiply3, transpose3 } from '../numerics/rotation.ts';
import { type Reconstruction, reconstruct } from '../reconstruction/reconstruct.ts';
import { camerasOfViews } from '../reconstruction/view-checks.ts';
import { type BetterPlacement, betterPlacement, type Movable } from './better-placement.ts';
import { standOf } from './camera-stand.ts';
import { type Foreseen, foresee } from './foresee.ts';
import { HIP_SHARE_GOOD_95, HIP_SHARE_USABLE_95 } from './limits.ts';
import { LEAST_SAMPLES, type MeasuredNoise, measuredNoise } from './measured-noise.ts';
import { type MeasuredScene, measuredScene, NEAR_PARALLEL_DEG } from './measured-scene.ts';
import { suggestionLines, viewLines } from './plan-words.ts';
import { pixelVariances } from './posture-uncertainty.ts';

/** Good enough? Which phone to move? From one warm-up repetition. */
export interface PlacementAdvice {
  readonly verdict: 'good' | 'usable' | 'poor' | 'unknown';
  /** Of the gravity-only hip share at parallel, 95 %, from the errors of points alone; NaN where unknown. */
  readonly hipShareHalfWidth95: number;
  readonly noise: MeasuredNoise;
  readonly foreseen: Foreseen | null;
  readonly better: BetterPlacement | null;
  /** All of it in words, for the terminal. */
  readonly lines: readonly string[];
}

/**
 * Judges a rig by a repetition filmed with it: joint centres from the rig's geometry and the measured pixel noise, the interval of
 * the hip share at parallel, what is cut off or hidden, and which phone to move where.
 *
 * null for a recording without views (3D points): no phone to move. Errors: those of the reconstruction.
 * `reconstruction`: where it was made already.
 */
export function placementAdvice(
  data: RecordingData,
  rig: CameraRig | null,
  reconstruction?: Reconstruction,
): PlacementAdvice | null {
  if (rig === null || data.tracks === null || data.tracks.length < 2) return null;
  const { smoothed, turn } = reconstruction ?? reconstruct(data, rig);
  const noise = measuredNoise(data, rig);
  const motion = bodyMotion(smoothed, data.recording);
  const measured = measuredScene(data.recording, motion);
  if (measured === null || noise.samples < LEAST_SAMPLES) {
    const why = measured === null ? adviceWords.unknown : adviceWords.tooFewFrames(noise.samples, LEAST_SAMPLES);
    return { verdict: 'unknown', hipShareHalfWidth95: Number.NaN, noise, foreseen: null, better: null, lines: [why] };
  }
  const { scene } = measured;
  const cameras = camerasOfViews(data.recording.file, data.tracks, rig).map((camera) =>
    cameraInLab(camera, turn, smoothed.floorHeightM),
  );
  const movables = cameras.map((camera): Movable => ({ camera, stand: standOf(camera, ...scene.middle) }));
  const cutoff = (landmark: Landmark) => smoothed.cutoffHz[smoothed.landmarks.indexOf(landmark)];
  // All views on the clock of the first, as the analysis has them.
  const filmings = cameras.map((camera) => ({
    camera,
    frameRateHz: smoothed.frameRateHz,
    noise: (landmark: Landmark) => noise.byLandmark.get(landmark) ?? noise.all,
  }));
  const variances = pixelVariances(scene.postures.parallel.landmarks, filmings, cutoff);
  const foreseen = foresee(scene, cameras, variances);
  const better = betterPlacement(scene, movables, variances, null);
  const half = foreseen.hipShareHalfWidth95;
  const verdict = verdictOf(half);
  const stated = rig.quality.measured?.vertical?.halfWidth95Deg ?? null;
  return {
    verdict,
    hipShareHalfWidth95: half,
    noise,
    foreseen,
    better,
    lines: adviceLines(verdict, foreseen, noise, measured, better, stated),
  };
}

function verdictOf(half: number): PlacementAdvice['verdict'] {
  if (Number.isNaN(half)) return 'unknown';
  return half <= HIP_SHARE_GOOD_95 ? 'good' : half <= HIP_SHARE_USABLE_95 ? 'usable' : 'poor';
}

function adviceLines(
  verdict: PlacementAdvice['verdict'],
  foreseen: Foreseen,
  noise: MeasuredNoise,
  { parallelDeg }: MeasuredScene,
  better: BetterPlacement,
  verticalDeg: number | null,
): string[] {
  const half = foreseen.hipShareHalfWidth95;
  const worst = (joint: string) =>
    Math.max(
      ...foreseen.rows
        .filter(({ posture, what, axis }) => posture === 'parallel' && axis === 'worst' && what.endsWith(joint))
        .map(({ sd }) => sd),
    );
  const joints = [...new Set(MOMENT_LANDMARKS.map((name) => name.replace(/^(left|right)_/, '')))];
  return [
    verdict === 'unknown'
      ? adviceWords.unknown
      : adviceWords.verdict(verdict, half, HIP_SHARE_GOOD_95, HIP_SHARE_USABLE_95),
    ...(Math.abs(parallelDeg) > NEAR_PARALLEL_DEG ? [adviceWords.notParallel(parallelDeg)] : []),
    ...joints.map((joint) => adviceWords.joints(`${joint} centres`, worst(joint))),
    adviceWords.noise(noise.all.whitePx, noise.all.slowPx),
    ...(verdict === 'unknown' ? [] : [adviceWords.vertical(foreseen.hipSharePerDegreeOfVertical, verticalDeg)]),
    adviceWords.leavesOut,
    ...viewLines(foreseen),
    ...suggestionLines(better),
  ];
}

/** A camera of the rig in lab axes with heights from the floor: X_world = turnᵀ X_lab. */
function cameraInLab(camera: Camera, turn: Float64Array, floorHeightM: number): Camera {
  const rotation = multiply3(camera.rotation, transpose3(turn));
  const translation = camera.translation.map((value, i) => value + rotation[3 * i + 1] * floorHeightM);
  return { ...camera, rotation, translation };
}
