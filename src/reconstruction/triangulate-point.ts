import { projectWithPointJacobianInto, undistortInto } from '../cameras/camera-model.ts';
import type { Camera } from '../cameras/rig.ts';
import { SampleStatus, type SampleStatusCode } from '../capture/sample-status.ts';
import { smallestEigenvector4Into } from '../numerics/symmetric-eigen.ts';
import { LEAST_RAY_ANGLE_DEG } from './limits.ts';

/** Gauss–Newton takes a step below this (metres) as its last: less than 1e-3 px at any filming distance; what is left after it is a thousandth of it. */
const STEP_TOLERANCE_M = 1e-7;
const MAX_STEPS = 30;
const MAX_HALVINGS = 6;

const PARALLEL_COSINE = Math.cos((LEAST_RAY_ANGLE_DEG * Math.PI) / 180);

/**
 * One point seen by any number of cameras: its input, its result and the scratch of the solver, allocated once.
 * The caller writes `pixel` and `use`; `triangulatePoint` writes the rest.
 */
export interface PointProblem {
  readonly cameras: readonly Camera[];
  /** 2 × views, px. */
  readonly pixel: Float64Array;
  /** One a view: 1 = take this view. Views whose lens cannot be inverted at the pixel are passed over. */
  readonly use: Uint8Array;
  /** Inverse variance of each view's pixels relative to the others; all 1 unless the caller knows better. */
  readonly weight: Float64Array;

  /** x, y, z, metres, in the rig's world. */
  readonly position: Float64Array;
  /** (JᵀWJ)⁻¹, m²/px², upper triangle xx xy xz yy yz zz: times the pixel variance it is the covariance. */
  readonly cofactor: Float64Array;
  /** Squared reprojection distance of each view, px²; NaN for a view not taken. */
  readonly squaredResidual: Float64Array;
  /** [weighted sum of squared residuals px², views taken, degrees of freedom 2 · views − 3]. */
  readonly summary: Float64Array;

  /** Normalised image coordinates, 2 × views; then 3 × views ray directions in the world. */
  readonly ray: Float64Array;
  readonly direction: Float64Array;
  readonly taken: Uint8Array;
  readonly normal: Float64Array;
  readonly homogeneous: Float64Array;
  readonly gradient: Float64Array;
  readonly step: Float64Array;
  readonly projected: Float64Array;
  readonly jacobian: Float64Array;
}

export function pointProblem(cameras: readonly Camera[]): PointProblem {
  const views = cameras.length;
  return {
    cameras,
    pixel: new Float64Array(2 * views),
    use: new Uint8Array(views).fill(1),
    weight: new Float64Array(views).fill(1),
    position: new Float64Array(3),
    cofactor: new Float64Array(6),
    squaredResidual: new Float64Array(views),
    summary: new Float64Array(3),
    ray: new Float64Array(2 * views),
    direction: new Float64Array(3 * views),
    taken: new Uint8Array(views),
    normal: new Float64Array(16),
    homogeneous: new Float64Array(4),
    gradient: new Float64Array(3),
    step: new Float64Array(3),
    projected: new Float64Array(2),
    jacobian: new Float64Array(6),
  };
}

/**
 * The point nearest to all its images: least weighted sum of squared reprojection distances in raw pixels.
 *
 * Undistort, linear DLT on normalised rays (Abdel-Aziz & Karara 1971; Hartley & Zisserman 2004, sec. 12.2), then
 * Gauss–Newton on the distances (ibid. sec. 12.3: the maximum likelihood point under equal normal pixel noise).
 * Returns the status: seen, or occluded (fewer than two views), outlier (no lens inverse in a view leaves fewer than
 * two), parallelRays, behindCamera. Position and cofactor are numbers only where it is seen. Allocates nothing.
 */
export function triangulatePoint(problem: PointProblem): SampleStatusCode {
  const reason = castRays(problem);
  if (reason !== SampleStatus.seen) return reject(problem, reason);
  if (!raysMeet(problem)) return reject(problem, SampleStatus.parallelRays);
  if (!startLinear(problem)) return reject(problem, SampleStatus.parallelRays);
  if (!isInFront(problem)) return reject(problem, SampleStatus.behindCamera);
  if (!refine(problem)) return reject(problem, SampleStatus.parallelRays);
  if (!isInFront(problem)) return reject(problem, SampleStatus.behindCamera);
  return SampleStatus.seen;
}

function reject(problem: PointProblem, status: SampleStatusCode): SampleStatusCode {
  problem.position.fill(Number.NaN);
  problem.cofactor.fill(Number.NaN);
  problem.squaredResidual.fill(Number.NaN);
  problem.summary[0] = Number.NaN;
  return status;
}

/** Normalised coordinates of every taken view, and the unit direction of its ray in the world. */
function castRays(problem: PointProblem): SampleStatusCode {
  const { cameras, pixel, ray, direction, taken, use } = problem;
  let offered = 0;
  let count = 0;
  for (let v = 0; v < cameras.length; v++) {
    taken[v] = 0;
    problem.squaredResidual[v] = Number.NaN;
    if (use[v] === 0) continue;
    offered++;
    const camera = cameras[v];
    undistortInto(ray, 2 * v, camera, pixel[2 * v], pixel[2 * v + 1]);
    const x = ray[2 * v];
    const y = ray[2 * v + 1];
    if (!Number.isFinite(x) || !Number.isFinite(y)) continue;
    const r = camera.rotation;
    const scale = 1 / Math.sqrt(x * x + y * y + 1);
    direction[3 * v] = (r[0] * x + r[3] * y + r[6]) * scale;
    direction[3 * v + 1] = (r[1] * x + r[4] * y + r[7]) * scale;
    direction[3 * v + 2] = (r[2] * x + r[5] * y + r[8]) * scale;
    taken[v] = 1;
    count++;
  }
  problem.summary[1] = count;
  problem.summary[2] = 2 * count - 3;
  if (count >= 2) return SampleStatus.seen;
  return offered >= 2 ? SampleStatus.outlier : SampleStatus.occluded;
}

/** Whether some pair of rays differs in direction by at least the limit (rays that face each other count as parallel). */
function raysMeet({ cameras, direction, taken }: PointProblem): boolean {
  for (let a = 0; a < cameras.length; a++) {
    if (taken[a] === 0) continue;
    for (let b = a + 1; b < cameras.length; b++) {
      if (taken[b] === 0) continue;
      const cosine =
        direction[3 * a] * direction[3 * b] +
        direction[3 * a + 1] * direction[3 * b + 1] +
        direction[3 * a + 2] * direction[3 * b + 2];
      if (Math.abs(cosine) <= PARALLEL_COSINE) return true;
    }
  }
  return false;
}

/** Linear DLT: the homogeneous point of least |A X|, two rows x P₃ − P₁ and y P₃ − P₂ a view, P = [R | t]. */
function startLinear(problem: PointProblem): boolean {
  const { cameras, ray, taken, weight, normal, homogeneous, position } = problem;
  normal.fill(0);
  for (let v = 0; v < cameras.length; v++) {
    if (taken[v] === 0) continue;
    const { rotation: r, translation: t } = cameras[v];
    for (let row = 0; row < 2; row++) {
      const c = ray[2 * v + row];
      const o = 3 * row;
      const a0 = c * r[6] - r[o];
      const a1 = c * r[7] - r[o + 1];
      const a2 = c * r[8] - r[o + 2];
      const a3 = c * t[2] - t[row];
      const w = weight[v];
      normal[0] += w * a0 * a0;
      normal[1] += w * a0 * a1;
      normal[2] += w * a0 * a2;
      normal[3] += w * a0 * a3;
      normal[5] += w * a1 * a1;
      normal[6] += w * a1 * a2;
      normal[7] += w * a1 * a3;
      normal[10] += w * a2 * a2;
      normal[11] += w * a2 * a3;
      normal[15] += w * a3 * a3;
    }
  }
  normal[4] = normal[1];
  normal[8] = normal[2];
  normal[12] = normal[3];
  normal[9] = normal[6];
  normal[13] = normal[7];
  normal[14] = normal[11];
  smallestEigenvector4Into(homogeneous, 0, normal);
  const scale = 1 / homogeneous[3];
  position[0] = homogeneous[0] * scale;
  position[1] = homogeneous[1] * scale;
  position[2] = homogeneous[2] * scale;
  return Number.isFinite(position[0]) && Number.isFinite(position[1]) && Number.isFinite(position[2]);
}

function isInFront({ cameras, taken, position }: PointProblem): boolean {
  for (let v = 0; v < cameras.length; v++) {
    if (taken[v] === 0) continue;
    const { rotation: r, translation: t } = cameras[v];
    if (!(r[6] * position[0] + r[7] * position[1] + r[8] * position[2] + t[2] > 0)) return false;
  }
  return true;
}

/** Gauss–Newton from `position`, halving steps that do not lower the sum of squares; fills cofactor and residuals. */
function refine(problem: PointProblem): boolean {
  const { position, step, cofactor, summary } = problem;
  let cost = accumulate(problem);
  if (!Number.isFinite(cost)) return false;
  for (let iteration = 0; iteration < MAX_STEPS; iteration++) {
    if (!invertNormal(problem)) return false;
    const { gradient: g } = problem;
    step[0] = cofactor[0] * g[0] + cofactor[1] * g[1] + cofactor[2] * g[2];
    step[1] = cofactor[1] * g[0] + cofactor[3] * g[1] + cofactor[4] * g[2];
    step[2] = cofactor[2] * g[0] + cofactor[4] * g[1] + cofactor[5] * g[2];
    const length = Math.sqrt(step[0] * step[0] + step[1] * step[1] + step[2] * step[2]);
    moveBy(position, step, 1);
    if (length < STEP_TOLERANCE_M) break;
    let next = accumulate(problem);
    let scale = 1;
    for (let halving = 0; !(next <= cost) && halving < MAX_HALVINGS; halving++) {
      scale *= 0.5;
      moveBy(position, step, -scale);
      next = accumulate(problem);
    }
    if (!(next <= cost)) {
      // At the rounding floor of the sum of squares no step lowers it: the start of the step is the minimum.
      moveBy(position, step, -scale);
      cost = accumulate(problem);
      if (!invertNormal(problem)) return false;
      break;
    }
    cost = next;
  }
  summary[0] = cost;
  return true;
}

function moveBy(position: Float64Array, step: Float64Array, scale: number): void {
  position[0] += scale * step[0];
  position[1] += scale * step[1];
  position[2] += scale * step[2];
}

/** JᵀWJ (upper triangle, in `normal[0 … 5]`), JᵀWr and the squared residuals at `position`; returns the weighted sum of squares. */
function accumulate(problem: PointProblem): number {
  const { cameras, pixel, taken, weight, position, normal, gradient, projected, jacobian: j } = problem;
  let n0 = 0;
  let n1 = 0;
  let n2 = 0;
  let n3 = 0;
  let n4 = 0;
  let n5 = 0;
  let g0 = 0;
  let g1 = 0;
  let g2 = 0;
  let cost = 0;
  for (let v = 0; v < cameras.length; v++) {
    if (taken[v] === 0) continue;
    projectWithPointJacobianInto(projected, 0, j, 0, cameras[v], position[0], position[1], position[2]);
    const ru = pixel[2 * v] - projected[0];
    const rv = pixel[2 * v + 1] - projected[1];
    const w = weight[v];
    n0 += w * (j[0] * j[0] + j[3] * j[3]);
    n1 += w * (j[0] * j[1] + j[3] * j[4]);
    n2 += w * (j[0] * j[2] + j[3] * j[5]);
    n3 += w * (j[1] * j[1] + j[4] * j[4]);
    n4 += w * (j[1] * j[2] + j[4] * j[5]);
    n5 += w * (j[2] * j[2] + j[5] * j[5]);
    g0 += w * (j[0] * ru + j[3] * rv);
    g1 += w * (j[1] * ru + j[4] * rv);
    g2 += w * (j[2] * ru + j[5] * rv);
    problem.squaredResidual[v] = ru * ru + rv * rv;
    cost += w * (ru * ru + rv * rv);
  }
  normal[0] = n0;
  normal[1] = n1;
  normal[2] = n2;
  normal[3] = n3;
  normal[4] = n4;
  normal[5] = n5;
  gradient[0] = g0;
  gradient[1] = g1;
  gradient[2] = g2;
  return cost;
}

/** cofactor = inverse of the symmetric 3 × 3 in `normal[0 … 5]`, by cofactors; false where it is singular. */
function invertNormal({ normal: n, cofactor }: PointProblem): boolean {
  const c0 = n[3] * n[5] - n[4] * n[4];
  const c1 = n[2] * n[4] - n[1] * n[5];
  const c2 = n[1] * n[4] - n[2] * n[3];
  const determinant = n[0] * c0 + n[1] * c1 + n[2] * c2;
  if (!(determinant > 0)) return false;
  const scale = 1 / determinant;
  cofactor[0] = c0 * scale;
  cofactor[1] = c1 * scale;
  cofactor[2] = c2 * scale;
  cofactor[3] = (n[0] * n[5] - n[2] * n[2]) * scale;
  cofactor[4] = (n[1] * n[2] - n[0] * n[4]) * scale;
  cofactor[5] = (n[0] * n[3] - n[1] * n[1]) * scale;
  return true;
}
