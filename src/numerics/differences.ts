/*
 * Central differences of sampled series. Layout: `count` interleaved series, element `frame * count + series`, equal time
 * steps `dt` (s). Missing samples are NaN and spread to every result that would need them.
 */

/**
 * First time derivative (x[f+1] − x[f−1]) / (2 dt), written to `out` (may be `x`). First and last frame are NaN: a central
 * difference does not exist there. NaN at the frame itself or a neighbour gives NaN. Error dt²/6 · x‴.
 */
export function firstDifferenceInto(out: Float64Array, x: Float64Array, count: number, dt: number): void {
  const frames = framesOf(out, x, count, dt);
  for (let series = 0; series < count; series++) {
    let before = Number.NaN;
    let here = frames > 0 ? x[series] : Number.NaN;
    for (let frame = 0, at = series; frame < frames; frame++, at += count) {
      const after = frame + 1 < frames ? x[at + count] : Number.NaN;
      out[at] = Number.isNaN(here) ? Number.NaN : (after - before) / (2 * dt);
      before = here;
      here = after;
    }
  }
}

/**
 * First time derivative by five points, (8 (x[f+1] − x[f−1]) − (x[f+2] − x[f−2])) / (12 dt), written to `out`, which must not be `x`
 * (Abramowitz & Stegun 1964, 25.3.6, from memory): error dt⁴/30 · x⁽⁵⁾. By three where one of the outer two is missing. Three points take
 * (ω dt)²/6 of a wave, 0.4 % of a quick drive at 60 Hz, which shows in a peak of velocity or power.
 */
export function fivePointDifferenceInto(out: Float64Array, x: Float64Array, count: number, dt: number): void {
  if (out === x) throw new RangeError('difference: five points cannot be written over their own samples');
  firstDifferenceInto(out, x, count, dt);
  for (let i = 2 * count; i < x.length - 2 * count; i++) {
    const value = (8 * (x[i + count] - x[i - count]) - (x[i + 2 * count] - x[i - 2 * count])) / (12 * dt);
    if (!Number.isNaN(value) && !Number.isNaN(out[i])) out[i] = value;
  }
}

/**
 * Second time derivative by the compact three-point form (x[f−1] − 2 x[f] + x[f+1]) / dt², written to `out` (may be `x`).
 * First and last frame are NaN. Error dt²/12 · x⁗; differencing twice would quadruple it and blur over five points.
 */
export function secondDifferenceInto(out: Float64Array, x: Float64Array, count: number, dt: number): void {
  const frames = framesOf(out, x, count, dt);
  for (let series = 0; series < count; series++) {
    let before = Number.NaN;
    let here = frames > 0 ? x[series] : Number.NaN;
    for (let frame = 0, at = series; frame < frames; frame++, at += count) {
      const after = frame + 1 < frames ? x[at + count] : Number.NaN;
      // The two slopes are formed first: their difference loses less to rounding than x[f−1] − 2 x[f] + x[f+1].
      out[at] = (after - here - (here - before)) / (dt * dt);
      before = here;
      here = after;
    }
  }
}

/** `firstDifferenceInto` into a new array. */
export function firstDifference(x: Float64Array, count: number, dt: number): Float64Array {
  const out = new Float64Array(x.length);
  firstDifferenceInto(out, x, count, dt);
  return out;
}

/** `fivePointDifferenceInto` into a new array. */
export function fivePointDifference(x: Float64Array, count: number, dt: number): Float64Array {
  const out = new Float64Array(x.length);
  fivePointDifferenceInto(out, x, count, dt);
  return out;
}

/** `secondDifferenceInto` into a new array. */
export function secondDifference(x: Float64Array, count: number, dt: number): Float64Array {
  const out = new Float64Array(x.length);
  secondDifferenceInto(out, x, count, dt);
  return out;
}

function framesOf(out: Float64Array, x: Float64Array, count: number, dt: number): number {
  if (!Number.isInteger(count) || count < 1 || x.length % count !== 0) {
    throw new RangeError(`difference: ${x.length} values are not a whole number of frames of ${count} series`);
  }
  if (out.length < x.length) throw new RangeError(`difference: room for ${out.length} of ${x.length} values`);
  if (!(dt > 0)) throw new RangeError(`difference: time step ${dt} s is not above 0`);
  return x.length / count;
}
