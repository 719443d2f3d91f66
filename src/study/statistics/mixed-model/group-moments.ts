import type { Standardised } from './standardised.ts';

/**
 * Sums of products of each group's rows, all that the likelihood needs of the data. m groups, k random effects, p fixed.
 * The response is what ordinary least squares leaves of it, so that small residuals of large values keep their digits.
 */
export interface GroupMoments {
  readonly rows: number;
  readonly groups: number;
  readonly k: number;
  readonly p: number;
  /** m × k × k, m × k × p, m × k: Z̃ᵀZ̃, Z̃ᵀQ, Z̃ᵀe. */
  readonly zz: Float64Array;
  readonly zx: Float64Array;
  readonly ze: Float64Array;
  /** Over all rows: QᵀQ, Qᵀe, eᵀe. */
  readonly xx: Float64Array;
  readonly xe: Float64Array;
  readonly ee: number;
  /** γ of ordinary least squares, to be added to what is fitted to e. */
  readonly start: Float64Array;
}

/** Of the parts that hold no response; they stay as they are when a response is drawn anew. */
export interface DesignMoments extends Pick<GroupMoments, 'rows' | 'groups' | 'k' | 'p' | 'zz' | 'zx' | 'xx'> {}

export function designMoments({
  rows,
  effects: p,
  randomEffects: k,
  groups,
  groupOf,
  q,
  z,
}: Standardised): DesignMoments {
  const zz = new Float64Array(groups * k * k);
  const zx = new Float64Array(groups * k * p);
  const xx = new Float64Array(p * p);
  for (let row = 0; row < rows; row++) {
    const zAt = row * k;
    const qAt = row * p;
    for (let i = 0; i < k; i++) {
      const zi = z[zAt + i];
      const zzAt = (groupOf[row] * k + i) * k;
      const zxAt = (groupOf[row] * k + i) * p;
      for (let j = 0; j < k; j++) zz[zzAt + j] += zi * z[zAt + j];
      for (let j = 0; j < p; j++) zx[zxAt + j] += zi * q[qAt + j];
    }
    for (let i = 0; i < p; i++) for (let j = 0; j < p; j++) xx[i * p + j] += q[qAt + i] * q[qAt + j];
  }
  return { rows, groups, k, p, zz, zx, xx };
}

/** Adds the moments of a response, one value a row. */
export function withResponse(moments: DesignMoments, design: Standardised, response: Float64Array): GroupMoments {
  const { rows, groups, k, p } = moments;
  const { q, z, groupOf } = design;
  const start = new Float64Array(p);
  const e = response.slice();
  const part = new Float64Array(p);
  // Twice: the second pass takes away the rounding that the first leaves along Q.
  for (let pass = 0; pass < 2; pass++) {
    part.fill(0);
    for (let row = 0; row < rows; row++) for (let j = 0; j < p; j++) part[j] += q[row * p + j] * e[row];
    for (let row = 0; row < rows; row++) for (let j = 0; j < p; j++) e[row] -= q[row * p + j] * part[j];
    for (let j = 0; j < p; j++) start[j] += part[j];
  }
  const ze = new Float64Array(groups * k);
  const xe = new Float64Array(p);
  let ee = 0;
  for (let row = 0; row < rows; row++) {
    for (let i = 0; i < k; i++) ze[groupOf[row] * k + i] += z[row * k + i] * e[row];
    for (let j = 0; j < p; j++) xe[j] += q[row * p + j] * e[row];
    ee += e[row] * e[row];
  }
  return { ...moments, ze, xe, ee, start };
}
