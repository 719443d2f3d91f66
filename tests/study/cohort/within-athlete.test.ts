import { expect, test } from '@jest/globals';
import { studentQuantile } from '../../../src/numerics/student.ts';
import { cohortComparison } from '../../../src/study/cohort/cohort-comparison.ts';
import { expectClose } from '../../expect-close.ts';
import { type MadeNumber, madeComparison, madeRecording } from './made-study.ts';

type Row = Readonly<Record<string, number & string>>;
const lean = (values: readonly number[], more: Partial<MadeNumber> = {}): MadeNumber[] => [
  { measure: 'trunk_lean', at: 'parallel', unit: 'deg', values, ...more },
];
const outcomes = [{ measure: 'trunk_lean', at: 'parallel' }];
const effects = (predictors: string[], recordings: ReturnType<typeof madeRecording>[]) =>
  cohortComparison(madeComparison({ outcomes, predictors }), recordings)!.effects.objects() as Row[];

test('two athletes: no model, and each compared with themself; what both levels share cancels', () => {
  const shared = { 'rig/lab/scale': 3, 'athlete/A/trunk': 2 };
  const found = effects(
    ['heel_height_mm'],
    [
      madeRecording('a0', 'A', { heelHeightM: 0 }, lean([40, 42], { effects: shared, noiseVariance: 0.04 })),
      madeRecording(
        'a1',
        'A',
        { heelHeightM: 0.02 },
        lean([37, 37], { effects: { ...shared, own: 1 }, noiseVariance: 0.05 }),
      ),
      madeRecording('a2', 'A', { heelHeightM: 0.02 }, lean([34], { effects: shared, noiseVariance: 0.05 })),
      madeRecording('b0', 'B', { heelHeightM: 0 }, lean([50])),
    ],
  );
  expect(found.map(({ athlete_id, reason }) => [athlete_id, reason])).toEqual([
    [null, 'cannot be fitted: 2 athletes in the rows used; a mixed model needs at least 3'],
    ['A', ''],
  ]);
  const [, own] = found;
  expect([own.term, own.level, own.reference, own.recordings, own.repetitions]).toEqual([
    'heel_height_mm',
    '20',
    '0',
    3,
    5,
  ]);
  // (2 · 37 + 34) / 3 − 41; `own` counts 2/3, the rest cancels.
  expectClose(own.estimate, -5, 1e-12);
  const noise = [0.05 * (4 / 9), 0.05 / 9, 0.04];
  const variance = 4 / 9 + noise[0] + noise[1] + noise[2];
  const pooled = (noise[0] + noise[1]) ** 2 / ((noise[0] ** 2 + noise[1] ** 2) / 199);
  const freedom = variance ** 2 / ((noise[0] + noise[1]) ** 2 / pooled + noise[2] ** 2 / 199);
  const half = studentQuantile(0.975, freedom) * Math.sqrt(variance);
  expectClose(own.lower_with_shared, -5 - half, 1e-9);
  expectClose(own.upper_with_shared, -5 + half, 1e-9);
  expect(own.lower).toBeNull();
});

test('what else differs is said; without intervals there is the difference alone; three numbers are no two levels', () => {
  const pair = [
    madeRecording('a0', 'A', { heelHeightM: 0, loadKg: 60 }, lean([40], { effects: null })),
    madeRecording('a1', 'A', { heelHeightM: 0.02, loadKg: 80 }, lean([37])),
  ];
  const [, heel] = effects(['heel_height_mm', 'load_kg'], pair);
  expect(heel.estimate).toBe(-3);
  expect(heel.lower_with_shared).toBeNaN();
  expect(heel.reason).not.toBe('');
  expect(heel.notes).toContain('load_kg');
  const third = madeRecording('a2', 'A', { heelHeightM: 0.03, loadKg: 60 }, lean([36]));
  const terms = effects(['heel_height_mm', 'load_kg'], [...pair, third]).map(({ term }) => term);
  expect(terms).toEqual([null, 'load_kg']);
});

test('data that do not bear the model are a reason with what to do, not an error', () => {
  const alike = ['A', 'B', 'C', 'D'].flatMap((id, a) =>
    [0, 1].map((r) => madeRecording(`${id}${r}`, id, { sex: 'female' }, lean([40 + a + Math.sin(5 * a + r)]))),
  );
  const [row] = effects(['sex'], alike);
  expect(row.reason).toContain('cannot be fitted: Factor "sex"');
  expect([row.n, row.athletes, row.estimate]).toEqual([8, 4, null]);
});
