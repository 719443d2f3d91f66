import { crossed } from './axes.ts';

/**
 * Least bend of a hinge whose plane is believed, degrees.
 *
 * With independent errors of 5 mm in each coordinate of the three points, the plane's turn about the proximal segment is off
 * by 5 mm · √(1 + (1 + q)² + q²) / (ℓ sin φ), with q = (ℓ / L) cos φ, L and ℓ the lengths of the proximal and the distal
 * segment (docs/method/angles.md): 3.1° at the knee (0.42 and 0.43 m), 4.9° at the elbow (0.28 and 0.26 m) at 30° of bend,
 * four and more times as much below 8°. A knee that is no pure hinge adds to it: 3° of varus turn the plane by 6° at 30° of bend.
 */
export const LEAST_HINGE_BEND_DEG = 30;

/** Largest bend, degrees: the same formula gives 4.3° for an elbow folded to 160° (a racked bar has 150–155°), 5.7° at 165°. */
export const LARGEST_HINGE_BEND_DEG = 160;

const LEAST_SINE = Math.sin((LEAST_HINGE_BEND_DEG * Math.PI) / 180);
const LEAST_SINE_FOLDED = Math.sin((LARGEST_HINGE_BEND_DEG * Math.PI) / 180);

/**
 * Unit normal of the plane in which a joint is bent, `3 * frame`; NaN where it is bent too little or too much. `a`, `b`: unit
 * vectors along its two segments, away from it, whose cross product points to the lifter's right when it is bent its own way.
 */
export function flexionNormal(a: Float64Array, b: Float64Array): Float64Array {
  const { sqrt } = Math;
  const out = crossed(a, b);
  for (let i = 0; i < out.length; i += 3) {
    const sine = sqrt(out[i] * out[i] + out[i + 1] * out[i + 1] + out[i + 2] * out[i + 2]);
    const isFolded = a[i] * b[i] + a[i + 1] * b[i + 1] + a[i + 2] * b[i + 2] > 0;
    const scale = sine >= (isFolded ? LEAST_SINE_FOLDED : LEAST_SINE) ? 1 / sine : Number.NaN;
    out[i] *= scale;
    out[i + 1] *= scale;
    out[i + 2] *= scale;
  }
  return out;
}
