/*
 * The statistic of all curve tests: at each place the share of variance R² that the tested effect explains, t² = ν R² / (1 − R²);
 * over the places the largest |t|. Places with different numbers of athletes have different freedoms ν, and a t of few athletes
 * is large by itself; so each t is carried to nearly standard normal size before the largest is taken.
 */

// Hoisted: some test runners make every look-up of a global slow.
const { sqrt, log1p } = Math;

/** What turns R² into a statistic, per place. */
export interface StatisticScale {
  /** ν ((8ν + 1)/(8ν + 3))², 0 where the place takes no part. */
  readonly weight: Float64Array;
  /** Weight of all places that take part; NaN where they differ. */
  readonly common: number;
}

/** R² as near to 1 as this is 1: no spread is left, and rounding decides the rest. */
export const NO_SPREAD = 1e-12;

/** @param freedom ν per place, NaN or 0 where the place takes no part */
export function statisticScale(freedom: ArrayLike<number>): StatisticScale {
  const weight = Float64Array.from(freedom, (nu) => (nu > 0 ? nu * ((8 * nu + 1) / (8 * nu + 3)) ** 2 : 0));
  const part = weight.filter((w) => w > 0);
  return { weight, common: part.length > 0 && part.every((w) => w === part[0]) ? part[0] : Number.NaN };
}

/**
 * |t| on nearly standard normal scale: z = (8ν + 1)/(8ν + 3) √(ν ln(1 + t²/ν)) (Wallace 1959, Ann. Math. Statist. 30:1124), with
 * 1 + t²/ν = 1/(1 − R²). It need not be exactly normal: any rising function of t makes a valid permutation test. Infinity where R² = 1.
 */
export function zOf(r2: number, weight: number): number {
  return r2 >= 1 - NO_SPREAD ? Number.POSITIVE_INFINITY : sqrt(-weight * log1p(-r2));
}

/** |t| of which `zOf` makes z, for ν degrees of freedom. */
export function tOfZ(z: number, freedom: number): number {
  const c = (8 * freedom + 1) / (8 * freedom + 3);
  return Math.sqrt(freedom * Math.expm1((z * z) / (c * c * freedom)));
}

/** Largest z over the places; r2 is 0 where a place takes no part. Allocates nothing. */
export function largestZ(r2: Float64Array, { weight, common }: StatisticScale): number {
  let most = 0;
  if (common > 0) {
    for (let p = 0; p < r2.length; p++) if (r2[p] > most) most = r2[p];
    return zOf(most, common);
  }
  for (let p = 0; p < r2.length; p++) {
    if (r2[p] === 0) continue;
    const z2 = r2[p] >= 1 - NO_SPREAD ? Number.POSITIVE_INFINITY : -weight[p] * log1p(-r2[p]);
    if (z2 > most) most = z2;
  }
  return sqrt(most);
}
