import { projectInto } from '../cameras/camera-model.ts';
import type { CameraRig } from '../cameras/rig.ts';
import type { Landmark } from '../capture/landmarks.ts';
import type { RecordingData } from '../capture/recording.ts';
import { SampleStatus } from '../capture/sample-status.ts';
import { type SynchronisedViews, synchronise } from '../reconstruction/synchronise.ts';
import { type Triangulation, triangulate } from '../reconstruction/triangulate.ts';
import { camerasOfViews, insideImage } from '../reconstruction/view-checks.ts';
import type { PixelNoise } from './filtered-noise.ts';

/** Errors of the points in the pictures, as far as the views contradict each other. */
export interface MeasuredNoise {
  readonly byLandmark: ReadonlyMap<Landmark, PixelNoise>;
  /** All landmarks together. */
  readonly all: PixelNoise;
  /** Samples with a redundant residual. */
  readonly samples: number;
}

/** How long the slow part is taken to last, seconds: a prior that no pair of views can check. Common practice, no source. */
export const SLOW_S = 0.15;
/** Fewest samples for a statement. Common practice, no source. */
export const LEAST_SAMPLES = 200;
/** Lags that tell the slow part, frames: beyond those that resampling onto another clock correlates most. */
const LAGS = [2, 3, 4] as const;

/**
 * White and slow part of the pixel noise from the residuals of triangulation.
 *
 * A residual r = (I − H) ε has E[rₜ · rₜ₊ₖ] = γ(k) (2 n − 3) for n views; so γ(k) is told by Σ rₜ · rₜ₊ₖ / Σ (2 n − 3), each
 * landmark's mean residual taken off first (it is bias, not noise). With γ(k) = slow² exp(−k / (fs τ)) for k > 0 and τ given,
 * the slow part is the mean over LAGS and the white part what is left of γ(0). The shares are those of all landmarks together,
 * the size is each landmark's own. Blind to all errors along the epipolar lines: two views show one of four.
 */
export function measuredNoise(data: RecordingData, rig: CameraRig): MeasuredNoise {
  const { file } = data.recording;
  const tracks = data.tracks ?? [];
  const notes: string[] = [];
  const cameras = camerasOfViews(file, tracks, rig);
  const checked = tracks.map((track, v) => insideImage(file, track, cameras[v], notes));
  const heights = cameras.map((camera) => camera.imageHeight);
  const views = synchronise(file, checked, heights, notes);
  const triangulation = triangulate(file, views, cameras, notes);
  const residuals = signedResiduals(views, triangulation, { ...rig, cameras });

  const perLandmark = views.landmarks.map((_, l) => autocovariance(residuals, triangulation, views, l));
  const whole = [0, ...LAGS].map((_, i) => {
    const sum = perLandmark.reduce((total, { sums }) => total + sums[i], 0);
    return sum / perLandmark.reduce((total, { freedoms }) => total + freedoms[i], 0);
  });
  const rate = views.frameRateHz;
  const slowVariance =
    LAGS.reduce((sum, lag, i) => sum + whole[i + 1] * Math.exp(lag / (rate * SLOW_S)), 0) / LAGS.length;
  const slowShare = Math.min(1, Math.max(0, slowVariance / whole[0]));
  const parts = (variance: number): PixelNoise => ({
    whitePx: Math.sqrt(variance * (1 - slowShare)),
    slowPx: Math.sqrt(variance * slowShare),
    slowS: SLOW_S,
  });
  const byLandmark = new Map(
    views.landmarks.map((landmark, l): [Landmark, PixelNoise] => {
      const { sums, freedoms, samples } = perLandmark[l];
      return [landmark, parts(samples >= LEAST_OF_ONE ? sums[0] / freedoms[0] : whole[0])];
    }),
  );
  return { byLandmark, all: parts(whole[0]), samples: perLandmark.reduce((sum, one) => sum + one.samples, 0) };
}

/** A landmark with fewer samples takes the noise of all. */
const LEAST_OF_ONE = 30;

/** Measured − projected, `2 * (sample * views + view)`, px; NaN where the view has no part in the point. */
function signedResiduals(
  views: SynchronisedViews,
  { position, status, squaredResidual }: Triangulation,
  rig: CameraRig,
): Float64Array {
  const count = views.views.length;
  const out = new Float64Array(2 * status.length * count).fill(Number.NaN);
  const uv = new Float64Array(2);
  for (let s = 0; s < status.length; s++) {
    if (status[s] !== SampleStatus.seen) continue;
    for (let v = 0; v < count; v++) {
      if (Number.isNaN(squaredResidual[s * count + v])) continue;
      projectInto(uv, 0, rig.cameras[v], position[3 * s], position[3 * s + 1], position[3 * s + 2]);
      out[2 * (s * count + v)] = views.views[v].pixel[2 * s] - uv[0];
      out[2 * (s * count + v) + 1] = views.views[v].pixel[2 * s + 1] - uv[1];
    }
  }
  return out;
}

interface Sums {
  /** Σ rₜ · rₜ₊ₖ for lag 0 and LAGS, px², and Σ (2 n − 3) over the same pairs. */
  readonly sums: readonly number[];
  readonly freedoms: readonly number[];
  readonly samples: number;
}

function autocovariance(
  residuals: Float64Array,
  { freedom, status }: Triangulation,
  views: SynchronisedViews,
  landmark: number,
): Sums {
  const count = views.landmarks.length;
  const width = 2 * views.views.length;
  const means = new Float64Array(width);
  const seen = new Float64Array(width);
  const at = (frame: number) => frame * count + landmark;
  for (let k = 0; k < views.frames; k++) {
    for (let i = 0; i < width; i++) {
      const value = residuals[at(k) * width + i];
      if (Number.isNaN(value)) continue;
      means[i] += value;
      seen[i]++;
    }
  }
  for (let i = 0; i < width; i++) means[i] /= Math.max(1, seen[i]);
  const sums: number[] = [];
  const freedoms: number[] = [];
  let samples = 0;
  for (const lag of [0, ...LAGS]) {
    let sum = 0;
    let free = 0;
    for (let k = 0; k + lag < views.frames; k++) {
      const [a, b] = [at(k), at(k + lag)];
      if (status[a] !== SampleStatus.seen || status[b] !== SampleStatus.seen || freedom[a] !== freedom[b]) continue;
      for (let i = 0; i < width; i++) {
        const product = (residuals[a * width + i] - means[i]) * (residuals[b * width + i] - means[i]);
        if (!Number.isNaN(product)) sum += product;
      }
      free += freedom[a];
      if (lag === 0) samples++;
    }
    sums.push(sum);
    freedoms.push(free);
  }
  return { sums, freedoms, samples };
}
