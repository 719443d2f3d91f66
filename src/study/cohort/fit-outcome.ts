import { DataError } from '../../errors.ts';
import { cohortReasons } from '../../messages/cohort.ts';
import type { Weights } from '../statistics/mixed-model/contrast.ts';
import type { ModelDescription } from '../statistics/mixed-model/description.ts';
import { mixedModel } from '../statistics/mixed-model/fit.ts';
import { marginalMeans, marginalWeights } from '../statistics/mixed-model/marginal-means.ts';
import type { Estimate, MixedFit } from '../statistics/mixed-model/mixed-fit.ts';
import type { ModelTable } from '../statistics/mixed-model/model-rows.ts';
import { type SharedCause, withSharedErrors } from '../statistics/mixed-model/shared-errors.ts';
import type { CheckedComparison } from './checked-comparison.ts';
import { type CohortRow, countsOf } from './cohort-rows.ts';
import type { PredictorValues } from './predictor-values.ts';
import type { RecordingFacts } from './recording-facts.ts';
import { sharedCauses } from './shared-causes.ts';

/** With fewer athletes nothing can be said of athletes in general. */
export const FEWEST_ATHLETES = 3;

export const RESPONSE = 'response';
export const GROUP = 'athlete_id';

/** An effect or mean, without and with the shared part of the measurement error; null where that is not known. */
export interface Judged {
  readonly without: Estimate;
  readonly with: Estimate | null;
}

/** A mean at one level of a factor, on the scale of the outcome. */
export interface LevelMean extends Judged {
  readonly factor: string;
  readonly level: string;
}

export interface OutcomeFit {
  /** null where it could not be fitted; `reason` says why. */
  readonly fit: MixedFit | null;
  readonly reason: string;
  readonly description: ModelDescription;
  /** The rows in the order of the fit. */
  readonly used: readonly CohortRow[];
  /** In the order of the fixed effects. */
  readonly effects: readonly Judged[];
  readonly means: readonly LevelMean[];
  /** Shared errors of the measurement by rows; null where they are not known of all. */
  readonly causes: readonly SharedCause[] | null;
  /** Recordings used of which the measurement has no interval; above 0, no `with` is known. */
  readonly withoutIntervals: number;
}

/** Fits the mixed model of one outcome; what the data do not bear is a reason, not an error. */
export function fitOutcome(
  rows: readonly CohortRow[],
  facts: readonly RecordingFacts[],
  predictors: PredictorValues,
  comparison: CheckedComparison,
  outcome: number,
): OutcomeFit {
  const used = rows.filter(({ reason }) => reason === '');
  const { table, description } = modelOf(used, predictors, comparison);
  const none = { fit: null, description, used, effects: [], means: [], causes: null, withoutIntervals: 0 };
  if (used.length === 0) return { ...none, reason: cohortReasons.cannotBeFitted(cohortReasons.noRows()) };
  const { athletes } = countsOf(used);
  const least = Math.max(FEWEST_ATHLETES, comparison.slopes.length + 2);
  if (athletes < least)
    return { ...none, reason: cohortReasons.cannotBeFitted(cohortReasons.tooFewAthletes(athletes, least)) };
  let fit: MixedFit;
  try {
    fit = mixedModel(table, description);
  } catch (error) {
    if (!(error instanceof DataError)) throw error;
    return { ...none, reason: cohortReasons.cannotBeFitted(error.message) };
  }
  const doubts = used.map(({ from }) => facts[from].outcomes[outcome].doubt);
  const unknown = new Set(used.filter((_, row) => doubts[row] === null).map(({ from }) => from)).size;
  const causes =
    unknown > 0
      ? null
      : sharedCauses(
          used.map(({ athleteId, recordingId }, row) => ({ athleteId, recordingId, effects: doubts[row]!.effects })),
          fit,
          comparison.rows,
        );
  const judged = (contrasts: readonly { name: string; weights: Weights }[], without: readonly Estimate[]): Judged[] => {
    const added = causes && withSharedErrors(fit, causes, contrasts);
    return without.map((estimate, i) => ({ without: estimate, with: added?.[i].with ?? null }));
  };
  const levels = fit.factors
    .filter(({ name }) => comparison.predictors.some(({ column }) => column === name))
    .flatMap(({ name }) =>
      marginalMeans(fit, [name]).map((mean) => ({ mean, factor: name, level: mean.levels[name] })),
    );
  const means = judged(
    levels.map(({ mean, factor, level }) => ({
      name: mean.name,
      weights: marginalWeights(fit, { [factor]: level }),
    })),
    levels.map(({ mean }) => mean),
  );
  return {
    fit,
    reason: '',
    description,
    used,
    effects: judged(
      fit.fixedEffects.map(({ name }) => ({ name, weights: { [name]: 1 } })),
      fit.fixedEffects,
    ),
    means: means.map((one, i) => ({ ...one, factor: levels[i].factor, level: levels[i].level })),
    causes,
    withoutIntervals: unknown,
  };
}

/** The table and description that `mixedModel` takes. Covariates are centred at their mean unless said otherwise. */
function modelOf(
  used: readonly CohortRow[],
  predictors: PredictorValues,
  { predictors: named, interactions, slopes, factors, centre }: CheckedComparison,
): { table: ModelTable; description: ModelDescription } {
  const columns = named.map(
    ({ column }) => [column, used.map(({ from }) => predictors[from].get(column)!.value)] as const,
  );
  const covariates = columns.flatMap(([column, values]) =>
    column in factors || values.some((value) => typeof value === 'string') ? [] : [column],
  );
  return {
    table: {
      [RESPONSE]: used.map(({ response }) => response),
      [GROUP]: used.map(({ athleteId }) => athleteId),
      ...Object.fromEntries(columns),
    },
    description: {
      response: RESPONSE,
      fixed: [...named.map(({ column }) => column), ...interactions],
      random: { group: GROUP, slopes: [...slopes] },
      factors: { ...factors },
      centre: { ...Object.fromEntries(covariates.map((column) => [column, 'mean' as const])), ...centre },
    },
  };
}
