import { addRayInto, rayDirectionInto, undistortPackedInto } from '../cameras/packed-cameras.ts';
import { SampleStatus, type SampleStatusCode } from '../capture/sample-status.ts';
import { smallestEigenvector4Into } from '../numerics/symmetric-eigen.ts';
import { LEAST_RAY_ANGLE_DEG } from './limits.ts';
import type { PointProblem } from './point-problem.ts';
import { invertNormal } from './point-refinement.ts';

const PARALLEL_COSINE_SQUARED = Math.cos((LEAST_RAY_ANGLE_DEG * Math.PI) / 180) ** 2;

/** Normalised coordinates of every taken view, and the direction of its ray in the world. */
export function castRays(problem: PointProblem): SampleStatusCode {
  const { packed, pixel, ray, direction, taken, use, squaredResidual } = problem;
  let offered = 0;
  let count = 0;
  for (let v = 0; v < taken.length; v++) {
    taken[v] = 0;
    squaredResidual[v] = Number.NaN;
    if (use[v] === 0) continue;
    offered++;
    if (!undistortPackedInto(ray, packed, v, pixel)) continue;
    rayDirectionInto(direction, packed, v, ray);
    taken[v] = 1;
    count++;
  }
  problem.summary[1] = count;
  problem.summary[2] = 2 * count - 3;
  if (count >= 2) return SampleStatus.seen;
  return offered >= 2 ? SampleStatus.outlier : SampleStatus.occluded;
}

/** Whether some pair of rays differs in direction by at least the limit (rays that face each other count as parallel). */
export function raysMeet({ direction, taken }: PointProblem): boolean {
  for (let v = 0; v < taken.length; v++) {
    if (taken[v] === 0) continue;
    const a = 4 * v;
    for (let w = v + 1; w < taken.length; w++) {
      if (taken[w] === 0) continue;
      const b = 4 * w;
      const dot =
        direction[a] * direction[b] + direction[a + 1] * direction[b + 1] + direction[a + 2] * direction[b + 2];
      if (dot * dot <= PARALLEL_COSINE_SQUARED * direction[a + 3] * direction[b + 3]) return true;
    }
  }
  return false;
}

/** The point with the least weighted sum of squared distances to the rays, in space. */
export function startAtRays(problem: PointProblem): boolean {
  const { packed, direction, taken, weight, normal, cofactor: c, position } = problem;
  for (let i = 0; i < 9; i++) normal[i] = 0;
  for (let v = 0; v < taken.length; v++) if (taken[v] === 1) addRayInto(normal, packed, v, direction, weight);
  if (!invertNormal(problem)) return false;
  position[0] = c[0] * normal[6] + c[1] * normal[7] + c[2] * normal[8];
  position[1] = c[1] * normal[6] + c[3] * normal[7] + c[4] * normal[8];
  position[2] = c[2] * normal[6] + c[4] * normal[7] + c[5] * normal[8];
  return true;
}

/** Linear DLT: the homogeneous point of least |A X|, two rows x P₃ − P₁ and y P₃ − P₂ a view, P = [R | t]. */
export function startLinear(problem: PointProblem): boolean {
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
