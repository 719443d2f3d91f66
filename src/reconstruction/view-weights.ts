import type { Camera } from '../cameras/rig.ts';
import type { Landmark } from '../capture/landmarks.ts';
import { noiseNotes } from '../messages/reconstruction.ts';
import { rms } from '../numerics/statistics.ts';
import type { PixelNoiseModel } from './evidence.ts';
import {
  LEAST_NOISE_FOR_WEIGHTS_PX,
  NOISE_DISAGREES,
  SLOW_DOUBTFUL_OF_WHITE,
  SLOW_DOUBTFUL_PX,
  SLOW_S,
  WEIGHT_CHANGE_TOLERATED,
} from './limits.ts';
import { residualNoise, type Solved } from './slow-noise.ts';
import type { SynchronisedViews } from './synchronise.ts';
import { borrowVariances } from './white-noise.ts';

/** The leak of the slow part into the fourth differences never explains more of them than this share. */
const MOST_LEAK = 0.9;

/** Frame-to-frame variances, `landmark * views + view`, px², and which were borrowed (1). */
export interface WhiteVariances {
  readonly variance: Float64Array;
  readonly borrowed: Uint8Array;
}

/** Frame-to-frame variance of every landmark in every view, at the grid's rate; never below what rounding gives. */
export function whiteVariances({ views, landmarks }: SynchronisedViews): WhiteVariances {
  const cells = landmarks.length * views.length;
  const variance = new Float64Array(cells);
  const count = new Float64Array(cells);
  for (let i = 0; i < cells; i++) {
    const l = Math.floor(i / views.length);
    const { noise } = views[i % views.length];
    count[i] = noise.count[l];
    variance[i] = count[i] > 0 ? Math.max(noise.variance[l], noise.roundingVariance) : 0;
  }
  return { variance, borrowed: borrowVariances(variance, count, views.length) };
}

/**
 * Weights of the views for one landmark each: inverse variances over their geometric mean, so that equal views all weigh 1
 * and weighted residuals keep the size of pixels. `variance`: `landmark * views + view`, px².
 */
export function weightsOf(variance: Float64Array, views: number): Float64Array {
  const floor = LEAST_NOISE_FOR_WEIGHTS_PX ** 2;
  const weight = new Float64Array(variance.length);
  for (let o = 0; o < variance.length; o += views) {
    let logs = 0;
    for (let v = 0; v < views; v++) logs += Math.log(variance[o + v] + floor);
    const mean = Math.exp(logs / views);
    for (let v = 0; v < views; v++) weight[o + v] = mean / (variance[o + v] + floor);
  }
  return weight;
}

/**
 * The noise model of points solved with the weights of their frame-to-frame noise: that noise less what the slow part
 * leaks into it, scaled so that white and slow part together give the residuals that are there. Where no track can tell its
 * frame-to-frame noise, all that the residuals hold beyond the slow part is white, alike in all views. apart: what is taken off
 * the residuals first: with 'mean' the model holds all by which views contradict each other (for weights), with 'motion' what
 * does not go with place and velocity (for draws of the noise).
 */
export function pixelNoiseModel(
  views: SynchronisedViews,
  cameras: readonly Camera[],
  solved: Solved,
  white: WhiteVariances,
  apart: 'mean' | 'motion',
): PixelNoiseModel {
  const count = cameras.length;
  const { slow, whiteScale, whole, samples } = residualNoise(views, cameras, solved, white.variance, apart);
  const isToldByTracks = white.borrowed.includes(0);
  const own = white.variance.map((variance, i) => {
    if (!isToldByTracks) return Math.max(0, (whole[Math.floor(i / count)] || 0) - slow[i]);
    const leak = Math.min(MOST_LEAK * variance, views.views[i % count].noise.leak * slow[i]);
    return variance - leak;
  });
  const scale = whiteScale(own);
  const notes = [noiseNotes.views(SLOW_S)];
  if (samples === 0) notes.push(noiseNotes.slowUnknown);
  else if (count === 2) notes.push(noiseNotes.slowShared);
  if (scale > NOISE_DISAGREES || scale < 1 / NOISE_DISAGREES) notes.push(noiseNotes.scaled(scale));
  notes.push(...(isToldByTracks ? borrowedNotes(views, white.borrowed) : [noiseNotes.residualsOnly]));
  return {
    whitePx: own.map((variance) => Math.sqrt(scale * variance)),
    slowPx: slow.map(Math.sqrt),
    slowS: SLOW_S,
    notes,
  };
}

/** A caution where the views contradict each other far more, and more slowly, than a detector errs. */
export function slowDoubt({ whitePx, slowPx }: PixelNoiseModel): string[] {
  if (slowPx.length === 0) return [];
  const slow = rms(slowPx);
  const white = rms(whitePx);
  const isDoubtful = slow > SLOW_DOUBTFUL_PX && slow > SLOW_DOUBTFUL_OF_WHITE * white;
  return isDoubtful ? [noiseNotes.slowDoubtful(slow, white)] : [];
}

function borrowedNotes({ views, landmarks }: SynchronisedViews, borrowed: Uint8Array): string[] {
  return landmarks.flatMap((landmark: Landmark, l) => {
    const from = views.filter((_, v) => borrowed[l * views.length + v] === 1).map(({ camera }) => `"${camera}"`);
    return from.length > 0 ? [noiseNotes.borrowed(landmark, from)] : [];
  });
}

/** Weights by the whole noise, white and slow. */
export function weightsOfModel({ whitePx, slowPx }: PixelNoiseModel, views: number): Float64Array {
  return weightsOf(
    whitePx.map((white, i) => white ** 2 + slowPx[i] ** 2),
    views,
  );
}

/** Whether one landmark's weights moved enough to solve its points again. */
export function weightsMoved(before: Float64Array, after: Float64Array, landmark: number, views: number): boolean {
  let least = Number.POSITIVE_INFINITY;
  let most = 0;
  for (let i = landmark * views; i < (landmark + 1) * views; i++) {
    const ratio = after[i] / before[i];
    if (ratio < least) least = ratio;
    if (ratio > most) most = ratio;
  }
  return most > (1 + WEIGHT_CHANGE_TOLERATED) * least;
}
