import { studentProbability } from '../../numerics/student.ts';

/** As good as the normal distribution. */
const MOST_FREEDOM = 1e6;

/**
 * Freedom of a sum of variances of which some are estimated (Welch 1947 Biometrika 34:28–35, Satterthwaite 1946 Biometrics
 * Bulletin 2:110–114): sum² / Σ (estimated² / its freedom).
 *
 * @param perFreedom Σ (estimated² / its freedom); 0 where all is known
 */
export function welchFreedom(variance: number, perFreedom: number): number {
  return perFreedom > 0 ? Math.max(1, Math.min(MOST_FREEDOM, variance ** 2 / perFreedom)) : MOST_FREEDOM;
}

/** Probability that Student's t lies beyond ± `size`, size ≥ 0; 1 for NaN (nothing against nothing). */
export function beyond(size: number, freedom: number): number {
  if (Number.isNaN(size)) return 1;
  return size === Number.POSITIVE_INFINITY ? 0 : 2 * studentProbability(-size, freedom);
}
