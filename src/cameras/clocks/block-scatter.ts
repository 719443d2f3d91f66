import { GUARD_BLOCK_S } from './limits.ts';
import type { Scatter } from './steady-scatter.ts';
import { type Work, weightOf } from './timing-least-squares.ts';

/** Variance of Σ weight · regressor · residual by sums over blocks of time, all series together. */
export function blockScatter(work: Work): Scatter {
  const { series, p } = work;
  const size = series.residual.length;
  const length = Math.round(GUARD_BLOCK_S / series.stepS);
  const blocks = Math.max(1, Math.floor(series.count / length));
  const sums = new Float64Array(blocks * p);
  const shares = new Float64Array(blocks * p);
  for (let s = 0; s < series.keys.length; s++) {
    const weight = weightOf(work, s);
    if (weight === 0) continue;
    for (let i = 0; i < series.count; i++) {
      const at = s * series.count + i;
      if (!work.use[at]) continue;
      const block = Math.min(blocks - 1, Math.floor(i / length));
      for (let j = 0; j < p; j++) {
        const x = (weight * work.regressor[j * size + at]) / (work.rise[at] * work.rise[at]);
        sums[block * p + j] += x * work.residual[at];
        shares[block * p + j] += x * work.regressor[j * size + at];
      }
    }
  }
  const scatter = new Float64Array(p * p);
  const freedom = new Float64Array(p);
  for (let j = 0; j < p; j++) {
    let whole = 0;
    let squares = 0;
    for (let block = 0; block < blocks; block++) {
      whole += shares[block * p + j];
      squares += shares[block * p + j] ** 2;
    }
    freedom[j] = (whole * whole) / squares - 1;
  }
  for (let block = 0; block < blocks; block++) {
    for (let j = 0; j < p; j++) {
      for (let k = 0; k < p; k++) {
        const grown = Math.sqrt(((freedom[j] + 1) / freedom[j]) * ((freedom[k] + 1) / freedom[k]));
        scatter[j * p + k] += sums[block * p + j] * sums[block * p + k] * grown;
      }
    }
  }
  return { scatter, freedom };
}
