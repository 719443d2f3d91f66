import { beforeAll, describe, expect, test } from '@jest/globals';
import type { ComparisonFile } from '../../../src/capture/comparison-file.ts';
import {
  athletesAcrossLevels,
  modelDrawn,
  predictorWithin,
} from '../../../src/figures/cohort/athletes-across-levels.ts';
import * as captions from '../../../src/figures/cohort/captions.ts';
import { forest, shownEffects } from '../../../src/figures/cohort/forest.ts';
import { heelLevels } from '../../../src/figures/cohort/heel-levels.ts';
import { modelLine } from '../../../src/figures/cohort/model-line.ts';
import { stepOf, termName } from '../../../src/figures/cohort/names.ts';
import {
  AXIS_PX,
  axisPx,
  COLUMN_MM,
  type Made,
  PLOT_PX,
  PX_PER_MM,
  TEXT,
} from '../../../src/figures/cohort/publication.ts';
import { reliability } from '../../../src/figures/cohort/reliability.ts';
import { shareAgainstLimbRatio } from '../../../src/figures/cohort/share-against-limb-ratio.ts';
import { heatCells, stanceByHeel } from '../../../src/figures/cohort/stance-by-heel.ts';
import { HIP_SHARE_AT_PARALLEL } from '../../../src/figures/cohort/table-rows.ts';
import { weekSeries, weekToWeek } from '../../../src/figures/cohort/week-to-week.ts';
import { CHARACTER_EM } from '../../../src/figures/look.ts';
import { renderSvg } from '../../../src/figures/render-svg.ts';
import { cohortComparison } from '../../../src/study/cohort/cohort-comparison.ts';
import { tableOf } from '../../../src/study/csv.ts';
import { madeComparison } from '../../study/cohort/made-study.ts';
import {
  type MadeTables,
  madeRecordings,
  madeReliability,
  madeSessions,
  madeTables,
  madeWeekSessions,
  madeWeeks,
  reread,
} from './made-tables.ts';

let made: MadeTables;
let two: MadeTables;
let bare: MadeTables;
const weeks = madeWeeks();
const alike = madeReliability(madeWeekSessions());
const levels = {
  outcomes: [{ measure: 'trunk_lean', at: 'parallel' }],
  predictors: ['heel_height_mm'],
  factors: { heel_height_mm: {} },
};

beforeAll(() => {
  made = madeTables();
  two = madeTables({ athletes: 2, comparison: levels });
  bare = madeTables({ intervals: false, comparison: { ...levels, factors: {} } });
});

const levelTables = (of: MadeTables) => ({
  rows: of.rows,
  means: of.levelMeans,
  effects: of.effects,
  models: of.models,
});
const ratioTables = (of: MadeTables) => ({ rows: of.rows, effects: of.effects, models: of.models, means: of.setMeans });
const figures = (): Record<string, Made> => ({
  forest: forest(made.effects),
  own: forest(two.effects),
  levels: athletesAcrossLevels(levelTables(made), predictorWithin(made.rows)),
  ratio: shareAgainstLimbRatio(ratioTables(made)),
  heat: stanceByHeel(made.rows),
  weeks: weekToWeek(weeks.weeks, weeks.changes),
  alike: reliability(alike),
});

const widthMm = (svg: string) => Number(/ width="([\d.]+)"/.exec(svg)![1]) / PX_PER_MM;

describe('at the size of a printed column', () => {
  test.each(['forest', 'own', 'levels', 'ratio', 'heat', 'weeks', 'alike'])(
    '%s: no wider than 85 mm, no text under 7 pt, nothing unknown drawn, the same bytes twice',
    async (name) => {
      const { figure, why } = figures()[name];
      expect(why).toBe('');
      const svg = await renderSvg(figure!);
      const width = widthMm(svg);
      expect(width).toBeGreaterThan(0.85 * COLUMN_MM);
      expect(width).toBeLessThan(1.02 * COLUMN_MM);
      const sizes = [...svg.matchAll(/font-size="([\d.]+)px"/g)].map(([, px]) => Number(px));
      expect(sizes.length).toBeGreaterThan(0);
      // 1 px is 0.75 pt.
      expect(Math.min(...sizes) * 0.75).toBeGreaterThanOrEqual(7);
      expect(svg).not.toMatch(/NaN|undefined|null/);
      expect(await renderSvg(figures()[name].figure!)).toBe(svg);
    },
  );
});

interface Layer {
  readonly mark: { readonly type: string };
  readonly data: { readonly values: readonly Record<string, unknown>[] };
}
const layersOf = ({ figure }: Made, panel = 0): Layer[] => {
  const spec = figure as unknown as { layer?: Layer[]; vconcat?: { layer: Layer[] }[]; concat?: { layer: Layer[] }[] };
  return spec.layer ?? (spec.vconcat ?? spec.concat)![panel].layer;
};
const valuesOf = (of: Made, type: string, panel = 0) =>
  layersOf(of, panel)
    .filter(({ mark }) => mark.type === type)
    .flatMap(({ data }) => data.values);

describe('effects', () => {
  test('per step of the predictor, with the interval to go by and the other', () => {
    const [heel] = shownEffects(made.effects);
    const row = made.effects
      .objects({ limit: 99 })
      .find((one) => (one as { term: string }).term === 'heel_height_mm') as Record<string, number>;
    expect(heel.value).toBeCloseTo(10 * row.estimate, 12);
    expect([heel.lower, heel.upper]).toEqual([10 * row.lower_with_shared, 10 * row.upper_with_shared]);
    expect(heel.upper - heel.lower).toBeGreaterThan(heel.plainUpper - heel.plainLower);
    expect(heel.name).toContain('10 mm');
  });

  test('no intercept, no joint test; too few athletes: their own contrasts, one interval', () => {
    expect(shownEffects(made.effects).map(({ row }) => row.term)).not.toContain('(intercept)');
    const own = shownEffects(two.effects);
    expect(own.map(({ row }) => row.athlete_id)).toEqual(['A01', 'A01', 'A01', 'A02', 'A02', 'A02']);
    expect(own.every(({ plainLower }) => Number.isNaN(plainLower))).toBe(true);
  });

  test('nothing estimated: no figure, and why', () => {
    expect(forest(tableOf(made.effects.columnNames(), []))).toMatchObject({
      figure: null,
      why: expect.stringMatching(/cohort-effects/),
    });
  });

  test('steps: 10 mm, a tenth of a ratio, one set; of an interaction their product', () => {
    expect(stepOf('heel_height_mm', 'mm')).toEqual({ size: 10, words: '10 mm' });
    expect(stepOf('set', '1')).toEqual({ size: 1, words: '1' });
    expect(stepOf('heel_height_mm:femur_per_trunk', 'mm · 1')?.size).toBeCloseTo(1, 12);
    expect(stepOf('sex', '')).toBeNull();
    expect(termName('heel_height_mm:sex')).toBe('heel height × sex');
  });
});

describe('athletes across levels', () => {
  test('a missing level breaks the athlete’s line', () => {
    const thin = valuesOf(figures().levels, 'line').filter(({ athlete }) => athlete === 'A03');
    expect(thin.map(({ level, value }) => [level, value === null])).toEqual([
      [0, false],
      [10, false],
      [20, true],
      [30, false],
    ]);
  });

  test('the line of the model passes through what the table says at the centre, and its fan is that of the slope', () => {
    const line = modelLine(made.effects, made.models, HIP_SHARE_AT_PARALLEL, 'heel_height_mm', [0, 30])!;
    const rows = made.effects.objects({ limit: 99 }) as Record<string, number | string>[];
    const of = (term: string) =>
      rows.find((row) => row.measure === 'hip_share' && row.term === term) as Record<string, number>;
    const [level, slope] = [of('(intercept)').estimate, of('heel_height_mm')];
    const last = line.points[line.points.length - 1];
    expect(last.value).toBeCloseTo(level + slope.estimate * (30 - line.centre), 9);
    expect(last.upper - last.lower).toBeCloseTo(
      (slope.upper_with_shared - slope.lower_with_shared) * (30 - line.centre),
      9,
    );
    expect(modelLine(made.effects, made.models, HIP_SHARE_AT_PARALLEL, 'sex', [0, 1])).toBeNull();
  });

  test('where the fan has no width a bar shows the interval of the level', () => {
    const row = (made.effects.objects({ limit: 99 }) as Record<string, number | string>[]).find(
      ({ measure, term }) => measure === 'hip_share' && term === '(intercept)',
    ) as Record<string, number>;
    const line = modelLine(made.effects, made.models, HIP_SHARE_AT_PARALLEL, 'heel_height_mm', [0, 30])!;
    expect(line.level).toEqual({ lower: row.lower_with_shared, upper: row.upper_with_shared });
    expect(valuesOf(figures().levels, 'rule')).toEqual([
      { level: line.centre, lower: 100 * row.lower_with_shared, upper: 100 * row.upper_with_shared },
    ]);
    const ratio = modelLine(made.effects, made.models, HIP_SHARE_AT_PARALLEL, 'femur_per_trunk', [0.7, 1])!;
    expect(valuesOf(figures().ratio, 'rule')).toContainEqual({
      x: ratio.centre,
      ...{ lower: 100 * row.lower_with_shared, upper: 100 * row.upper_with_shared },
    });
    // The line does not go to a centre that nobody lifted at.
    expect(modelLine(made.effects, made.models, HIP_SHARE_AT_PARALLEL, 'heel_height_mm', [20, 30])!.level).toBeNull();
  });

  test('what is drawn on top of the athletes: the line, the means, or nothing', () => {
    expect(modelDrawn(levelTables(made), 'heel_height_mm')).toBe('line');
    expect(modelDrawn(levelTables(madeTables({ comparison: levels })), 'heel_height_mm')).toBe('means');
    expect(modelDrawn(levelTables(two), 'heel_height_mm')).toBe('nothing');
  });

  test('names of levels: in lines beside each other, or turned; never over each other', async () => {
    const axisOf = (names: readonly string[]) => {
      const named = madeRecordings({ heelsMm: names.map((_, i) => i) }).map((one) => {
        const shoe = names[Math.round(1000 * one.recording.shoes.heelHeightM!)];
        return { ...one, recording: { ...one.recording, condition: { shoe } } };
      });
      const block: ComparisonFile = { outcomes: levels.outcomes, predictors: ['condition_shoe'] };
      const tables = cohortComparison(madeComparison(block, ['shoe']), named)!;
      const drawn = athletesAcrossLevels(
        {
          rows: reread('cohort-rows.csv', tables.rows),
          means: reread('cohort-means.csv', tables.means),
          effects: reread('cohort-effects.csv', tables.effects),
          models: reread('cohort-models.csv', tables.models),
        },
        'condition_shoe',
      );
      const { layer } = (drawn.figure as unknown as { vconcat: { layer: { encoding: { x: { axis: object } } }[] }[] })
        .vconcat[0];
      return { axis: layer[0].encoding.x.axis, figure: drawn.figure! };
    };
    const two = axisOf(['hips first as the coach asked', 'knees first']);
    expect(two.axis).toMatchObject({ labelAngle: 0 });
    expect(await renderSvg(two.figure)).toMatch(/hips first as the.*coach asked/s);
    expect(axisOf(Array.from({ length: 8 }, (_, i) => `wedge of ${i} mm`)).axis).toMatchObject({ labelAngle: -90 });
    expect(axisOf(['flat', 'raised']).axis).not.toHaveProperty('labelExpr');
  });

  test('room for the labels of an axis: more for four digits, and for a sign before decimals', () => {
    expect(axisPx([40, 60], 5)).toBe(AXIS_PX);
    // Five characters of 0.56 em at 9.5 px, tick and padding of 7 px.
    expect(axisPx([800, 1250], 5)).toBe(34);
    expect(axisPx([-0.05, 0.03], 5)).toBe(34);
  });

  test('nothing differs within an athlete: no figure', () => {
    expect(athletesAcrossLevels(levelTables(made), null).why).not.toBe('');
  });
});

describe('hips’ part against limb ratio', () => {
  test('a mark a recording, each with its own interval', () => {
    const points = valuesOf(figures().ratio, 'point');
    expect(points).toHaveLength(46);
    expect(points.every(({ lower, upper }) => typeof lower === 'number' && typeof upper === 'number')).toBe(true);
  });

  test('not among the predictors: no figure, and why', () => {
    expect(shareAgainstLimbRatio(ratioTables(bare)).why).toMatch(/femur_per_trunk/);
  });
});

describe('stance by heel', () => {
  test('a cell is the mean over athletes, not over recordings; empty ones are not there', () => {
    const columns = made.rows.columnNames();
    const row = (athlete: string, recording: string, heel: number, stance: number, value: number) => ({
      ...{
        measure: 'hip_share',
        side: 'both',
        at: 'parallel',
        scale: 'as it is',
        unit: '1',
        athlete_id: athlete,
        recording_id: recording,
      },
      ...{ repetition: 0, repetitions: 4, value, value_unit: '1', response: value, used: true, reason: '' },
      ...{ heel_height_mm: heel, femur_per_trunk: 0.8, stance_per_hip_width: stance, sex: 'female' },
    });
    const rows = reread(
      'cohort-rows.csv',
      tableOf(columns, [
        row('A', 'a1', 0, 1.5, 0.4),
        row('A', 'a2', 0, 1.55, 0.5),
        row('B', 'b1', 0, 1.52, 0.75),
        row('B', 'b2', 20, 1.72, 0.6),
      ]),
    );
    const { cells, stances, binWidth } = heatCells(rows)!;
    expect(binWidth).toBe(0.1);
    expect(stances).toEqual(['1.5 to 1.6', '1.6 to 1.7', '1.7 to 1.8']);
    expect(cells).toHaveLength(2);
    expect(cells[0]).toMatchObject({ heel: '0', stance: '1.5 to 1.6', athletes: 2, recordings: 3 });
    // (mean of 0.4 and 0.5, and 0.75) / 2
    expect(cells[0].share).toBeCloseTo(0.6, 12);
  });

  test('heights: as they are where few, else steps of 10 mm', () => {
    expect(heelLevels([0, 15, null, 15]).names).toEqual(['0', '15']);
    const many = heelLevels([0, 4, 11, 19, 25, 38]);
    expect(many.nameOf(11)).toBe('10–<20');
    expect(many.nameOf(38)).toBe('≥30');
    expect(many.nameOf(null)).toBeNull();
  });
});

describe('seven heel heights', () => {
  const HEELS = [0, 5, 10, 15, 20, 30, 40];
  const studied = madeTables({ heelsMm: HEELS });

  test('heat map: the classes of heel height are whole, and the axis has their unit', async () => {
    const svg = await renderSvg(stanceByHeel(studied.rows).figure!);
    for (const name of ['0–&lt;10', '10–&lt;20', '20–&lt;30', '30–&lt;40', '≥40', 'heel height (mm)'])
      expect(svg).toContain(`>${name}<`);
    expect(svg).not.toContain('…');
    // Labels stand side by side: a class is as wide as its column at most.
    const column = (PLOT_PX - 38) / 5;
    expect(CHARACTER_EM * TEXT.small * '10–<20'.length).toBeLessThan(column);
  });

  test('against limb ratio: one column, its legends whole', async () => {
    const svg = await renderSvg(shareAgainstLimbRatio(ratioTables(studied)).figure!);
    expect(widthMm(svg)).toBeLessThan(1.02 * COLUMN_MM);
    for (const name of ['0–&lt;10', '10–&lt;20', '20–&lt;30', '≥30', 'heel (mm)', 'stance'])
      expect(svg).toContain(`>${name}<`);
  });
});

describe('week to week', () => {
  test('one series an athlete, its last against its first', () => {
    const series = weekSeries(weeks.weeks, weeks.changes);
    expect(series.map(({ sessions }) => sessions.length)).toEqual([5, 5, 5, 5, 5, 5, 1]);
    expect(series[1].change?.verdict).toBe('changed');
    expect(series[6].change).toBeNull();
  });

  test('loads apart are series of their own', () => {
    const both = madeWeeks([
      ...madeSessions('A01', [0.5, 0.52, 0.51]),
      ...madeSessions('A01', [0.6, 0.61], { loadKg: 80 }).map((row) => ({
        ...row,
        recordingId: `${row.recordingId}h`,
      })),
    ]);
    expect(weekSeries(both.weeks, both.changes).map(({ sessions }) => sessions.map(({ load_kg }) => load_kg))).toEqual([
      [60, 60, 60],
      [80, 80],
    ]);
  });

  test('long names that differ at their ends stay apart, in one column', async () => {
    const ids = ['participant-of-the-university-0001', 'participant-of-the-university-0002'];
    const long = madeWeeks(ids.flatMap((id, i) => madeSessions(id, [0.5 + 0.02 * i, 0.52, 0.51])));
    const svg = await renderSvg(weekToWeek(long.weeks, long.changes).figure!);
    expect(widthMm(svg)).toBeLessThan(1.02 * COLUMN_MM);
    expect(svg).not.toContain('…');
    for (const end of ['0001', '0002']) expect(svg).toContain(end);
  });

  test('one session each: no figure, and why', () => {
    const once = madeWeeks([...madeSessions('A01', [0.5]), ...madeSessions('A02', [0.6])]);
    expect(weekToWeek(once.weeks, once.changes)).toMatchObject({
      figure: null,
      why: expect.stringMatching(/one session/),
    });
  });
});

describe('repeated recordings', () => {
  test('each athlete once: no figure, in words', () => {
    const once = madeReliability([...madeSessions('A01', [0.5]), ...madeSessions('A02', [0.6])]);
    expect(reliability(once)).toMatchObject({ figure: null, why: expect.stringMatching(/one recording/) });
  });
});

describe('captions say n, what is missing, the level and the model', () => {
  test.each([
    ['forest', () => captions.forestCaption(made.effects)],
    ['own contrasts', () => captions.forestCaption(two.effects)],
    ['levels', () => captions.acrossLevelsCaption(levelTables(made), 'heel_height_mm')],
    ['ratio', () => captions.limbRatioCaption(ratioTables(made))],
    ['heat', () => captions.heatCaption(made.rows, made.models)],
    ['weeks', () => captions.weeksCaption(weeks.weeks, weeks.changes)],
    ['alike', () => captions.reliabilityCaption(alike)],
  ])('%s', (_, caption) => {
    const text = caption();
    expect(text).toMatch(/n = \d+ athletes/);
    expect(text).toMatch(/\d+ recordings/);
    expect(text).toMatch(/\d+ repetitions/);
    expect(text).toMatch(/missing: |Missing: /);
    expect(text).toContain('95 %');
    expect(text).toMatch(/[Mm]odel/);
    expect(text).not.toMatch(/NaN|undefined|null/);
  });

  test('one recording is missing, and the numbers are those of the table', () => {
    expect(captions.forestCaption(made.effects)).toContain(
      'n = 12 athletes, 46 recordings, 184 repetitions. Missing: 1 recording, 4 repetitions.',
    );
  });

  test('a value inside the band of the detectable change may be a change all the same', () => {
    expect(captions.weeksCaption(weeks.weeks, weeks.changes)).toContain('it does not show that nothing changed');
  });

  test('an interval of a recording is spoken of only where one is drawn', () => {
    expect(captions.limbRatioCaption(ratioTables(made))).toContain('with its 95 % interval');
    const none = { ...ratioTables(made), means: tableOf(made.setMeans.columnNames(), []) };
    expect(captions.limbRatioCaption(none)).not.toContain('with its 95 % interval');
    expect(captions.limbRatioCaption(none)).toContain('46 recordings without an interval');
  });

  test('without intervals it says that the shared part is not in it', () => {
    expect(captions.acrossLevelsCaption(levelTables(bare), 'heel_height_mm')).toContain('is not in it');
  });
});
