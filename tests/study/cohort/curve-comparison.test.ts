import { describe, expect, test } from '@jest/globals';
import type { ColumnTable } from 'arquero';
import type { ComparisonFile } from '../../../src/capture/comparison-file.ts';
import { cohortComparison } from '../../../src/study/cohort/cohort-comparison.ts';
import { cohortCurves, cohortCurveTests, cohortGroupCurves } from '../../../src/study/cohort/curve-dictionary.ts';
import {
  COHORT_CURVE_COLUMNS,
  COHORT_CURVE_TEST_COLUMNS,
  COHORT_GROUP_CURVE_COLUMNS,
} from '../../../src/study/cohort/curve-tables.ts';
import type { KeptCurve } from '../../../src/study/cohort/kept-curves.ts';
import type { CohortRecording } from '../../../src/study/cohort/recording-facts.ts';
import { csvOf } from '../../../src/study/csv.ts';
import type { CurvePlace } from '../../../src/study/statistics/curves/athlete-curves.ts';
import { expectClose } from '../../expect-close.ts';
import { reference } from '../../reference.ts';
import { madeCurve, madeDepthStudy, withCurves } from './made-depth-study.ts';
import { madeComparison, madeRecording } from './made-study.ts';

type Row = Readonly<Record<string, number & string & boolean>>;
const rowsOf = (table: ColumnTable | null) => table!.objects({ limit: Number.POSITIVE_INFINITY }) as Row[];
const tablesOf = (recordings: readonly CohortRecording[], block: ComparisonFile) => {
  const { curves, groupCurves, curveTests } = cohortComparison(
    { ...madeComparison(block, ['shoe']), seed: 3 },
    recordings,
  )!;
  return { curves: rowsOf(curves), groups: rowsOf(groupCurves), tests: rowsOf(curveTests) };
};
const byHeel: ComparisonFile = { predictors: ['heel_height_mm'] };

const ONE: readonly CurvePlace[] = [{ phase: 'descent', depth: 0 }];
/** One recording with one value of the curve at one depth. */
const atParallel = (
  id: string,
  athlete: string,
  heelMm: number,
  value: number,
  more: Partial<KeptCurve> = {},
  statureM: number | null = null,
): CohortRecording => {
  const made = madeRecording(`${id}`, athlete, { heelHeightM: heelMm / 1000 }, [
    { measure: 'femur_per_trunk', values: 0.8 },
  ]);
  const recording = { ...made.recording, athlete: { ...made.recording.athlete, statureM } };
  return { ...withCurves(made, [madeCurve([[value]], more, ONE)]), recording };
};
const pairs = (values: readonly number[], of: (heel: number) => Partial<KeptCurve> = () => ({})) =>
  values.flatMap((value, i) => [
    atParallel(`r${i}a`, `A${i}`, 0, 0, of(0)),
    atParallel(`r${i}b`, `A${i}`, 20, value, of(20)),
  ]);

describe('at one depth, against SciPy', () => {
  interface Case {
    readonly design: 'paired' | 'groups' | 'covariate' | 'partial';
    readonly x: number[];
    readonly y: number[];
    readonly a: number[];
    readonly b: number[];
    readonly p: number;
    readonly t: number;
    readonly lower: number;
    readonly upper: number;
  }
  const scipy = reference<Case>('study-curve-permutation');
  const cases = scipy.cases.filter(({ design }) => design !== 'partial');
  test.each(cases.map((one, k) => [`${one.design} ${k}`, one] as const))(
    '%s',
    (name, { design, x, y, a, b, ...wanted }) => {
      const made = {
        paired: () => pairs(x),
        groups: () => [
          ...a.map((value, i) => atParallel(`a${i}`, `A${i}`, 0, value)),
          ...b.map((value, i) => atParallel(`b${i}`, `B${i}`, 20, value)),
        ],
        covariate: () => y.map((value, i) => atParallel(`a${i}`, `A${i}`, 0, value, {}, x[i])),
        partial: () => [],
      }[design]();
      const by = design === 'covariate' ? 'stature_m' : 'heel_height_mm';
      const { curves, tests } = tablesOf(made, { ...byHeel, curves: [{ quantity: 'hip_share', by }] });
      expect(curves).toHaveLength(1);
      expect(tests[0]).toMatchObject({ design, design_from: 'data', exact: true, seed: null });
      for (const [column, value] of [
        ['adjusted_p', wanted.p],
        ['t', wanted.t],
        ['lower', wanted.lower],
        ['upper', wanted.upper],
      ] as const)
        expectClose(curves[0][column], value, scipy.tolerance, `${name}: ${column}`);
    },
  );
});

describe('twelve athletes on two heels', () => {
  const recordings = madeDepthStudy({ athletes: 12, heelsMm: [0, 20], effect: -0.03 });
  const { curves, groups, tests } = tablesOf(recordings, byHeel);
  const at = (rows: readonly Row[], phase: string, depth: number) =>
    rows.filter((row) => row.phase === phase && row.depth === depth);

  test('the usual curve: hip share by the first predictor with two levels, within athletes', () => {
    expect(tests).toHaveLength(1);
    expect(tests[0]).toMatchObject({
      ...{ quantity: 'hip_share', side: 'both', by: 'heel_height_mm', level: '20', reference: '0', design: 'paired' },
      ...{ athletes: 12, recordings: 24, repetitions: 96, missing: 0, recordings_missing: 0, rearrangements: 4096 },
      ...{ verdict: 'differs', smallest_p: 2 / 4096 },
    });
    expect(tests[0].ranges).toContain('descent, ');
  });

  test('the means differ by the estimate, also where few reach; n and missing are those who do', () => {
    let compared = 0;
    for (const row of curves.filter(({ n }) => n > 0)) {
      const [reference, level] = at(groups, row.phase, row.depth);
      expect([reference.level, level.level]).toEqual(['0', '20']);
      expectClose(level.mean - reference.mean, row.estimate, 1e-12, `${row.phase} ${row.depth}`);
      expect([level.n, level.n + level.missing, row.n + row.missing]).toEqual([row.n, 12, 12]);
      compared++;
    }
    expect(compared).toBe(38);
    // The first athlete stops at −5°, the second at −15°.
    expect([0, -5, -10, -15, -20, -25].map((depth) => at(curves, 'descent', depth)[0].n)).toEqual([
      12, 12, 11, 11, 10, 0,
    ]);
    expect(at(curves, 'descent', -25)[0]).toMatchObject({ verdict: 'not tested', missing: 12 });
    expect(at(groups, 'descent', -20)[0]).toMatchObject({ n: 10, recordings: 10, repetitions: 40 });
  });

  test('a band that leaves out 0 goes with a verdict; bands hold intervals, widened ones hold bands', () => {
    for (const row of curves.filter(({ verdict }) => verdict !== 'not tested')) {
      if (row.band_lower > 0 || row.band_upper < 0) expect(row.verdict).toBe('differs');
      expect(row.band_lower).toBeLessThan(row.lower);
      expect(row.widened_band_lower).toBeLessThan(row.band_lower);
      expect(row.widened_band_upper).toBeGreaterThan(row.band_upper);
    }
  });

  test('neither the order of recordings nor that of their repetitions counts', () => {
    const again = tablesOf([...recordings].reverse(), byHeel);
    expect(again).toEqual({ curves, groups, tests });
  });

  test('an athlete with one heel only is left out by name, and counted', () => {
    const found = tablesOf(recordings.slice(1), byHeel);
    expect(found.tests[0]).toMatchObject({ athletes: 11, recordings: 22, missing: 1, recordings_missing: 1 });
    expect(found.tests[0].notes).toContain('A01');
    const [reference, level] = at(found.groups, 'descent', 0);
    expect([reference.missing, level.missing, at(found.curves, 'descent', 0)[0].missing]).toEqual([0, 1, 1]);
  });
});

test('the band of a mean is the quantile of the largest |t| over turned signs, by plain enumeration', () => {
  const values = [0.41, 0.52, 0.47, 0.6, 0.39, 0.55, 0.5];
  const { groups } = tablesOf(pairs(values), byHeel);
  const row = groups.find(({ level }) => level === '20')!;
  const n = values.length;
  const mean = values.reduce((sum, value) => sum + value, 0) / n;
  const tOf = (x: readonly number[]) => {
    const m = x.reduce((sum, value) => sum + value, 0) / n;
    return m / Math.sqrt(x.reduce((sum, value) => sum + (value - m) ** 2, 0) / (n - 1) / n);
  };
  const quantileOf = (x: readonly number[]) => {
    const largest = Array.from({ length: 2 ** n }, (_, pattern) =>
      Math.abs(tOf(x.map((value, i) => ((pattern >> i) & 1 ? -value : value)))),
    ).sort((a, b) => b - a);
    return largest[Math.floor(0.05 * 2 ** n)];
  };
  const critical = Math.max(quantileOf(values), quantileOf(values.map((value) => value - mean)));
  const se = mean / tOf(values);
  expectClose(row.mean, mean, 1e-12, 'mean');
  expectClose(row.band_upper - row.mean, critical * se, 1e-9, 'band');
});

describe('errors of measurement that athletes share', () => {
  const values = [0.3, 0.5, 0.1, 0.4, 0.7, 0.2, 0.6, 0.45];
  const effects = (of: Record<string, number>) =>
    new Map(Object.entries(of).map(([key, e]) => [key, Float32Array.of(e)]));

  test('alike at both levels: nothing in the difference, full size in each mean', () => {
    const { curves, groups } = tablesOf(
      pairs(values, () => ({ effects: effects({ rig: 0.125 }) })),
      byHeel,
    );
    expectClose(curves[0].widened_lower, curves[0].lower, 1e-12, 'difference');
    const own = groups.find(({ level }) => level === '20')!;
    const half = (ends: readonly [number, number]) => (ends[1] - ends[0]) / 2;
    const added =
      half([own.widened_band_lower, own.widened_band_upper]) ** 2 - half([own.band_lower, own.band_upper]) ** 2;
    // One unknown: the largest over depths is its own, 1.96; drawn, within 4 standard deviations of that quantile.
    expectClose(Math.sqrt(added) / 0.125, 1.96, 4 * 0.029, 'mean');
  });

  test('at one level alone: half² + 1.96² e² in the interval; p stays', () => {
    const { curves } = tablesOf(
      pairs(values, (heel) => ({ effects: effects(heel === 20 ? { rig: 0.125 } : {}) })),
      byHeel,
    );
    const [row] = curves;
    const half = Math.hypot(row.estimate - row.lower, 1.959963984540054 * 0.125);
    expectClose(row.estimate - row.widened_lower, half, 1e-9, 'interval');
    const [bare] = tablesOf(pairs(values), byHeel).curves;
    expect([row.adjusted_p, row.band_lower]).toEqual([bare.adjusted_p, bare.band_lower]);
  });

  test('an unknown of each athlete alone adds nothing: it is in the spread', () => {
    const made = pairs(values).map((one) => ({
      ...one,
      curves: one.curves!.map((curve) => ({
        ...curve,
        effects: effects({ [`athlete/${one.recording.athlete.id}`]: one.recording.id.endsWith('b') ? 1 : 0 }),
      })),
    }));
    const [row] = tablesOf(made, byHeel).curves;
    expectClose(row.shared_share, 0, 0, 'share');
  });

  test('without intervals there is no widened band, and a note says how many recordings', () => {
    const made = pairs(values, () => ({ effects: effects({ rig: 0.1 }) }));
    const { curves, tests } = tablesOf(
      made.map((one, i) =>
        i === 3 ? { ...one, curves: one.curves!.map((curve) => ({ ...curve, effects: null })) } : one,
      ),
      byHeel,
    );
    expect(curves[0].widened_band_lower).toBeNull();
    expect(tests[0].notes).toMatch(/no interval in 1 of the recordings/);
  });
});

test('five pairs cannot be significant, and that is said at each depth; six can', () => {
  const five = tablesOf(pairs([0.3, 0.5, 0.1, 0.4, 0.7]), byHeel);
  expect(five.curves[0]).toMatchObject({ verdict: 'cannot be significant', adjusted_p: 0.0625 });
  expect(five.tests[0]).toMatchObject({ verdict: 'cannot be significant', level_kept: 0, athletes_needed: 6 });
  expect(five.tests[0].reason).toContain('5 athletes; at least 6');
  expect(five.groups[0].reason).not.toBe('');
  expect(tablesOf(pairs([0.3, 0.5, 0.1, 0.4, 0.7, 0.2]), byHeel).tests[0].verdict).toBe('differs');
});

test('a ratio is compared by its logarithm: the factor is that of geometric means', () => {
  const ratio = (value: number) => ({ quantity: 'hip_knee_ratio', values: Float64Array.of(value) });
  const made = [1.1, 1.3, 1.2, 1.5, 1.25, 1.4].flatMap((factor, i) => [
    atParallel(`r${i}a`, `A${i}`, 0, 0, ratio(1 + 0.1 * i)),
    atParallel(`r${i}b`, `A${i}`, 20, 0, ratio((1 + 0.1 * i) * factor)),
  ]);
  const { curves, groups } = tablesOf(made, {
    ...byHeel,
    curves: [{ quantity: 'hip_knee_ratio', by: 'heel_height_mm' }],
  });
  expect(curves[0]).toMatchObject({ scale: 'factor', unit: '1' });
  expectClose(curves[0].estimate, (1.1 * 1.3 * 1.2 * 1.5 * 1.25 * 1.4) ** (1 / 6), 1e-12, 'factor');
  expectClose(groups[1].mean / groups[0].mean, curves[0].estimate, 1e-12, 'means');
});

describe('the design follows from the data', () => {
  const apart = madeDepthStudy({ athletes: 8, heelsMm: [0, 20], effect: -0.1, apart: true, repetitions: 1 });
  const four = madeDepthStudy({ athletes: 7, heelsMm: [0, 10, 20, 30], effect: -0.03, repetitions: 1 });
  const curves = (one: NonNullable<ComparisonFile['curves']>[number]): ComparisonFile => ({
    predictors: ['sex'],
    curves: [one],
  });

  test('levels between athletes: two groups', () => {
    const { tests } = tablesOf(apart, byHeel);
    expect(tests[0]).toMatchObject({ design: 'groups', n_reference: 4, n_level: 4, smallest_p: 2 / 70 });
  });

  test('levels turned round turn the sign; a reference of factors does so too', () => {
    const usual = tablesOf(four, curves({ quantity: 'hip_share', by: 'heel_height_mm', levels: [0, 20] }));
    const turned = tablesOf(four, curves({ quantity: 'hip_share', by: 'heel_height_mm', levels: [20, 0] }));
    expect(usual.tests[0]).toMatchObject({
      level: '20',
      reference: '0',
      design: 'paired',
      recordings: 14,
      recordings_missing: 0,
    });
    expect(usual.curves.map(({ estimate }) => estimate && -estimate)).toEqual(
      turned.curves.map(({ estimate }) => estimate),
    );
    const named = tablesOf(apart, { ...byHeel, factors: { heel_height_mm: { reference: 20 } } });
    expect(named.tests[0]).toMatchObject({ level: '0', reference: '20' });
  });

  test('a body proportion is a covariate; its mean curve is that of all', () => {
    const { tests, groups, curves: along } = tablesOf(four, curves({ quantity: 'hip_share', by: 'femur_per_trunk' }));
    expect(tests[0]).toMatchObject({ design: 'covariate', level: '', athletes: 7, recordings: 28, n_level: null });
    expect(groups.every(({ level }) => level === '')).toBe(true);
    // What moves all athletes alike is in no slope; what does not, is.
    const banded = along.filter(({ band_upper }) => Number.isFinite(band_upper));
    expect(banded.length).toBeGreaterThan(0);
    for (const row of banded) expectClose(Number(row.widened_band_upper), Number(row.band_upper), 1e-12, 'alike');
    const femurOf = ({ record }: CohortRecording) =>
      record.measures.find(({ measure }) => measure === 'femur_per_trunk')!.value;
    const unlike = four.map((recording) =>
      withCurves(
        recording,
        (recording.curves ?? []).map((curve) => ({
          ...curve,
          effects: new Map([['rig/lab/scale', Float32Array.from(curve.places, () => 0.3 * femurOf(recording))]]),
        })),
      ),
    );
    const wider = tablesOf(unlike, curves({ quantity: 'hip_share', by: 'femur_per_trunk' })).curves;
    for (const row of wider.filter(({ band_upper }) => Number.isFinite(band_upper))) {
      expect(row.widened_band_upper).toBeGreaterThan(Number(row.band_upper));
    }
  });

  test('what cannot be: a row with the reason, no stop', () => {
    const reasonOf = (block: ComparisonFile, made = four) => {
      const found = tablesOf(made, block);
      expect(found.curves).toHaveLength(0);
      expect(found.tests).toHaveLength(1);
      expect(found.tests[0].verdict).toBe('not tested');
      return found.tests[0].reason;
    };
    expect(reasonOf(curves({ quantity: 'hip_share', by: 'heel_height_mm' }))).toContain('levels: [from, to]');
    expect(reasonOf(curves({ quantity: 'hip_share', by: 'heel_height_mm', levels: [0, 15] }))).toContain('15');
    expect(reasonOf(curves({ quantity: 'ankle_share', by: 'sex' }))).toContain('ankle_share');
    expect(reasonOf(curves({ quantity: 'hip_share', by: 'condition_shoe', design: 'covariate' }))).toContain('words');
    expect(
      reasonOf(curves({ quantity: 'hip_share', by: 'heel_height_mm', levels: [0, 20], design: 'groups' })),
    ).toContain('A01');
    expect(reasonOf(byHeel)).toContain('heel_height_mm');
    expect(reasonOf(byHeel, four.slice(0, 2))).toContain('at least 2');
  });

  test('[] asks for none', () => {
    const {
      curves: none,
      groupCurves,
      curveTests,
    } = cohortComparison(madeComparison({ ...byHeel, curves: [] }), four)!;
    expect([none, groupCurves, curveTests]).toEqual([null, null, null]);
  });

  test('what else differs between the two levels of an athlete is said', () => {
    const both: ComparisonFile = { predictors: ['heel_height_mm', 'condition_shoe'] };
    const made = madeDepthStudy({ athletes: 7, heelsMm: [0, 20], effect: -0.03, repetitions: 1 });
    expect(tablesOf(made, both).tests[0].notes).toContain('condition_shoe');
    expect(tablesOf(made, byHeel).tests[0].notes).not.toContain('condition_shoe');
  });
});

test('columns and dictionary agree; no cell is NaN', () => {
  const columnsOf = ({ columns }: typeof cohortCurves) => columns.map(({ column }) => column);
  expect(columnsOf(cohortCurves)).toEqual([...COHORT_CURVE_COLUMNS]);
  expect(columnsOf(cohortGroupCurves)).toEqual([...COHORT_GROUP_CURVE_COLUMNS]);
  expect(columnsOf(cohortCurveTests)).toEqual([...COHORT_CURVE_TEST_COLUMNS]);
  const tables = cohortComparison(madeComparison(byHeel), pairs([0.1, 0.2, 0.3]))!;
  for (const table of [tables.curves, tables.groupCurves, tables.curveTests])
    expect(csvOf(table!)).not.toMatch(/NaN|Infinity/);
});
