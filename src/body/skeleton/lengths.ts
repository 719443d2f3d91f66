import type { Recording } from '../../capture/recording.ts';
import { choleskyInPlace, solveLowerInPlace, solveUpperInPlace } from '../../numerics/block-cholesky.ts';
import { lengthPrior, SIDE_DIFFERENCE } from './length-prior.ts';
import { DEPENDENCE, equations, type ProjectionRoom } from './project-frames.ts';
import type { RodSystem } from './rods.ts';

/**
 * How lengths follow from distances: L = A⁻¹ (Σ_t M_t d_t + P), with M_t = (J C Jᵀ)⁻¹ of the raw points' variances, frame by
 * frame and group by group: generalised least squares of all frames together, in which two distances that share a point
 * share its error. Kept, so that other positions of the recording are weighted alike.
 */
export interface LengthWeights {
  readonly system: RodSystem;
  /** Per frame, one group after another: M_t, row-major n × n; 0 where a rod takes no part. */
  readonly weight: Float64Array;
  readonly perFrame: number;
  /** Distances of the points the weights were made from, `frame * rods + rod`; 0 where a rod takes no part. */
  readonly distance: Float64Array;
  /** Lower Cholesky factor of A = Σ M_t + prior, and the prior's part of the right-hand side. */
  readonly factor: Float64Array;
  readonly priorPart: Float64Array;
  /** Standard deviation of each length from white noise and the prior, metres. */
  readonly sdM: Float64Array;
}

export function lengthWeights(
  position: Float64Array,
  rawVariance: Float64Array,
  frames: number,
  count: number,
  system: RodSystem,
  recording: Recording,
  room: ProjectionRoom,
): LengthWeights {
  const { groupStart, rods } = system;
  const all = rods.length;
  const groups = groupStart.length - 1;
  let perFrame = 0;
  for (let g = 0; g < groups; g++) perFrame += (groupStart[g + 1] - groupStart[g]) ** 2;
  const weight = new Float64Array(frames * perFrame);
  const distance = new Float64Array(frames * all);
  const normal = new Float64Array(all * all);
  const none = new Float64Array(all);
  const inverse = new Float64Array(system.largest ** 2);
  for (let k = 0; k < frames; k++) {
    let at = k * perFrame;
    for (let g = 0; g < groups; g++) {
      const first = groupStart[g];
      const size = groupStart[g + 1] - first;
      const n = equations(position, rawVariance, k * count, none, system, g, room);
      if (n > 0 && choleskyInPlace(room.matrix, 0, n, DEPENDENCE) > 0) {
        unitMatrixInto(inverse, n);
        solveLowerInPlace(room.matrix, 0, n, inverse, 0, n);
        solveUpperInPlace(room.matrix, 0, n, inverse, 0, n);
        for (let i = 0; i < size; i++) {
          if (room.row[i] < 0) continue;
          // Lengths wanted were 0: the gap is the distance.
          distance[k * all + first + i] = room.gap[i];
          for (let j = 0; j < size; j++) {
            if (room.row[j] < 0) continue;
            const value = inverse[room.row[i] * n + room.row[j]];
            weight[at + i * size + j] = value;
            normal[(first + i) * all + first + j] += value;
          }
        }
      }
      at += size * size;
    }
  }
  const priorPart = addPriors(normal, system, recording);
  choleskyInPlace(normal, 0, all, DEPENDENCE);
  return { system, weight, perFrame, distance, factor: normal, priorPart, sdM: standardDeviations(normal, all) };
}

/** Lengths of `position`, metres, one a rod; a distance that is not known here is taken as it was. */
export function lengthsInto(
  lengths: Float64Array,
  position: Float64Array,
  frames: number,
  count: number,
  { system, weight, perFrame, distance, factor, priorPart }: LengthWeights,
): void {
  const { sqrt } = Math;
  const { from, to, groupStart } = system;
  const all = lengths.length;
  const groups = groupStart.length - 1;
  const found = new Float64Array(all);
  lengths.set(priorPart);
  for (let k = 0; k < frames; k++) {
    for (let i = 0; i < all; i++) {
      const before = distance[k * all + i];
      found[i] = before;
      if (before === 0) continue;
      const a = 3 * (k * count + from[i]);
      const b = 3 * (k * count + to[i]);
      const x = position[b] - position[a];
      const y = position[b + 1] - position[a + 1];
      const z = position[b + 2] - position[a + 2];
      const here = sqrt(x * x + y * y + z * z);
      if (here > 0) found[i] = here;
    }
    let at = k * perFrame;
    for (let g = 0; g < groups; g++) {
      const first = groupStart[g];
      const size = groupStart[g + 1] - first;
      for (let i = 0; i < size; i++) {
        let sum = 0;
        for (let j = 0; j < size; j++) sum += weight[at + j] * found[first + j];
        lengths[first + i] += sum;
        at += size;
      }
    }
  }
  solveLowerInPlace(factor, 0, all, lengths, 0, 1);
  solveUpperInPlace(factor, 0, all, lengths, 0, 1);
}

/** Adds the priors' information to `normal`; returns their part of the right-hand side. */
function addPriors(normal: Float64Array, { rods }: RodSystem, recording: Recording): Float64Array {
  const n = rods.length;
  const right = new Float64Array(n);
  rods.forEach((rod, i) => {
    const prior = lengthPrior(rod, recording);
    if (!prior) return;
    normal[i * (n + 1)] += 1 / prior.sdM ** 2;
    right[i] += prior.meanM / prior.sdM ** 2;
    if (rod.side !== 'left') return;
    const j = rods.findIndex(({ kind, side }) => kind === rod.kind && side === 'right');
    if (j < 0) return;
    const information = 1 / (SIDE_DIFFERENCE * prior.meanM) ** 2;
    normal[i * (n + 1)] += information;
    normal[j * (n + 1)] += information;
    normal[i * n + j] -= information;
    normal[j * n + i] -= information;
  });
  return right;
}

function standardDeviations(factor: Float64Array, n: number): Float64Array {
  const inverse = new Float64Array(n * n);
  unitMatrixInto(inverse, n);
  solveLowerInPlace(factor, 0, n, inverse, 0, n);
  solveUpperInPlace(factor, 0, n, inverse, 0, n);
  return Float64Array.from({ length: n }, (_, i) => Math.sqrt(inverse[i * (n + 1)]));
}

function unitMatrixInto(out: Float64Array, n: number): void {
  for (let i = 0; i < n * n; i++) out[i] = i % (n + 1) === 0 ? 1 : 0;
}
