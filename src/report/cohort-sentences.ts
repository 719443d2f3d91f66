import type { ColumnTable } from 'arquero';
import { type ShownEffect, shownEffects } from '../figures/cohort/forest.ts';
import { outcomeKey, outcomeName, placeOf, stepOf, termName } from '../figures/cohort/names.ts';
import { groupsOf, rowsOf, said } from '../figures/cohort/publication.ts';
import type { EffectRow } from '../figures/cohort/table-rows.ts';
import { decimalsOf, numberText, valueText } from '../study/shown.ts';
import * as say from './wording-study.ts';

/**
 * One plain sentence an outcome: what the first predictor of the study file does to it, or why nothing can be said.
 *
 * @param effects table with the columns of cohort-effects.csv
 */
export function cohortSentences(effects: ColumnTable): string[] {
  const all = shownEffects(effects);
  return groupsOf(rowsOf<EffectRow>(effects), outcomeKey).map(([first]) => {
    const own = all.filter(({ row }) => outcomeKey(row) === outcomeKey(first) && said(row.athlete_id) === '');
    const alone = own.filter(({ row }) => !said(row.term).includes(':'));
    if (alone.length === 0) {
      const why = said(first.reason).replace(/^cannot be fitted: /, '');
      return say.notInGeneral(outcomeName(first), why === '' ? say.nothingCompared() : why);
    }
    // Of a factor the last level: of numbers the one furthest from the reference.
    const of = alone.filter(({ row }) => row.term === alone[0].row.term);
    return sentence(of[of.length - 1]);
  });
}

function sentence(effect: ShownEffect): string {
  const { row, value, lower, upper, shown } = effect;
  const term = said(row.term);
  const name = termName(term);
  const step = stepOf(term, said(row.per));
  const subject = step
    ? say.onStep(term, name, step.words)
    : say.onLevel(term, name, said(row.level), said(row.reference));
  if (!effect.known) return say.noIntervalSentence(outcomeName(row));
  const verb = say.verbOf(
    row.measure,
    row.measure === 'trunk_lean' || row.measure === 'hip_share' ? placeOf(row) : outcomeName(row),
  );
  const decimals = decimalsOf({ value, lower, upper }, shown);
  // Amounts without a sign: the words say less or more.
  const amount = (size: number) =>
    valueText({ value: Math.abs(size), lower: Number.NaN, upper: Number.NaN }, { ...shown, decimals });
  if (!effect.differs) return say.noEffectSentence(subject, verb, amount(lower), amount(upper));
  const ends = [Math.abs(lower), Math.abs(upper)].sort((a, b) => a - b);
  const interval = ends.map((end) => numberText(end * shown.factor, decimals)).join(' to ');
  return say.effectSentence(subject, verb, amount(value), value > 0, interval);
}
