import { levelUnknown, notInFixed } from '../../../messages/mixed-model.ts';
import { estimateOf } from './contrast.ts';
import { codedColumns, codedValue } from './design.ts';
import type { Estimate, MixedFit } from './mixed-fit.ts';
import type { Factor, Predictor } from './model-rows.ts';

/** Where predictors are held: a covariate at a value (as in the table, before centring), a factor at one level. */
export type HeldAt = Readonly<Record<string, number | string>>;

export interface MarginalMean extends Estimate {
  /** Level of each factor asked for. */
  readonly levels: Readonly<Record<string, string>>;
}

/** Difference of two levels, second less first. */
export interface LevelContrast extends Estimate {
  readonly first: string;
  readonly second: string;
}

/**
 * Estimated marginal means (Searle, Speed & Milliken 1980, Am Stat 34:216–221): what the fixed effects predict at every
 * combination of the levels of `factors`, all other factors averaged with equal weights over their levels, covariates at
 * their mean over the rows used; `at` holds some of them elsewhere. No factor: one mean.
 */
export function marginalMeans(fit: MixedFit, factors: readonly string[], at: HeldAt = {}): MarginalMean[] {
  const asked = factors.map((name) => factorOf(fit, name));
  let grid: Record<string, string>[] = [{}];
  for (const { name, levels } of asked)
    grid = grid.flatMap((point) => levels.map((level) => ({ ...point, [name]: level })));
  return grid.map((levels) => {
    const name = Object.entries(levels)
      .map(([factor, level]) => `${factor}[${level}]`)
      .join(' ');
    return { ...estimateOf(fit.inner, marginalWeights(fit, { ...at, ...levels }), name || 'mean'), levels };
  });
}

/**
 * Differences of all pairs of levels of one factor, the other predictors as in `marginalMeans`. Each has its own 95 %
 * interval: of many pairs one in twenty leaves out a true 0.
 */
export function levelContrasts(fit: MixedFit, factor: string, at: HeldAt = {}): LevelContrast[] {
  const { levels } = factorOf(fit, factor);
  const weights = levels.map((level) => marginalWeights(fit, { ...at, [factor]: level }));
  return levels.flatMap((second, b) =>
    levels.slice(0, b).map((first, a) => {
      const difference = weights[b].map((weight, j) => weight - weights[a][j]);
      return { ...estimateOf(fit.inner, difference, `${factor}[${second}] − ${factor}[${first}]`), first, second };
    }),
  );
}

/** Weights of the fixed effects whose sum is the marginal mean with predictors held. */
export function marginalWeights(fit: MixedFit, held: HeldAt): Float64Array {
  const { model, rows } = fit.inner;
  const coded = codedColumns(model.fixed, rows.predictors);
  const used = predictorsOf(fit);
  for (const name of Object.keys(held)) {
    if (used.some((predictor) => predictor.name === name)) continue;
    throw notInFixed(
      name,
      typeof held[name] === 'number' ? 'covariate' : 'factor',
      used.map((predictor) => predictor.name),
    );
  }
  let points: ReadonlyMap<string, number>[] = [new Map()];
  for (const predictor of used)
    points = points.flatMap((point) =>
      valuesAt(predictor, held[predictor.name]).map((value) => new Map(point).set(predictor.name, value)),
    );
  const weights = new Float64Array(coded.length);
  for (const point of points)
    coded.forEach((column, j) => {
      weights[j] += codedValue(column, rows.predictors, ({ name }) => point.get(name)!) / points.length;
    });
  return weights;
}

/** Centred values of a covariate, or level indices of a factor, to be averaged over. */
function valuesAt(predictor: Predictor, held: number | string | undefined): number[] {
  if (predictor.kind === 'covariate') {
    if (typeof held === 'string') throw notInFixed(predictor.name, 'factor', []);
    return [(held ?? predictor.mean) - predictor.centre];
  }
  if (held === undefined) return predictor.levels.map((_, level) => level);
  const level = predictor.levels.indexOf(String(held));
  if (level < 0) throw levelUnknown(predictor.name, String(held), predictor.levels);
  return [level];
}

function predictorsOf({ inner: { model, rows } }: MixedFit): Predictor[] {
  const names = new Set(model.fixed.flatMap((term) => term.columns));
  return [...rows.predictors.values()].filter((predictor) => names.has(predictor.name));
}

function factorOf(fit: MixedFit, name: string): Factor {
  const factors = predictorsOf(fit).filter((predictor) => predictor.kind === 'factor');
  const found = factors.find((factor) => factor.name === name);
  if (!found)
    throw notInFixed(
      name,
      'factor',
      factors.map((factor) => factor.name),
    );
  return found;
}
