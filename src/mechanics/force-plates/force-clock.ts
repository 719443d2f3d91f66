import { forceClockReasons } from '../../messages/force-plates.ts';
import { FEWEST_FILTER_SAMPLES, HIGHEST_CUTOFF_SHARE, zeroLagLowPass } from '../../numerics/butterworth.ts';
import { GRAVITY_M_PER_S2 } from '../../numerics/constants.ts';
import { cubicSpline } from '../../numerics/interpolation.ts';
import { correlation, mean } from '../../numerics/statistics.ts';
import { markEdgesInto } from '../../reconstruction/edge-frames.ts';
import type { JointLoads } from '../joint-loads.ts';
import { forceCutoffHz } from '../joint-loads-from-motion.ts';
import type { ForceClock } from './force-plate-quality.ts';

/** Farthest offset that is searched, seconds: starts by hand lie within (common practice, no source). */
export const SEARCHED_S = 2;
/** Least that movement and force must share, seconds; common practice, no source. */
const LEAST_SHARED_S = 2;
/** Least standard deviation of the predicted vertical force, share of the weight of lifter and bar; below it is noise (common practice, no source). */
const LEAST_CHANGE = 0.01;
/** Least correlation at the best offset; common practice, no source. */
const LEAST_R = 0.7;
/** Common practice, no source. */
const AS_GOOD = 2;
/** How far residuals are taken to be correlated, seconds: errors of a body model follow the phases of a movement (common practice, no source). */
const CORRELATED_S = 0.5;

/**
 * Clock of the force plates from the residual: the measured vertical force m against the one predicted from the movement, p,
 * both at the frames and low-passed alike.
 *
 *   p(t) = b + a · m(t − offset) + e(t)
 *
 * Correlation over whole frames finds the place, Gauss–Newton on a, b and the offset refines it between frames (m by a cubic
 * spline; it is band-limited). Gain and constant keep a wrong body mass or an offset of the force out of the clock. The
 * standard error is that of least squares with residuals correlated over CORRELATED_S (Newey & West 1987, Econometrica
 * 55:703–708). Frames within a filter's memory of an end take no part.
 */
export function forceClock(loads: JointLoads): ForceClock {
  const { groundForce: predicted, measuredForce: measured, motion, frameRateHz, frames } = loads;
  const unknown = (reason: string, framesUsed = 0): ForceClock => ({
    offsetS: Number.NaN,
    sdS: Number.NaN,
    r: Number.NaN,
    framesUsed,
    reason,
  });
  if (!predicted) return unknown(forceClockReasons.noUpperBody());
  if (!measured) return unknown(forceClockReasons.oneFoot());
  const edge = new Uint8Array(frames);
  markEdgesInto(edge, motion.trajectories);
  const series = (force: Float64Array) => Float64Array.from({ length: frames }, (_, k) => force[3 * k + 1]);
  const filtered = Number.isFinite(forceCutoffHz(motion));
  const smooth = (x: Float64Array) => (filtered ? x : lowPassed(x, frameRateHz));
  const p = smooth(series(predicted)).map((value, k) => (edge[k] ? Number.NaN : value));
  const m = smooth(series(measured));
  const least = Math.ceil(LEAST_SHARED_S * frameRateHz);
  const weightN = (motion.bodyMassKg + motion.barMassKg) * GRAVITY_M_PER_S2;
  const [from, to] = knownStretch(m);
  const shared = countBoth(p, m, 0);
  if (to - from < least || shared < least) return unknown(forceClockReasons.tooShort(shared, least), shared);
  if (!(spread(p) > LEAST_CHANGE * weightN)) return unknown(forceClockReasons.still(), shared);
  const start = bestLag(p, m, Math.round(SEARCHED_S * frameRateHz), least);
  if (start.atEnd) return unknown(forceClockReasons.atEnd(SEARCHED_S), shared);
  if (!(start.r >= LEAST_R)) return unknown(forceClockReasons.poor(start.r), shared);
  const fitted = refine(p, m.subarray(from, to), from, start.lag, Math.ceil(CORRELATED_S * frameRateHz));
  return {
    offsetS: fitted.offset / frameRateHz,
    sdS: fitted.sd / frameRateHz,
    r: start.r,
    framesUsed: fitted.used,
    reason: '',
  };
}

/** Force and points that were not filtered are for the clock: noise of the slopes would pull the offset towards half frames, Hz (common practice, no source). */
const CLOCK_CUTOFF_HZ = 6;

/** The longest known stretch low-passed, without what the filter remembers of its ends; NaN elsewhere. */
function lowPassed(x: Float64Array, rateHz: number): Float64Array {
  const out = new Float64Array(x.length).fill(Number.NaN);
  const [from, to] = knownStretch(x);
  if (to - from < FEWEST_FILTER_SAMPLES || CLOCK_CUTOFF_HZ >= HIGHEST_CUTOFF_SHARE * rateHz) return x;
  const memory = Math.ceil(rateHz / CLOCK_CUTOFF_HZ);
  const smooth = zeroLagLowPass(x.subarray(from, to), rateHz, CLOCK_CUTOFF_HZ);
  for (let k = from + memory; k < to - memory; k++) out[k] = smooth[k - from];
  return out;
}

/** The longest stretch of finite values, [from, to). */
function knownStretch(x: Float64Array): readonly [number, number] {
  let best: readonly [number, number] = [0, 0];
  for (let from = 0; from < x.length; from++) {
    if (!Number.isFinite(x[from])) continue;
    let to = from;
    while (to < x.length && Number.isFinite(x[to])) to++;
    if (to - from > best[1] - best[0]) best = [from, to];
    from = to;
  }
  return best;
}

function countBoth(p: Float64Array, m: Float64Array, lag: number): number {
  let count = 0;
  for (let k = 0; k < p.length; k++) if (Number.isFinite(p[k]) && Number.isFinite(m[k - lag] ?? Number.NaN)) count++;
  return count;
}

function spread(x: Float64Array): number {
  const known = x.filter(Number.isFinite);
  const centre = mean(known);
  return Math.sqrt(mean(known.map((value) => (value - centre) ** 2)));
}

/**
 * Whole frames by which m must be moved on to resemble p most. Repetitions evenly done resemble each other one period on: of the
 * lags that fit about as well as the best (what is left unexplained, 1 − r, at most AS_GOOD times its) the nearest to 0 is taken.
 */
function bestLag(
  p: Float64Array,
  m: Float64Array,
  reach: number,
  least: number,
): { readonly lag: number; readonly r: number; readonly atEnd: boolean } {
  const tried: { readonly lag: number; readonly r: number }[] = [];
  const sharedUnmoved = countBoth(p, m, 0);
  for (let lag = -reach; lag <= reach; lag++) {
    const [x, y]: [number[], number[]] = [[], []];
    for (let k = 0; k < p.length; k++) {
      const other = m[k - lag] ?? Number.NaN;
      if (!Number.isFinite(p[k]) || !Number.isFinite(other)) continue;
      x.push(p[k]);
      y.push(other);
    }
    // At least half of what is shared without a shift: few frames agree by chance.
    if (x.length < Math.max(least, 0.5 * sharedUnmoved)) continue;
    tried.push({ lag, r: correlation(x, y) });
  }
  const most = Math.max(...tried.map(({ r }) => r));
  const peaks = tried.filter(
    ({ r }, i) => 1 - r <= AS_GOOD * (1 - most) + 1e-6 && !(tried[i - 1]?.r > r) && !(tried[i + 1]?.r > r),
  );
  const best = peaks.reduce((a, b) => (Math.abs(b.lag) < Math.abs(a.lag) ? b : a));
  return { ...best, atEnd: best === tried[0] || best === tried[tried.length - 1] };
}

interface Fitted {
  /** Frames. */
  readonly offset: number;
  readonly sd: number;
  readonly used: number;
}

const STEPS = 12;

/** m: `first` is the frame of its first value. */
function refine(p: Float64Array, m: Float64Array, first: number, lag: number, bandwidth: number): Fitted {
  const times = Float64Array.from({ length: m.length }, (_, k) => first + k);
  const at = cubicSpline(times, m);
  const last = first + m.length - 1;
  let offset = lag;
  for (let step = 0; ; step++) {
    const rows: [k: number, one: number, gain: number, slope: number, value: number][] = [];
    for (let k = 0; k < p.length; k++) {
      const moment = k - offset;
      if (!Number.isFinite(p[k]) || moment < first + 1 || moment > last - 1) continue;
      rows.push([k, 1, at(moment), at(moment + 0.5) - at(moment - 0.5), p[k]]);
    }
    const { a, b } = line(rows);
    // p − b − a m(t − o) ≈ db + da m − a m' do: the third column is −a m'.
    const x = rows.map(([, one, gain, slope]) => [one, gain, -a * slope]);
    const e = rows.map(([, , gain, , value]) => value - b - a * gain);
    const inverse = inverse3(crossProducts(x));
    const change = inverse[2].reduce(
      (sum, entry, j) => sum + entry * x.reduce((all, row, i) => all + row[j] * e[i], 0),
      0,
    );
    offset += Math.max(-1, Math.min(1, change));
    if (step < STEPS && Math.abs(change) > 1e-6) continue;
    return { offset, sd: neweyWest(rows, x, e, inverse[2], bandwidth), used: rows.length };
  }
}

function line(rows: readonly (readonly number[])[]): { readonly a: number; readonly b: number } {
  const x = rows.map((row) => row[2]);
  const y = rows.map((row) => row[4]);
  const [cx, cy] = [mean(x), mean(y)];
  const a = mean(x.map((value, i) => (value - cx) * (y[i] - cy))) / mean(x.map((value) => (value - cx) ** 2));
  return { a, b: cy - a * cx };
}

function crossProducts(x: readonly (readonly number[])[]): number[][] {
  return [0, 1, 2].map((i) => [0, 1, 2].map((j) => x.reduce((sum, row) => sum + row[i] * row[j], 0)));
}

function inverse3(a: readonly (readonly number[])[]): number[][] {
  const cofactor = (i: number, j: number) => {
    const [r, s] = [0, 1, 2].filter((k) => k !== i);
    const [c, d] = [0, 1, 2].filter((k) => k !== j);
    return ((i + j) % 2 === 0 ? 1 : -1) * (a[r][c] * a[s][d] - a[r][d] * a[s][c]);
  };
  const determinant = a[0].reduce((sum, entry, j) => sum + entry * cofactor(0, j), 0);
  return [0, 1, 2].map((i) => [0, 1, 2].map((j) => cofactor(j, i) / determinant));
}

/** Standard error of the third parameter: √(c' S c), S = Σ over lags of w(lag) Σ e_t e_{t+lag} x_t x_{t+lag}', Bartlett weights. */
function neweyWest(
  rows: readonly (readonly number[])[],
  x: readonly (readonly number[])[],
  e: readonly number[],
  c: readonly number[],
  bandwidth: number,
): number {
  // The influence of each frame on the parameter; frames are consecutive but for gaps, so lags go by frame number.
  const influence = new Map(rows.map(([k], i) => [k, e[i] * (c[0] * x[i][0] + c[1] * x[i][1] + c[2] * x[i][2])]));
  let variance = 0;
  for (const [k, value] of influence) {
    variance += value * value;
    for (let lag = 1; lag <= bandwidth; lag++) {
      const other = influence.get(k + lag);
      if (other !== undefined) variance += 2 * (1 - lag / (bandwidth + 1)) * value * other;
    }
  }
  return Math.sqrt(Math.max(0, variance));
}
