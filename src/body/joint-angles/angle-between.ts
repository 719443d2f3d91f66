/**
 * Bend of a joint from the long axes of its two segments, radians: 0 = in line. Unit vectors that point the same way when straight,
 * `3 * frame`. By atan2 of cross and dot product, exact also near 0.
 */
export function angleBetween(a: Float64Array, b: Float64Array): Float64Array {
  const { atan2, sqrt } = Math;
  const out = new Float64Array(a.length / 3);
  for (let f = 0, i = 0; f < out.length; f++, i += 3) {
    const x = a[i + 1] * b[i + 2] - a[i + 2] * b[i + 1];
    const y = a[i + 2] * b[i] - a[i] * b[i + 2];
    const z = a[i] * b[i + 1] - a[i + 1] * b[i];
    out[f] = atan2(sqrt(x * x + y * y + z * z), a[i] * b[i] + a[i + 1] * b[i + 1] + a[i + 2] * b[i + 2]);
  }
  return out;
}
