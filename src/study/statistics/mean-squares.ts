import { groupsTooSmall, tableIncomplete, tableRagged, tableTooSmall } from '../../messages/reliability.ts';
import { mean } from '../../numerics/statistics.ts';

/** What to do with a subject that misses an occasion: refuse the table, or leave the subject out and count it. */
export type Incomplete = 'refuse' | 'leave out';

/** Mean squares of a complete table of subjects × occasions (or judges), Shrout & Fleiss (1979), table 1. */
export interface MeanSquares {
  /** Subjects n and occasions k that were counted. */
  readonly subjects: number;
  readonly occasions: number;
  /** Subjects left out for a gap, and missing values in the table as given. */
  readonly leftOut: number;
  readonly missing: number;
  /** Between subjects (BMS), n − 1 degrees of freedom. */
  readonly between: number;
  /** Within subjects (WMS), n (k − 1): occasions and residual together. */
  readonly within: number;
  /** Between occasions (JMS), k − 1. */
  readonly ofOccasions: number;
  /** Residual (EMS), (n − 1)(k − 1). */
  readonly residual: number;
}

/**
 * Two-way analysis of variance without replication.
 *
 * table: a row a subject, a column an occasion; NaN = missing. Errors: unequal rows, fewer than 2 × 2, and a missing value
 * unless subjects with one are to be left out.
 */
export function meanSquares(table: readonly (readonly number[])[], incomplete: Incomplete = 'refuse'): MeanSquares {
  const k = table[0]?.length ?? 0;
  table.forEach((row, i) => {
    if (row.length !== k) throw tableRagged(i + 1, row.length, k);
  });
  const rows = table.filter((row) => row.every(Number.isFinite));
  const missing = table.reduce((sum, row) => sum + row.filter((value) => !Number.isFinite(value)).length, 0);
  if (missing > 0 && incomplete === 'refuse') {
    const first = table.findIndex((row) => !row.every(Number.isFinite));
    const column = table[first].findIndex((value) => !Number.isFinite(value));
    throw tableIncomplete(first + 1, column + 1, missing, rows.length);
  }
  const n = rows.length;
  if (n < 2 || k < 2) throw tableTooSmall(n, k);
  const ofSubject = rows.map(mean);
  const ofOccasion = Array.from({ length: k }, (_, j) => mean(rows.map((row) => row[j])));
  const grand = mean(ofSubject);
  let [between, within, occasions, residual] = [0, 0, 0, 0];
  for (let i = 0; i < n; i++) {
    between += k * (ofSubject[i] - grand) ** 2;
    for (let j = 0; j < k; j++) {
      within += (rows[i][j] - ofSubject[i]) ** 2;
      residual += (rows[i][j] - ofSubject[i] - ofOccasion[j] + grand) ** 2;
    }
  }
  for (let j = 0; j < k; j++) occasions += n * (ofOccasion[j] - grand) ** 2;
  return {
    subjects: n,
    occasions: k,
    leftOut: table.length - n,
    missing,
    between: between / (n - 1),
    within: within / (n * (k - 1)),
    ofOccasions: occasions / (k - 1),
    residual: residual / ((n - 1) * (k - 1)),
  };
}

/** Mean squares of a one-way analysis of variance with unequal numbers. */
export interface OneWayMeanSquares {
  readonly subjects: number;
  readonly values: number;
  readonly missing: number;
  readonly between: number;
  readonly within: number;
  /** (N − Σ mᵢ² / N) / (n − 1): what multiplies the variance between subjects in the expectation of `between`; k where all have k. */
  readonly groupSize: number;
  readonly equalSizes: boolean;
}

/** groups: the values of each subject, in any number; NaN is missing and not counted, a subject without a value neither. */
export function oneWayMeanSquares(groups: readonly (readonly number[])[]): OneWayMeanSquares {
  const known = groups.map((group) => group.filter(Number.isFinite)).filter((group) => group.length > 0);
  const all = known.flat();
  const [n, total] = [known.length, all.length];
  if (n < 2 || total === n) throw groupsTooSmall(n, total);
  const grand = mean(all);
  let [between, within, squares] = [0, 0, 0];
  for (const group of known) {
    const centre = mean(group);
    between += group.length * (centre - grand) ** 2;
    for (const value of group) within += (value - centre) ** 2;
    squares += group.length ** 2;
  }
  return {
    subjects: n,
    values: total,
    missing: groups.reduce((sum, group) => sum + group.length, 0) - total,
    between: between / (n - 1),
    within: within / (total - n),
    groupSize: (total - squares / total) / (n - 1),
    equalSizes: known.every((group) => group.length === known[0].length),
  };
}
