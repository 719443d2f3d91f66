import { describe, expect, test } from '@jest/globals';
import type { CohortFigure } from '../../src/report/cohort-figures.ts';
import { cohortPart, withCohort } from '../../src/report/cohort-part.ts';
import { cohortSentences } from '../../src/report/cohort-sentences.ts';
import { html } from '../../src/report/html.ts';
import { studyReportHtml } from '../../src/report/study-report.ts';
import { cohortEffects } from '../../src/study/cohort/dictionary.ts';
import { tableOf } from '../../src/study/csv.ts';
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
const COLUMNS = cohortEffects.columns.map(({ column }) => column);
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
const sentences = (...rows: Record<string, unknown>[]) =>
  cohortSentences(reread('cohort-effects.csv', tableOf(COLUMNS, rows.map(effect))));

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

  test('a level; the hips’ part in points; the other way', () => {
    const share = { measure: 'hip_share', side: 'both', unit: '1', per: '', estimate: 0.05, lower: 0.02, upper: 0.08 };
    expect(sentences({ ...share, term: 'sex', level: 'male', reference: 'female' })[0]).toMatch(
      /^A male lifter like these, compared with a female one, has the hips take 5 points more of the effort at parallel \(2 to 8\)\.$/,
    );
  });

  test('no model: why nothing can be said in general', () => {
    const [sentence] = sentences({ term: '', per: '', reason: 'cannot be fitted: 2 athletes in the rows used' });
    expect(sentence).toContain('2 athletes in the rows used');
    expect(sentence).toContain('in general');
  });
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

  test('put in twice it is there once; taken out the page is as before; another page is refused', () => {
    const once = withCohort(page, part)!;
    expect(withCohort(once, part)).toBe(once);
    expect(withCohort(once, null)).toBe(page);
    expect(withCohort(page, html`<p>$&</p>`)).toContain('<p>$&</p>');
    expect(withCohort('<p>another</p>', part)).toBeNull();
  });
});
