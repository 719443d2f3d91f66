/**
 * Probability that a standard normal variable does not exceed x. Within ±6: φ(x) Σ x^(2k+1) / (1·3·5 … (2k+1)) beside ½
 * (Marsaglia 2004, J. Stat. Softw. 11(4)); beyond: the continued fraction of Laplace (Abramowitz & Stegun 1964, 26.2.14).
 */
export function normalProbability(x: number): number {
  const density = Math.exp(-0.5 * x * x) / Math.sqrt(2 * Math.PI);
  if (Math.abs(x) < 6) {
    let term = x;
    let sum = x;
    for (let k = 3; Math.abs(term) > 1e-17 * Math.abs(sum); k += 2) {
      term *= (x * x) / k;
      sum += term;
    }
    return Math.min(1, Math.max(0, 0.5 + density * sum));
  }
  const size = Math.abs(x);
  let fraction = size;
  for (let k = 60; k >= 1; k--) fraction = size + k / fraction;
  const tail = density / fraction;
  return x < 0 ? tail : 1 - tail;
}
