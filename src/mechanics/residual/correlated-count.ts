/**
 * How many frames of a residual make one independent value: the integrated autocorrelation time 1 + 2 Σ ρ(k), summed up to the
 * first lag of two and a half times itself (Sokal A (1997) Monte Carlo methods in statistical mechanics, in Functional Integration, §3:
 * the window that balances what is cut off against the noise of the tail). Deviations from the series' own mean make every
 * ρ(k) too small by about time / n; the sum is raised by (2 W + 1) / n for it (Wolff U (2004) Comput Phys Commun 156:143–153,
 * from memory). At least 1. x: stretches may be joined.
 */
export function framesPerIndependentValue(x: ArrayLike<number>): number {
  const n = x.length;
  let sum = 0;
  for (let i = 0; i < n; i++) sum += x[i];
  const mean = sum / n;
  let variance = 0;
  for (let i = 0; i < n; i++) variance += (x[i] - mean) ** 2;
  if (!(variance > 0)) return 1;
  let time = 1;
  let lag = 1;
  for (; lag < n && lag < WINDOW * time; lag++) {
    let covariance = 0;
    for (let i = lag; i < n; i++) covariance += (x[i] - mean) * (x[i - lag] - mean);
    time += (2 * covariance) / variance;
  }
  return Math.max(1, time * (1 + (2 * lag - 1) / n));
}

/** Five of Sokal's times, ½ + Σ ρ(k), which are half of the sum here. */
const WINDOW = 2.5;
