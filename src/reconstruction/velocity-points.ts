import type { Landmark } from '../capture/landmarks.ts';
import type { AnalysisSettings } from '../capture/recording.ts';
import { HIGHEST_CUTOFF_SHARE } from '../numerics/butterworth.ts';
import type { MeasuredPoints } from './measured-points.ts';
import { type Response, responseOf } from './response.ts';
import type { Smoothed } from './smooth.ts';

/**
 * How much higher the cut-off is for velocities than for accelerations of the same points. Each derivative has its own best
 * cut-off, higher for the lower derivative (Giakas & Baltzopoulos 1997, J Biomech 30:851–855, from memory); the factor is our
 * own (docs/method/derivatives.md).
 */
const VELOCITY_CUTOFF_FACTOR = 2;

/** With the same −3 dB point the fifth-degree spline leaves low frequencies far more alone (gain 1/(1 + w⁶), not 1/(1 + w⁴)). */
const VELOCITY_METHOD = 'smoothing spline';

/** The points whose velocities are reported: the bar, and the hips where there is none. */
const VELOCITY_LANDMARKS: readonly Landmark[] = ['left_hip', 'right_hip', 'bar_left_end', 'bar_right_end'];

/** Points smoothed less, for velocities only; missing where the smoothed points are. */
export interface VelocityPoints {
  readonly landmarks: readonly Landmark[];
  /** Columns of these landmarks among those of the recording. */
  readonly columns: readonly number[];
  /** `3 * (frame * landmarks.length + landmark)`, metres, lab frame. */
  readonly position: Float64Array;
  /** Per landmark, Hz; NaN where not smoothed. */
  readonly cutoffHz: Float64Array;
}

/** The points, and how they move when the raw points of the recording do (all landmarks in, these out). */
export function velocityPoints(
  points: MeasuredPoints,
  settings: AnalysisSettings,
  smoothed: Smoothed,
): { readonly points: VelocityPoints; readonly respond: (displacement: Float64Array) => Float64Array } {
  const { frames, frameRateHz } = points;
  const count = points.landmarks.length;
  const landmarks = VELOCITY_LANDMARKS.filter((name) => points.landmarks.includes(name));
  const columns = landmarks.map((name) => points.landmarks.indexOf(name));
  const width = columns.length;
  const cutoffHz = Float64Array.from(columns, (column) => velocityCutoffHz(smoothed.cutoffHz[column], frameRateHz));
  const chosen = (from: Uint8Array) =>
    Uint8Array.from({ length: frames * width }, (_, s) => from[Math.floor(s / width) * count + columns[s % width]]);
  const gathered = new Float64Array(3 * frames * width);
  const gather = (from: Float64Array) => {
    for (let frame = 0, o = 0; frame < frames; frame++) {
      for (const column of columns) {
        const i = 3 * (frame * count + column);
        gathered[o++] = from[i];
        gathered[o++] = from[i + 1];
        gathered[o++] = from[i + 2];
      }
    }
    return gathered;
  };
  const { smoothing } = settings;
  const quick: AnalysisSettings =
    smoothing.kind === 'none' ? settings : { ...settings, smoothing: { ...smoothing, method: VELOCITY_METHOD } };
  const own: Response = responseOf({ landmarks, frames, frameRateHz, status: chosen(points.status) }, quick, {
    position: gathered,
    status: chosen(smoothed.status),
    cutoffHz,
  });
  const respond = (displacement: Float64Array) => own(gather(displacement));
  return { points: { landmarks, columns, position: respond(points.position), cutoffHz }, respond };
}

/** Twice the cut-off, as far as the frame rate allows; NaN where there is none. */
export function velocityCutoffHz(cutoffHz: number, frameRateHz: number): number {
  return Math.min(VELOCITY_CUTOFF_FACTOR * cutoffHz, Math.max(cutoffHz, 0.99 * HIGHEST_CUTOFF_SHARE * frameRateHz));
}
