import type { Landmark } from '../capture/landmarks.ts';
import type { KeypointTrack } from '../capture/recording.ts';
import { clockNotes } from '../messages/clocks.ts';
import { median } from '../numerics/statistics.ts';
import { kernelHalfWidthS, type SmoothTracks, smoothTracks } from './clocks/smooth-view.ts';

/** Whether one picture moves as a whole. */
export interface CameraMotion {
  readonly camera: string;
  readonly verdict: 'moves' | 'stands' | 'unknown';
  /** Movement that both feet share, root mean square of the two coordinates together, px; null where unknown. */
  readonly sharedRmsPx: number | null;
  /** The same in units of the standard deviation that chance gives it (of its square), the larger of both coordinates. */
  readonly certainty: number | null;
  readonly note: string;
}

/**
 * Movement of a picture that is called movement, px r.m.s.: planted shoes give by 2 to 3 mm under a load, which is 1 px
 * of a lifter who fills the picture (common practice, no source).
 */
export const PICTURE_MOVES_PX = 1;
/** And it must be this far beyond chance: 0.13 % a coordinate of normal statistics. */
const LEAST_CERTAINTY = 3;
/** A foot further than this share of its picture's extent from where it mostly stands is walking: left out. */
const PLANTED_SHARE = 0.03;
/** Least time that both feet must be planted, seconds. Common practice, no source. */
const LEAST_PLANTED_S = 3;
/** Longest lag of correlated noise that is counted, seconds; ten times 0.15 s. */
const LONGEST_LAG_S = 1.5;

const FEET = (side: 'left' | 'right'): Landmark[] => [
  `${side}_ankle`,
  `${side}_heel`,
  `${side}_big_toe`,
  `${side}_small_toe`,
];

/**
 * Electronic stabilisation (or a phone that gives way) moves the whole picture; nothing else moves both planted feet
 * alike. So: covariance over time of the mean track of the left foot with that of the right. Noise of the two is
 * independent and gives 0 on average; a foot that is set anew moves alone and gives nothing either.
 * Its chance scatter is told from the *difference* of the feet, in which a moving picture cancels: with γ its
 * autocovariance, each foot has γ/2 and the covariance of n instants the variance Σ_k (γ_k/2)² / n (Bartlett 1946).
 * Seen: shifts, and turns and zooms as far as they shift the feet.
 */
export function cameraMotion(tracks: readonly KeypointTrack[]): CameraMotion[] {
  const halfWidthS = kernelHalfWidthS(tracks);
  return tracks.map((track) => motionOf(track.camera, smoothTracks(track, halfWidthS)));
}

function motionOf(camera: string, view: SmoothTracks): CameraMotion {
  const unknown = (why: string): CameraMotion => ({
    camera,
    verdict: 'unknown',
    sharedRmsPx: null,
    certainty: null,
    note: clockNotes.pictureUnknown(camera, why),
  });
  const left = footTrack(view, FEET('left'));
  const right = footTrack(view, FEET('right'));
  if (!left || !right) return unknown('ankle, heel or toe of both feet must be seen');
  const planted = plantedInstants(left, right, extentOf(view));
  if (planted.length * view.stepS < LEAST_PLANTED_S) {
    return unknown(`both feet are planted and seen for less than ${LEAST_PLANTED_S} s`);
  }
  const across = shared(left.u, right.u, planted, view.stepS);
  const down = shared(left.v, right.v, planted, view.stepS);
  const sharedRmsPx = Math.sqrt(Math.max(0, across.covariance) + Math.max(0, down.covariance));
  const certainty = Math.max(across.certainty, down.certainty);
  const moves = sharedRmsPx >= PICTURE_MOVES_PX && certainty >= LEAST_CERTAINTY;
  return {
    camera,
    verdict: moves ? 'moves' : 'stands',
    sharedRmsPx,
    certainty,
    note: moves
      ? clockNotes.pictureMoves(camera, sharedRmsPx, PICTURE_MOVES_PX)
      : clockNotes.pictureStands(camera, PICTURE_MOVES_PX),
  };
}

interface FootTrack {
  readonly u: Float64Array;
  readonly v: Float64Array;
}

/** Mean of a foot's points, each about its own middle; NaN where fewer than half of them are known. */
function footTrack(view: SmoothTracks, names: readonly Landmark[]): FootTrack | null {
  const columns = names.map((name) => view.landmarks.indexOf(name)).filter((column) => column >= 0);
  if (columns.length === 0) return null;
  const middle = (values: Float64Array, column: number) => {
    const own = values.subarray(column * view.count, (column + 1) * view.count).filter((x) => !Number.isNaN(x));
    return own.length === 0 ? Number.NaN : median(own);
  };
  const mean = (values: Float64Array) => {
    const middles = columns.map((column) => middle(values, column));
    return Float64Array.from({ length: view.count }, (_, i) => {
      let sum = 0;
      let known = 0;
      columns.forEach((column, k) => {
        const away = values[column * view.count + i] - middles[k];
        if (Number.isNaN(away)) return;
        sum += away;
        known++;
      });
      return 2 * known < columns.length ? Number.NaN : sum / known;
    });
  };
  return { u: mean(view.u), v: mean(view.v) };
}

/** Diagonal of the box that holds all tracks, px: the lifter's size in the picture. */
function extentOf(view: SmoothTracks): number {
  const range = (values: Float64Array) => {
    let least = Number.POSITIVE_INFINITY;
    let greatest = Number.NEGATIVE_INFINITY;
    for (const value of values) {
      if (value < least) least = value;
      if (value > greatest) greatest = value;
    }
    return greatest - least;
  };
  return Math.hypot(range(view.u), range(view.v));
}

function plantedInstants(left: FootTrack, right: FootTrack, extentPx: number): number[] {
  const limit = PLANTED_SHARE * extentPx;
  return Array.from(left.u, (_, i) => i).filter((i) =>
    [left.u[i], left.v[i], right.u[i], right.v[i]].every((away) => Math.abs(away) <= limit),
  );
}

function shared(
  a: Float64Array,
  b: Float64Array,
  instants: readonly number[],
  stepS: number,
): { covariance: number; certainty: number } {
  const n = instants.length;
  const mean = (x: Float64Array) => instants.reduce((sum, i) => sum + x[i], 0) / n;
  const aMean = mean(a);
  const bMean = mean(b);
  const covariance = instants.reduce((sum, i) => sum + (a[i] - aMean) * (b[i] - bMean), 0) / n;
  const difference = new Float64Array(a.length).fill(Number.NaN);
  for (const i of instants) difference[i] = a[i] - aMean - (b[i] - bMean);
  let variance = 0;
  for (let lag = 0; lag <= LONGEST_LAG_S / stepS; lag++) {
    let sum = 0;
    for (let i = 0; i + lag < a.length; i++) {
      const product = difference[i] * difference[i + lag];
      if (!Number.isNaN(product)) sum += product;
    }
    variance += ((lag === 0 ? 1 : 2) * (sum / n / 2) ** 2) / n;
  }
  // Exact pixels have no noise at all.
  return { covariance, certainty: covariance / Math.sqrt(Math.max(variance, 1e-12)) };
}
