import { describe, expect, test } from '@jest/globals';
import { forestCaption } from '../../../src/figures/cohort/captions.ts';
import { FOREST_ROWS, forest, forestPages, shownEffects, signed } from '../../../src/figures/cohort/forest.ts';
import { effectText } from '../../../src/figures/cohort/interval-words.ts';
import { renderSvg } from '../../../src/figures/render-svg.ts';
import { cohortEffects } from '../../../src/study/cohort/dictionary.ts';
import { tableOf } from '../../../src/study/csv.ts';
import { reread } from './made-tables.ts';

const COLUMNS = cohortEffects.columns.map(({ column }) => column);
const effect = (of: Record<string, unknown>) => ({
  ...{ measure: 'trunk_lean', side: '', at: 'parallel', scale: 'as it is', unit: 'deg', per: '' },
  ...{ estimate: -2, lower: -3, upper: -1, lower_with_shared: -3.5, upper_with_shared: -0.5 },
  ...{ n: 96, repetitions: 288, athletes: 12, recordings: 96, missing: 0, recordings_missing: 0 },
  ...of,
});
const effects = (...rows: Record<string, unknown>[]) =>
  reread('cohort-effects.csv', tableOf(COLUMNS, rows.map(effect)));

const REFERENCE = 'ordinary training shoes of the athlete';
const shoes = (measure: string, athletes: number, levels = 7) =>
  Array.from({ length: levels }, (_, i) => ({
    ...{ measure, athletes, term: 'condition_shoe', level: `wedge of wood of ${10 + i} mm`, reference: REFERENCE },
  }));
const MEASURES = ['trunk_lean', 'hip_share', 'com_along_foot', 'ankle_dorsiflexion'];
/** Four outcomes of seven levels. */
const many = effects(...MEASURES.flatMap((measure, i) => shoes(measure, 10 + i)));

const panelsOf = (table: Parameters<typeof forest>[0], page = 0) =>
  (
    forest(table, page).figure as unknown as {
      vconcat: {
        title: { text: string[]; subtitle: string[] };
        height: number;
        layer: { data: { values: { name?: string }[] } }[];
      }[];
    }
  ).vconcat;
const namesOf = (panel: ReturnType<typeof panelsOf>[number]) =>
  panel.layer.flatMap(({ data }) => data.values.flatMap(({ name }) => (name === undefined ? [] : [name])));

describe('more effects than a figure holds', () => {
  test('whole outcomes in each figure, every effect in one of them', () => {
    const pages = forestPages(many);
    expect(pages.map((page) => page.map((panel) => panel.effects.length))).toEqual([
      [7, 7],
      [7, 7],
    ]);
    expect([...panelsOf(many, 0), ...panelsOf(many, 1)].flatMap(namesOf)).toHaveLength(28);
  });

  test('the caption gives n of the outcomes that its figure shows, and no others', () => {
    const [first, second] = [forestCaption(many, 0), forestCaption(many, 1)];
    for (const n of ['n = 10 athletes', 'n = 11 athletes', 'Figure 1 of 2']) expect(first).toContain(n);
    for (const n of ['n = 12 athletes', 'n = 13 athletes']) expect(first).not.toContain(n);
    for (const n of ['n = 12 athletes', 'n = 13 athletes', 'Figure 2 of 2']) expect(second).toContain(n);
  });

  test('an outcome of more rows than a figure holds goes on in the next', () => {
    const long = effects(...shoes('trunk_lean', 12, FOREST_ROWS + 2));
    expect(forestPages(long).map((page) => page.map((panel) => panel.effects.length))).toEqual([[FOREST_ROWS], [2]]);
    expect(panelsOf(long, 1)[0].title.text.join(' ')).toContain('continued');
    expect(forestCaption(long, 1)).toContain('n = 12 athletes');
  });

  test('an outcome without any effect is named with its reason', () => {
    const none = effects(...shoes('trunk_lean', 12), {
      ...{ measure: 'hip_share', term: '', estimate: Number.NaN, reason: 'cannot be fitted: 2 athletes' },
    });
    expect(forestCaption(none)).toMatch(/at parallel: nothing could be estimated, cannot be fitted: 2 athletes\./);
  });
});

describe('names of the rows', () => {
  test('what does not fit a row: the reference once, above the rows; levels whole', async () => {
    const [panel] = panelsOf(many);
    expect(panel.title.subtitle.join(' ')).toContain(`shoe: against ${REFERENCE}`);
    expect(namesOf(panel)[0]).toBe('shoe: wedge of wood of 10 mm');
    expect(await renderSvg(forest(many).figure!)).not.toContain('…');
  });

  test('what fits stands whole', () => {
    const [panel] = panelsOf(effects({ term: 'sex', level: 'male', reference: 'female' }));
    expect(namesOf(panel)).toEqual(['sex, male against female']);
    expect(panel.title.subtitle).toEqual(['n: recordings / athletes']);
  });

  test('a name longer than a row takes more lines, and the panel grows', () => {
    const level = 'wedge of wood under the heels of the shoes, twenty millimetres';
    const [panel] = panelsOf(effects({ term: 'condition_shoe', level, reference: 'flat' }));
    expect(namesOf(panel).join(' ')).toBe(`shoe: ${level}`);
    expect(panel.height).toBeGreaterThan(
      panelsOf(effects({ term: 'sex', level: 'male', reference: 'female' }))[0].height,
    );
  });

  test('references that differ from athlete to athlete stay in the rows', () => {
    const own = (athlete_id: string, reference: string) => ({
      ...{ athlete_id, term: 'condition_shoe', level: 'raised heel of wood, as always in training', reference },
    });
    const [panel] = panelsOf(effects(own('A01', 'flat'), own('A02', 'socks')));
    expect(namesOf(panel).join(' ')).toMatch(/against flat .*against socks/);
    expect(panel.title.subtitle).toEqual(['n: recordings / athletes']);
  });

  test('an interaction is a difference of differences, not the contrast of two cells', () => {
    const names = (row: Record<string, unknown>) => shownEffects(effects(row))[0].name;
    expect(names({ term: 'condition_heel:sex', level: 'raised:male', reference: 'flat:female' })).toBe(
      'heel × sex: how much more “raised” does in “male” than in “female”',
    );
    expect(names({ term: 'heel_height_mm:sex', level: 'male', reference: 'female', per: 'mm' })).toBe(
      'heel height × sex: how much more a step of 10 mm does in “male” than in “female”',
    );
    expect(names({ term: 'heel_height_mm:femur_per_trunk', per: 'mm · 1' })).toBe(
      'heel height × femur to trunk, per 10 mm and 0.1',
    );
    expect(
      names({ term: 'condition_heel:sex:condition_start', level: 'raised:male:hips', reference: 'flat:female:knees' }),
    ).toContain('“raised”, “male”, “hips” do together');
  });
});

describe('an interval that leaves out 0 reads so', () => {
  test('more decimals where an end would read 0', () => {
    const [one] = shownEffects(
      effects({
        term: 'sex',
        level: 'male',
        reference: 'female',
        estimate: -6,
        lower_with_shared: -12,
        upper_with_shared: -0.34,
      }),
    );
    expect(one.differs).toBe(true);
    expect(signed(one)).toBe('−6.0° (−12.0 to −0.3)');
  });

  test('an end of 0 stays; other ends as their interval is worth; a factor by 1', () => {
    const degrees = { factor: 1, unit: '°', decimals: 0 };
    expect(effectText({ value: 6, lower: 0, upper: 12 }, degrees)).toBe('+6° (0 to 12)');
    expect(effectText({ value: 6, lower: 0.6, upper: 12 }, degrees)).toBe('+6° (1 to 12)');
    expect(effectText({ value: 6, lower: 0.03, upper: 12 }, degrees)).toBe('+6.00° (0.03 to 12.00)');
    expect(effectText({ value: 0.85, lower: 0.72, upper: 0.997 }, { factor: 1, unit: '×', decimals: 2 }, 1)).toBe(
      '0.850 × (0.720 to 0.997)',
    );
    expect(effectText({ value: -2, lower: Number.NaN, upper: Number.NaN }, degrees)).toBe('−2°');
  });
});
