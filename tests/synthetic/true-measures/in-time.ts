/** A number of the lifter as a function of time, seconds. */
export type InTime = (t: number) => number;

const { abs, ceil, floor, max, min } = Math;

/** Step of the first look at a function of time, seconds: everything a lifter does is slower. */
export const STEP_S = 0.01;

/**
 * `from`, every whole number of steps between, and `to`, either way: functions of one lifter that are looked at over the same
 * stretch share their instants, which are worked out once.
 */
function gridBetween(from: number, to: number, stepS = STEP_S): number[] {
  const way = to < from ? -1 : 1;
  const times = [from];
  const first = way > 0 ? floor(from / stepS) + 1 : ceil(from / stepS) - 1;
  for (let k = first; way * k * stepS < way * to; k += way) times.push(k * stepS);
  times.push(to);
  return times;
}

/** Time at which `f` first (looking from `from` towards `to`, either way) is no longer above 0, to 1e-9 s; NaN where it never is. */
export function firstNotAbove(f: InTime, from: number, to: number): number {
  if (Number.isNaN(from + to)) return Number.NaN;
  let before = from;
  for (const here of gridBetween(from, to)) {
    if (f(here) > 0) {
      before = here;
      continue;
    }
    if (here === from) return from;
    let [above, below] = [before, here];
    while (abs(below - above) > 1e-9) {
      const middle = (above + below) / 2;
      if (f(middle) > 0) above = middle;
      else below = middle;
    }
    return below;
  }
  return Number.NaN;
}

export interface Extreme {
  readonly timeS: number;
  readonly value: number;
}

/** Largest value from `from` to `to`: the best of a grid, then narrowed down by golden sections between its neighbours. */
export function largest(f: InTime, from: number, to: number): Extreme {
  const none = { timeS: Number.NaN, value: Number.NaN };
  if (!(to >= from)) return none;
  const times = gridBetween(from, to);
  let best = -1;
  let value = Number.NEGATIVE_INFINITY;
  times.forEach((t, k) => {
    const here = f(t);
    if (here > value) [best, value] = [k, here];
  });
  if (best < 0) return none;
  let [a, b] = [times[max(0, best - 1)], times[min(times.length - 1, best + 1)]];
  const golden = (3 - Math.sqrt(5)) / 2;
  let [c, d] = [a + golden * (b - a), b - golden * (b - a)];
  let [fc, fd] = [f(c), f(d)];
  while (b - a > 1e-5) {
    if (fc > fd) {
      [b, d, fd] = [d, c, fc];
      c = a + golden * (b - a);
      fc = f(c);
    } else {
      [a, c, fc] = [c, d, fd];
      d = b - golden * (b - a);
      fd = f(d);
    }
  }
  const inside = (a + b) / 2;
  const found = f(inside);
  return found >= value ? { timeS: inside, value: found } : { timeS: times[best], value };
}

export function smallest(f: InTime, from: number, to: number): Extreme {
  const { timeS, value } = largest((t) => -f(t), from, to);
  return { timeS, value: -value };
}

/**
 * Largest value that a function keeps to or exceeds for a while without a break: the best of the least values over stretches of
 * that length. Between `from` and `to`; NaN where these are nearer to each other.
 */
export function largestHeld(f: InTime, from: number, to: number, forS: number): number {
  if (!(to - from >= forS)) return Number.NaN;
  const cubic = onGrid(f, STEP_S);
  const least: InTime = (start) => {
    let value = Number.POSITIVE_INFINITY;
    for (let k = 0; k <= 25; k++) value = min(value, cubic(start + (forS * k) / 25));
    return value;
  };
  return largest(least, from, to - forS).value;
}

export const smallestHeld = (f: InTime, from: number, to: number, forS: number): number =>
  -largestHeld((t) => -f(t), from, to, forS);

/** Median of a function over a stretch of time. */
export function medianOver(f: InTime, from: number, to: number): number {
  const count = 100;
  const values = Float64Array.from({ length: count + 1 }, (_, k) => f(from + ((to - from) * k) / count)).sort();
  return values[count / 2];
}

/** Weights of the eighth-order central first difference, for steps 1 to 4 to each side. */
const SLOPES = [4 / 5, -1 / 5, 4 / 105, -1 / 280];

/** Derivative by the eighth-order central difference. */
export function rateOf(f: InTime, t: number, stepS = 2e-3): number {
  return SLOPES.reduce((sum, w, k) => sum + w * (f(t + (k + 1) * stepS) - f(t - (k + 1) * stepS)), 0) / stepS;
}

/** Integral by Simpson's rule on a grid of about `stepS`. */
export function integralOf(f: InTime, from: number, to: number, stepS = 0.03): number {
  const pieces = 2 * max(2, ceil((to - from) / (2 * stepS)));
  const h = (to - from) / pieces;
  let sum = 0;
  for (let k = 0; k <= pieces; k++) sum += (k === 0 || k === pieces ? 1 : k % 2 === 1 ? 4 : 2) * f(from + k * h);
  return (sum * h) / 3;
}

/** Tops and bottoms in turn, each at least `least` from the one before, of a function on a grid; the ends may be among them. */
export function turnsOf(f: InTime, from: number, to: number, least: number): (Extreme & { readonly top: boolean })[] {
  const stepS = 5e-3;
  const grid = gridBetween(from, to, stepS).map((timeS): Extreme => ({ timeS, value: f(timeS) }));
  const turns: (Extreme & { top: boolean })[] = [];
  let [high, low] = [grid[0], grid[0]];
  let way = 0;
  for (const here of grid) {
    if (here.value > high.value) high = here;
    if (here.value < low.value) low = here;
    if (way !== -1 && high.value - here.value >= least && high.timeS < here.timeS) {
      turns.push({ ...high, top: true });
      way = -1;
      [high, low] = [here, here];
    } else if (way !== 1 && here.value - low.value >= least && low.timeS < here.timeS) {
      turns.push({ ...low, top: false });
      way = 1;
      [high, low] = [here, here];
    }
  }
  if (turns.length > 0) turns.push(way === -1 ? { ...low, top: false } : { ...high, top: true });
  // The grid finds them, the function itself says where they are.
  return turns.map(({ top, timeS }) => {
    const [a, b] = [max(from, timeS - stepS), min(to, timeS + stepS)];
    return { ...(top ? largest(f, a, b) : smallest(f, a, b)), top };
  });
}

/** First and second derivative of the same nine values, eighth order. */
export function ratesOf(f: InTime, t: number, stepS = 4e-3): readonly [first: number, second: number] {
  const bends = [8 / 5, -1 / 5, 8 / 315, -1 / 560];
  const at = Array.from({ length: 9 }, (_, i) => f(t + (i - 4) * stepS));
  let first = 0;
  let second = (-205 / 72) * at[4];
  for (let k = 1; k <= 4; k++) {
    first += SLOPES[k - 1] * (at[4 + k] - at[4 - k]);
    second += bends[k - 1] * (at[4 + k] + at[4 - k]);
  }
  return [first / stepS, second / stepS ** 2];
}

/** Cubic through values at equal steps, each worked out once: for what is costly and asked for at many times. */
export function onGrid(f: InTime, gridS = 0.03): InTime {
  const known = new Map<number, number>();
  const at = (k: number) => {
    let value = known.get(k);
    if (value === undefined) {
      value = f(k * gridS);
      known.set(k, value);
    }
    return value;
  };
  return (t) => {
    const k = floor(t / gridS);
    const u = t / gridS - k;
    const [a, b, c, d] = [at(k - 1), at(k), at(k + 1), at(k + 2)];
    return (
      (-u * (u - 1) * (u - 2) * a) / 6 +
      ((u + 1) * (u - 1) * (u - 2) * b) / 2 -
      ((u + 1) * u * (u - 2) * c) / 2 +
      ((u + 1) * u * (u - 1) * d) / 6
    );
  };
}
