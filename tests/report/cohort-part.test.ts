import { describe, expect, test } from '@jest/globals';
import { outcomeName } from '../../src/figures/cohort/names.ts';
import { type CohortFigure, cohortFigures } from '../../src/report/cohort-figures.ts';
import { cohortPart, withCohort } from '../../src/report/cohort-part.ts';
import { cohortSentences } from '../../src/report/cohort-sentences.ts';
import { html } from '../../src/report/html.ts';
import { studyReportHtml } from '../../src/report/study-report.ts';
import { noWeeks } from '../../src/report/wording-study.ts';
import { cohortEffects, cohortMeans, cohortModels } from '../../src/study/cohort/dictionary.ts';
import { tableOf } from '../../src/study/csv.ts';
import type { TableEntry } from '../../src/study/dictionary-columns.ts';
import { weekChangesTable, weeksTable } from '../../src/study/weeks/tables.ts';
import { weekChanges } from '../../src/study/weeks/week-changes.ts';
import { madeReliability, madeTables, madeWeekSessions, madeWeeks, reread } from '../figures/cohort/made-tables.ts';

const page = studyReportHtml({
  id: 'made',
  title: 'Made',
  synthetic: true,
  toolVersion: '0',
  lifts: [],
  failures: [],
  files: [],
});
const columnsOf = ({ columns }: TableEntry) => columns.map(({ column }) => column);
const COLUMNS = columnsOf(cohortEffects);
const effect = (of: Record<string, unknown>) => ({
  ...{
    measure: 'trunk_lean',
    side: '',
    at: 'parallel',
    scale: 'as it is',
    unit: 'deg',
    term: 'heel_height_mm',
    per: 'mm',
  },
  ...{ n: 48, repetitions: 192, athletes: 12, recordings: 48, missing: 0, recordings_missing: 0 },
  ...of,
});
interface Beside {
  readonly means?: readonly Record<string, unknown>[];
  readonly models?: readonly Record<string, unknown>[];
}
const withTables = ({ means = [], models = [] }: Beside, ...rows: Record<string, unknown>[]) =>
  cohortSentences({
    effects: reread('cohort-effects.csv', tableOf(COLUMNS, rows.map(effect))),
    levelMeans: reread('cohort-means.csv', tableOf(columnsOf(cohortMeans), means)),
    models: reread('cohort-models.csv', tableOf(columnsOf(cohortModels), models)),
  }).map(({ text }) => text);
const sentences = (...rows: Record<string, unknown>[]) => withTables({}, ...rows);

describe('one plain sentence an outcome', () => {
  // The example of docs/method/cohort.md.
  test('an effect, for a step, without a sign, with the interval to go by', () => {
    expect(
      sentences({
        estimate: -0.354,
        lower: -0.458,
        upper: -0.249,
        lower_with_shared: -0.469,
        upper_with_shared: -0.238,
      }),
    ).toEqual(['On a heel 10 mm higher a lifter like these leans 3.5° less at parallel (2.4 to 4.7).']);
  });

  test('an interval over 0: no difference is shown, and what is not ruled out', () => {
    const [sentence] = sentences({ estimate: 0.05, lower_with_shared: -0.1, upper_with_shared: 0.2 });
    expect(sentence).toMatch(
      /^No difference is shown: on a heel 10 mm higher .* from 1\.0° less to 2\.0° more at parallel\.$/,
    );
  });

  test('an end near 0 does not read as 0', () => {
    const [sentence] = sentences({ estimate: -0.6, lower_with_shared: -1.2, upper_with_shared: -0.034 });
    expect(sentence).toMatch(/6\.0° less at parallel \(0\.3 to 12\.0\)/);
  });

  test('a level; the hips’ part in points; the other way', () => {
    const share = { measure: 'hip_share', side: 'both', unit: '1', per: '', estimate: 0.05, lower: 0.02, upper: 0.08 };
    expect(sentences({ ...share, term: 'sex', level: 'male', reference: 'female' })[0]).toMatch(
      /^A male lifter like these, compared with a female one, has the hips take 5 points more of the effort at parallel \(2 to 8\)\.$/,
    );
  });

  test('every predictor, those that differ first; a factor of several levels by the test of them all', () => {
    const level = (name: string, of: object) => ({
      term: 'condition_group',
      per: '',
      level: name,
      reference: 'a',
      ...of,
    });
    const flat = { estimate: 0.4, lower_with_shared: -1, upper_with_shared: 1.8 };
    const heel = { estimate: -0.354, lower_with_shared: -0.469, upper_with_shared: -0.238, p_holm: 0.0004 };
    const found = sentences(level('b', flat), level('c', flat), heel, level('any', { p: 0.0002, p_with_shared: 0.4 }));
    expect(found).toHaveLength(2);
    expect(found[0]).toMatch(/^On a heel 10 mm higher .* 3\.5° less/);
    expect(found[1]).toMatch(/^No difference is shown .* between the 3 levels of “group” .*p = 0\.40\)\.$/);
    const [joint] = sentences(level('b', flat), level('c', flat), level('any', { p: 0.0002 }), {
      ...heel,
      lower_with_shared: -1,
      upper_with_shared: 1,
    });
    expect(joint).toMatch(/differs between the 3 levels of “group” .*p < 0\.001/);
  });

  test('on the logarithm the relative change: exp(−0.7) = 0.497, ends exp(−0.9) = 0.407 and exp(−0.5) = 0.607', () => {
    const [sentence] = sentences({
      ...{ measure: 'hand_spacing', scale: 'logarithm', unit: '1', term: 'sex', per: '', level: 'male' },
      ...{ reference: 'female', estimate: -0.7, lower_with_shared: -0.9, upper_with_shared: -0.5 },
    });
    expect(sentence).toMatch(/shows 50 % less .*\(39 to 59\)\.$/);
  });

  test('on another scale the sentence names it, and the two means back in the unit', () => {
    const ratio = { measure: 'hip_knee_ratio', side: 'both', at: 'parallel' };
    const mean = (level: string, value: number) => ({
      ...{ ...ratio, factor: 'condition_heel', level, mean: value, unit: '1', scale: 'share' },
      ...{ lower: value - 0.05, upper: value + 0.05, lower_with_shared: value - 0.1, upper_with_shared: value + 0.1 },
    });
    const row = {
      ...{ ...ratio, scale: 'share', unit: '1', term: 'condition_heel', per: '', level: 'raised', reference: 'flat' },
      ...{ estimate: -0.09, lower_with_shared: -0.12, upper_with_shared: -0.06 },
    };
    const [sentence] = withTables({ means: [mean('flat', 1.43), mean('raised', 1.1)] }, row);
    expect(sentence).toMatch(/0\.09 less .*a \/ \(a \+ b\).* The mean is 1\.10 instead of 1\.43\.$/);
    expect(sentences(row)[0]).toMatch(/a \/ \(a \+ b\)/);
  });

  test('beside an interaction it says for whom the effect holds: a reference, a centre', () => {
    const heel = { estimate: -0.9, lower_with_shared: -1.2, upper_with_shared: -0.6 };
    const sex = { term: 'sex', per: '', level: 'male', reference: 'female', ...heel };
    const both = { term: 'heel_height_mm:sex', level: 'male', reference: 'female', ...heel };
    const models = [
      { measure: 'trunk_lean', side: '', at: 'parallel', references: 'sex female', centres: 'heel_height_mm 15.2' },
    ];
    const found = withTables({ models }, heel, sex, both);
    expect(found).toHaveLength(2);
    expect(found[0]).toContain(', at sex female (');
    expect(found[1]).toContain(', at heel height 15.2 mm (');
    expect(withTables({ models }, heel, sex)[0]).not.toContain('elsewhere');
  });

  test('a difference that Holm’s rule does not call one says so; an end near 0 does not read as 0', () => {
    const share = {
      measure: 'hip_share',
      side: 'both',
      unit: '1',
      per: '',
      term: 'sex',
      level: 'male',
      reference: 'female',
    };
    const [sentence] = sentences({
      ...share,
      ...{ estimate: -0.031, lower_with_shared: -0.058, upper_with_shared: -0.004, p_holm: 0.061 },
    });
    expect(sentence).toMatch(/3\.1 points less .*\(0\.4 to 5\.8\)\. .*chance .*= 0\.061/);
    const [sure] = sentences({
      ...share,
      estimate: -0.03,
      lower_with_shared: -0.05,
      upper_with_shared: -0.02,
      p_holm: 0.01,
    });
    expect(sure).not.toContain('chance');
  });

  test('no model: why nothing can be said in general', () => {
    const [sentence] = sentences({ term: '', per: '', reason: 'cannot be fitted: 2 athletes in the rows used' });
    expect(sentence).toContain('2 athletes in the rows used');
    expect(sentence).toContain('in general');
  });
});

test('a title that says its place does not say it twice', () => {
  expect(outcomeName({ measure: 'bottom_thigh_elevation', side: 'both', at: 'bottom' })).toMatch(/[^m] at the bottom$/);
  expect(outcomeName({ measure: 'trunk_lean', side: '', at: 'parallel' })).toBe('Trunk lean at parallel');
});

describe('the part of the page', () => {
  const made = madeTables({
    comparison: { outcomes: [{ measure: 'trunk_lean', at: 'parallel' }], predictors: ['heel_height_mm'] },
  });
  const input = {
    comparison: {
      effects: made.effects,
      levelMeans: made.levelMeans,
      models: made.models,
      rows: made.rows,
      setMeans: made.setMeans,
      depths: null,
    },
    weeks: madeWeeks(),
    reliability: madeReliability(madeWeekSessions()),
  };
  const pictured: CohortFigure = {
    ...{ name: 'forest', section: 'comparison', title: 'Effects', caption: 'n = 12 <athletes>', why: '' },
    drawn: { figure: {} as never, svg: '<svg width="10" height="10" viewBox="0 0 10 10"></svg>' },
  };
  const missing: CohortFigure = {
    name: 'stance-by-heel',
    section: 'comparison',
    title: 'Heat',
    caption: '',
    drawn: null,
    why: 'no stance',
  };
  const part = cohortPart(input, [pictured, missing], ['cohort-effects.csv', 'weeks.csv', 'reliability.csv']);

  test('sentence first, then figures with captions and files, the table, links; a figure that is missing says why', () => {
    const { text } = part;
    const places = [
      'a lifter like these',
      '<svg',
      'n = 12 &lt;athletes&gt;',
      'figures/forest.vl.json',
      'No stance.',
      '<table',
      'href="cohort-effects.csv"',
    ];
    const found = places.map((place) => text.indexOf(place));
    expect(found.every((at) => at >= 0)).toBe(true);
    expect([...found].sort((a, b) => a - b)).toEqual(found);
    expect(text).toContain('A02: ');
    expect(text).not.toContain('<script');
    expect(text).not.toMatch(/NaN|undefined|null/);
  });

  test('no session: why nothing is followed from week to week', () => {
    const none = weekChanges([]);
    const weeks = {
      weeks: reread('weeks.csv', weeksTable(none)),
      changes: reread('week-changes.csv', weekChangesTable(none)),
    };
    expect(cohortPart({ ...input, weeks }, [], []).text).toContain(noWeeks());
    expect(part.text).not.toContain(noWeeks());
  });

  test('the title says what is drawn on top of the athletes', async () => {
    const titleOf = async (of: typeof made) => {
      const { effects, levelMeans, models, rows, setMeans } = of;
      const figures = await cohortFigures({
        ...input,
        comparison: { effects, levelMeans, models, rows, setMeans, depths: null },
      });
      return figures.find(({ name }) => name === 'athletes-across-levels')!.title;
    };
    expect(await titleOf(made)).toBe('Each athlete, and the line of the model');
    const two = { outcomes: [{ measure: 'trunk_lean', at: 'parallel' }], predictors: ['heel_height_mm'] };
    expect(await titleOf(madeTables({ athletes: 2, comparison: two }))).toBe('Each athlete');
  });

  test('put in twice it is there once; taken out the page is as before; another page is refused', () => {
    const once = withCohort(page, part)!;
    expect(withCohort(once, part)).toBe(once);
    expect(withCohort(once, null)).toBe(page);
    expect(withCohort(page, html`<p>$&</p>`)).toContain('<p>$&</p>');
    expect(withCohort('<p>another</p>', part)).toBeNull();
  });
});
