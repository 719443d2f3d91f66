import { choleskyInPlace, solveLowerInPlace, solveUpperInPlace } from '../../numerics/block-cholesky.ts';
import type { RodSystem } from './rods.ts';

/** Room for one group of rods in one frame; made once a fit. Per rod i of the group: */
export interface ProjectionRoom {
  /** Unit vector from → to, and the two ends' variance times it: `3 * i`. */
  readonly unit: Float64Array;
  readonly pullTo: Float64Array;
  readonly pullFrom: Float64Array;
  /** Length found less length wanted, metres. */
  readonly gap: Float64Array;
  /** Its row among the rods that take part in the frame; −1 = takes no part. */
  readonly row: Int32Array;
  /** J C Jᵀ, row-major over the rods that take part, and a right-hand side. */
  readonly matrix: Float64Array;
  readonly right: Float64Array;
  /** Where the ends of each rod came in: `6 * i`, from then to. */
  readonly start: Float64Array;
}

export function projectionRoom({ largest }: RodSystem): ProjectionRoom {
  return {
    unit: new Float64Array(3 * largest),
    pullTo: new Float64Array(3 * largest),
    pullFrom: new Float64Array(3 * largest),
    gap: new Float64Array(largest),
    row: new Int32Array(largest),
    matrix: new Float64Array(largest * largest),
    right: new Float64Array(largest),
    start: new Float64Array(6 * largest),
  };
}

/** A pivot of which no more than this share is left beside the rods before it says nothing new. */
export const DEPENDENCE = 1e-10;
/** Lengths are met to this, metres: a tenth of the 1e-9 that is promised. */
const CLOSED_M = 1e-10;

/** What the projection found on the way; sums over frames, added to. */
export interface Misfit {
  /** cᵀ (J C Jᵀ)⁻¹ c of the points as they came in. */
  square: number;
  /** Rods that took part. */
  rods: number;
}

/**
 * Moves the points of every frame onto the given lengths, each as little as its variance asks: the least
 * Σ (x − y)ᵀ C⁻¹ (x − y) with |x_to − x_from| = length for every rod, y the points that came in; group by group of rods that
 * hang together (at most eleven unknowns). Gauss–Newton with Lagrange multipliers, x ← y − C Jᵀ (J C Jᵀ)⁻¹ (c + J (y − x)), in every
 * second round; the rounds between close the lengths with the matrix at hand, x ← x − C Jᵀ (J C Jᵀ)⁻¹ c. Two rounds end
 * beside the nearest place by the square of the way moved over the length of a limb (10 µm for 2 mm), further ones nearer.
 *
 * position, variance: `3 *` and `6 * (frame * count + landmark)`, metres and m² (xx xy xz yy yz zz); position in place. A rod
 * with an unknown end, or without variance at both ends, takes no part. `rounds`: most rounds a frame. `misfit`, where
 * given, is added to.
 */
export function projectFramesInto(
  position: Float64Array,
  variance: Float64Array,
  frames: number,
  count: number,
  lengths: Float64Array,
  system: RodSystem,
  rounds: number,
  room: ProjectionRoom,
  misfit: Misfit | null = null,
): void {
  const { groupStart } = system;
  const groups = groupStart.length - 1;
  const { matrix, right } = room;
  for (let k = 0; k < frames; k++) {
    const frameAt = k * count;
    for (let g = 0; g < groups; g++) {
      const first = groupStart[g];
      const end = groupStart[g + 1];
      for (let round = 0; round < rounds; round++) {
        const n = measure(position, variance, frameAt, lengths, system, first, end, room);
        if (n === 0 || largestGap(room, end - first) < CLOSED_M) break;
        if (round === 0 && rounds > 2) keepStart(position, frameAt, system, first, end, room);
        if (round % 2 === 0) {
          assemble(variance, frameAt, n, system, g, first, end, room);
          if (choleskyInPlace(matrix, 0, n, DEPENDENCE) < 0) break;
        }
        if (round % 2 === 0 && round > 0) backToStart(position, frameAt, system, first, end, room);
        gapsInto(right, room, end - first);
        solveLowerInPlace(matrix, 0, n, right, 0, 1);
        solveUpperInPlace(matrix, 0, n, right, 0, 1);
        if (round === 0 && misfit) addMisfit(misfit, room, system, g);
        move(position, frameAt, system, g, room);
      }
    }
  }
}

/** Unit vectors and gaps of the rods of one group that take part, numbered in `row`; returns how many do. */
function measure(
  position: Float64Array,
  variance: Float64Array,
  frameAt: number,
  lengths: Float64Array,
  { from, to }: RodSystem,
  first: number,
  end: number,
  { unit, gap, row }: ProjectionRoom,
): number {
  const { sqrt } = Math;
  let n = 0;
  for (let i = first; i < end; i++) {
    const r = i - first;
    const a = frameAt + from[i];
    const b = frameAt + to[i];
    row[r] = -1;
    // Both ends at rest: their spots fit this rod already.
    if (variance[6 * a] === 0 && variance[6 * b] === 0) continue;
    const x = position[3 * b] - position[3 * a];
    const y = position[3 * b + 1] - position[3 * a + 1];
    const z = position[3 * b + 2] - position[3 * a + 2];
    const length = sqrt(x * x + y * y + z * z);
    if (!(length > 0)) continue;
    const scale = 1 / length;
    unit[3 * r] = x * scale;
    unit[3 * r + 1] = y * scale;
    unit[3 * r + 2] = z * scale;
    gap[r] = length - lengths[i];
    row[r] = n++;
  }
  return n;
}

/** Pulls, J C Jᵀ (lower triangle, n × n) and its right-hand side for the rods just measured. */
function assemble(
  variance: Float64Array,
  frameAt: number,
  n: number,
  { from, to, pairStart, pairs }: RodSystem,
  group: number,
  first: number,
  end: number,
  { unit, pullTo, pullFrom, row, matrix }: ProjectionRoom,
): void {
  for (let i = 0; i < n * n; i++) matrix[i] = 0;
  for (let i = first; i < end; i++) {
    const r = i - first;
    const at = row[r];
    if (at < 0) continue;
    const r3 = 3 * r;
    const x = unit[r3];
    const y = unit[r3 + 1];
    const z = unit[r3 + 2];
    const a = 6 * (frameAt + from[i]);
    const b = 6 * (frameAt + to[i]);
    const fx = variance[a] * x + variance[a + 1] * y + variance[a + 2] * z;
    const fy = variance[a + 1] * x + variance[a + 3] * y + variance[a + 4] * z;
    const fz = variance[a + 2] * x + variance[a + 4] * y + variance[a + 5] * z;
    const tx = variance[b] * x + variance[b + 1] * y + variance[b + 2] * z;
    const ty = variance[b + 1] * x + variance[b + 3] * y + variance[b + 4] * z;
    const tz = variance[b + 2] * x + variance[b + 4] * y + variance[b + 5] * z;
    pullFrom[r3] = fx;
    pullFrom[r3 + 1] = fy;
    pullFrom[r3 + 2] = fz;
    pullTo[r3] = tx;
    pullTo[r3 + 1] = ty;
    pullTo[r3 + 2] = tz;
    matrix[at * (n + 1)] = (fx + tx) * x + (fy + ty) * y + (fz + tz) * z;
  }
  if (n === 1) return;
  for (let p = 4 * pairStart[group]; p < 4 * pairStart[group + 1]; p += 4) {
    const i = pairs[p] - first;
    const j = pairs[p + 1] - first;
    if (row[i] < 0 || row[j] < 0) continue;
    const pull = pairs[p + 2] === 1 ? pullTo : pullFrom;
    const product = pull[3 * i] * unit[3 * j] + pull[3 * i + 1] * unit[3 * j + 1] + pull[3 * i + 2] * unit[3 * j + 2];
    matrix[row[i] * n + row[j]] += pairs[p + 2] === pairs[p + 3] ? product : -product;
  }
}

/** One group's equations in one frame, as the projection sets them up; returns how many rods take part. For tests and lengths. */
export function equations(
  position: Float64Array,
  variance: Float64Array,
  frameAt: number,
  lengths: Float64Array,
  system: RodSystem,
  group: number,
  room: ProjectionRoom,
): number {
  const { groupStart } = system;
  const [first, end] = [groupStart[group], groupStart[group + 1]];
  const n = measure(position, variance, frameAt, lengths, system, first, end, room);
  if (n > 0) assemble(variance, frameAt, n, system, group, first, end, room);
  return n;
}

function largestGap({ row, gap }: ProjectionRoom, size: number): number {
  let largest = 0;
  for (let r = 0; r < size; r++) {
    if (row[r] < 0) continue;
    if (gap[r] > largest) largest = gap[r];
    else if (-gap[r] > largest) largest = -gap[r];
  }
  return largest;
}

function keepStart(
  position: Float64Array,
  frameAt: number,
  { from, to }: RodSystem,
  first: number,
  end: number,
  { start }: ProjectionRoom,
): void {
  for (let i = first; i < end; i++) {
    const a = 3 * (frameAt + from[i]);
    const b = 3 * (frameAt + to[i]);
    const at = 6 * (i - first);
    for (let axis = 0; axis < 3; axis++) {
      start[at + axis] = position[a + axis];
      start[at + 3 + axis] = position[b + axis];
    }
  }
}

/** Puts the points back where they came in and refers the gaps to there: c + J (y − x). */
function backToStart(
  position: Float64Array,
  frameAt: number,
  { from, to }: RodSystem,
  first: number,
  end: number,
  { start, unit, gap, row }: ProjectionRoom,
): void {
  for (let i = first; i < end; i++) {
    const r = i - first;
    if (row[r] < 0) continue;
    const a = 3 * (frameAt + from[i]);
    const b = 3 * (frameAt + to[i]);
    for (let axis = 0; axis < 3; axis++) {
      const back = start[6 * r + 3 + axis] - position[b + axis] - (start[6 * r + axis] - position[a + axis]);
      gap[r] += unit[3 * r + axis] * back;
    }
  }
  // Only now: rods share points.
  for (let i = first; i < end; i++) {
    const r = i - first;
    if (row[r] < 0) continue;
    for (let axis = 0; axis < 3; axis++) {
      position[3 * (frameAt + from[i]) + axis] = start[6 * r + axis];
      position[3 * (frameAt + to[i]) + axis] = start[6 * r + 3 + axis];
    }
  }
}

/** The gaps as a right-hand side. */
function gapsInto(right: Float64Array, { row, gap }: ProjectionRoom, size: number): void {
  for (let r = 0; r < size; r++) if (row[r] >= 0) right[row[r]] = gap[r];
}

function addMisfit(
  misfit: Misfit,
  { row, gap, right }: ProjectionRoom,
  { groupStart }: RodSystem,
  group: number,
): void {
  for (let r = 0; r < groupStart[group + 1] - groupStart[group]; r++) {
    if (row[r] < 0) continue;
    misfit.square += gap[r] * right[row[r]];
    misfit.rods++;
  }
}

/** x ← x − C Jᵀ λ. */
function move(
  position: Float64Array,
  frameAt: number,
  { from, to, groupStart }: RodSystem,
  group: number,
  { row, right, pullTo, pullFrom }: ProjectionRoom,
): void {
  const first = groupStart[group];
  for (let i = first; i < groupStart[group + 1]; i++) {
    const r = i - first;
    if (row[r] < 0) continue;
    const force = right[row[r]];
    const a = 3 * (frameAt + from[i]);
    const b = 3 * (frameAt + to[i]);
    position[a] += force * pullFrom[3 * r];
    position[a + 1] += force * pullFrom[3 * r + 1];
    position[a + 2] += force * pullFrom[3 * r + 2];
    position[b] -= force * pullTo[3 * r];
    position[b + 1] -= force * pullTo[3 * r + 1];
    position[b + 2] -= force * pullTo[3 * r + 2];
  }
}
