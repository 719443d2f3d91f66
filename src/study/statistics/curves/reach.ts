/* What a number of athletes can reach at all: the smallest p of each design, and the athletes a level needs. */

/** Pairs: all signs alike, or all turned: 2 of 2^n patterns give the largest |t|. */
export const smallestPaired = (n: number): number => 2 / 2 ** n;

/** Two groups: one division of C(n, n_A), or two of equal groups, where exchanging the names changes nothing. */
export function smallestGroups(inA: number, inB: number): number {
  let divisions = 1;
  for (let k = 1; k <= Math.min(inA, inB); k++) divisions = (divisions * (inA + inB + 1 - k)) / k;
  return Math.min(1, (inA === inB ? 2 : 1) / divisions);
}

/** Fewest n for which `smallest(n)` is no more than alpha. */
export function fewest(smallest: (n: number) => number, alpha: number): number {
  let n = 2;
  while (smallest(n) > alpha * (1 + 1e-9)) n++;
  return n;
}

/** A covariate: one order of n! is the best; with equal values fewer are different, and with values even about their mean two are equally good. */
export function smallestCovariate(values: ArrayLike<number>, orders: number): number {
  const ascending = Float64Array.from(values).sort();
  const last = ascending.length - 1;
  const reach = ascending[last] - ascending[0];
  const middle = ascending[last] + ascending[0];
  const even = ascending.every((value, i) => Math.abs(value + ascending[last - i] - middle) <= 1e-12 * reach);
  return Math.min(1, (even ? 2 : 1) / orders);
}
