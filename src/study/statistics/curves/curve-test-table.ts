import type { ColumnTable } from 'arquero';
import { curveTestWords } from '../../../messages/curve-tests.ts';
import { tableOf } from '../../csv.ts';
import { number, side, type TableEntry, text, whole } from '../../dictionary-columns.ts';
import type { CurveTest, CurveTestPoint } from './curve-test-result.ts';
import type { WidenedCurveTest, WidenedPoint } from './shared-doubt.ts';

const inUnit = (column: string, definition: string) => number(column, 'as in scale', definition);

/** The dictionary entry of `curve-tests.csv`. */
export const curveTests: TableEntry = {
  file: 'curve-tests.csv',
  row: 'a compared curve at a depth: mean difference between conditions, or slope along a covariate, with its test over the whole curve',
  columns: [
    text('comparison', 'What is compared, in the words of the caller, for instance `heel: raised less flat`.'),
    text('design', '`paired` (within athletes), `groups` (two independent groups) or `covariate`.'),
    text('phase', '`descent` or `ascent`.'),
    text('grid', 'What depth counts, as in curves.csv.'),
    number('depth', 'deg or %', 'Depth on the grid.'),
    text('quantity', 'Name of the quantity, as in curves.csv.'),
    side,
    text(
      'scale',
      '`difference`: B less A in the unit of the quantity (covariate: change for one unit of it); `factor`: B divided by A, 1 = no difference, for ratios, which are averaged by their logarithm.',
    ),
    whole('n', 'Athletes known at this depth.'),
    whole('n_a', 'Of two groups, those of A; empty in other designs.'),
    whole('n_b', 'Of two groups, those of B.'),
    whole('missing', 'Athletes of the test who do not reach this depth, or are unknown here.'),
    inUnit('estimate', 'Mean over athletes, each athlete counting once.'),
    inUnit('lower', 'Lower end of the interval at this depth alone (Student), 1 − alpha.'),
    inUnit('upper', 'Upper end of it.'),
    inUnit(
      'band_lower',
      'Lower end of the simultaneous band, which holds the whole true curve with probability 1 − alpha.',
    ),
    inUnit('band_upper', 'Upper end of it.'),
    inUnit(
      'widened_band_lower',
      'Lower end of the band with errors of measurement that athletes share; empty where their effects were not given.',
    ),
    inUnit('widened_band_upper', 'Upper end of it.'),
    number('shared_share', '1', 'Part of these shared errors in the variance of the estimate, 0–1.'),
    number('t', '1', 'Estimate by its standard error.'),
    number('freedom', '1', 'Degrees of freedom of t.'),
    number('critical_t', '1', 'Size of t beyond which the band leaves out no difference.'),
    number(
      'adjusted_p',
      '1',
      'Family-wise p: share of rearrangements of the athletes whose largest |t| over all depths is at least as large.',
    ),
    number('smallest_p', '1', 'Smallest p that this number of athletes can reach.'),
    text('verdict', '`different` (adjusted_p ≤ alpha), `cannot tell` or `not tested`.'),
    text('reason', 'Why it was not tested, or has no t.'),
  ],
};

/** Rows of `curve-tests.csv`. */
export function curveTestTable(comparison: string, test: CurveTest | WidenedCurveTest): ColumnTable {
  const shown = test.scale === 'logarithm' ? Math.exp : (value: number) => value;
  const rows = test.points.map((point: CurveTestPoint | WidenedPoint) => {
    const wide = 'widenedBandLower' in point ? point : null;
    return {
      comparison,
      design: test.design,
      phase: point.phase,
      grid: test.grid,
      depth: point.depth,
      quantity: test.quantity,
      side: test.side,
      scale: test.scale === 'logarithm' ? 'factor' : 'difference',
      n: point.n,
      n_a: point.nOfGroups?.[0],
      n_b: point.nOfGroups?.[1],
      missing: point.missing,
      estimate: shown(point.estimate),
      lower: shown(point.lower),
      upper: shown(point.upper),
      band_lower: shown(point.bandLower),
      band_upper: shown(point.bandUpper),
      widened_band_lower: wide && shown(wide.widenedBandLower),
      widened_band_upper: wide && shown(wide.widenedBandUpper),
      shared_share: wide?.sharedShare,
      t: point.t,
      freedom: point.freedom,
      critical_t: point.criticalT,
      adjusted_p: point.adjustedP,
      smallest_p: point.smallestP,
      verdict: point.verdict,
      reason: point.reason,
    };
  });
  return tableOf(
    curveTests.columns.map(({ column }) => column),
    rows,
  );
}

/** What a test found, a sentence a line. */
export function curveTestLines(test: CurveTest): string[] {
  const { alpha, athletes, ranges, attainableLevel, athletesNeeded, design, grid } = test;
  if (!test.canBeSignificant) {
    return [curveTestWords.cannotBeSignificant(athletes.length, athletesNeeded, design === 'groups')];
  }
  const unit = grid === 'drop_pct' ? '%' : '°';
  const found = ranges.map(({ phase, from, to, sign, smallestP }) =>
    curveTestWords.range(phase, from, to, unit, sign > 0, smallestP),
  );
  return [
    ...(found.length > 0 ? found : [curveTestWords.nothingFound(alpha)]),
    ...(attainableLevel < 0.9 * alpha ? [curveTestWords.steps(attainableLevel, alpha)] : []),
  ];
}
