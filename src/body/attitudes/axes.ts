/** Index of an axis of a part: X 0, Y 1, Z 2. */
export type AxisIndex = 0 | 1 | 2;

/**
 * labFromPart, row-major 3 × 3, `9 * frame`: axis `first` lies exactly along `exact`, axis `second` as near to `near` as it can
 * (square to the first, in the plane of the two), the third completes a right-handed frame. Directions `3 * frame`, of any
 * length, lab frame. All nine numbers are NaN where a direction is not known or the two are parallel.
 */
export function axesFrom(first: AxisIndex, exact: Float64Array, second: AxisIndex, near: Float64Array): Float64Array {
  const out = new Float64Array(3 * exact.length);
  for (let i = 0, o = 0; i < exact.length; i += 3, o += 9) axesInto(out, o, first, exact, i, second, near, i);
  return out;
}

/** `axesFrom` of one frame: directions at `exact[e …+3]`, `near[n …+3]`, axes to `out[o …+9]`. */
export function axesInto(
  out: Float64Array,
  o: number,
  first: AxisIndex,
  exact: Float64Array,
  e: number,
  second: AxisIndex,
  near: Float64Array,
  n: number,
): void {
  const { sqrt } = Math;
  const third = 3 - first - second;
  // first × second = third where the three follow one another as X, Y, Z do; otherwise its opposite.
  const sign = (first + 1) % 3 === second ? 1 : -1;
  let ax = exact[e];
  let ay = exact[e + 1];
  let az = exact[e + 2];
  const a = 1 / sqrt(ax * ax + ay * ay + az * az);
  ax *= a;
  ay *= a;
  az *= a;
  let cx = ay * near[n + 2] - az * near[n + 1];
  let cy = az * near[n] - ax * near[n + 2];
  let cz = ax * near[n + 1] - ay * near[n];
  const length = sqrt(cx * cx + cy * cy + cz * cz);
  const c = length > 0 && a > 0 ? sign / length : Number.NaN;
  cx *= c;
  cy *= c;
  cz *= c;
  const known = Number.isFinite(cx + cy + cz);
  const unknown = known ? 0 : Number.NaN;
  out[o + first] = ax + unknown;
  out[o + 3 + first] = ay + unknown;
  out[o + 6 + first] = az + unknown;
  out[o + second] = sign * (cy * az - cz * ay) + unknown;
  out[o + 3 + second] = sign * (cz * ax - cx * az) + unknown;
  out[o + 6 + second] = sign * (cx * ay - cy * ax) + unknown;
  out[o + third] = cx + unknown;
  out[o + 3 + third] = cy + unknown;
  out[o + 6 + third] = cz + unknown;
}

/** One axis of a part over time, `3 * frame`. */
export function axisOf(labFromPart: Float64Array, axis: AxisIndex): Float64Array {
  const out = new Float64Array(labFromPart.length / 3);
  for (let i = 0, m = axis; i < out.length; i += 3, m += 9) {
    out[i] = labFromPart[m];
    out[i + 1] = labFromPart[m + 3];
    out[i + 2] = labFromPart[m + 6];
  }
  return out;
}

/** Cross product of two directions over time, `3 * frame`. */
export function crossed(a: Float64Array, b: Float64Array): Float64Array {
  const out = new Float64Array(a.length);
  for (let i = 0; i < out.length; i += 3) {
    out[i] = a[i + 1] * b[i + 2] - a[i + 2] * b[i + 1];
    out[i + 1] = a[i + 2] * b[i] - a[i] * b[i + 2];
    out[i + 2] = a[i] * b[i + 1] - a[i + 1] * b[i];
  }
  return out;
}

/** Axes that are known in no frame. */
export function unknownAxes(frames: number): Float64Array {
  return new Float64Array(9 * frames).fill(Number.NaN);
}
