import {
  fixedRankDeficient,
  randomRankDeficient,
  slopeBetweenOnly,
  tooFewGroups,
  tooFewRows,
  tooManyRandomEffects,
} from '../../../messages/mixed-model.ts';
import { echelonInPlace } from '../../../numerics/householder.ts';
import type { CheckedDescription, Term } from './description.ts';
import type { ModelRows, Predictor } from './model-rows.ts';

/** A column of which no more than this share is left beside the columns before it follows from them (as R's lm). */
export const DEPENDENCE = 1e-7;

/** The matrices of y = X β + Z b + e, one row a row used. */
export interface Design {
  readonly rows: number;
  readonly effects: readonly string[];
  /** rows × effects, row-major. */
  readonly x: Float64Array;
  readonly randomEffects: readonly string[];
  /** rows × randomEffects, row-major: what multiplies the random effects of the row's own group. */
  readonly z: Float64Array;
  readonly groups: readonly string[];
  /** Index of the group of each row. */
  readonly groupOf: Int32Array;
}

export const INTERCEPT = '(intercept)';

/** The columns of a part of the model: product over the term's columns of covariate or indicator of a level. */
export interface CodedColumn {
  readonly name: string;
  readonly parts: readonly { readonly column: string /** 0 for a covariate. */; readonly level: number }[];
}

/**
 * Intercept and one column a covariate, or a level of a factor but its reference (treatment coding); interactions are
 * products of these. Names: `heel_height_mm`, `stance[wide]`, `heel_height_mm:stance[wide]`.
 */
export function codedColumns(terms: readonly Term[], predictors: ReadonlyMap<string, Predictor>): CodedColumn[] {
  const coded: CodedColumn[] = [{ name: INTERCEPT, parts: [] }];
  for (const { columns } of terms) {
    let products: CodedColumn[] = [{ name: '', parts: [] }];
    for (const column of columns) {
      const predictor = predictors.get(column)!;
      const single =
        predictor.kind === 'covariate'
          ? [{ name: column, level: 0 }]
          : predictor.levels.slice(1).map((level, at) => ({ name: `${column}[${level}]`, level: at + 1 }));
      products = single.flatMap(({ name, level }) =>
        products.map((product) => ({
          name: product.name === '' ? name : `${product.name}:${name}`,
          parts: [...product.parts, { column, level }],
        })),
      );
    }
    coded.push(...products);
  }
  return coded;
}

/** Value of a coded column where `valueAt` gives the (centred) covariate or the index of the factor's level. */
export function codedValue(
  coded: CodedColumn,
  predictors: ReadonlyMap<string, Predictor>,
  valueAt: (p: Predictor) => number,
) {
  let product = 1;
  for (const { column, level } of coded.parts) {
    const predictor = predictors.get(column)!;
    const value = valueAt(predictor);
    product *= predictor.kind === 'covariate' ? value : value === level ? 1 : 0;
  }
  return product;
}

/**
 * Design matrices of the model over the rows used. Throws a DataError where the data cannot tell its parameters apart:
 * dependent columns, too few groups or rows, a slope that no group has (what is left is for `requireIdentifiedSpreads`).
 */
export function modelDesign(rows: ModelRows, model: CheckedDescription): Design {
  const { predictors, group } = rows;
  const n = rows.used.length;
  const fixed = codedColumns(model.fixed, predictors);
  const random = codedColumns(model.random.slopes, predictors);
  const design = {
    rows: n,
    effects: fixed.map(({ name }) => name),
    x: matrixOf(fixed, predictors, n),
    randomEffects: random.map(({ name }) => name),
    z: matrixOf(random, predictors, n),
    groups: group.levels,
    groupOf: group.codes,
  };
  const p = fixed.length;
  const q = random.length;
  if (n <= p) throw tooFewRows(n, p);
  // Fewer groups than this leave no covariance matrix of full rank to estimate about a mean.
  const least = q + 1;
  if (group.levels.length < least) throw tooFewGroups(group.name, group.levels.length, least, q);
  if (n <= q * group.levels.length) throw tooManyRandomEffects(n, group.levels.length, q);
  requireIndependent(design.x, design.effects, n, fixedRankDeficient);
  requireSlopesWithin(design, group.name);
  requireIndependent(design.z, design.randomEffects, n, randomRankDeficient);
  return design;
}

function matrixOf(coded: readonly CodedColumn[], predictors: ReadonlyMap<string, Predictor>, n: number): Float64Array {
  const matrix = new Float64Array(n * coded.length);
  for (let row = 0; row < n; row++) {
    const valueAt = (predictor: Predictor) =>
      predictor.kind === 'covariate' ? predictor.values[row] : predictor.codes[row];
    for (let j = 0; j < coded.length; j++) matrix[row * coded.length + j] = codedValue(coded[j], predictors, valueAt);
  }
  return matrix;
}

function requireIndependent(
  matrix: Float64Array,
  names: readonly string[],
  n: number,
  fault: (columns: readonly string[], rank: number, of: number, empty: readonly string[]) => Error,
): void {
  const k = names.length;
  const held = new Uint8Array(k);
  const rank = echelonInPlace(matrix.slice(), n, k, k, DEPENDENCE, held, new Float64Array(k));
  if (rank === k) return;
  const dependent = names.filter((_, j) => held[j] === 1);
  const empty = names.filter((_, j) => matrix.every((value, at) => at % k !== j || value === 0));
  throw fault(dependent, rank, k, empty);
}

function requireSlopesWithin({ z, randomEffects, groups, groupOf, rows }: Design, group: string): void {
  const q = randomEffects.length;
  for (let j = 1; j < q; j++) {
    const first = new Float64Array(groups.length).fill(Number.NaN);
    let varies = false;
    for (let row = 0; row < rows && !varies; row++) {
      const value = z[row * q + j];
      if (Number.isNaN(first[groupOf[row]])) first[groupOf[row]] = value;
      else varies = value !== first[groupOf[row]];
    }
    if (!varies) throw slopeBetweenOnly(randomEffects[j], group);
  }
}
