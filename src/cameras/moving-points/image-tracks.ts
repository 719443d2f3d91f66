import type { KeypointTrack } from '../../capture/recording.ts';
import { SampleStatus } from '../../capture/sample-status.ts';
import { median, SD_PER_MEDIAN_ABSOLUTE_DEVIATION } from '../../numerics/statistics.ts';

/** Image points of one camera over time, whatever they are called. */
export interface ImageTrack {
  readonly camera: string;
  readonly points: readonly string[];
  /** Time of each frame on the common clock, seconds, ascending. */
  readonly timeS: Float64Array;
  /** Rolling shutter: seconds from the first image row to the last, and the number of rows. */
  readonly readoutS: number;
  readonly imageHeight: number;
  /** `2 * (frame * points.length + point)`, px; NaN where not seen. */
  readonly pixel: Float64Array;
}

/** A recording's keypoints as image tracks: only points seen with enough confidence. */
export function imageTrackOf(track: KeypointTrack, imageHeight: number): ImageTrack {
  const pixel = track.pixel.slice();
  for (let i = 0; i < track.status.length; i++) {
    if (track.status[i] !== SampleStatus.seen) pixel.fill(Number.NaN, 2 * i, 2 * i + 2);
  }
  return {
    camera: track.camera,
    points: track.landmarks,
    timeS: Float64Array.from({ length: track.frames }, (_, k) => track.offsetS + k / track.frameRateHz),
    readoutS: track.readoutS,
    imageHeight,
    pixel,
  };
}

/** All cameras' points at common moments. */
export interface Moments {
  readonly cameras: readonly string[];
  readonly points: readonly string[];
  /** Seconds, evenly spaced. */
  readonly timeS: Float64Array;
  /** `2 * ((moment * cameras.length + camera) * points.length + point)`, px; NaN where not seen. */
  readonly pixel: Float64Array;
  /** Image velocity, px/s, same layout. */
  readonly velocity: Float64Array;
}

export interface MomentOptions {
  /** Moments lie this far apart, seconds. */
  readonly stepS: number;
  /** Samples this far before and after a moment go into it, seconds; at least two frames to each side. */
  readonly halfWindowS: number;
  readonly mostMoments: number;
}

/**
 * Keypoint noise is correlated over about 0.15 s: moments closer than that add hardly anything, and each takes in the
 * frames around it. A parabola over ± 0.05 s bends a stick waved once a second with 300 px amplitude by 0.01 px.
 */
export const MOMENTS: MomentOptions = { stepS: 0.15, halfWindowS: 0.05, mostMoments: 400 };

/**
 * Tracks of cameras that need not expose together, brought to common moments: around each moment a parabola is fitted to the
 * samples of one point, each at the time its own image row was read; its value and slope at the moment are the pixel and its
 * velocity (local quadratic regression, Savitzky & Golay 1964, for uneven times). A sample further than four robust standard
 * deviations from that parabola is left out once. A moment needs three samples, on both sides of it.
 */
export function momentsOf(tracks: readonly ImageTrack[], points: readonly string[], options = MOMENTS): Moments {
  const start = Math.max(...tracks.map(({ timeS }) => timeS[0]));
  const end = Math.min(...tracks.map(({ timeS }) => timeS[timeS.length - 1]));
  const lastedS = Math.max(0, end - start);
  const stepS = Math.max(options.stepS, lastedS / options.mostMoments);
  const count = lastedS > 0 ? Math.max(0, Math.floor(lastedS / stepS - 1)) : 0;
  const timeS = Float64Array.from({ length: count }, (_, k) => start + (k + 1) * stepS);
  const pixel = new Float64Array(2 * count * tracks.length * points.length).fill(Number.NaN);
  const velocity = pixel.slice();
  tracks.forEach((track, c) => {
    const columns = points.map((name) => track.points.indexOf(name));
    const frameS = (track.timeS[track.timeS.length - 1] - track.timeS[0]) / Math.max(1, track.timeS.length - 1);
    const half = Math.max(options.halfWindowS, 2.01 * frameS);
    let first = 0;
    for (let k = 0; k < count; k++) {
      while (first < track.timeS.length && track.timeS[first] < timeS[k] - half - track.readoutS) first++;
      for (let p = 0; p < points.length; p++) {
        if (columns[p] < 0) continue;
        localParabolaInto(
          pixel,
          velocity,
          2 * ((k * tracks.length + c) * points.length + p),
          track,
          columns[p],
          first,
          timeS[k],
          half,
        );
      }
    }
  });
  return { cameras: tracks.map(({ camera }) => camera), points, timeS, pixel, velocity };
}

/** Every n-th moment, so that at most `most` stay. */
export function thinned(moments: Moments, most: number): Moments {
  const every = Math.max(1, Math.ceil(moments.timeS.length / most));
  const kept = Array.from(moments.timeS, (_, k) => k).filter((k) => k % every === 0);
  const row = 2 * moments.cameras.length * moments.points.length;
  const rows = (x: Float64Array) => {
    const out = new Float64Array(row * kept.length);
    kept.forEach((k, i) => {
      out.set(x.subarray(row * k, row * (k + 1)), row * i);
    });
    return out;
  };
  return {
    ...moments,
    timeS: Float64Array.from(kept, (k) => moments.timeS[k]),
    pixel: rows(moments.pixel),
    velocity: rows(moments.velocity),
  };
}

const MOST_SAMPLES = 256;
const at = new Float64Array(MOST_SAMPLES);
const values = [new Float64Array(MOST_SAMPLES), new Float64Array(MOST_SAMPLES)];
const kept = new Uint8Array(MOST_SAMPLES);
const fitted = new Float64Array(3);

function localParabolaInto(
  pixel: Float64Array,
  velocity: Float64Array,
  o: number,
  track: ImageTrack,
  column: number,
  first: number,
  t: number,
  half: number,
): void {
  const { timeS, points, readoutS, imageHeight } = track;
  let n = 0;
  let before = 0;
  for (let f = first; f < timeS.length && timeS[f] <= t + half && n < MOST_SAMPLES; f++) {
    const i = 2 * (f * points.length + column);
    if (!Number.isFinite(track.pixel[i])) continue;
    const s = timeS[f] + (readoutS * track.pixel[i + 1]) / imageHeight - t;
    if (Math.abs(s) > half) continue;
    at[n] = s;
    values[0][n] = track.pixel[i];
    values[1][n] = track.pixel[i + 1];
    kept[n] = 1;
    if (s <= 0) before++;
    n++;
  }
  if (n < 3 || before === 0 || before === n) return;
  if (n > 4) dropWild(n, half);
  for (let c = 0; c < 2; c++) {
    if (!parabolaInto(fitted, values[c], n, half)) return;
    pixel[o + c] = fitted[0];
    velocity[o + c] = fitted[1];
  }
}

/** Marks samples off that lie far from the median line through the others: slopes of pairs, then residuals (Siegel 1982). */
function dropWild(n: number, half: number): void {
  const size = new Float64Array(n);
  for (let c = 0; c < 2; c++) {
    const y = values[c];
    // Repeated medians: a line that half of the samples cannot move. The bend inside the window is far below the limit.
    const slopes = Array.from({ length: n }, (_, i) => {
      const own: number[] = [];
      for (let j = 0; j < n; j++) if (Math.abs(at[j] - at[i]) > 1e-3 * half) own.push((y[j] - y[i]) / (at[j] - at[i]));
      return own.length > 0 ? median(own) : 0;
    });
    const slope = median(slopes);
    const level = median(Array.from({ length: n }, (_, i) => y[i] - slope * at[i]));
    for (let i = 0; i < n; i++) size[i] = Math.max(c === 0 ? 0 : size[i], Math.abs(y[i] - slope * at[i] - level));
  }
  // One pixel at least: seven samples may agree by chance, and a fast turn bends the track.
  const sd = Math.max(1, SD_PER_MEDIAN_ABSOLUTE_DEVIATION * median(size));
  for (let i = 0; i < n; i++) if (size[i] > 5 * sd) kept[i] = 0;
}

/** Value, slope and half curvature at 0 of the parabola through the kept samples; false where they do not determine it. */
function parabolaInto(out: Float64Array, y: Float64Array, n: number, half: number): boolean {
  let [s0, s1, s2, s3, s4, b0, b1, b2] = [0, 0, 0, 0, 0, 0, 0, 0];
  for (let i = 0; i < n; i++) {
    if (!kept[i]) continue;
    const s = at[i] / half;
    const q = s * s;
    s0++;
    s1 += s;
    s2 += q;
    s3 += q * s;
    s4 += q * q;
    b0 += y[i];
    b1 += s * y[i];
    b2 += q * y[i];
  }
  const c0 = s2 * s4 - s3 * s3;
  const c1 = s2 * s3 - s1 * s4;
  const c2 = s1 * s3 - s2 * s2;
  const determinant = s0 * c0 + s1 * c1 + s2 * c2;
  if (s0 < 3 || !(determinant > 1e-6 * s0)) return false;
  out[0] = (c0 * b0 + c1 * b1 + c2 * b2) / determinant;
  out[1] = (c1 * b0 + (s0 * s4 - s2 * s2) * b1 + (s1 * s2 - s0 * s3) * b2) / determinant / half;
  out[2] = (c2 * b0 + (s1 * s2 - s0 * s3) * b1 + (s0 * s2 - s1 * s1) * b2) / determinant / (half * half);
  return true;
}
