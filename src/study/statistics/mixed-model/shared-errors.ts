import { sharedEffectsWrong } from '../../../messages/mixed-model.ts';
import { solveLowerInPlace, solveUpperInPlace } from '../../../numerics/block-cholesky.ts';
import { estimateOf, type Weights, weightVector, withInterval } from './contrast.ts';
import type { Estimate, MixedFit } from './mixed-fit.ts';
import { weightsOnStandardised } from './standardised.ts';

/**
 * A cause of measurement error that several rows have in common: an unknown of mean 0 and SD 1, and what it adds to the
 * response of each row. `sharedBy` says which rows have the same unknown: all of the study, those of one group, or those of
 * equal keys (a rig, a detector).
 */
export interface SharedCause {
  readonly name: string;
  readonly sharedBy: 'study' | 'group' | readonly string[];
  /** One for each row of the table that was fitted, unit of the response, of 1 SD. Rows that were not used are not read. */
  readonly effects: ArrayLike<number>;
}

/** A contrast with and without the shared part of the measurement error. */
export interface WithSharedErrors {
  readonly without: Estimate;
  readonly with: Estimate;
  /** SD that the shared causes bring, together and one by one, unit of the contrast. */
  readonly sharedSd: number;
  readonly causes: readonly { readonly name: string; readonly sd: number }[];
}

/**
 * Fixed effects (or contrasts) with the variance of shared measurement errors added.
 *
 * At the estimated variances β̂ = A y with A = (XᵀW⁻¹X)⁻¹XᵀW⁻¹, so that errors E z of independent standard normal z add
 * A E Eᵀ Aᵀ (propagation through a linear estimate; JCGM 100:2008, 5.2). Noise of a single row is not added: the residual
 * already holds it. The spread between groups already holds what a cause does alike to all rows of a group; added again, it
 * makes the interval of a mean too wide, never too narrow (docs/method/mixed-model.md). Freedom: Satterthwaite's of the
 * sum, the shared part counting as known.
 */
export function withSharedErrors(
  fit: MixedFit,
  causes: readonly SharedCause[],
  contrasts: readonly { readonly name: string; readonly weights: Weights }[] = fit.fixedEffects.map(({ name }) => ({
    name,
    weights: { [name]: 1 },
  })),
): WithSharedErrors[] {
  const moved = causes.map((cause) => ({ name: cause.name, shifts: shiftsOfEffects(fit, cause) }));
  return contrasts.map(({ name, weights }) => {
    const row = weightVector(fit.inner.design.effects, weights);
    const without = estimateOf(fit.inner, row, name);
    const l = weightsOnStandardised(row, fit.inner.standardised);
    const parts = moved.map(({ name: cause, shifts }) => ({ name: cause, sd: spreadAlong(l, shifts) }));
    const shared = parts.reduce((sum, { sd }) => sum + sd * sd, 0);
    const own = without.se ** 2;
    const freedom = without.freedom * ((own + shared) / own) ** 2;
    return {
      without,
      with: withInterval(name, without.estimate, Math.sqrt(own + shared), freedom),
      sharedSd: Math.sqrt(shared),
      causes: parts,
    };
  });
}

/** What 1 SD of each unknown of the causes does to a contrast given by its weights on γ. */
export function sharedShifts(fit: MixedFit, causes: readonly SharedCause[]): (l: Float64Array) => number[] {
  const shifts = causes.flatMap((cause) => shiftsOfEffects(fit, cause));
  return (l) => shifts.map((shift) => l.reduce((sum, weight, j) => sum + weight * shift[j], 0));
}

/** What 1 SD of each unknown of a cause does to γ: p values an unknown. */
function shiftsOfEffects({ inner }: MixedFit, { name, sharedBy, effects }: SharedCause): Float64Array[] {
  const { standardised, moments, solution, rows, design } = inner;
  const { k, p } = moments;
  const { q, z } = standardised;
  if (effects.length !== rows.tableRows) throw sharedEffectsWrong(name, 'effects', effects.length, rows.tableRows);
  if (Array.isArray(sharedBy) && sharedBy.length !== rows.tableRows)
    throw sharedEffectsWrong(name, 'keys', sharedBy.length, rows.tableRows);
  const keyOf = (tableRow: number, row: number): string | number =>
    sharedBy === 'study' ? 0 : sharedBy === 'group' ? design.groupOf[row] : sharedBy[tableRow];
  // XᵀW⁻¹e = Xᵀe − Σ over groups of (ZᵀX)ᵀ Λ M⁻¹ Λᵀ Zᵀe: first the plain sums, of each unknown and of it in each group.
  const plain = new Map<string | number, Float64Array>();
  const inGroup = new Map<string | number, Map<number, Float64Array>>();
  rows.used.forEach((tableRow, row) => {
    const effect = effects[tableRow];
    if (!Number.isFinite(effect)) throw sharedEffectsWrong(name, `effect in row ${tableRow + 1}`, effect, 0);
    if (effect === 0) return;
    const key = keyOf(tableRow, row);
    const sums = entry(plain, key, () => new Float64Array(p));
    const own = entry(
      entry(inGroup, key, () => new Map<number, Float64Array>()),
      design.groupOf[row],
      () => new Float64Array(k),
    );
    for (let j = 0; j < p; j++) sums[j] += q[row * p + j] * effect;
    for (let i = 0; i < k; i++) own[i] += z[row * k + i] * effect;
  });
  for (const [key, groups] of inGroup)
    for (const [g, own] of groups) takeShrunk(plain.get(key)!, own, g, moments.zx, solution, k, p);
  for (const shift of plain.values()) {
    solveLowerInPlace(solution.evaluation.h, 0, p, shift, 0, 1);
    solveUpperInPlace(solution.evaluation.h, 0, p, shift, 0, 1);
  }
  return [...plain.values()];
}

/** sums −= (ZᵀX)ᵀ Λ M⁻¹ Λᵀ own, of group g. */
function takeShrunk(
  sums: Float64Array,
  own: Float64Array,
  g: number,
  zx: Float64Array,
  { lambda, evaluation }: MixedFit['inner']['solution'],
  k: number,
  p: number,
): void {
  const turned = new Float64Array(k);
  for (let l = 0; l < k; l++) for (let i = l; i < k; i++) turned[l] += lambda[i * k + l] * own[i];
  const shrunk = new Float64Array(k);
  for (let i = 0; i < k; i++)
    for (let l = 0; l <= i; l++)
      for (let o = 0; o < k; o++) shrunk[i] += lambda[i * k + l] * evaluation.inner[(g * k + l) * k + o] * turned[o];
  for (let i = 0; i < k; i++) for (let j = 0; j < p; j++) sums[j] -= zx[(g * k + i) * p + j] * shrunk[i];
}

function spreadAlong(l: Float64Array, shifts: readonly Float64Array[]): number {
  let variance = 0;
  for (const shift of shifts) variance += l.reduce((sum, weight, j) => sum + weight * shift[j], 0) ** 2;
  return Math.sqrt(variance);
}

function entry<K, V>(map: Map<K, V>, key: K, make: () => V): V {
  let found = map.get(key);
  if (found === undefined) {
    found = make();
    map.set(key, found);
  }
  return found;
}
