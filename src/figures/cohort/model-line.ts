import type { ColumnTable } from 'arquero';
import { fromScale, type Scale } from '../../numerics/scale.ts';
import { COLOUR } from '../look.ts';
import { type OutcomeName, outcomeKey, termName } from './names.ts';
import { known, rowsOf, said } from './publication.ts';
import type { EffectRow, ModelRow } from './table-rows.ts';

/** What the model says along one covariate. */
export interface ModelLine {
  readonly points: readonly {
    readonly x: number;
    readonly value: number;
    readonly lower: number;
    readonly upper: number;
  }[];
  /** Value of the covariate at which the fan has no width. */
  readonly centre: number;
  /** 95 % interval of the level at the centre, which the fan leaves out; null where it is unknown, or the line does not go there. */
  readonly level: { readonly lower: number; readonly upper: number } | null;
  /** Whether the ends of fan and level hold the shared part of the measurement error. */
  readonly withShared: boolean;
  /** 'sex female; load_kg 62' : what the other predictors are held at. */
  readonly held: string;
  /** Terms in which the covariate is joined with another: the line holds at what is held. */
  readonly interactions: readonly string[];
}

const STEPS = 24;

/**
 * The line of the model along a covariate, all else at its centre or reference, with the fan of the 95 % interval of its
 * slope and, at the centre, the interval of the level. The tables hold no covariance of the two, so the fan leaves the doubt about
 * the level out and turns about the centre. null where the model has no such slope.
 *
 * @param effects cohort-effects.csv
 * @param models cohort-models.csv
 */
export function modelLine(
  effects: ColumnTable,
  models: ColumnTable,
  outcome: OutcomeName,
  covariate: string,
  [from, to]: readonly [number, number],
): ModelLine | null {
  const own = rowsOf<EffectRow>(effects).filter(
    (row) => outcomeKey(row) === outcomeKey(outcome) && said(row.athlete_id) === '',
  );
  const intercept = own.find(({ term }) => term === '(intercept)');
  const slope = own.find(({ term, level }) => term === covariate && said(level) === '');
  const model = rowsOf<ModelRow>(models).find((row) => outcomeKey(row) === outcomeKey(outcome));
  if (!intercept || !slope || !model || !known(intercept.estimate) || !known(slope.estimate)) return null;
  const centres = pairsOf(said(model.centres));
  const centre = Number(centres.find(([name]) => name === covariate)?.[1] ?? Number.NaN);
  if (!known(centre)) return null;
  const withShared = known(slope.lower_with_shared);
  const endsOf = (row: EffectRow) =>
    withShared ? [row.lower_with_shared, row.upper_with_shared] : [row.lower, row.upper];
  const [low, high] = endsOf(slope);
  const back = (place: number) => (slope.scale === 'as it is' ? place : fromScale(slope.scale as Scale, place));
  const points = Array.from({ length: STEPS + 1 }, (_, i) => {
    const x = from + ((to - from) * i) / STEPS;
    const at = (rate: number) => back(intercept.estimate + rate * (x - centre));
    const [one, other] = [at(low), at(high)];
    return { x, value: at(slope.estimate), lower: Math.min(one, other), upper: Math.max(one, other) };
  });
  const level = endsOf(intercept)
    .map(back)
    .sort((a, b) => a - b);
  const held = [...centres.filter(([name]) => name !== covariate), ...pairsOf(said(model.references))];
  return {
    points,
    centre,
    level: level.every(known) && centre >= from && centre <= to ? { lower: level[0], upper: level[1] } : null,
    withShared,
    held: held.map(([name, value]) => `${termName(name)} ${heldAt(name, value)}`).join(', '),
    interactions: own.flatMap(({ term }) =>
      term?.includes(':') && term.split(':').includes(covariate) ? [termName(term)] : [],
    ),
  };
}

/** The interval of the level as a bar at the centre: wide and light, so that intervals of single values stay apart from it. */
export const levelBar = (level: readonly object[], x: object, y: object) => ({
  data: { values: level },
  mark: { type: 'rule', color: COLOUR.down, strokeWidth: 5, opacity: 0.45 },
  encoding: { x, y: { ...y, field: 'lower' }, y2: { field: 'upper' } },
});

/** 'heel_height_mm 15; sex female' as pairs. */
export const pairsOf = (text: string): [string, string][] =>
  text === ''
    ? []
    : text.split('; ').map((part) => {
        const space = part.indexOf(' ');
        return [part.slice(0, space), part.slice(space + 1)];
      });

/** '15 mm', '0.834', 'female'. */
export function heldAt(column: string, value: string): string {
  const number = Number(value);
  if (!known(number) || value === '') return value;
  const unit = /_(mm|kg|m)$/.exec(column)?.[1];
  return `${Number(number.toPrecision(3))}${unit ? ` ${unit}` : ''}`;
}
