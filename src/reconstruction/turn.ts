import { apply3Into } from '../numerics/rotation.ts';

/** Turns n points in place by a rotation about Y. position: 3 × n. */
export function turnPoints(position: Float64Array, turn: Float64Array): void {
  for (let o = 0; o < position.length; o += 3) apply3Into(position, o, turn, position, o);
}

/** R C Rᵀ in place for n covariances. covariance: 6 × n, upper triangle xx xy xz yy yz zz. turn: a row-major 3 × 3. */
export function turnCovariances(covariance: Float64Array, turn: Float64Array): void {
  const [r0, r1, r2, r3, r4, r5, r6, r7, r8] = turn;
  for (let o = 0; o < covariance.length; o += 6) {
    const xx = covariance[o];
    const xy = covariance[o + 1];
    const xz = covariance[o + 2];
    const yy = covariance[o + 3];
    const yz = covariance[o + 4];
    const zz = covariance[o + 5];
    // Rows of R C.
    const a0 = r0 * xx + r1 * xy + r2 * xz;
    const a1 = r0 * xy + r1 * yy + r2 * yz;
    const a2 = r0 * xz + r1 * yz + r2 * zz;
    const b0 = r3 * xx + r4 * xy + r5 * xz;
    const b1 = r3 * xy + r4 * yy + r5 * yz;
    const b2 = r3 * xz + r4 * yz + r5 * zz;
    const c0 = r6 * xx + r7 * xy + r8 * xz;
    const c1 = r6 * xy + r7 * yy + r8 * yz;
    const c2 = r6 * xz + r7 * yz + r8 * zz;
    covariance[o] = a0 * r0 + a1 * r1 + a2 * r2;
    covariance[o + 1] = a0 * r3 + a1 * r4 + a2 * r5;
    covariance[o + 2] = a0 * r6 + a1 * r7 + a2 * r8;
    covariance[o + 3] = b0 * r3 + b1 * r4 + b2 * r5;
    covariance[o + 4] = b0 * r6 + b1 * r7 + b2 * r8;
    covariance[o + 5] = c0 * r6 + c1 * r7 + c2 * r8;
  }
}
