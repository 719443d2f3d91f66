import type { ColumnTable } from 'arquero';
import { LEVEL_PANELS, type LevelTables, levelsOf, perOf } from './athletes-across-levels.ts';
import { athletesMissing, countsWords, missingWords, modelWords, sharedWords } from './caption-words.ts';
import { forestPages, shownEffects } from './forest.ts';
import { heldAt, type ModelLine, modelLine } from './model-line.ts';
import { counted, outcomeKey, outcomeName, stepOf, termName } from './names.ts';
import { observationsOf, outcomesOf } from './observations.ts';
import { groupsOf, known, rowsOf, said } from './publication.ts';
import { conditionOf, drawnReliability, RELIABILITY_ROWS } from './reliability.ts';
import {
  HEEL,
  LIMB_RATIO,
  type LimbRatioTables,
  limbRatioPoints,
  setIntervals,
  stanceOf,
} from './share-against-limb-ratio.ts';
import { heatCells } from './stance-by-heel.ts';
import { type EffectRow, HIP_SHARE_AT_PARALLEL, type MeanRow, type ModelRow } from './table-rows.ts';
import { WEEK_PANELS, weekPanels, weekQuantity, weekSeries } from './week-to-week.ts';

/*
 * Captions of the figures of a whole study, of the same tables as the figures: what is shown, n (athletes, recordings, repetitions,
 * missing), the level and the model. One function a figure; nothing is said that the tables do not hold.
 */

const sentences = (...parts: readonly string[]): string => parts.filter((part) => part !== '').join(' ');

/** What holds of several outcomes alike is said once. */
const byOutcome = (each: readonly (readonly [name: string, words: string])[]): string[] =>
  groupsOf(each, ([, words]) => words).map((alike) => `${alike.map(([name]) => name).join('; ')}: ${alike[0][1]}`);
const modelOf = (models: ColumnTable, outcome = HIP_SHARE_AT_PARALLEL): ModelRow | undefined =>
  rowsOf<ModelRow>(models).find((row) => outcomeKey(row) === outcomeKey(outcome));

/** What area and bar of the line of a model are. */
const fanWords = (line: ModelLine, covariate: string): string =>
  `area: 95 % interval of its slope alone, turning about the centre ${heldAt(covariate, String(line.centre))}; ${line.level ? 'bar: 95 % interval of its level there, which is not in the area' : 'the doubt about the level left out'}; ${sharedWords(line.withShared)}`;

export function limbRatioCaption({ rows, effects, models, means }: LimbRatioTables): string {
  const { used } = limbRatioPoints(rows);
  const all = observationsOf(rows, HIP_SHARE_AT_PARALLEL);
  const intervals = setIntervals(means);
  const without = used.filter(({ recording }) => !intervals.has(recording)).length;
  const ratios = used.map(({ row }) => Number(row[LIMB_RATIO]));
  const line = modelLine(effects, models, HIP_SHARE_AT_PARALLEL, LIMB_RATIO, [
    Math.min(...ratios),
    Math.max(...ratios),
  ]);
  const effect = rowsOf<EffectRow>(effects).find(
    (row) => outcomeKey(row) === outcomeKey(HIP_SHARE_AT_PARALLEL) && row.term === LIMB_RATIO && said(row.level) === '',
  );
  const stance = stanceOf(rows);
  const marks = [
    used.some(({ row }) => known(row[HEEL])) ? 'shape and shade: heel height' : '',
    stance !== null && used.some(({ row }) => known(row[stance])) ? `size: ${termName(stance)}` : '',
  ].filter((part) => part !== '');
  return sentences(
    `Hips’ part of hip + knee at parallel against femur per trunk. A mark: the mean of one recording${without < used.length ? ', with its 95 % interval (doubt of the measurement)' : ''}${marks.length > 0 ? `; ${marks.join('; ')}` : ''}. Recordings of one athlete have one ratio, the mean over them, and stand side by side.`,
    without > 0 ? `${counted(without, 'recording')} without an interval.` : '',
    line
      ? `Line: the model at ${line.held === '' ? 'its other predictors’ centres' : line.held}; ${fanWords(line, LIMB_RATIO)}.`
      : 'No model line: no model with this slope could be fitted.',
    line && line.interactions.length > 0
      ? `The slope differs with what it is joined with (${line.interactions.join(', ')}).`
      : '',
    known(effect?.reliability)
      ? `Reliability of femur per trunk ${effect.reliability.toFixed(2)}: its effect comes out too small by about this factor.`
      : '',
    countsWords(all),
    missingWords(all.recordingsMissing),
    modelWords(modelOf(models)),
  );
}

/** @param page which of `forestPages`, from 0 */
export function forestCaption(effects: ColumnTable, page = 0): string {
  const pages = forestPages(effects);
  const drawn = (pages[page] ?? []).flatMap((panel) => panel.effects);
  const notDrawn = shownEffects(effects).length - pages.flat().reduce((sum, panel) => sum + panel.effects.length, 0);
  const outcomes = new Set(drawn.map(({ row }) => outcomeKey(row)));
  const within = drawn.filter(({ row }) => said(row.athlete_id) !== '');
  const general = drawn.filter(({ row }) => said(row.athlete_id) === '');
  const withBoth = drawn.some(({ withShared, plainLower }) => withShared && known(plainLower));
  const without = general.filter(({ withShared }) => !withShared).length;
  const models = groupsOf(
    rowsOf<EffectRow>(effects).filter(({ athlete_id }) => said(athlete_id) === ''),
    outcomeKey,
  );
  const shown = new Set(shownEffects(effects).map(({ row }) => outcomeKey(row)));
  // Said once, with the first figure.
  const nothing = page === 0 ? models.filter(([row]) => !shown.has(outcomeKey(row))) : [];
  return sentences(
    'Effects on each outcome. A mark: the estimate, for a step of the predictor as named; full where its interval leaves out 0, hollow where not.',
    withBoth
      ? 'Thin line: 95 % interval with the shared part of the measurement error, the one to go by; bar above it: 95 % interval without.'
      : 'Thin line: 95 % interval.',
    without > 0 ? `${counted(without, 'effect')} without the shared part: a recording has no interval.` : '',
    'An arrow: the interval goes on beyond the frame. Effects are not adjusted for being several; cohort-effects.csv has p after Holm over the outcomes.',
    within.length > 0
      ? 'Where no model could be fitted: each athlete’s own recordings at two levels, with the doubt of the measurement alone; they tell of that athlete, not of others.'
      : '',
    pages.length > 1 ? `Figure ${page + 1} of ${pages.length}; the others show the other effects.` : '',
    notDrawn > 0 ? `Not drawn: ${counted(notDrawn, 'effect')}; all stand in cohort-effects.csv.` : '',
    ...byOutcome(
      models
        .filter(([row]) => outcomes.has(outcomeKey(row)))
        .map(([row]) => [
          outcomeName(row),
          sentences(
            countsWords(row),
            missingWords(row.recordings_missing, row.missing),
            said(row.reason) === '' ? `Model: ${said(row.model)}.` : `No model: ${said(row.reason)}.`,
          ),
        ]),
    ),
    ...byOutcome(
      nothing.map(([row]) => [
        outcomeName(row),
        `nothing could be estimated${said(row.reason) === '' ? '' : `, ${said(row.reason)}`}.`,
      ]),
    ),
    general.length > 0 ? 'Mixed models by restricted maximum likelihood, degrees of freedom after Satterthwaite.' : '',
  );
}

export function acrossLevelsCaption({ rows, means, effects, models }: LevelTables, predictor: string): string {
  const outcomes = outcomesOf(rows).filter((outcome) => observationsOf(rows, outcome).used.length > 0);
  const drawn = outcomes.slice(0, LEVEL_PANELS);
  const factor = rowsOf<MeanRow>(means).some((row) => row.factor === predictor);
  const lines = drawn.map((outcome) => {
    const xs = observationsOf(rows, outcome)
      .used.map(({ row }) => row[predictor])
      .filter(known);
    return xs.length > 0 ? modelLine(effects, models, outcome, predictor, [Math.min(...xs), Math.max(...xs)]) : null;
  });
  const line = lines.find((one) => one !== null);
  const held = rowsOf<MeanRow>(means).find((row) => row.factor === predictor)?.held;
  const shared = rowsOf<MeanRow>(means).some((row) => row.factor === predictor && known(row.lower_with_shared));
  return sentences(
    `Each athlete’s own recordings over ${termName(predictor)}${unitWords(perOf(effects, predictor))}: a thin line an athlete; of several recordings at one level their mean; a line breaks where the athlete lacks a level.`,
    factor
      ? `Squares: marginal means of the model with 95 % interval, ${sharedWords(shared)}${said(held) === '' ? '' : `; covariates held: ${heldWords(said(held))}`}.`
      : line
        ? `Thick line: the model at ${line.held === '' ? 'its other predictors’ centres' : line.held}; ${fanWords(line, predictor)}.`
        : 'No model line: no model with this effect could be fitted.',
    ...byOutcome(
      drawn.map((outcome) => {
        const found = observationsOf(rows, outcome);
        const words = sentences(
          countsWords(found),
          missingWords(found.recordingsMissing),
          gapWords(athletesMissing(found.used, predictor, levelsOf(found.used, predictor))),
          modelWords(modelOf(models, outcome)),
        );
        return [outcomeName(outcome), words];
      }),
    ),
    outcomes.length > drawn.length ? `The first ${drawn.length} of ${outcomes.length} outcomes.` : '',
  );
}

/** 'load_kg 62.1; …' of cohort-means.csv in words. */
const heldWords = (held: string): string =>
  held
    .split('; ')
    .map((part) => {
      const space = part.indexOf(' ');
      return `${termName(part.slice(0, space))} ${heldAt(part.slice(0, space), part.slice(space + 1))}`;
    })
    .join(', ');

const unitWords = (per: string): string => {
  const step = stepOf('', per);
  return step === null || per === '1' ? '' : ` (${per})`;
};
const gapWords = (athletes: number): string =>
  athletes > 0 ? `${counted(athletes, 'athlete')} without every level.` : '';

export function heatCaption(rows: ColumnTable, models: ColumnTable): string {
  const found = heatCells(rows);
  if (found === null) return '';
  const all = observationsOf(rows, HIP_SHARE_AT_PARALLEL);
  const empty = found.heels.length * found.stances.length - found.cells.length;
  return sentences(
    `Hips’ part of hip + knee at parallel by heel height and ${termName(stanceOf(rows) ?? '')} (bins ${found.binWidth} wide, the lower end belongs to the bin). In a cell: mean over athletes, each the mean of the own recordings in it; darker: more; n: athletes. ${counted(empty, 'cell')} without a recording ${empty === 1 ? 'is' : 'are'} empty.`,
    'Means as measured, without a model and without an interval: athletes differ from cell to cell, and so may load and everything else; the effects with their 95 % intervals stand in the forest plot.',
    countsWords(all),
    missingWords(all.recordingsMissing + all.recordings - found.used.length),
    modelWords(modelOf(models)),
  );
}

export function weeksCaption(weeks: ColumnTable, changes: ColumnTable): string {
  const { drawn, of } = weekPanels(weeks, changes);
  if (drawn.length === 0) return '';
  const sessions = drawn.flatMap((one) => one.sessions);
  const recordings = sessions.reduce((sum, row) => sum + said(row.recordings).split(' ').filter(Boolean).length, 0);
  const bases = [...new Set(sessions.map(({ mdc_basis }) => said(mdc_basis)).filter((basis) => basis !== ''))].sort();
  const missing = drawn.reduce((sum, { change }) => sum + (change?.sessions_missing ?? 0), 0);
  const once = weekSeries(weeks, changes).filter(
    (one) => one.sessions.length === 1 && outcomeKey(one.sessions[0]) === outcomeKey(drawn[0].sessions[0]),
  ).length;
  const without = sessions.filter(({ lower }) => !known(lower)).length;
  const families = drawn.flatMap(({ change }) => (change && known(change.family) ? [change.family] : []));
  return sentences(
    `${weekQuantity(drawn[0])} by week since the first session at the same load (within 2.5 %). A mark: mean of a day, with the 95 % interval of what tells the days apart; errors common to all sessions are left out. Dashed: the first session; grey band: 95 % minimal detectable change about it${bases.length > 0 ? ` (${bases.map(basisWords).join('; ')})` : ''}: looked at alone, a value inside can be chance; it does not show that nothing changed.`,
    'In words: last against first session with its 95 % interval. “changed”: beyond measurement, repetitions and days, judged by Holm’s rule with all comparisons of the athlete' +
      `${families.length > 0 ? ` (${range(families)})` : ''}; “different”: not beyond what days differ, or that is not known; “cannot tell yet”.`,
    `n = ${counted(new Set(drawn.map(({ sessions: [first] }) => first.athlete_id)).size, 'athlete')}, ${counted(sessions.length, 'session')}, ${counted(recordings, 'recording')}, ${counted(
      sessions.reduce((sum, { n }) => sum + n, 0),
      'repetition',
    )}; missing: ${counted(missing, 'session')} and ${counted(
      sessions.reduce((sum, row) => sum + row.missing, 0),
      'repetition',
    )}.`,
    without > 0 ? `${counted(without, 'session')} without an interval.` : '',
    once > 0 ? `Not drawn: ${once} with one session.` : '',
    of > drawn.length ? `The ${WEEK_PANELS} of ${of} with most sessions; all stand in weeks.csv.` : '',
    'Model: sessions with shared causes that cancel, variance of repetitions and of days; Student’s t after Welch and Satterthwaite (docs/method/weeks.md).',
  );
}

const basisWords = (basis: string): string =>
  basis === 'measurement only'
    ? 'of the measurement only, how days differ is not known'
    : basis === 'days pooled'
      ? 'with how days differ, pooled over the athletes'
      : basis === 'days own'
        ? 'with how the athlete’s own days differ'
        : 'with how days differ as stated';

const range = (values: readonly number[]): string => {
  const [low, high] = [Math.min(...values), Math.max(...values)];
  return low === high ? String(low) : `${low} to ${high}`;
};

export function reliabilityCaption(table: ColumnTable): string {
  const { rows, conditions } = drawnReliability(table);
  if (rows.length === 0) return '';
  const drawn = rows.slice(0, RELIABILITY_ROWS);
  const most = drawn.reduce((best, row) => (row.recordings > best.recordings ? row : best));
  const missing = drawn.reduce((sum, row) => sum + row.missing, 0);
  return sentences(
    `How alike recordings of one athlete are under one condition (${conditionOf(drawn[0])}) at the same load (within 2.5 %). A mark: intraclass correlation ICC(1,1) of one recording (Shrout & Fleiss 1979), with its 95 % interval by the F distribution${drawn.some(({ icc_exact }) => icc_exact === false) ? ', approximate where athletes have unequal numbers of recordings' : ''}. Near 1: athletes differ much as compared with the error. SEM: standard error of measurement; MDC: minimal detectable change between two recordings, 1.96 · √2 · SEM, with its 95 % interval.`,
    `Model: one-way analysis of variance, all differences within an athlete are error: measurement, set${most.sessions > most.athletes ? ', and day' : '; all recordings of an athlete are of one day, so how days differ is not in it'}.`,
    `n = ${counted(most.athletes, 'athlete')} (${most.athletes_repeated} with two recordings or more), ${counted(most.recordings, 'recording')}, ${counted(most.repetitions, 'repetition')}; missing: ${counted(missing, 'value')} of recordings.`,
    conditions > 1 ? `The condition with most repeated recordings of ${conditions}; all stand in reliability.csv.` : '',
    rows.length > drawn.length ? `The first ${drawn.length} of ${rows.length} measures.` : '',
  );
}
