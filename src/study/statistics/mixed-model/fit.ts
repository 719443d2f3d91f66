import { mixedNotes, residualVanishes } from '../../../messages/mixed-model.ts';
import { estimateOf } from './contrast.ts';
import { type CheckedDescription, checkDescription, type ModelDescription } from './description.ts';
import { modelDesign } from './design.ts';
import { designMoments, type GroupMoments, withResponse } from './group-moments.ts';
import { requireIdentifiedSpreads } from './identified.ts';
import type { FitInner, FitNote, MixedFit } from './mixed-fit.ts';
import { type ModelRows, type ModelTable, modelRows } from './model-rows.ts';
import { fittedValues, groupModes, spreadOf } from './random-part.ts';
import { freePlaces, type Solution, solve } from './solve.ts';
import { standardised } from './standardised.ts';
import { covarianceOf, varianceDoubt } from './variance-doubt.ts';

/** Fewer groups than this are said to know little of the spread between them. */
const FEW_GROUPS = 5;
/** Share of the size of the response below which what is left of it is rounding. */
const NOTHING_LEFT = 1e-10;

/**
 * Linear mixed model with one grouping factor, y = X β + Z b + e, b ~ N(0, σ² Λ Λᵀ) in each group, e ~ N(0, σ²), by
 * restricted or plain maximum likelihood (Laird & Ware 1982; Bates, Mächler, Bolker & Walker 2015, J Stat Softw 67(1)):
 * −2 ln L with β and σ² profiled out is minimised over Λ. See docs/method/mixed-model.md.
 *
 * Throws a DataError where description or data do not determine the model. A fit at the edge (`singular`) or one that did
 * not settle (`converged`) is returned and says so in `notes`.
 */
export function mixedModel(table: ModelTable, description: ModelDescription): MixedFit {
  const model = checkDescription(description);
  const rows = modelRows(table, model);
  const design = modelDesign(rows, model);
  requireIdentifiedSpreads(design, rows.group.name);
  const { correlated } = model.random;
  const standard = standardised(design, correlated);
  const moments = withResponse(designMoments(standard), standard, rows.response);
  const solution = solve(moments, model.criterion, correlated);
  requireResidual(rows, moments, solution, model.response);
  const doubt = varianceDoubt(moments, model.criterion, correlated, solution);
  return assembled({ model, rows, design, standardised: standard, moments, solution, doubt });
}

function requireResidual(rows: ModelRows, moments: GroupMoments, solution: Solution, response: string): void {
  const n = rows.response.length;
  const size = Math.sqrt(rows.response.reduce((sum, y) => sum + y * y, 0) / n);
  const left = Math.sqrt(moments.ee / n);
  if (!(left > NOTHING_LEFT * size)) throw residualVanishes(response, left, size);
  if (solution.vanishes) throw residualVanishes(response, Math.sqrt(Math.max(0, solution.sigma2)), size);
}

function assembled(inner: FitInner): MixedFit {
  const { model, rows, design, standardised: standard, solution } = inner;
  const p = design.effects.length;
  const unit = (j: number) => Float64Array.from(design.effects, (_, i) => (i === j ? 1 : 0));
  const fixedEffects = design.effects.map((name, j) => estimateOf(inner, unit(j), name));
  const deviance = solution.deviance + (model.criterion === 'REML' ? standard.logDetR : 0);
  const parameters = p + freePlaces(design.randomEffects.length, model.random.correlated).length + 1;
  const { randomSds, randomCorrelations } = spreadOf(inner);
  const predictors = [...rows.predictors.values()];
  return {
    criterion: model.criterion,
    deviance,
    logLik: -deviance / 2,
    parameters,
    aic: deviance + 2 * parameters,
    bic: deviance + Math.log(design.rows) * parameters,
    fixedEffects,
    fixedCovariance: fixedCovariance(inner),
    randomSds,
    randomCorrelations,
    residualSd: Math.sqrt(solution.sigma2),
    groups: groupModes(inner),
    fitted: fittedValues(inner),
    n: design.rows,
    tableRows: rows.tableRows,
    missing: rows.tableRows - design.rows,
    dropped: rows.dropped,
    factors: predictors.flatMap((x) => (x.kind === 'factor' ? [{ name: x.name, levels: x.levels }] : [])),
    covariates: predictors.flatMap((x) =>
      x.kind === 'covariate' ? [{ name: x.name, centre: x.centre, mean: x.mean }] : [],
    ),
    singular: solution.singular,
    converged: solution.converged,
    iterations: solution.iterations,
    notes: notesOf(
      model,
      inner,
      fixedEffects.filter((e) => Number.isNaN(e.freedom)).map((e) => e.name),
    ),
    inner,
  };
}

function fixedCovariance({ moments, standardised: standard, solution }: FitInner): Float64Array {
  const { p } = moments;
  // Row j of R⁻¹ gives βⱼ from γ.
  const rows = new Float64Array(p * p);
  for (let j = 0; j < p; j++) {
    for (let i = 0; i < p; i++) rows[j * p + i] = i === j ? 1 : 0;
    for (let i = 0; i < p; i++) {
      for (let l = 0; l < i; l++) rows[j * p + i] -= rows[j * p + l] * standard.r[l * p + i];
      rows[j * p + i] /= standard.r[i * p + i];
    }
  }
  return covarianceOf(rows, p, p, solution);
}

function notesOf(model: CheckedDescription, inner: FitInner, freedomUnknown: readonly string[]): FitNote[] {
  const { solution, design } = inner;
  const notes: FitNote[] = [];
  if (!solution.converged) notes.push({ code: 'not-converged', text: mixedNotes.notConverged(solution.iterations) });
  if (solution.singular) notes.push({ code: 'singular', text: mixedNotes.singular(edgeInWords(inner)) });
  if (design.groups.length < FEW_GROUPS)
    notes.push({ code: 'few-groups', text: mixedNotes.fewGroups(design.groups.length, model.random.group) });
  if (freedomUnknown.length > 0)
    notes.push({ code: 'freedom-unknown', text: mixedNotes.freedomUnknown(freedomUnknown.join(', ')) });
  return notes;
}

function edgeInWords(inner: FitInner): string {
  const { randomSds, randomCorrelations } = spreadOf(inner);
  const none = randomSds.filter(({ sd }) => sd === 0).map(({ name }) => `no spread of ${name}`);
  const full = randomCorrelations
    .filter(({ correlation }) => Math.abs(correlation) > 1 - 1e-6)
    .map(({ first, second, correlation }) => `correlation of ${first} and ${second} ${correlation > 0 ? '+1' : '−1'}`);
  return [...none, ...full].join('; ') || 'fewer independent directions of spread than random effects';
}
