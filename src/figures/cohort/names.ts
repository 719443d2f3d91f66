import { MEASURES } from '../../lift/measures/index.ts';
import { PER_CENT, type Shown, shownAs } from '../../study/shown.ts';
import { said } from './publication.ts';

/** How outcomes, predictors and their steps are called in figures, captions and sentences of a whole study. */

export interface OutcomeName {
  readonly measure: string;
  readonly side: string | null;
  readonly at: string | null;
}

const PLACES: Readonly<Record<string, string>> = {
  parallel: ' at parallel',
  bottom: ' at the bottom',
  start: ' at the start',
  largest: ', largest',
  ascent: ', way up',
  descent: ', way down',
  sticking: ' at the sticking point',
};

const CALLED: Readonly<Record<string, string>> = {
  hip_share: 'Hips’ part of hip + knee',
  trunk_lean: 'Trunk lean',
};

const titleOf = (measure: string): string =>
  CALLED[measure] ?? MEASURES.find(({ name }) => name === measure)?.title ?? measure.replaceAll('_', ' ');

/** ' at parallel'; '' for the whole set. */
export function placeOf({ at }: Pick<OutcomeName, 'at'>): string {
  const where = said(at);
  return PLACES[where] ?? (where === '' || where === 'set' ? '' : `, ${where}`);
}

/** 'Trunk lean at parallel'; of one side 'Knee over toe at the bottom, left'. */
export function outcomeName(outcome: OutcomeName): string {
  const of = said(outcome.side);
  const [title, place] = [titleOf(outcome.measure), placeOf(outcome)];
  return `${title}${title.endsWith(place) ? '' : place}${of === 'left' || of === 'right' ? `, ${of}` : ''}`;
}

export const outcomeKey = ({ measure, side, at }: OutcomeName): string =>
  JSON.stringify([measure, said(side), said(at)]);

/** Parts of a whole read in per cent; else by the unit of the table. */
export const shownOutcome = (measure: string, unit: string): Shown =>
  unit === '1' && /(^|_)share($|_)/.test(measure) ? PER_CENT : shownAs(unit);

/** How a difference of the outcome is shown: of per cent, points. */
export const shownDifference = (measure: string, unit: string): Shown => {
  const shown = shownOutcome(measure, unit);
  return shown === PER_CENT ? { ...PER_CENT, unit: 'points' } : shown;
};

const STATED: Readonly<Record<string, string>> = {
  heel_height_mm: 'heel height',
  stature_m: 'stature',
  set: 'number of the set',
  effort_rpe: 'effort as rated',
  load_kg: 'load',
  body_mass_kg: 'body mass',
  load_per_body_mass: 'load / body mass',
  sex: 'sex',
  lift_kind: 'kind of lift',
  bar_position: 'place of the bar',
  week: 'week',
};

function predictorName(column: string): string {
  if (STATED[column]) return STATED[column];
  if (column.startsWith('condition_')) return column.slice('condition_'.length).replaceAll('_', ' ');
  const measure = MEASURES.filter(({ name }) => column === name || column.startsWith(`${name}_`)).sort(
    (a, b) => b.name.length - a.name.length,
  )[0];
  if (!measure) return column.replaceAll('_', ' ');
  const place = column.slice(measure.name.length + 1).replaceAll('_', ' ');
  const title = `${measure.title.charAt(0).toLowerCase()}${measure.title.slice(1)}`;
  return place === '' ? title : `${title}, ${place}`;
}

/** A term of a model in words; of an interaction with `×`. */
export const termName = (term: string): string => term.split(':').map(predictorName).join(' × ');

/** A covariate's effect is shown for a step that happens, not for one unit: 10 mm of heel, a tenth of a ratio. */
export interface Step {
  readonly size: number;
  /** '10 mm', '0.1'. */
  readonly words: string;
}

const BY_UNIT: Readonly<Record<string, number>> = { mm: 10, kg: 10, m: 0.1, '1': 0.1, deg: 10, m_per_s: 0.1 };
const ONE_EACH = new Set(['set', 'effort_rpe', 'week']);
const UNIT_WORDS: Readonly<Record<string, string>> = { deg: '°', m_per_s: ' m/s', '1': '', '': '' };

/** The step of a term, of an interaction the product of its covariates' steps. null for factors alone. */
export function stepOf(term: string, per: string): Step | null {
  if (per === '') return null;
  const units = per.split(' · ');
  const columns = term.split(':');
  const steps = units.map((unit, i) => {
    const size = units.length === columns.length && ONE_EACH.has(columns[i]) ? 1 : (BY_UNIT[unit] ?? 1);
    return { size, words: `${size}${UNIT_WORDS[unit] ?? ` ${unit}`}` };
  });
  return {
    size: steps.reduce((product, { size }) => product * size, 1),
    words: steps.map(({ words }) => words).join(' and '),
  };
}

/** Title of an axis of a predictor: 'heel height (mm)'. */
export function axisOfPredictor(column: string, unit: string): string {
  const shown = unit === '1' || unit === '' ? '' : ` (${(UNIT_WORDS[unit] ?? unit).trim()})`;
  return `${termName(column)}${shown}`;
}

/** Title of an axis of an outcome: 'trunk lean at parallel (°)'. */
export function axisOfOutcome(outcome: OutcomeName, unit: string): string {
  const shown = shownOutcome(outcome.measure, unit).unit;
  return `${outcomeName(outcome)}${shown === '' ? '' : ` (${shown})`}`;
}

export const counted = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`;
