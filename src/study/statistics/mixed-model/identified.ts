import { noFreedomBetween, noFreedomWithin } from '../../../messages/mixed-model.ts';
import { echelonInPlace } from '../../../numerics/householder.ts';
import { DEPENDENCE, type Design } from './design.ts';

/**
 * Whether the rows can tell the spreads of the model from its fixed effects. Where they cannot, the likelihood is flat in
 * that spread and a search would give back where it began. With r = rank [X Z], Z with the columns of every group:
 *
 * - n − r ≥ 1: something is left over once every group has its own random effects, or there is no scatter within groups;
 * - rank [X Zⱼ] − p ≥ 1 for each random effect j: groups differ in it in a way that the fixed effects do not tell already.
 *
 * Errors: mixed-no-freedom-within, mixed-no-freedom-between.
 */
export function requireIdentifiedSpreads(design: Design, group: string): void {
  const { rows, effects, randomEffects, groups } = design;
  const every = randomEffects.map((_, j) => j);
  if (rows - rankBeside(design, every) < 1) throw noFreedomWithin(group, rows, groups.length);
  for (const j of every) {
    if (rankBeside(design, [j]) - effects.length < 1) {
      throw noFreedomBetween(group, groups.length, randomEffects[j], effects);
    }
  }
}

/**
 * Rank of [X Z] with the given columns of Z, each once a group: the columns of a group are zero outside it, so that each group
 * is taken off X by itself, and a study of thousands of groups needs no matrix of groups.
 */
function rankBeside(
  { rows, effects, x, randomEffects, z, groups, groupOf }: Design,
  columns: readonly number[],
): number {
  const p = effects.length;
  const q = randomEffects.length;
  const left = x.slice();
  const rowsOf: number[][] = groups.map(() => []);
  for (let row = 0; row < rows; row++) rowsOf[groupOf[row]].push(row);
  let rank = 0;
  for (const own of rowsOf) {
    const basis: Float64Array[] = [];
    for (const j of columns) {
      const direction = Float64Array.from(own, (row) => z[row * q + j]);
      const whole = norm(direction);
      // Twice: what rounding leaves of the first time would count as a direction of its own.
      for (let pass = 0; pass < 2; pass++) for (const other of basis) takeOff(direction, other);
      const rest = norm(direction);
      if (rest <= DEPENDENCE * whole) continue;
      for (let i = 0; i < direction.length; i++) direction[i] /= rest;
      basis.push(direction);
    }
    rank += basis.length;
    const column = new Float64Array(own.length);
    for (let k = 0; k < p; k++) {
      for (let i = 0; i < own.length; i++) column[i] = left[own[i] * p + k];
      for (let pass = 0; pass < 2; pass++) for (const direction of basis) takeOff(column, direction);
      for (let i = 0; i < own.length; i++) left[own[i] * p + k] = column[i];
    }
  }
  // What rounding leaves of a column that the groups tell whole is no column.
  for (let k = 0; k < p; k++) {
    if (columnNorm(left, rows, p, k) > DEPENDENCE * columnNorm(x, rows, p, k)) continue;
    for (let row = 0; row < rows; row++) left[row * p + k] = 0;
  }
  return rank + echelonInPlace(left, rows, p, p, DEPENDENCE, new Uint8Array(p), new Float64Array(p));
}

/** Takes off `from` what lies along `direction`, of length 1. */
function takeOff(from: Float64Array, direction: Float64Array): void {
  let along = 0;
  for (let i = 0; i < from.length; i++) along += from[i] * direction[i];
  for (let i = 0; i < from.length; i++) from[i] -= along * direction[i];
}

const norm = (values: Float64Array): number => columnNorm(values, values.length, 1, 0);

function columnNorm(matrix: Float64Array, rows: number, columns: number, k: number): number {
  let square = 0;
  for (let row = 0; row < rows; row++) square += matrix[row * columns + k] ** 2;
  return Math.sqrt(square);
}
