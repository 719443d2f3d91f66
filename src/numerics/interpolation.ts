/**
 * Interpolating cubic spline with not-a-knot ends (de Boor 1978, ch. IV): exact on cubics. Two points give the line,
 * three the parabola. t strictly increasing, all finite, two or more; else RangeError. Outside the data the end
 * polynomial continues. The returned function gives NaN for NaN.
 */
export function cubicSpline(t: ArrayLike<number>, y: ArrayLike<number>): (at: number) => number {
  const n = t.length;
  if (n !== y.length) throw new RangeError(`cubicSpline: ${n} times, ${y.length} values`);
  if (n < 2) throw new RangeError(`cubicSpline: ${n} points, two or more wanted`);
  for (let i = 0; i < n; i++) {
    if (!Number.isFinite(t[i]) || !Number.isFinite(y[i])) throw new RangeError(`cubicSpline: point ${i} is not finite`);
    if (i > 0 && !(t[i] > t[i - 1])) throw new RangeError(`cubicSpline: time ${i} (${t[i]}) does not increase`);
  }
  const knots = Float64Array.from(t);
  const values = Float64Array.from(y);
  const slopes = splineSlopes(knots, values);
  return (at: number) => {
    if (Number.isNaN(at)) return Number.NaN;
    const i = intervalOf(knots, at);
    const width = knots[i + 1] - knots[i];
    const s = at - knots[i];
    const chord = (values[i + 1] - values[i]) / width;
    const c3 = (slopes[i] + slopes[i + 1] - 2 * chord) / (width * width);
    const c2 = (chord - slopes[i]) / width - c3 * width;
    return values[i] + s * (slopes[i] + s * (c2 + s * c3));
  };
}

/**
 * Fractional index at which the sampled series x first reaches `level`, searched from sample `from` to sample `to` (both
 * included; backwards when to < from), linear between samples. `direction` is that of x along the search: 'any', 'rising'
 * or 'falling'. A sample exactly on the level counts where the search comes from the other side or starts on it. NaN
 * where there is no crossing; samples that are NaN cannot cross.
 */
export function crossingIndex(
  x: ArrayLike<number>,
  level: number,
  from = 0,
  to = x.length - 1,
  direction: 'any' | 'rising' | 'falling' = 'any',
): number {
  const step = to < from ? -1 : 1;
  if (x[from] === level && direction === 'any') return from;
  for (let i = from; i !== to; i += step) {
    const here = x[i] - level;
    const next = x[i + step] - level;
    const rises = here < 0 && next >= 0;
    const falls = here > 0 && next <= 0;
    if ((rises && direction !== 'falling') || (falls && direction !== 'rising'))
      return i + (step * here) / (here - next);
  }
  return Number.NaN;
}

/** Value of the sampled series x at a fractional index, linear between samples; NaN outside 0 … length − 1. */
export function valueAtIndex(x: ArrayLike<number>, index: number): number {
  if (!(index >= 0 && index <= x.length - 1)) return Number.NaN;
  const below = Math.floor(index);
  const part = index - below;
  return part === 0 ? x[below] : x[below] + part * (x[below + 1] - x[below]);
}

/** First derivatives at the knots. */
function splineSlopes(t: Float64Array, y: Float64Array): Float64Array {
  const n = t.length;
  const width = new Float64Array(n - 1);
  const chord = new Float64Array(n - 1);
  for (let i = 0; i < n - 1; i++) {
    width[i] = t[i + 1] - t[i];
    chord[i] = (y[i + 1] - y[i]) / width[i];
  }
  if (n === 2) return Float64Array.of(chord[0], chord[0]);
  if (n === 3) {
    const bend = (chord[1] - chord[0]) / (width[0] + width[1]);
    return Float64Array.of(chord[0] - bend * width[0], chord[0] + bend * width[0], chord[1] + bend * width[1]);
  }

  // Continuity of the second derivative inside; equal third derivatives across the second and last-but-one knot.
  const lower = new Float64Array(n);
  const middle = new Float64Array(n);
  const upper = new Float64Array(n);
  const slopes = new Float64Array(n);
  const first = width[0] + width[1];
  middle[0] = width[1];
  upper[0] = first;
  slopes[0] = ((width[0] + 2 * first) * width[1] * chord[0] + width[0] * width[0] * chord[1]) / first;
  for (let i = 1; i < n - 1; i++) {
    lower[i] = width[i];
    middle[i] = 2 * (width[i - 1] + width[i]);
    upper[i] = width[i - 1];
    slopes[i] = 3 * (width[i] * chord[i - 1] + width[i - 1] * chord[i]);
  }
  const last = width[n - 2] + width[n - 3];
  lower[n - 1] = last;
  middle[n - 1] = width[n - 3];
  slopes[n - 1] =
    (width[n - 2] * width[n - 2] * chord[n - 3] + (2 * last + width[n - 2]) * width[n - 3] * chord[n - 2]) / last;

  for (let i = 1; i < n; i++) {
    const factor = lower[i] / middle[i - 1];
    middle[i] -= factor * upper[i - 1];
    slopes[i] -= factor * slopes[i - 1];
  }
  slopes[n - 1] /= middle[n - 1];
  for (let i = n - 2; i >= 0; i--) slopes[i] = (slopes[i] - upper[i] * slopes[i + 1]) / middle[i];
  return slopes;
}

/** Index i of the interval t[i] … t[i+1] that holds `at`; the end intervals reach to infinity. */
function intervalOf(t: Float64Array, at: number): number {
  let low = 0;
  let high = t.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >>> 1;
    if (t[middle] <= at) low = middle;
    else high = middle;
  }
  return low;
}
