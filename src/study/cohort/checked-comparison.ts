import { nearestName } from '../../capture/nearest-name.ts';
import type { Study } from '../../capture/recording.ts';
import { MEASURE_PLACES } from '../../lift/findings/measure-places.ts';
import { MEASURE_GROUPS, MEASURES } from '../../lift/measures/index.ts';
import {
  type ComparisonPlace,
  comparisonMeasureUnknown,
  comparisonPlaceUnknown,
  comparisonSideUnknown,
  comparisonTwice,
  factorCentred,
  measuredFactor,
  notAPredictorHere,
  outcomeAmongPredictors,
  predictorUnknown,
} from '../../messages/cohort.ts';
import { type CheckedCurve, checkedCurves } from './checked-curves.ts';
import { CONDITION, FILE_PREDICTORS, WEEK } from './file-predictors.ts';
import type { MeasureName, Predictor } from './predictor.ts';

export type { MeasureName, Predictor } from './predictor.ts';

/** A comparison whose names are all known. Terms are written with the columns of the predictors. */
export interface CheckedComparison {
  readonly outcomes: readonly MeasureName[];
  readonly predictors: readonly Predictor[];
  readonly interactions: readonly string[];
  readonly slopes: readonly string[];
  readonly factors: Readonly<Record<string, { readonly reference?: string }>>;
  readonly centre: Readonly<Record<string, number | 'mean'>>;
  readonly rows: 'recordings' | 'repetitions';
  /** Whole curves across depth; null = the usual one, which only the data can tell. */
  readonly curves: readonly CheckedCurve[] | null;
}

/** What a comparison looks at that names no outcomes: the share of the hips, the lean, the balance and the ankle's use. */
export const USUAL_OUTCOMES: readonly MeasureName[] = [
  { measure: 'hip_share', side: 'both', at: 'parallel' },
  { measure: 'trunk_lean', side: '', at: 'parallel' },
  { measure: 'com_along_foot', side: '', at: 'parallel' },
  { measure: 'ankle_dorsiflexion', side: 'both', at: 'largest' },
];

const OF_THE_BODY: ReadonlySet<string> = new Set(
  MEASURE_GROUPS.filter(({ title }) => title === 'Body proportions').flatMap(({ measures }) =>
    measures.map(({ name }) => name),
  ),
);

const NAMES = MEASURES.map(({ name }) => name);

/**
 * The comparison of a study with every name looked up, before anything is analysed; null where the study has none. Throws a
 * DataError that names file, line, field and the nearest known name.
 */
export function checkedComparison({
  file,
  comparison,
  cards,
}: Pick<Study, 'file' | 'comparison' | 'cards'>): CheckedComparison | null {
  if (!comparison) return null;
  const place = (field: string): ComparisonPlace => ({
    file,
    line: comparison.lines[field] ?? 1,
    field: `comparison.${field}`,
  });
  const outcomes =
    comparison.outcomes?.map(({ measure, at, side }, i) => {
      const field = (of: string) => place(`outcomes[${i}].${of}`);
      if (!NAMES.includes(measure))
        throw comparisonMeasureUnknown(field('measure'), measure, nearestName(measure, NAMES));
      return placed(measure, at, side, field('at'), field('side'));
    }) ?? USUAL_OUTCOMES;
  outcomes.forEach((one, i) => {
    if (outcomes.findIndex((other) => sameNumber(one, other)) < i)
      throw comparisonTwice(place(`outcomes[${i}].measure`), `${one.measure} ${one.side} ${one.at}`);
  });
  const predictors = comparison.predictors.map((name, i) =>
    predictorOf(name, comparison.conditions, place(`predictors[${i}]`)),
  );
  predictors.forEach((one, i) => {
    const where = place(`predictors[${i}]`);
    if (predictors.findIndex(({ column }) => column === one.column) < i) throw comparisonTwice(where, one.name);
    if (one.kind === 'measure' && outcomes.some((outcome) => sameNumber(outcome, one.of)))
      throw outcomeAmongPredictors(where, one.name);
  });
  const columns = new Map(predictors.map((one) => [one.name, one.column]));
  const known = (name: string, field: string): string => {
    const column = columns.get(name);
    if (column === undefined)
      throw notAPredictorHere(place(field), name, nearestName(name, comparison.predictors), comparison.predictors);
    return column;
  };
  const byColumn = <T>(field: 'factors' | 'centre', values: Readonly<Record<string, T>>) =>
    Object.fromEntries(
      Object.entries(values).map(([name, value]) => {
        const of = `${field}.${name}`;
        const column = known(name, of);
        const predictor = predictors.find((one) => one.column === column)!;
        if (field === 'factors' && (predictor.kind === 'measure' || predictor.kind === 'week'))
          throw measuredFactor(place(of), name);
        const words = predictor.kind === 'file' && predictor.unit === '';
        if (field === 'centre' && (words || name in comparison.factors)) throw factorCentred(place(of), name);
        return [column, value];
      }),
    );
  return {
    outcomes,
    predictors,
    interactions: comparison.interactions.map((term, i) =>
      term
        .split(':')
        .map((part) => known(part, `interactions[${i}]`))
        .join(':'),
    ),
    slopes: comparison.slopes.map((name, i) => known(name, `slopes[${i}]`)),
    factors: byColumn('factors', comparison.factors),
    centre: byColumn('centre', comparison.centre),
    rows: comparison.rows,
    curves: checkedCurves(comparison, cards, place, (name, where) => predictorOf(name, comparison.conditions, where)),
  };
}

/** Predictors of the models, then those that only curves are compared by. */
export const allPredictors = ({ predictors, curves }: CheckedComparison): readonly Predictor[] => {
  const byColumn = new Map([...predictors, ...(curves ?? []).map(({ by }) => by)].map((one) => [one.column, one]));
  return [...byColumn.values()];
};

export const sameNumber = (a: MeasureName, b: MeasureName): boolean =>
  a.measure === b.measure && a.side === b.side && a.at === b.at;

function predictorOf(name: string, conditions: readonly string[], place: ComparisonPlace): Predictor {
  if (Object.hasOwn(FILE_PREDICTORS, name))
    return { kind: 'file', name, column: name, unit: FILE_PREDICTORS[name].unit };
  if (name === WEEK) return { kind: 'week', name, column: name, unit: 'weeks' };
  const condition = name.startsWith(CONDITION) ? name.slice(CONDITION.length) : '';
  if (conditions.includes(condition)) return { kind: 'condition', name, column: name, condition };
  const [measure, at] = name.split('@');
  if (NAMES.includes(measure)) {
    const of = placed(measure, at ?? null, null, place, place);
    return { kind: 'measure', name, column: columnOf(name), of, ofBody: OF_THE_BODY.has(measure) };
  }
  const stated = [...Object.keys(FILE_PREDICTORS), WEEK, ...conditions.map((one) => `${CONDITION}${one}`)];
  // Who writes `heel` means condition_heel: the shortest way first.
  const nearest = conditions.includes(measure) ? `${CONDITION}${measure}` : nearestName(measure, [...stated, ...NAMES]);
  throw predictorUnknown(place, name, nearest, stated);
}

/** `trunk_lean@parallel descent` as a column: trunk_lean_parallel_descent. */
const columnOf = (name: string): string => name.replace(/[^a-z0-9]+/g, '_');

function placed(
  measure: string,
  at: string | null,
  side: 'both' | 'left' | 'right' | null,
  atPlace: ComparisonPlace,
  sidePlace: ComparisonPlace,
): MeasureName {
  const known = MEASURE_PLACES[measure];
  if (at === null && known.at.length > 1) throw comparisonPlaceUnknown(atPlace, measure, null, null, known.at);
  if (at !== null && !known.at.includes(at))
    throw comparisonPlaceUnknown(atPlace, measure, at, nearestName(at, known.at), known.at);
  const sides = known.sides.filter((one) => one !== '');
  const whole = known.sides.includes('both') ? 'both' : known.sides.includes('') ? '' : null;
  if (side === null && whole === null) throw comparisonSideUnknown(sidePlace, measure, null, sides);
  if (side !== null && !known.sides.includes(side)) throw comparisonSideUnknown(sidePlace, measure, side, sides);
  return { measure, side: side ?? whole!, at: at ?? known.at[0] };
}
