/*
 * Bandwidth of the smoother that minimises Σ (y − f)² + λ ∫ (f⁽ᵐ⁾)² dt: the smoothing spline of degree 2m − 1, which is
 * also the best estimate of an m-fold integrated white noise (Wahba 1978). λ is found for a −3 dB point, so that the
 * cut-off means the same as that of the zero-lag filter.
 *
 * Samples dt apart, far from the ends: the gain at the samples is 1 / (1 + λ dt / A(ω)), A(ω) = Σ_k (ω + 2πk/dt)^(−2m) over
 * all whole k, in closed form below (derivatives of Σ_k (x + k)^(−2) = π² / sin² πx). For ω dt ≪ 1, A = ω^(−2m).
 */

/** m: 2 = cubic spline, white acceleration; 3 = fifth-degree spline, white jerk. */
export type SmoothnessOrder = 2 | 3;

/** λ (unit s^(2m − 1)) that puts the −3 dB point at `cutoffHz`. Needs 0 < cutoffHz < rateHz / 2, else RangeError. */
export function smoothnessWeight(cutoffHz: number, rateHz: number, order: SmoothnessOrder): number {
  if (!(rateHz > 0 && cutoffHz > 0 && cutoffHz < rateHz / 2)) {
    throw new RangeError(`smoothing spline: ${cutoffHz} Hz is not between 0 and half the rate ${rateHz} Hz`);
  }
  return (Math.SQRT2 - 1) * rateHz * aliasedPower(cutoffHz, rateHz, order);
}

/** Gain (0 … 1) at frequency `hz` of the smoother whose −3 dB point is `cutoffHz`; its phase is zero. */
export function splineGain(hz: number, cutoffHz: number, rateHz: number, order: SmoothnessOrder): number {
  if (hz === 0) return 1;
  const lost = (Math.SQRT2 - 1) * aliasedPower(cutoffHz, rateHz, order);
  return 1 / (1 + lost / aliasedPower(hz, rateHz, order));
}

/** A(2π hz), s^(2m). */
function aliasedPower(hz: number, rateHz: number, order: SmoothnessOrder): number {
  const u = 1 / Math.sin((Math.PI * hz) / rateHz) ** 2;
  const half = 1 / (2 * rateHz);
  return order === 2 ? half ** 4 * u * (u - 2 / 3) : half ** 6 * u * (u * (u - 1) + 2 / 15);
}
