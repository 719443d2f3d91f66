import type { ColumnTable } from 'arquero';
import type { Shown } from '../../study/shown.ts';
import { type EffectName, effectName } from './effect-names.ts';
import { fitsRow, type IntervalPanel, type IntervalRow, intervalPanel } from './interval-rows.ts';
import { effectText } from './interval-words.ts';
import { outcomeKey, outcomeName, shownDifference, stepOf } from './names.ts';
import { cannot, groupsOf, known, type Made, made, roomy, rowsOf, said } from './publication.ts';
import type { EffectRow } from './table-rows.ts';

/** Rows of a figure at most: what fits a printed page. */
export const FOREST_ROWS = 16;
/** Figures at most; the table has all. */
export const FOREST_FIGURES = 4;

/** An end further from 0 than this times the middle one of all is held at the frame. */
const BEYOND = 4;

/** An effect as it is shown: for a step of its covariate, in the unit that readers are used to; of a logarithm the relative change. */
export interface ShownEffect extends EffectName {
  readonly row: EffectRow;
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
  return {
    row,
    ...effectName(row),
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

/** Effects of one outcome that stand in one panel. */
export interface ForestPanel {
  readonly effects: readonly ShownEffect[];
  /** The panel goes on with an outcome that has more effects than a figure holds. */
  readonly continued: boolean;
}

/** The panels of each figure: whole outcomes, as many as fit; an outcome of more rows than a figure holds goes on in the next. */
export function forestPages(effects: ColumnTable): ForestPanel[][] {
  const panels = groupsOf(shownEffects(effects), ({ row }) => outcomeKey(row)).flatMap((own) =>
    Array.from({ length: Math.ceil(own.length / FOREST_ROWS) }, (_, i): ForestPanel => {
      return { effects: own.slice(FOREST_ROWS * i, FOREST_ROWS * (i + 1)), continued: i > 0 };
    }),
  );
  const pages: ForestPanel[][] = [];
  let rows = FOREST_ROWS;
  for (const panel of panels) {
    rows += panel.effects.length;
    if (rows <= FOREST_ROWS) pages[pages.length - 1].push(panel);
    else {
      pages.push([panel]);
      rows = panel.effects.length;
    }
  }
  return pages.slice(0, FOREST_FIGURES);
}

/**
 * Forest plot: a line an effect, a panel an outcome; where no model could be fitted, each athlete's own contrasts. The thin line is
 * the 95 % interval with the shared part of the measurement error, the bar above it the interval without.
 *
 * @param effects table with the columns of cohort-effects.csv
 * @param page which of `forestPages`, from 0
 */
export function forest(effects: ColumnTable, page = 0): Made {
  const panels = forestPages(effects)[page];
  if (panels === undefined)
    return cannot('no effect could be estimated: cohort-effects.csv says why, outcome by outcome');
  return made({ spacing: 14, vconcat: panels.map(panelOf).map(intervalPanel) });
}

function panelOf({ effects: own, continued }: ForestPanel): IntervalPanel {
  const [{ row, shown }] = own;
  const { nameOf, against } = rowNames(own);
  const scaled = (value: number) => shown.factor * value;
  const rows = own.map(
    (one): IntervalRow => ({
      name: nameOf(one),
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
    title: `${outcomeName(row)}${continued ? ', continued' : ''}`,
    subtitle: [...against, 'n: recordings / athletes'],
    axis: ['effect', scale, shown.unit === '' ? '' : `(${shown.unit})`].filter((part) => part !== '').join(' '),
    rows,
    level: 0,
    domain: domainOf(rows),
  };
}

/**
 * Whole names where each fits its row. Else the level that others are compared with stands once, above the rows; not where rows of
 * one predictor are compared with different levels.
 */
function rowNames(own: readonly ShownEffect[]): {
  readonly nameOf: (effect: ShownEffect) => string;
  readonly against: readonly string[];
} {
  if (own.every(({ name, against }) => against === '' || fitsRow(name)))
    return { nameOf: ({ name }) => name, against: [] };
  const againstOf = new Map<string, Set<string>>();
  for (const { row, against } of own) {
    const term = said(row.term);
    againstOf.set(term, (againstOf.get(term) ?? new Set()).add(against));
  }
  const once = [...againstOf.values()].flatMap((words) => (words.size === 1 ? [...words] : [])).filter(Boolean);
  return { nameOf: ({ name, short, against }) => (once.includes(against) ? short : name), against: once };
}

/** '−3.5° (−4.7 to −2.4)', a plus where it is above 0. */
export const signed = ({
  value,
  lower,
  upper,
  shown,
}: Pick<ShownEffect, 'value' | 'lower' | 'upper' | 'shown'>): string => effectText({ value, lower, upper }, shown);

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
