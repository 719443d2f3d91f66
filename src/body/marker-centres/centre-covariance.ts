import type { PlaceCentre } from './place-centre.ts';

/** Step of the central differences, metres: the derivative of a rotation over 0.2 m is then exact to 1e-9. */
const STEP_M = 1e-5;

/** Where xx xy xz yy yz zz stand in a full 3 × 3. */
const FULL = [0, 1, 2, 1, 3, 4, 2, 4, 5];

/**
 * Covariance of a centre from those of its markers, to first order: Σ J C Jᵀ, markers independent of one another. Written to
 * `out[o …+6]` as xx xy xz yy yz zz; NaN where a marker's is. `covariances`: `6 * markers`.
 *
 * The error of a regression itself is not in it: it lasts.
 */
export function centreCovarianceInto(
  out: Float64Array,
  o: number,
  place: PlaceCentre,
  markers: Float64Array,
  covariances: Float64Array,
): void {
  const plus = new Float64Array(3);
  const minus = new Float64Array(3);
  const moved = markers.slice();
  const jacobian = new Float64Array(9);
  out.fill(0, o, o + 6);
  for (let marker = 0; marker < markers.length / 3; marker++) {
    for (let axis = 0; axis < 3; axis++) {
      const at = 3 * marker + axis;
      moved[at] = markers[at] + STEP_M;
      place(plus, moved);
      moved[at] = markers[at] - STEP_M;
      place(minus, moved);
      moved[at] = markers[at];
      for (let i = 0; i < 3; i++) jacobian[3 * i + axis] = (plus[i] - minus[i]) / (2 * STEP_M);
    }
    let k = 0;
    for (let i = 0; i < 3; i++) {
      for (let j = i; j < 3; j++, k++) {
        for (let a = 0; a < 3; a++) {
          for (let b = 0; b < 3; b++)
            out[o + k] += jacobian[3 * i + a] * covariances[6 * marker + FULL[3 * a + b]] * jacobian[3 * j + b];
        }
      }
    }
  }
}
