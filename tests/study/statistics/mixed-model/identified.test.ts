import { describe, expect, test } from '@jest/globals';
import { Matrix, SingularValueDecomposition } from 'ml-matrix';
import { DataError } from '../../../../src/errors.ts';
import { seededRandom } from '../../../../src/numerics/random.ts';
import type { ModelDescription } from '../../../../src/study/statistics/mixed-model/description.ts';
import { mixedModel } from '../../../../src/study/statistics/mixed-model/fit.ts';
import { requireIdentifiedSpreads } from '../../../../src/study/statistics/mixed-model/identified.ts';
import type { ModelTable } from '../../../../src/study/statistics/mixed-model/model-rows.ts';

const codeOf = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    if (error instanceof DataError) return error.code;
    throw error;
  }
  return '';
};

const athletes = (count: number, rows: number) => Array.from({ length: count * rows }, (_, i) => `a${(i / rows) | 0}`);
const drawn = (count: number, seed = 3) => {
  const random = seededRandom(seed);
  return Array.from({ length: count }, () => random.normal());
};

describe('a study that cannot tell its spreads is refused, not fitted to where the search began', () => {
  const codeFor = (table: ModelTable, fixed: string[], slopes: string[] = []): string =>
    codeOf(() => mixedModel(table, { response: 'y', fixed, random: { group: 'a', slopes } } as ModelDescription));
  const four = { a: athletes(4, 3), y: drawn(12), heel: athletes(12, 1).map((_, i) => i % 3) };
  const [sex, age, height] = [
    ['f', 'm', 'f', 'm'],
    [20, 30, 44, 25],
    [1.6, 1.7, 1.8, 1.95],
  ];
  const each = <T>(values: readonly T[]): T[] => values.flatMap((value) => [value, value, value]);

  test('four athletes, and three effects between them', () => {
    const table = { ...four, sex: each(sex), age: each(age), height: each(height) } as ModelTable;
    expect(codeFor(table, ['heel', 'sex', 'age', 'height'])).toBe('mixed-no-freedom-between');
    expect(codeFor(table, ['heel', 'sex', 'age'])).toBe('');
  });

  test('a factor that names the athlete', () => {
    const of = each(['p', 'q', 'r', 's']);
    const table = { ...four, who: of } as ModelTable;
    expect(codeFor(table, ['heel', 'who'], [])).toBe('mixed-no-freedom-between');
    // A factor with fewer levels than athletes, and its slopes, leave the athletes something.
    const many = { a: athletes(4, 4), y: drawn(16), heel: athletes(16, 1).map((_, i) => i % 4) };
    const group = ['p', 'p', 'q', 'q'].flatMap((value) => [value, value, value, value]);
    expect(codeFor({ ...many, group } as ModelTable, ['heel', 'group', 'heel:group'], ['heel'])).toBe('');
  });

  test('as many effects within athletes as repetitions', () => {
    const table = {
      a: athletes(4, 2),
      y: drawn(8),
      heel: [0, 1, 1, 0, 0, 1, 1, 0],
      set: [1, 2, 1, 3, 1, 2, 2, 1],
      load: [60, 70, 80, 81, 50, 65, 90, 100],
      effort: [6, 7, 8, 6, 7, 9, 8, 7.5],
    };
    expect(codeFor(table, ['heel', 'set', 'load', 'effort'])).toBe('mixed-no-freedom-within');
    expect(codeFor(table, ['heel', 'set', 'load'])).toBe('');
  });

  test('six athletes of whom one came twice', () => {
    const table = { a: ['a', 'a', 'b', 'c', 'd', 'e', 'f'], heel: [0, 1, 0, 1, 0, 1, 0], y: drawn(7) };
    expect(codeFor(table, ['heel'])).toBe('mixed-no-freedom-within');
    expect(codeFor({ ...table, a: ['a', 'a', 'b', 'b', 'd', 'e', 'f'] }, ['heel'])).toBe('');
  });
});

test('300 drawn small studies: refused where the rank of the whole matrix says so (singular values, ml-matrix)', () => {
  const random = seededRandom(11);
  const draw = (count: number) => Math.floor(count * random.uniform());
  const seen = { within: 0, between: 0, none: 0 };
  for (let study = 0; study < 300; study++) {
    const [rows, groups, q] = [4 + draw(8), 2 + draw(3), 1 + draw(2)];
    const p = 1 + draw(4);
    const groupOf = Int32Array.from({ length: rows }, (_, i) => (i < groups ? i : draw(groups)));
    const valueOfGroup = Array.from({ length: groups * p }, () => draw(3));
    const between = Array.from({ length: p }, () => random.uniform() < 0.5);
    const x = new Float64Array(rows * p);
    const z = new Float64Array(rows * q);
    for (let i = 0; i < rows; i++) {
      for (let k = 0; k < p; k++) x[i * p + k] = k === 0 ? 1 : between[k] ? valueOfGroup[groupOf[i] * p + k] : draw(3);
      for (let j = 0; j < q; j++) z[i * q + j] = j === 0 ? 1 : draw(3) - 1;
    }
    const rankOf = (columns: readonly number[]): number => {
      const whole = Matrix.zeros(rows, p + columns.length * groups);
      for (let i = 0; i < rows; i++) {
        for (let k = 0; k < p; k++) whole.set(i, k, x[i * p + k]);
        columns.forEach((j, c) => {
          whole.set(i, p + groupOf[i] * columns.length + c, z[i * q + j]);
        });
      }
      // It wants no fewer rows than columns.
      const tall = whole.rows < whole.columns ? whole.transpose() : whole;
      return new SingularValueDecomposition(tall).rank;
    };
    const every = Array.from({ length: q }, (_, j) => j);
    const wanted =
      rows - rankOf(every) < 1
        ? 'mixed-no-freedom-within'
        : every.some((j) => rankOf([j]) - p < 1)
          ? 'mixed-no-freedom-between'
          : '';
    const names = (count: number) => Array.from({ length: count }, (_, i) => `e${i}`);
    const design = { rows, effects: names(p), x, randomEffects: names(q), z, groups: names(groups), groupOf };
    expect({ study, code: codeOf(() => requireIdentifiedSpreads(design, 'a')) }).toEqual({ study, code: wanted });
    seen[wanted === '' ? 'none' : wanted.endsWith('within') ? 'within' : 'between']++;
  }
  // Each answer is met often.
  expect(Math.min(seen.within, seen.between, seen.none)).toBeGreaterThan(20);
});
