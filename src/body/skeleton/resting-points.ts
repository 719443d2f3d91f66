import type { Landmark } from '../../capture/landmarks.ts';
import { median } from '../../numerics/statistics.ts';
import type { Trajectories } from '../../reconstruction/trajectories.ts';
import { FOOT_POINTS } from './rods.ts';

const { sqrt } = Math;
const { isFinite: isNumber } = Number;

/** A stretch of frames in which a point of a foot stands on one spot. */
export interface Rest {
  readonly landmark: Landmark;
  readonly column: number;
  readonly first: number;
  /** One past the last frame. */
  readonly end: number;
  /** Share of the spot in the point, one per frame of the stretch: 1, with soft ends. */
  readonly share: Float64Array;
}

export interface RestLimit {
  readonly landmark: Landmark;
  /** Farthest from the spot that counts as noise, metres: lifts and slides smaller than this are not seen. */
  readonly limitM: number;
}

/** Time over which a place is averaged before it is judged, seconds. Common practice, no source. */
const WINDOW_S = 0.25;
/** Way from the spot that counts as rest beside noise, metres: less than a heel that leaves the floor. Common practice, no source. */
const TRAVEL_M = 0.003;
/** Standard deviations of the averaged place that are noise: a three-dimensional distance passes 4 once in a thousand. */
const NOISE_SDS = 4;
/** Noise seen in the motion itself is believed up to this, metres: beyond, the point moves. Common practice, no source. */
const LARGEST_NOISE_M = 0.005;
/** Shortest rest, and the time in which a point settles into its spot or leaves it, seconds. Common practice, no source. */
const SHORTEST_REST_S = 0.6;
const SETTLING_S = 0.25;
/** Median length of a difference of two places over their standard deviation per axis: √2 times that of chi with 3 degrees. */
const MEDIAN_DIFFERENCE = Math.SQRT2 * 1.5382;

/**
 * Where heels, toes and ankles stand still.
 *
 * A place (averaged over WINDOW_S) rests while it moves less than the limit within a window, and stays within the limit of
 * the stretch's mean; the limit is TRAVEL_M and NOISE_SDS standard deviations of the averaged place, from the covariances or
 * from the motion itself, whichever is larger. A stretch that drifts by half the limit from its first to its last third is
 * no rest: slow shuffling stays as it is. An ankle rests only while heel and toe of its foot rest too, each on one spot, so
 * that the foot cannot tilt; where they are not tracked its own rest decides.
 */
export function findRests(
  points: Trajectories,
  rawVariance: Float64Array,
): { readonly rests: readonly Rest[]; readonly limits: readonly RestLimit[] } {
  const { landmarks, frameRateHz, frames } = points;
  const rests: Rest[] = [];
  const limits: RestLimit[] = [];
  for (const side of ['left', 'right'] as const) {
    const spans = new Map<string, Int32Array>();
    for (const point of FOOT_POINTS) {
      const landmark = `${side}_${point}` as Landmark;
      const column = landmarks.indexOf(landmark);
      if (column < 0) continue;
      const place = averagedPlaces(points, column);
      const limitM = restLimit(points, rawVariance, column, place);
      limits.push({ landmark, limitM });
      let found = stillSpans(place, frames, frameRateHz, limitM);
      if (point === 'ankle') found = within(found, spans.get('heel'), spans.get('big_toe'), frames, frameRateHz);
      spans.set(point, labels(found, frames));
      for (const [first, end] of found) {
        rests.push({ landmark, column, first, end, share: shares(points, column, first, end) });
      }
    }
  }
  return { rests, limits };
}

/** Running mean of a point over WINDOW_S, `3 * frame`; NaN where the window holds no known place. */
function averagedPlaces({ position, landmarks, frames, frameRateHz }: Trajectories, column: number): Float64Array {
  const count = landmarks.length;
  const half = Math.max(1, Math.round((WINDOW_S * frameRateHz) / 2));
  const out = new Float64Array(3 * frames);
  const sum = new Float64Array(frames + 1);
  const known = new Float64Array(frames + 1);
  for (let axis = 0; axis < 3; axis++) {
    for (let k = 0; k < frames; k++) {
      const value = position[3 * (k * count + column) + axis];
      const isKnown = isNumber(value);
      sum[k + 1] = sum[k] + (isKnown ? value : 0);
      known[k + 1] = known[k] + (isKnown ? 1 : 0);
    }
    for (let k = 0; k < frames; k++) {
      const a = Math.max(0, k - half);
      const b = Math.min(frames, k + half + 1);
      out[3 * k + axis] = (sum[b] - sum[a]) / (known[b] - known[a]);
    }
  }
  return out;
}

function restLimit(
  { landmarks, frames, frameRateHz }: Trajectories,
  rawVariance: Float64Array,
  column: number,
  place: Float64Array,
): number {
  const count = landmarks.length;
  let sum = 0;
  for (let k = 0; k < frames; k++) {
    const at = 6 * (k * count + column);
    sum += rawVariance[at] + rawVariance[at + 3] + rawVariance[at + 5];
  }
  const window = Math.max(1, WINDOW_S * frameRateHz);
  const stated = Math.sqrt(sum / (3 * frames) / window);
  const apart = Math.max(1, Math.round(WINDOW_S * frameRateHz));
  const ways: number[] = [];
  for (let k = apart; k < frames; k++) {
    const way = distance(place, k, place, k - apart);
    if (isNumber(way)) ways.push(way);
  }
  const seen = ways.length > 0 ? Math.min(LARGEST_NOISE_M, median(ways) / MEDIAN_DIFFERENCE) : 0;
  return TRAVEL_M + NOISE_SDS * Math.max(Math.min(stated, LARGEST_NOISE_M), seen);
}

type Span = readonly [first: number, end: number];

function stillSpans(place: Float64Array, frames: number, frameRateHz: number, limitM: number): Span[] {
  const half = Math.max(1, Math.round((WINDOW_S * frameRateHz) / 2));
  const shortest = Math.ceil(SHORTEST_REST_S * frameRateHz);
  const found: Span[] = [];
  let first = -1;
  for (let k = 0; k <= frames; k++) {
    const way = k < frames && distance(place, Math.min(frames - 1, k + half), place, Math.max(0, k - half));
    // A gap does not end a rest: on both sides of it the point may stand on the same spot.
    const moves = way === false || way > limitM;
    if (!moves && first < 0 && isNumber(way)) first = k;
    if (moves && first >= 0) {
      split(place, first, k, limitM, shortest, found);
      first = -1;
    }
  }
  return found;
}

/** Adds the span if it stays within the limit of its mean; else its two parts beside the frame farthest off. */
function split(place: Float64Array, from: number, to: number, limitM: number, shortest: number, found: Span[]): void {
  let first = from;
  let end = to;
  while (first < end && !isNumber(place[3 * first])) first++;
  while (end > first && !isNumber(place[3 * (end - 1)])) end--;
  if (end - first < shortest) return;
  const mean = meanPlace(place, first, end);
  let farthest = -1;
  let most = limitM;
  for (let k = first; k < end; k++) {
    const way = distance(place, k, mean, 0);
    if (way > most) {
      most = way;
      farthest = k;
    }
  }
  if (farthest < 0) {
    const third = Math.floor((end - first) / 3);
    const drift = distance(meanPlace(place, first, first + third), 0, meanPlace(place, end - third, end), 0);
    if (!(drift > limitM / 2)) found.push([first, end]);
    return;
  }
  split(place, first, farthest, limitM, shortest, found);
  split(place, farthest + 1, end, limitM, shortest, found);
}

function meanPlace(place: Float64Array, first: number, end: number): Float64Array {
  const mean = new Float64Array(3);
  let known = 0;
  for (let k = first; k < end; k++) {
    if (!isNumber(place[3 * k])) continue;
    known++;
    for (let axis = 0; axis < 3; axis++) mean[axis] += place[3 * k + axis];
  }
  for (let axis = 0; axis < 3; axis++) mean[axis] /= known;
  return mean;
}

function distance(p: Float64Array, i: number, q: Float64Array, j: number): number {
  const x = p[3 * i] - q[3 * j];
  const y = p[3 * i + 1] - q[3 * j + 1];
  const z = p[3 * i + 2] - q[3 * j + 2];
  return sqrt(x * x + y * y + z * z);
}

/** Number of the span each frame lies in; −1 = none. */
function labels(spans: readonly Span[], frames: number): Int32Array {
  const out = new Int32Array(frames).fill(-1);
  spans.forEach(([first, end], i) => {
    out.fill(i, first, end);
  });
  return out;
}

/** The spans cut to frames in which heel and toe keep to one span each. */
function within(
  spans: readonly Span[],
  heel: Int32Array | undefined,
  toe: Int32Array | undefined,
  frames: number,
  frameRateHz: number,
): Span[] {
  const own = labels(spans, frames);
  const shortest = Math.ceil(SHORTEST_REST_S * frameRateHz);
  const same = (a: number, b: number) => own[a] === own[b] && heel?.[a] === heel?.[b] && toe?.[a] === toe?.[b];
  const rests = (k: number) => own[k] >= 0 && !(heel && heel[k] < 0) && !(toe && toe[k] < 0);
  const found: Span[] = [];
  let first = 0;
  for (let k = 1; k <= frames; k++) {
    if (k < frames && same(k, first)) continue;
    if (rests(first) && k - first >= shortest) found.push([first, k]);
    first = k;
  }
  return found;
}

/** 1 with soft ends of SETTLING_S (twice continuously differentiable); no softness where the point's own record begins or ends. */
function shares(
  { position, landmarks, frames, frameRateHz }: Trajectories,
  column: number,
  first: number,
  end: number,
) {
  const count = landmarks.length;
  const isKnown = (k: number) => k >= 0 && k < frames && isNumber(position[3 * (k * count + column)]);
  const settling = SETTLING_S * frameRateHz;
  const [softStart, softEnd] = [isKnown(first - 1), isKnown(end)];
  return Float64Array.from({ length: end - first }, (_, i) => {
    const start = softStart ? smoothStep((i + 1) / settling) : 1;
    return softEnd ? start * smoothStep((end - first - i) / settling) : start;
  });
}

/** 0 for u ≤ 0, 1 for u ≥ 1, first and second derivative 0 at both ends. */
function smoothStep(u: number): number {
  if (u >= 1) return 1;
  if (u <= 0) return 0;
  return u * u * u * (10 + u * (6 * u - 15));
}
