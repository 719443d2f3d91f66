import { projectWithPointJacobianInto } from '../cameras/camera-model.ts';
import type { Camera } from '../cameras/rig.ts';

/** Most views a point map is written for; more need more room only. */
const MOST_VIEWS = 32;

const pixel = new Float64Array(2);
const jacobians = new Float64Array(6 * MOST_VIEWS);

/**
 * How a point (lab axes, metres) answers its pixels, first order: X = X₀ + A δ, to out[o … o + 6 views − 1], 3 × (2 · views)
 * row-major. With W the weights of the views and J the derivatives of the pixels by the point, A = (JᵀWJ)⁻¹ JᵀW, turned to
 * lab axes: the derivative of the least weighted reprojection distance (Hartley & Zisserman 2004, sec. 5.2). Columns of views
 * without a part are 0. Returns false (and writes 0) where fewer than two views have a part or they do not fix the point.
 * turn: labFromWorld, row-major 3 × 3; x, y, z: lab. used: one a view from `u` on; weight: one a view from `w` on.
 */
export function pointMapInto(
  out: Float64Array | Float32Array,
  o: number,
  cameras: readonly Camera[],
  used: ArrayLike<number> | null,
  u: number,
  weight: ArrayLike<number>,
  w: number,
  turn: ArrayLike<number>,
  x: number,
  y: number,
  z: number,
): boolean {
  const views = cameras.length;
  const wx = turn[0] * x + turn[3] * y + turn[6] * z;
  const wy = turn[1] * x + turn[4] * y + turn[7] * z;
  const wz = turn[2] * x + turn[5] * y + turn[8] * z;
  let n0 = 0;
  let n1 = 0;
  let n2 = 0;
  let n3 = 0;
  let n4 = 0;
  let n5 = 0;
  let count = 0;
  for (let v = 0; v < views; v++) {
    if (used !== null && used[u + v] === 0) continue;
    const j = 6 * v;
    projectWithPointJacobianInto(pixel, 0, jacobians, j, cameras[v], wx, wy, wz);
    const [a, b, c] = [jacobians[j], jacobians[j + 1], jacobians[j + 2]];
    const [d, e, f] = [jacobians[j + 3], jacobians[j + 4], jacobians[j + 5]];
    const s = weight[w + v];
    n0 += s * (a * a + d * d);
    n1 += s * (a * b + d * e);
    n2 += s * (a * c + d * f);
    n3 += s * (b * b + e * e);
    n4 += s * (b * c + e * f);
    n5 += s * (c * c + f * f);
    count++;
  }
  const width = 2 * views;
  for (let i = 0; i < 3 * width; i++) out[o + i] = 0;
  const c0 = n3 * n5 - n4 * n4;
  const c1 = n2 * n4 - n1 * n5;
  const c2 = n1 * n4 - n2 * n3;
  const determinant = n0 * c0 + n1 * c1 + n2 * c2;
  if (count < 2 || !(determinant > 0)) return false;
  const scale = 1 / determinant;
  const i0 = c0 * scale;
  const i1 = c1 * scale;
  const i2 = c2 * scale;
  const i3 = (n0 * n5 - n2 * n2) * scale;
  const i4 = (n1 * n2 - n0 * n4) * scale;
  const i5 = (n0 * n3 - n1 * n1) * scale;
  for (let v = 0; v < views; v++) {
    if (used !== null && used[u + v] === 0) continue;
    const s = weight[w + v];
    for (let row = 0; row < 2; row++) {
      const j = 6 * v + 3 * row;
      const px = s * (i0 * jacobians[j] + i1 * jacobians[j + 1] + i2 * jacobians[j + 2]);
      const py = s * (i1 * jacobians[j] + i3 * jacobians[j + 1] + i4 * jacobians[j + 2]);
      const pz = s * (i2 * jacobians[j] + i4 * jacobians[j + 1] + i5 * jacobians[j + 2]);
      const column = o + 2 * v + row;
      out[column] = turn[0] * px + turn[1] * py + turn[2] * pz;
      out[column + width] = turn[3] * px + turn[4] * py + turn[5] * pz;
      out[column + 2 * width] = turn[6] * px + turn[7] * py + turn[8] * pz;
    }
  }
  return true;
}
