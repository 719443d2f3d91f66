import { demoCameras, imageOf, type SyntheticCamera } from '../../synthetic/camera.ts';
import { demoRecording, liftOf } from '../../synthetic/demo.ts';
import { worldFromLab } from '../../synthetic/film.ts';
import { landmarksOf } from '../../synthetic/lift.ts';
import type { Vector } from '../../synthetic/vector.ts';
import { BAR_ENDS, BODY_AND_FEET } from '../../synthetic/write.ts';
import type { Noise } from './filmed-again.ts';

const RATE_HZ = 60;

/**
 * Cramér–Rao bound of the standard deviation of one camera's offset against the other, seconds (Kay 1993, Fundamentals of
 * Statistical Signal Processing: Estimation Theory, ch. 3), every point free in space at every frame. A point has four
 * pixels and three unknowns, which leaves one number n·(pixels), n the unit left null vector of the 4 × 3 Jacobian; the
 * offset moves it by n·(velocity in the second picture). Information: hᵀ Σ⁻¹ h a landmark, Σ that of the noise in time.
 * Written on the synthetic cameras alone.
 */
export function timingBound(recordingId: string, noise: Noise): number {
  const recorded = demoRecording(recordingId);
  const lift = liftOf(recorded, 'outside');
  const placement = { headingRad: recorded.headingRad, placeM: recorded.placeM };
  const cameras = demoCameras();
  const frames = Math.floor(lift.course.durationS * RATE_HZ);
  const landmarks = [...BODY_AND_FEET, ...BAR_ENDS];
  const factor = noiseFactor(frames, noise);
  const stepS = 1e-3;
  const h = landmarks.map(() => new Float64Array(frames));
  for (let k = 0; k < frames; k++) {
    const places = [-stepS, 0, stepS].map((shift) =>
      landmarksOf(lift.postureAt(k / RATE_HZ + shift), lift.setup.equipment),
    );
    landmarks.forEach((landmark, l) => {
      const [before, here, after] = places.map((points) => worldFromLab(placement, points.get(landmark)!));
      const from = imageOf(cameras[1], before)!;
      const to = imageOf(cameras[1], after)!;
      const n = leftNull(cameras, here);
      h[l][k] = (n[2] * (to[0] - from[0]) + n[3] * (to[1] - from[1])) / (2 * stepS);
    });
  }
  let information = 0;
  for (const series of h) {
    const whitened = solveLower(factor, series);
    for (const value of whitened) information += value * value;
  }
  return 1 / Math.sqrt(information);
}

/** Unit vector square to the three columns of ∂(four pixels)/∂(place), its fourth element positive. */
function leftNull(cameras: readonly SyntheticCamera[], place: Vector): number[] {
  const columns = [0, 1, 2].map((axis) => {
    const at = (shift: number) =>
      cameras.flatMap((camera) => [
        ...imageOf(camera, place.map((x, i) => (i === axis ? x + shift : x)) as unknown as Vector)!,
      ]);
    const low = at(-1e-4);
    return at(1e-4).map((value, i) => (value - low[i]) / 2e-4);
  });
  const basis: number[][] = [];
  const dot = (a: readonly number[], b: readonly number[]) => a.reduce((sum, value, i) => sum + value * b[i], 0);
  const without = (v: readonly number[]) =>
    basis.reduce((rest: number[], b) => rest.map((value, i) => value - dot(v, b) * b[i]), [...v]);
  for (const column of columns) {
    const rest = without(column);
    const size = Math.sqrt(dot(rest, rest));
    basis.push(rest.map((value) => value / size));
  }
  const rest = without([0, 0, 0, 1]);
  const size = Math.sqrt(dot(rest, rest));
  return rest.map((value) => value / size);
}

/** Cholesky factor of the covariance of one coordinate over the frames: white, and a first-order process. */
function noiseFactor(n: number, { whitePx, slowPx, slowS }: Noise): Float64Array[] {
  const keep = Math.exp(-1 / (RATE_HZ * slowS));
  const rows: Float64Array[] = [];
  for (let i = 0; i < n; i++) {
    const row = new Float64Array(i + 1);
    for (let j = 0; j <= i; j++) {
      let sum = slowPx * slowPx * keep ** (i - j) + (i === j ? whitePx * whitePx : 0);
      for (let k = 0; k < j; k++) sum -= row[k] * (i === j ? row[k] : rows[j][k]);
      row[j] = i === j ? Math.sqrt(sum) : sum / rows[j][j];
    }
    rows.push(row);
  }
  return rows;
}

function solveLower(factor: readonly Float64Array[], right: Float64Array): Float64Array {
  const out = new Float64Array(right.length);
  for (let i = 0; i < right.length; i++) {
    let sum = right[i];
    for (let k = 0; k < i; k++) sum -= factor[i][k] * out[k];
    out[i] = sum / factor[i][i];
  }
  return out;
}
