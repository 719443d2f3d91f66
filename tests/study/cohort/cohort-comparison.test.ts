import { describe, expect, test } from '@jest/globals';
import type { ColumnTable } from 'arquero';
import type { LoadedRecording } from '../../../src/study/across-loads.ts';
import { cohortComparison } from '../../../src/study/cohort/cohort-comparison.ts';
import { cohortEffects, cohortMeans, cohortModels, cohortRows } from '../../../src/study/cohort/dictionary.ts';
import { COHORT_EFFECT_COLUMNS } from '../../../src/study/cohort/effects-table.ts';
import { COHORT_MEAN_COLUMNS } from '../../../src/study/cohort/means-table.ts';
import { COHORT_MODEL_COLUMNS } from '../../../src/study/cohort/models-table.ts';
import { COHORT_ROW_COLUMNS } from '../../../src/study/cohort/rows-table.ts';
import { csvOf } from '../../../src/study/csv.ts';
import { expectClose } from '../../expect-close.ts';
import { reference } from '../../reference.ts';
import { makeRecord, makeRecording } from '../make-record.ts';
import { madeComparison, madeRecording, madeStudy, studyForR } from './made-study.ts';

type Row = Readonly<Record<string, number & string & boolean>>;
const rowsOf = (table: ColumnTable) => table.objects({ limit: Number.POSITIVE_INFINITY }) as Row[];

interface Fitted {
  readonly measure: string;
  readonly n: number;
  readonly athletes: number;
  readonly effects: readonly (Record<'estimate' | 'se' | 'df' | 'p' | 'lower' | 'upper', number> & { name: string })[];
  readonly means: readonly (Record<'mean' | 'se' | 'df' | 'lower' | 'upper', number> & { level: string })[];
  readonly any: { readonly df: number; readonly p: number };
  readonly criterion: number;
  readonly athlete_sd: number;
  readonly slope_sd: number;
  readonly residual_sd: number;
  readonly icc: number;
  readonly marginal: number;
  readonly conditional: number;
}

describe('cohort-rows.csv fitted again by lme4 gives the other tables', () => {
  const { cases, tolerance } = reference<Fitted>('cohort-lme4');
  const { study, recordings } = studyForR();
  const tables = cohortComparison(study, recordings)!;
  const near = (actual: number, expected: number, what: string) =>
    expectClose(actual, expected, tolerance * Math.abs(expected), what);

  test.each(cases)('$measure', (wanted) => {
    const own = (table: ColumnTable) => rowsOf(table).filter(({ measure }) => measure === wanted.measure);
    const effects = own(tables.effects);
    const names: Record<string, [string, string]> = {
      '(Intercept)': ['(intercept)', ''],
      heel_height_mm: ['heel_height_mm', ''],
      sexfemale: ['sex', 'female'],
      condition_griphook: ['condition_grip', 'hook'],
      condition_griptwo_fingers: ['condition_grip', 'two_fingers'],
      femur_per_trunk: ['femur_per_trunk', ''],
      'heel_height_mm:sexfemale': ['heel_height_mm:sex', 'female'],
    };
    for (const one of wanted.effects) {
      const [term, level] = names[one.name];
      const row = effects.find((found) => found.term === term && found.level === level)!;
      expect([row.n, row.athletes]).toEqual([wanted.n, wanted.athletes]);
      // Estimate and ends to the standard error: an estimate near 0 has no relative digits.
      for (const column of ['estimate', 'lower', 'upper'] as const)
        expectClose(row[column], one[column], tolerance * one.se, `${term} ${column}`);
      near(row.se, one.se, `${term} se`);
      near(row.df, one.df, `${term} df`);
      if (term !== '(intercept)') expectClose(row.p, one.p, 10 * tolerance * one.p, `${term} p`);
    }
    const any = effects.find(({ level }) => level === 'any')!;
    near(any.df, wanted.any.df, 'any df');
    near(any.p, wanted.any.p, 'any p');
    const [model] = own(tables.models);
    near(model.reml_criterion, wanted.criterion, 'criterion');
    near(model.athlete_sd, wanted.athlete_sd, 'athlete sd');
    near(Number(String(model.slope_sds).split(' ')[1]), wanted.slope_sd, 'slope sd');
    near(model.residual_sd, wanted.residual_sd, 'residual sd');
    near(model.icc_athlete, wanted.icc, 'icc');
    near(model.r2_marginal, wanted.marginal, 'marginal');
    near(model.r2_conditional, wanted.conditional, 'conditional');
    for (const mean of wanted.means) {
      const row = own(tables.means).find(({ level }) => level === mean.level)!;
      expectClose(row.mean_on_scale, mean.mean, tolerance * mean.se, mean.level);
      near(row.se_on_scale, mean.se, mean.level);
      near(row.df, mean.df, mean.level);
      const back = wanted.measure === 'trunk_lean' ? (x: number) => x : Math.exp;
      near(row.mean, back(mean.mean), 'mean');
      near(row.lower, back(mean.lower), 'lower');
    }
  });

  test('what is missing is counted and said', () => {
    const [lean, stance] = rowsOf(tables.models);
    // A06 has no sex, A08-1 no heel; repetition 2 of A03 is unknown.
    expect(lean.missing_why).toBe(
      'no value of sex: 5; no value of heel_height_mm: 1; repetitions of observations in the model: needs left_heel: 6',
    );
    const ofUsed = rowsOf(tables.rows).filter(({ measure, used }) => measure === 'trunk_lean' && used);
    expect(ofUsed.reduce((sum, { missing }) => sum + missing, 0)).toBe(6);
    for (const { missing, missing_why: why } of ofUsed)
      expect(why).toBe(missing === 0 ? '' : `needs left_heel: ${missing}`);
    expect(lean.recordings_missing).toBe(6);
    const known = rowsOf(tables.rows).filter(({ measure }) => measure === 'trunk_lean');
    expect(known.length).toBe(recordings.length);
    const full = recordings.reduce(
      (sum, { record }) => sum + record.repetitions.filter(({ completeness }) => completeness === 'full').length,
      0,
    );
    expect(lean.repetitions + lean.missing).toBe(full);
    expect(stance.repetitions + stance.missing).toBe(full);
    expect(lean.missing - stance.missing).toBe(
      recordings.filter(({ recording }) => recording.athlete.id === 'A03').length,
    );
  });

  test('where a recording has no interval the shared part is not given; where all have, it is wider', () => {
    const found = rowsOf(tables.effects).filter(({ term }) => term === '(intercept)');
    const [lean, stance] = found;
    expect(lean.upper_with_shared).toBeGreaterThan(lean.upper);
    expect(stance.upper_with_shared).toBeNull();
    expect(String(stance.notes)).toContain('no interval');
  });

  test('the order of the recordings changes nothing', () => {
    const again = cohortComparison(study, [...recordings].reverse())!;
    for (const name of ['effects', 'means', 'models', 'rows'] as const)
      expect(csvOf(again[name])).toBe(csvOf(tables[name]));
  });
});

test('columns and dictionary agree, in order', () => {
  const entries = [cohortEffects, cohortMeans, cohortModels, cohortRows];
  const wanted = [
    COHORT_EFFECT_COLUMNS,
    COHORT_MEAN_COLUMNS,
    COHORT_MODEL_COLUMNS,
    [...COHORT_ROW_COLUMNS, '<predictor>'],
  ];
  expect(entries.map(({ columns }) => columns.map(({ column }) => column))).toEqual(wanted.map((one) => [...one]));
  for (const { columns } of entries)
    for (const { definition, type, unit } of columns) {
      expect(definition).toMatch(/^\S.*\.$/);
      if (type === 'number') expect(unit).not.toBe('');
    }
});

const truth = {
  athletes: 12,
  heelsMm: [0, 10, 20, 30],
  repetitions: 4,
  heel: -0.3,
  athleteSd: 3,
  slopeSd: 0,
  recordingSd: 1,
  repetitionSd: 1,
};
const lean = [{ measure: 'trunk_lean', at: 'parallel' }];

test('Holm counts the outcomes of one effect: two alike have twice their p', () => {
  const twin = madeStudy(truth, 5).map((one) => ({
    ...one,
    record: {
      ...one.record,
      measures: one.record.measures.flatMap((m) => [m, { ...m, measure: 'head_tilt' }]),
    },
  }));
  const study = madeComparison({ outcomes: [...lean, { measure: 'head_tilt', at: 'parallel' }], predictors: ['sex'] });
  const rows = rowsOf(cohortComparison(study, twin)!.effects).filter(({ term }) => term === 'sex');
  expect(rows.map(({ p }) => p)).toEqual([rows[0].p, rows[0].p]);
  for (const row of rows) expectClose(row.p_holm, Math.min(1, 2 * row.p), 1e-12);
  const rig = madeStudy({ ...truth, rigSd: 0.1 }, 5);
  const heel = rowsOf(
    cohortComparison(madeComparison({ outcomes: lean, predictors: ['heel_height_mm'] }), rig)!.effects,
  )[1];
  expect(heel.p_with_shared).toBeGreaterThan(heel.p);
  expect(heel.p_holm).toBe(heel.p_with_shared);
});

test('heel height as levels, weeks, the load by body mass: from the recording file', () => {
  const recordings = [0, 1, 2, 3].flatMap((a) =>
    [0, 15].map((heel, r) =>
      madeRecording(
        `A${a}-${r}`,
        `A${a}`,
        {
          heelHeightM: heel / 1000,
          date: `2026-01-${String(5 + 14 * r + a).padStart(2, '0')}`,
          loadKg: 90 + 10 * a,
          massKg: 60,
        },
        [{ measure: 'trunk_lean', at: 'parallel', unit: 'deg', values: [40 + a + 0.1 * heel + Math.sin(7 * a + r)] }],
      ),
    ),
  );
  const study = madeComparison({
    outcomes: lean,
    predictors: ['heel_height_mm', 'load_per_body_mass'],
    factors: { heel_height_mm: { reference: 15 } },
  });
  const tables = cohortComparison(study, recordings)!;
  const heel = rowsOf(tables.effects).find(({ term }) => term === 'heel_height_mm')!;
  expect([heel.level, heel.reference]).toEqual(['0', '15']);
  const load = rowsOf(tables.effects).find(({ term }) => term === 'load_per_body_mass')!;
  // Loads of 1 % and a mass of 0.5 kg against loads of 1.5 to 2 of body mass.
  expect(load.reliability).toBeGreaterThan(0.97);
  expect(load.reliability).toBeLessThan(1);
  const weeks = madeComparison({ outcomes: lean, predictors: ['week'] });
  const found = rowsOf(cohortComparison(weeks, recordings)!.rows);
  expect(found.map(({ week }) => week)).toEqual([0, 2, 0, 2, 0, 2, 0, 2]);
});

test('different lifts taken together are said, unless the model has them', () => {
  const mixed = madeStudy(truth, 6).map((one, i) => ({
    ...one,
    recording: { ...one.recording, lift: { ...one.recording.lift, kind: i % 2 ? 'front squat' : 'back squat' } },
  }));
  const notes = (predictors: string[]) =>
    String(rowsOf(cohortComparison(madeComparison({ outcomes: lean, predictors }), mixed)!.models)[0].notes);
  expect(notes(['heel_height_mm'])).toContain('back squat, front squat');
  expect(notes(['heel_height_mm', 'lift_kind'])).not.toContain('taken together');
});

test('repetitions as rows: counted so, and told where those of a recording are alike', () => {
  const run = (recordingSd: number) => {
    const study = madeComparison({ outcomes: lean, predictors: ['heel_height_mm'], rows: 'repetitions' });
    return rowsOf(cohortComparison(study, madeStudy({ ...truth, recordingSd }, 8))!.models)[0];
  };
  const alike = run(2);
  expect([alike.n, alike.repetitions, alike.recordings]).toEqual([192, 192, 48]);
  expect(String(alike.notes)).toContain('rows: recordings');
  expect(String(run(0).notes)).not.toContain('rows: recordings');
});

test('no block: null; no recording: a reason', () => {
  expect(cohortComparison({ file: 'study.yaml' }, [])).toBeNull();
  const tables = cohortComparison(madeComparison({ predictors: ['sex'] }), [])!;
  expect(rowsOf(tables.effects).map(({ reason }) => String(reason).slice(0, 16))).toEqual(
    new Array(4).fill('cannot be fitted'),
  );
  expect([tables.means.numRows(), tables.rows.numRows(), tables.models.numRows()]).toEqual([0, 0, 4]);
});

test('a record of the lift stage: the usual outcomes and measured predictors are found under their names', () => {
  const loaded: LoadedRecording[] = ['007', '008'].map((athleteId) => {
    const options = { recordingId: `${athleteId}-1`, athleteId, partialRepetition: 2 };
    return { recording: makeRecording(options), record: makeRecord(options), means: [] };
  });
  const study = madeComparison({ predictors: ['femur_per_trunk', 'stance_per_hip_width', 'heel_height_mm'] });
  const rows = rowsOf(cohortComparison(study, loaded)!.rows);
  expect(rows).toHaveLength(8);
  for (const row of rows) {
    expect([row.used, row.reason, row.repetitions, row.heel_height_mm]).toEqual([true, '', 2, 20]);
    // Drawn with a thigh of 0.43 m and a trunk of 0.5 m.
    expectClose(row.femur_per_trunk, 0.86, 0.02);
    expect(row.stance_per_hip_width).toBeGreaterThan(1);
  }
});
