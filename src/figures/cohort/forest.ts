import type { ColumnTable } from 'arquero';
import { type Shown, valueWithInterval } from '../../study/shown.ts';
import { type IntervalPanel, type IntervalRow, intervalPanel } from './interval-rows.ts';
import { outcomeKey, outcomeName, shownDifference, stepOf, termName } from './names.ts';
import { cannot, groupsOf, known, type Made, made, roomy, rowsOf, said, withPlus } from './publication.ts';
import type { EffectRow } from './table-rows.ts';

/** Rows at most: what fits a printed page. */
export const FOREST_ROWS = 16;

/** An end further from 0 than this times the middle one of all is held at the frame. */
const BEYOND = 4;

/** An effect as it is shown: for a step of its covariate, in the unit that readers are used to; of a logarithm the relative change. */
export interface ShownEffect {
  readonly row: EffectRow;
  readonly name: string;
  readonly shown: Shown;
  readonly value: number;
  /** The interval to go by: with the shared part of the measurement error where that is known. */
  readonly lower: number;
  readonly upper: number;
  readonly withShared: boolean;
  readonly plainLower: number;
  readonly plainUpper: number;
  readonly differs: boolean;
  readonly known: boolean;
}

/** Effects of cohort-effects.csv but the intercept and the joint tests; contrasts within an athlete too. */
export function shownEffects(effects: ColumnTable): ShownEffect[] {
  return rowsOf<EffectRow>(effects)
    .filter(
      ({ term, level, estimate }) => said(term) !== '' && term !== '(intercept)' && level !== 'any' && known(estimate),
    )
    .map(shownEffect);
}

function shownEffect(row: EffectRow): ShownEffect {
  const step = stepOf(said(row.term), said(row.per));
  const size = step?.size ?? 1;
  // exp turns a difference of logarithms into a ratio; it keeps order and sign, so ends stay ends.
  const inShown = (effect: number) => (row.scale === 'logarithm' ? Math.expm1(size * effect) : size * effect);
  const withShared = known(row.lower_with_shared) && known(row.upper_with_shared);
  const [lower, upper] = withShared ? [row.lower_with_shared, row.upper_with_shared] : [row.lower, row.upper];
  const levels = said(row.level) === '' ? '' : `, ${said(row.level)} against ${said(row.reference)}`;
  const athlete = said(row.athlete_id);
  return {
    row,
    name: `${athlete === '' ? '' : `${athlete}: `}${termName(said(row.term))}${levels}${step ? `, per ${step.words}` : ''}`,
    shown: shownOf(row),
    value: inShown(row.estimate),
    lower: inShown(lower),
    upper: inShown(upper),
    withShared,
    plainLower: inShown(row.lower),
    plainUpper: inShown(row.upper),
    known: known(lower) && known(upper),
    differs: lower > 0 || upper < 0,
  };
}

/** An effect on a logarithm is shown as the relative change; other scales have no unit. */
export const shownOf = ({ measure, unit, scale }: Pick<EffectRow, 'measure' | 'unit' | 'scale'>): Shown =>
  scale === 'logarithm'
    ? { factor: 100, unit: '%', decimals: 0 }
    : scale === 'as it is'
      ? shownDifference(measure, unit)
      : { factor: 1, unit: '', decimals: 3 };

/** The verdict in words; an interval of one athlete's own contrast is that of the measurement. */
export const verdictOf = ({ known: judged, differs }: ShownEffect): string =>
  judged ? (differs ? 'differs from 0' : 'cannot tell') : 'no interval';

/**
 * Forest plot: a line an effect, a panel an outcome; where no model could be fitted, each athlete's own contrasts. The thin line is
 * the 95 % interval with the shared part of the measurement error, the bar above it the interval without.
 *
 * @param effects table with the columns of cohort-effects.csv
 */
export function forest(effects: ColumnTable): Made {
  const all = shownEffects(effects);
  if (all.length === 0) return cannot('no effect could be estimated: cohort-effects.csv says why, outcome by outcome');
  const drawn = all.slice(0, FOREST_ROWS);
  const panels = groupsOf(drawn, ({ row }) => outcomeKey(row)).map((own) => panelOf(own));
  return made({ spacing: 14, vconcat: panels.map(intervalPanel) });
}

function panelOf(own: readonly ShownEffect[]): IntervalPanel {
  const [{ row, shown }] = own;
  const scaled = (value: number) => shown.factor * value;
  const rows = own.map(
    (one): IntervalRow => ({
      name: one.name,
      words: `${signed(one)}, ${verdictOf(one)}, n ${one.row.recordings} / ${one.row.athletes}`,
      value: scaled(one.value),
      lower: scaled(one.lower),
      upper: scaled(one.upper),
      barLower: one.withShared ? scaled(one.plainLower) : Number.NaN,
      barUpper: one.withShared ? scaled(one.plainUpper) : Number.NaN,
      full: one.known && one.differs,
    }),
  );
  const scale =
    row.scale === 'as it is' ? '' : row.scale === 'logarithm' ? 'relative change' : `on the scale “${row.scale}”`;
  return {
    title: outcomeName(row),
    subtitle: ['n: recordings / athletes'],
    axis: ['effect', scale, shown.unit === '' ? '' : `(${shown.unit})`].filter((part) => part !== '').join(' '),
    rows,
    level: 0,
    domain: domainOf(rows),
  };
}

/** '−3.5° (−4.7 to −2.4)', a plus where it is above 0. */
export const signed = ({
  value,
  lower,
  upper,
  shown,
}: Pick<ShownEffect, 'value' | 'lower' | 'upper' | 'shown'>): string =>
  withPlus(valueWithInterval({ value, lower, upper }, shown));

/** All ends and 0; one much wider than the others does not flatten them. */
function domainOf(rows: readonly IntervalRow[]): readonly [number, number] {
  const ends = rows.flatMap(({ lower, upper, barLower, barUpper }) =>
    [lower, upper, barLower, barUpper].filter(Number.isFinite),
  );
  const reach = rows.map(({ value, lower, upper }) =>
    Math.max(...[value, lower, upper].filter(Number.isFinite).map(Math.abs)),
  );
  const middle = [...reach].sort((a, b) => a - b)[Math.floor((reach.length - 1) / 2)];
  const most = middle > 0 ? BEYOND * middle : Number.POSITIVE_INFINITY;
  return roomy([0, ...rows.map(({ value }) => value), ...ends.map((end) => Math.min(most, Math.max(-most, end)))]);
}
