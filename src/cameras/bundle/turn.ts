/**
 * exp(δ) R to out[o … o + 8] (Rodrigues 1840): the rotation R at r[ro …], row-major, turned further by the small rotation
 * vector δ at delta[d …], rad. Allocates nothing; `out` is not `r`.
 */
export function turnInto(
  out: Float64Array,
  o: number,
  r: Float64Array,
  ro: number,
  delta: Float64Array,
  d: number,
): void {
  const x = delta[d];
  const y = delta[d + 1];
  const z = delta[d + 2];
  const half = 0.5 * Math.sqrt(x * x + y * y + z * z);
  const ratio = half > 0 ? Math.sin(half) / half : 1;
  const a = ratio * Math.cos(half);
  const b = 0.5 * ratio * ratio;
  const e0 = 1 - b * (y * y + z * z);
  const e1 = b * x * y - a * z;
  const e2 = b * x * z + a * y;
  const e3 = b * x * y + a * z;
  const e4 = 1 - b * (x * x + z * z);
  const e5 = b * y * z - a * x;
  const e6 = b * x * z - a * y;
  const e7 = b * y * z + a * x;
  const e8 = 1 - b * (x * x + y * y);
  for (let k = 0; k < 3; k++) {
    const p = r[ro + k];
    const q = r[ro + 3 + k];
    const s = r[ro + 6 + k];
    out[o + k] = e0 * p + e1 * q + e2 * s;
    out[o + 3 + k] = e3 * p + e4 * q + e5 * s;
    out[o + 6 + k] = e6 * p + e7 * q + e8 * s;
  }
}
