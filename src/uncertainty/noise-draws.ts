import type { Random } from '../numerics/random.ts';
import type { PointEvidence, ViewEvidence } from '../reconstruction/evidence.ts';
import type { Reconstruction } from '../reconstruction/reconstruct.ts';
import { pointMapInto } from './point-map.ts';

/**
 * Draws displacements of the raw points from the noise of their evidence: `3 * (frame * landmarks + landmark)`, metres, lab
 * frame; 0 where a point is missing. Each draw is written to the same array.
 */
export type NoiseDraws = (random: Random) => Float64Array;

/**
 * White noise and a slow first-order process in every pixel coordinate of every view, carried to the points by their first
 * derivative (point-map.ts); in every coordinate of points that came in 3D. The process starts in its steady state and runs
 * on through frames in which the point is not seen.
 */
export function noiseDraws({ raw, turn, evidence }: Reconstruction): NoiseDraws {
  const { frames, landmarks, frameRateHz, position } = raw;
  const count = landmarks.length;
  const out = new Float64Array(3 * frames * count);
  if (evidence.kind === 'points') {
    return (random) => {
      drawPointsInto(out, evidence, frames, count, frameRateHz, random);
      return out;
    };
  }
  const map = pointMaps(evidence, turn, position, count);
  return (random) => {
    drawViewsInto(out, map, evidence, frames, count, frameRateHz, random);
    return out;
  };
}

/** The point map of every seen sample, `6 * views * sample`; 0 elsewhere. Single precision is ample for noise. */
function pointMaps(evidence: ViewEvidence, turn: Float64Array, position: Float64Array, count: number): Float32Array {
  const { cameras, used, weight } = evidence;
  const views = cameras.length;
  const samples = position.length / 3;
  const map = new Float32Array(6 * views * samples);
  for (let s = 0; s < samples; s++) {
    const x = position[3 * s];
    if (Number.isNaN(x)) continue;
    const w = (s % count) * views;
    const o = 6 * views * s;
    pointMapInto(map, o, cameras, used, s * views, weight, w, turn, x, position[3 * s + 1], position[3 * s + 2]);
  }
  return map;
}

function drawViewsInto(
  out: Float64Array,
  map: Float32Array,
  { cameras, noise }: ViewEvidence,
  frames: number,
  count: number,
  frameRateHz: number,
  random: Random,
): void {
  const { whitePx, slowPx, slowS } = noise;
  const views = cameras.length;
  const width = 2 * views;
  const stride = 3 * width * count;
  out.fill(0);
  for (let l = 0; l < count; l++) {
    for (let column = 0; column < width; column++) {
      const k = l * views + (column >> 1);
      const series = errorSeries(frames, whitePx[k], slowPx[k], slowS, frameRateHz, random);
      for (let f = 0, m = 3 * width * l + column, o = 3 * l; f < frames; f++, m += stride, o += 3 * count) {
        const error = series[f];
        out[o] += map[m] * error;
        out[o + 1] += map[m + width] * error;
        out[o + 2] += map[m + 2 * width] * error;
      }
    }
  }
}

function drawPointsInto(
  out: Float64Array,
  { whiteM, slowM, slowS }: PointEvidence,
  frames: number,
  count: number,
  frameRateHz: number,
  random: Random,
): void {
  for (let k = 0; k < 3 * count; k++) {
    const series = errorSeries(frames, whiteM[k], slowM[k], slowS, frameRateHz, random);
    for (let f = 0, o = k; f < frames; f++, o += 3 * count) out[o] = series[f];
  }
}

/**
 * White noise plus a first-order process as one process with one random number a frame, xₜ = keep xₜ₋₁ + eₜ + echo eₜ₋₁
 * (their sum is ARMA(1, 1): Granger & Morris 1976, J R Stat Soc A 139:246–257): half the random numbers, the same
 * covariances. sd: that of e.
 */
function onePerFrame(white: number, slow: number, keep: number): { keep: number; echo: number; sd: number } {
  // Covariances of xₜ − keep xₜ₋₁ at lag 0 and 1: (1 + echo²) sd² and echo sd².
  const atZero = slow * slow * (1 - keep * keep) + white * white * (1 + keep * keep);
  const atOne = -keep * white * white;
  if (atOne === 0) return { keep, echo: 0, sd: Math.sqrt(atZero) };
  const half = atZero / (2 * atOne);
  const echo = half + Math.sqrt(half * half - 1);
  return { keep, echo, sd: Math.sqrt(atOne / echo) };
}

let scratch = new Float64Array(0);

/** One coordinate's errors over the frames, in an array that the next call writes over. */
function errorSeries(
  frames: number,
  white: number,
  slow: number,
  slowS: number,
  frameRateHz: number,
  random: Random,
): Float64Array {
  if (scratch.length < frames) scratch = new Float64Array(frames);
  if (!(slow > 0)) {
    for (let f = 0; f < frames; f++) scratch[f] = white > 0 ? white * random.normal() : 0;
    return scratch;
  }
  const { keep, echo, sd } = onePerFrame(white, slow, Math.exp(-1 / (frameRateHz * slowS)));
  let news = sd * random.normal();
  let value = news + Math.sqrt(Math.max(0, white * white + slow * slow - sd * sd)) * random.normal();
  scratch[0] = value;
  for (let f = 1; f < frames; f++) {
    const next = sd * random.normal();
    value = keep * value + next + echo * news;
    news = next;
    scratch[f] = value;
  }
  return scratch;
}
