/**
 * Values, or derivatives of order `derivative`, at time t of the degree + 1 B-splines that are not zero between
 * knots[interval] and knots[interval + 1], written to `out` from place 0: splines interval − degree … interval, where spline
 * j lives on knots[j] … knots[j + degree + 1] (de Boor 1978, ch. X, recurrences 4 and 8). derivative ≤ degree.
 */
export function bSplinesInto(
  out: Float64Array,
  knots: Float64Array,
  interval: number,
  t: number,
  degree: number,
  derivative: number,
): void {
  out.fill(0, 0, degree + 1);
  out[0] = 1;
  for (let d = 1; d <= degree; d++) {
    // out[0 … d − 1] holds degree d − 1, splines interval − d + 1 … interval; after the loop degree d.
    const differentiate = d > degree - derivative;
    let carried = 0;
    for (let r = 0; r < d; r++) {
      const left = knots[interval + 1 - d + r];
      const right = knots[interval + 1 + r];
      const share = out[r] / (right - left);
      out[r] = differentiate ? carried - d * share : carried + (right - t) * share;
      carried = differentiate ? d * share : (t - left) * share;
    }
    out[d] = carried;
  }
}
