import type { ColumnTable } from 'arquero';
import { type ShownEffect, shownEffects } from '../figures/cohort/forest.ts';
import { effectDecimals } from '../figures/cohort/interval-words.ts';
import { heldAt, pairsOf } from '../figures/cohort/model-line.ts';
import { outcomeKey, outcomeName, placeOf, shownOutcome, stepOf, termName } from '../figures/cohort/names.ts';
import { groupsOf, known, rowsOf, said } from '../figures/cohort/publication.ts';
import type { EffectRow, MeanRow, ModelRow } from '../figures/cohort/table-rows.ts';
import { numberText, valueText } from '../study/shown.ts';
import * as say from './wording-study.ts';

/** The tables that the sentences are made of: cohort-effects.csv, cohort-means.csv, cohort-models.csv. */
export interface SentenceTables {
  readonly effects: ColumnTable;
  readonly levelMeans: ColumnTable;
  readonly models: ColumnTable;
}

interface Outcome {
  /** Effects of all athletes together, joint tests too. */
  readonly rows: readonly EffectRow[];
  readonly means: readonly MeanRow[];
  /** null where the outcome has no model. */
  readonly model: ModelRow | null;
}

/** A sentence, and whether it tells a difference. */
export interface Said {
  readonly text: string;
  readonly differs: boolean;
}

/** Holm's probability above which a difference may be one of many looked at. */
const LEVEL = 0.05;

/** A plain sentence for each outcome and predictor, those that differ first; or why nothing can be said of an outcome. */
export function cohortSentences({ effects, levelMeans, models }: SentenceTables): Said[] {
  const shown = shownEffects(effects).filter(({ row }) => said(row.athlete_id) === '');
  const means = rowsOf<MeanRow>(levelMeans);
  const fits = rowsOf<ModelRow>(models);
  return groupsOf(rowsOf<EffectRow>(effects), outcomeKey).flatMap((all) => {
    const [first] = all;
    const isOf = (row: EffectRow | MeanRow | ModelRow) => outcomeKey(row) === outcomeKey(first);
    const alone = shown.filter(({ row }) => isOf(row) && !said(row.term).includes(':'));
    if (alone.length === 0) {
      const why = said(first.reason).replace(/^cannot be fitted: /, '');
      return [{ text: say.notInGeneral(outcomeName(first), why === '' ? say.nothingCompared() : why), differs: false }];
    }
    const outcome: Outcome = {
      rows: all.filter(({ athlete_id }) => said(athlete_id) === ''),
      means: means.filter(isOf),
      model: fits.find(isOf) ?? null,
    };
    const sentences = groupsOf(alone, ({ row }) => said(row.term)).map((own) => ofPredictor(own, outcome));
    return [...sentences.filter(({ differs }) => differs), ...sentences.filter(({ differs }) => !differs)];
  });
}

/** One predictor: its effect, or of a factor with more than two levels the test of them all. */
function ofPredictor(own: readonly ShownEffect[], outcome: Outcome): Said {
  const term = said(own[0].row.term);
  const joint = outcome.rows.find((row) => said(row.term) === term && said(row.level) === 'any');
  const where = say.holdsWhere(partnersOf(term, outcome));
  return joint && own.length > 1 ? ofAllLevels(joint, own, where) : ofEffect(own[0], outcome, where);
}

function ofAllLevels(joint: EffectRow, own: readonly ShownEffect[], where: string): Said {
  const p = known(joint.p_with_shared) ? joint.p_with_shared : joint.p;
  const differs = p < LEVEL;
  const text = say.levelsSentence(
    outcomeName(joint),
    termName(said(joint.term)),
    own.length + 1,
    differs,
    probabilityText(p),
    where,
  );
  return { text: `${text}${ofMany(joint, differs)}`, differs };
}

function ofEffect(effect: ShownEffect, outcome: Outcome, where: string): Said {
  const { row, value, lower, upper, shown } = effect;
  const term = said(row.term);
  const name = termName(term);
  const step = stepOf(term, said(row.per));
  const subject = step
    ? say.onStep(term, name, step.words)
    : say.onLevel(term, name, said(row.level), said(row.reference));
  if (!effect.known) return { text: say.noIntervalSentence(outcomeName(row)), differs: false };
  const verb = say.verbOf(
    row.measure,
    row.measure === 'trunk_lean' || row.measure === 'hip_share' ? placeOf(row) : outcomeName(row),
    row.scale,
  );
  const decimals = effectDecimals({ value, lower, upper }, shown);
  // Amounts without a sign: the words say less or more.
  const amount = (size: number) =>
    valueText({ value: Math.abs(size), lower: Number.NaN, upper: Number.NaN }, { ...shown, decimals });
  if (!effect.differs)
    return { text: say.noEffectSentence(subject, verb, amount(lower), amount(upper), where), differs: false };
  const ends = [Math.abs(lower), Math.abs(upper)].sort((a, b) => a - b);
  const interval = ends.map((end) => numberText(end * shown.factor, decimals)).join(' to ');
  const sentence = say.effectSentence(subject, verb, amount(value), value > 0, interval, where);
  return { text: `${sentence}${where === '' ? meansOf(row, outcome) : ''}${ofMany(row, true)}`, differs: true };
}

/**
 * The two means behind an effect whose scale is not the measure's own, back in its unit. They average over other factors: where
 * those change the effect, they are not what it compares.
 */
function meansOf({ scale, term, level, reference }: EffectRow, { means }: Outcome): string {
  if (scale !== 'share' && scale !== 'reciprocal') return '';
  const at = (name: string | null) => means.find((row) => row.factor === said(term) && said(row.level) === said(name));
  const [here, there] = [at(level), at(reference)];
  if (!here || !there) return '';
  const [now, against] = [here, there].map((row) => {
    const withShared = known(row.lower_with_shared) && known(row.upper_with_shared);
    const [lower, upper] = withShared ? [row.lower_with_shared, row.upper_with_shared] : [row.lower, row.upper];
    return valueText({ value: row.mean, lower, upper }, shownOutcome(row.measure, row.unit));
  });
  return ` ${say.meansSentence(now, against)}`;
}

/** What the effect of a term beside an interaction is the effect at: 'sex female', 'heel height 15 mm'. */
function partnersOf(term: string, { rows, model }: Outcome): string[] {
  const partners = new Set(
    rows
      .map((row) => said(row.term).split(':'))
      .filter((parts) => parts.length > 1 && parts.includes(term))
      .flat(),
  );
  partners.delete(term);
  const held = new Map([...pairsOf(said(model?.references)), ...pairsOf(said(model?.centres))]);
  return [...partners].map((partner) => say.partnerAt(termName(partner), heldAt(partner, held.get(partner) ?? '')));
}

/** Said of a difference that Holm's rule does not call one among all outcomes. */
const ofMany = ({ p_holm }: EffectRow, differs: boolean): string =>
  differs && known(p_holm) && p_holm > LEVEL ? ` ${say.mayBeChance(probabilityText(p_holm))}` : '';

const probabilityText = (p: number): string => (p < 0.001 ? '< 0.001' : `= ${numberText(p, p < 0.1 ? 3 : 2)}`);
