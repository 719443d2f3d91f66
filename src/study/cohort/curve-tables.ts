import type { ColumnTable } from 'arquero';
import { curveTestWords } from '../../messages/curve-tests.ts';
import { tableOf } from '../csv.ts';
import { scaleOf } from '../statistics/curves/athlete-curves.ts';
import type { CurveTest, CurveTestPoint } from '../statistics/curves/curve-test-result.ts';
import type { WidenedPoint } from '../statistics/curves/shared-doubt.ts';
import { CURVE_ALPHA, type CurveResult } from './curve-comparison.ts';
import { joinedNotes } from './table-cells.ts';

const CONTRAST = ['quantity', 'side', 'by', 'level', 'reference', 'design'] as const;

export const COHORT_CURVE_COLUMNS = [
  ...CONTRAST,
  'phase',
  'grid',
  'depth',
  'scale',
  'unit',
  'per',
  'n',
  'n_reference',
  'n_level',
  'missing',
  'estimate',
  'lower',
  'upper',
  'band_lower',
  'band_upper',
  'widened_lower',
  'widened_upper',
  'widened_band_lower',
  'widened_band_upper',
  'shared_share',
  't',
  'df',
  'critical_t',
  'adjusted_p',
  'smallest_p',
  'verdict',
  'reason',
] as const;

export const COHORT_GROUP_CURVE_COLUMNS = [
  'quantity',
  'side',
  'by',
  'level',
  'against',
  'phase',
  'grid',
  'depth',
  'unit',
  'n',
  'recordings',
  'repetitions',
  'missing',
  'mean',
  'lower',
  'upper',
  'band_lower',
  'band_upper',
  'widened_band_lower',
  'widened_band_upper',
  'reason',
] as const;

export const COHORT_CURVE_TEST_COLUMNS = [
  ...CONTRAST,
  'design_from',
  'grid',
  'scale',
  'unit',
  'per',
  'athletes',
  'n_reference',
  'n_level',
  'recordings',
  'repetitions',
  'missing',
  'recordings_missing',
  'depths_tested',
  'depths_not_tested',
  'rearrangements',
  'rearrangements_all',
  'exact',
  'seed',
  'level_asked',
  'level_kept',
  'smallest_p',
  'athletes_needed',
  'p',
  'verdict',
  'ranges',
  'notes',
  'reason',
] as const;

/** Verdict at a depth, and of a whole test. */
export type CohortCurveVerdict = 'differs' | 'cannot tell' | 'cannot be significant' | 'not tested';

const GRID = 'thigh_elevation_deg';

const contrastCells = ({ quantity, side, by, contrast }: CurveResult) => ({
  quantity,
  side,
  by,
  level: contrast.kind === 'levels' ? contrast.level : '',
  reference: contrast.kind === 'levels' ? contrast.reference : '',
  design: contrast.design ?? '',
});

/** A ratio is averaged by its logarithm: a difference of means is a factor. */
const scaleCells = ({ quantity, unit, per }: CurveResult) => {
  const factor = scaleOf(quantity) === 'logarithm';
  return { scale: factor ? 'factor' : 'difference', unit: factor ? '1' : unit, per };
};

const shownOf = ({ quantity }: CurveResult) =>
  scaleOf(quantity) === 'logarithm' ? Math.exp : (value: number) => value;

/** `cohort-curves.csv`: each comparison, depth by depth. */
export function cohortCurvesTable(results: readonly CurveResult[]): ColumnTable {
  const rows = results.flatMap((result) => {
    const { test } = result;
    const shown = shownOf(result);
    return (test?.points ?? []).map((point: CurveTestPoint | WidenedPoint) => {
      const wide = 'widenedBandLower' in point ? point : null;
      return {
        ...contrastCells(result),
        phase: point.phase,
        grid: GRID,
        depth: point.depth,
        ...scaleCells(result),
        n: point.n,
        n_reference: countAt(test!, point, 0),
        n_level: countAt(test!, point, 1),
        // Those left out of the test reach no depth of it.
        missing: point.missing + result.counts.missing,
        estimate: shown(point.estimate),
        lower: shown(point.lower),
        upper: shown(point.upper),
        band_lower: shown(point.bandLower),
        band_upper: shown(point.bandUpper),
        widened_lower: wide && shown(wide.widenedLower),
        widened_upper: wide && shown(wide.widenedUpper),
        widened_band_lower: wide && shown(wide.widenedBandLower),
        widened_band_upper: wide && shown(wide.widenedBandUpper),
        shared_share: wide?.sharedShare,
        t: point.t,
        df: point.freedom,
        critical_t: point.criticalT,
        adjusted_p: point.adjustedP,
        smallest_p: point.smallestP,
        ...verdictAt(test!, point),
      };
    });
  });
  return tableOf(COHORT_CURVE_COLUMNS, rows);
}

/** `cohort-group-curves.csv`: mean curve of each level. */
export function cohortGroupCurvesTable(results: readonly CurveResult[]): ColumnTable {
  const rows = results.flatMap((result) => {
    const shown = shownOf(result);
    return result.groups.flatMap(({ level, against, points }) =>
      points.map((point) => ({
        quantity: result.quantity,
        side: result.side,
        by: result.by,
        level,
        against,
        phase: point.phase,
        grid: GRID,
        depth: point.depth,
        unit: result.unit,
        n: point.n,
        recordings: point.recordings,
        repetitions: point.repetitions,
        missing: point.missing,
        mean: shown(point.mean),
        lower: shown(point.lower),
        upper: shown(point.upper),
        band_lower: shown(point.bandLower),
        band_upper: shown(point.bandUpper),
        widened_band_lower: shown(point.widenedBandLower),
        widened_band_upper: shown(point.widenedBandUpper),
        reason: point.reason,
      })),
    );
  });
  return tableOf(COHORT_GROUP_CURVE_COLUMNS, rows);
}

/** `cohort-curve-tests.csv`: one row a comparison, those that could not be made too. */
export function cohortCurveTestsTable(results: readonly CurveResult[]): ColumnTable {
  const rows = results.map((result) => {
    const { test, counts, contrast } = result;
    return {
      ...contrastCells(result),
      design_from: contrast.design === null ? '' : result.designStated ? 'stated' : 'data',
      grid: GRID,
      ...scaleCells(result),
      athletes: counts.athletes,
      n_reference: counts.athletesAtReference,
      n_level: counts.athletesAtLevel,
      recordings: counts.recordings,
      repetitions: counts.repetitions,
      missing: counts.missing,
      recordings_missing: counts.recordingsMissing,
      depths_tested: test?.points.filter(({ verdict }) => verdict !== 'not tested').length ?? 0,
      depths_not_tested: test?.points.filter(({ verdict }) => verdict === 'not tested').length ?? 0,
      rearrangements: test?.arrangements.used,
      rearrangements_all: test?.arrangements.all,
      exact: test?.arrangements.exact,
      seed: test?.arrangements.exact ? null : test?.arrangements.seed,
      level_asked: CURVE_ALPHA,
      level_kept: test?.attainableLevel,
      smallest_p: test?.smallestP,
      athletes_needed: test?.athletesNeeded,
      p: test?.p,
      ...verdictOf(result),
      ranges: (test?.ranges ?? []).map(rangeWords).join('; '),
      notes: joinedNotes(result.notes),
    };
  });
  return tableOf(COHORT_CURVE_TEST_COLUMNS, rows);
}

const rangeWords = ({ phase, from, to, sign, smallestP }: CurveTest['ranges'][number]) =>
  curveTestWords.range(phase, from, to, '°', sign > 0, smallestP);

/** Athletes of a group at a depth; in pairs all have both levels. */
function countAt(test: CurveTest, point: CurveTestPoint, group: 0 | 1): number | null {
  return test.design === 'covariate' ? null : (point.nOfGroups?.[group] ?? point.n);
}

function verdictAt(test: CurveTest, { verdict, reason, smallestP }: CurveTestPoint) {
  if (verdict === 'not tested') return { verdict: 'not tested' satisfies CohortCurveVerdict, reason };
  if (!test.canBeSignificant)
    return { verdict: 'cannot be significant' satisfies CohortCurveVerdict, reason: fewWords(test) };
  if (smallestP > test.alpha) return { verdict: 'cannot be significant' satisfies CohortCurveVerdict, reason };
  const word: CohortCurveVerdict = verdict === 'different' ? 'differs' : 'cannot tell';
  return { verdict: word, reason };
}

function verdictOf({ test, reason }: CurveResult): { readonly verdict: CohortCurveVerdict; readonly reason: string } {
  if (test === null) return { verdict: 'not tested', reason };
  if (!test.canBeSignificant) return { verdict: 'cannot be significant', reason: fewWords(test) };
  if (Number.isNaN(test.p)) return { verdict: 'not tested', reason: test.points[0]?.reason ?? '' };
  return { verdict: test.ranges.length > 0 ? 'differs' : 'cannot tell', reason: '' };
}

const fewWords = ({ athletes, athletesNeeded, design }: CurveTest) =>
  curveTestWords.cannotBeSignificant(athletes.length, athletesNeeded, design === 'groups');
