import type { StudyComparison } from '../../capture/comparison-file.ts';
import { nearestName } from '../../capture/nearest-name.ts';
import type { RecordingCard, Study } from '../../capture/recording.ts';
import { CURVE_QUANTITIES } from '../../lift/curves.ts';
import { type ComparisonPlace, comparisonTwice, measuredFactor } from '../../messages/cohort.ts';
import {
  curveLevelsAlike,
  curveLevelUnknown,
  curveQuantityUnknown,
  levelsAlongCovariate,
  wordsAsCovariate,
} from '../../messages/cohort-curves.ts';
import { FRAME_QUANTITIES } from '../frame-quantities.ts';
import type { CurveDesign } from '../statistics/curves/curve-test-result.ts';
import { FILE_PREDICTORS } from './file-predictors.ts';
import type { Predictor } from './predictor.ts';

/** A curve to be compared whose names are all known. */
export interface CheckedCurve {
  readonly quantity: string;
  readonly side: 'both' | '';
  readonly by: Predictor;
  /** Compared with, compared; null = the two that the data have. */
  readonly levels: readonly [string, string] | null;
  /** null = as the data say. */
  readonly design: CurveDesign | null;
}

/** What is compared across depth where the study file does not say: by the first predictor with two levels. */
export const USUAL_CURVE = 'hip_share';

/** Legs together where the quantity has sides; else it is one of the whole body. */
export const sideOfCurve = (quantity: string): 'both' | '' =>
  FRAME_QUANTITIES.some((one) => one.quantity === quantity && one.sides.includes('both')) ? 'both' : '';

/** The curves of a comparison with every name looked up; null where the usual one is wanted. */
export function checkedCurves(
  { curves }: StudyComparison,
  cards: Study['cards'],
  place: (field: string) => ComparisonPlace,
  predictorOf: (name: string, place: ComparisonPlace) => Predictor,
): readonly CheckedCurve[] | null {
  if (curves === null) return null;
  const checked = curves.map(({ quantity, by, levels, design }, i): CheckedCurve => {
    const field = (of: string) => place(`curves[${i}].${of}`);
    if (!CURVE_QUANTITIES.some((name) => name === quantity))
      throw curveQuantityUnknown(field('quantity'), quantity, nearestName(quantity, CURVE_QUANTITIES), [
        ...CURVE_QUANTITIES,
      ]);
    const predictor = predictorOf(by, field('by'));
    if (levels !== null) {
      if (design === 'covariate') throw levelsAlongCovariate(field('levels'), by);
      if (predictor.kind === 'measure' || predictor.kind === 'week') throw measuredFactor(field('levels'), by);
      if (levels[0] === levels[1]) throw curveLevelsAlike(field('levels'), levels[0]);
      checkLevels(predictor, levels, cards, field('levels'));
    }
    if (design === 'covariate' && predictor.kind === 'file' && predictor.unit === '')
      throw wordsAsCovariate(field('design'), by);
    return { quantity, side: sideOfCurve(quantity), by: predictor, levels, design };
  });
  checked.forEach((one, i) => {
    if (checked.findIndex((other) => isSame(one, other)) < i)
      throw comparisonTwice(place(`curves[${i}].quantity`), `${one.quantity} by ${one.by.name}`);
  });
  return checked;
}

/** Levels left out may be those that another entry names. */
function isSame(one: CheckedCurve, other: CheckedCurve): boolean {
  if (one.quantity !== other.quantity || one.by.column !== other.by.column) return false;
  return one.levels === null || other.levels === null || one.levels.every((level) => other.levels!.includes(level));
}

function checkLevels(
  predictor: Predictor,
  levels: readonly [string, string],
  cards: Study['cards'],
  place: ComparisonPlace,
): void {
  if (cards === undefined) return;
  const known = [...new Set(cards.flatMap((card) => stated(predictor, card) ?? []))].sort();
  for (const level of levels)
    if (!known.includes(level)) throw curveLevelUnknown(place, predictor.name, level, nearestName(level, known), known);
}

function stated(predictor: Predictor, card: RecordingCard): string | null {
  if (predictor.kind === 'file') {
    const value = FILE_PREDICTORS[predictor.name].of(card);
    return value === null ? null : String(value);
  }
  if (predictor.kind !== 'condition' || card.condition[predictor.condition] === undefined) return null;
  return String(card.condition[predictor.condition]);
}
