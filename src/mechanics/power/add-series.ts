/** Adds `sign` times a series to another, value by value. */
export function addSeriesInto(out: Float64Array, values: Float64Array, sign: 1 | -1): void {
  for (let f = 0; f < out.length; f++) out[f] += sign * values[f];
}
