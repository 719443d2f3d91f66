import { describe, expect, test } from '@jest/globals';
import { uncertaintyReasons } from '../../src/messages/uncertainty.ts';
import { normalQuantile } from '../../src/numerics/student.ts';
import { causesTable } from '../../src/study/causes-table.ts';
import { csvOf } from '../../src/study/csv.ts';
import { meanCurvesTable } from '../../src/study/mean-curves.ts';
import { meansTable, shareColumn } from '../../src/study/means-table.ts';
import { setMeansOf } from '../../src/study/set-means.ts';
import { CAUSE_GROUPS } from '../../src/uncertainty/causes/cause.ts';
import { expectClose } from '../expect-close.ts';
import { makeRecord } from './make-record.ts';
import { makeUncertainty } from './make-uncertainty.ts';
import { recordsOf } from './read-csv.ts';

const record = makeRecord({ partialRepetition: 2 });
const QUANTILE = normalQuantile(0.975);
const share = (means: ReturnType<typeof setMeansOf>) =>
  means.find((one) => one.measure === 'hip_share' && one.at === 'parallel' && one.side === 'both')!;

describe('the interval of a set mean', () => {
  test('an error common to the repetitions keeps its size: mean ± 1.96 · 8 %, by hand', () => {
    const uncertainty = makeUncertainty(record, { keypoints: 0.08, segments: 0, noise: 0 });
    const mean = share(setMeansOf(uncertainty));
    expect(mean.repetitions).toBe(2);
    expectClose(mean.upper - mean.value, QUANTILE * 0.08 * mean.value, 1e-9, 'upper half');
    expectClose(mean.value - mean.lower, QUANTILE * 0.08 * mean.value, 1e-9, 'lower half');
  });

  test('noise averages out: half its variance over two repetitions (ratio of two chi-squares of 39 freedoms each)', () => {
    const uncertainty = makeUncertainty(record, { keypoints: 0, segments: 0, noise: 0.05 });
    const ratios = setMeansOf(uncertainty).flatMap((mean) => {
      if (mean.repetitions !== 2 || !(mean.sd > 0)) return [];
      const singles = record.measures.flatMap((value, i) =>
        value.measure === mean.measure && value.at === mean.at && value.side === mean.side && value.repetition !== 2
          ? [uncertainty.intervals.sd[i] ** 2]
          : [],
      );
      return [mean.sd ** 2 / (singles[0] + singles[1])];
    });
    expect(ratios.length).toBeGreaterThan(30);
    // The variance of the mean is a quarter of the sum. The log of one ratio scatters by about 0.3, its mean over the measures by 0.06.
    const meanRatio = Math.exp(ratios.reduce((sum, ratio) => sum + Math.log(ratio), 0) / ratios.length);
    expect(Math.abs(Math.log(meanRatio / 0.25))).toBeLessThan(4 * (0.3 / Math.sqrt(ratios.length)));
  });

  test('shares: squares of 3 and 4 of 25', () => {
    const mean = share(setMeansOf(makeUncertainty(record, { keypoints: 0.04, segments: 0.03, noise: 0 })));
    expectClose(mean.shares[CAUSE_GROUPS.indexOf('keypoints')], 16 / 25, 1e-12, 'share of the keypoints');
    expectClose(mean.shares[CAUSE_GROUPS.indexOf('segments')], 9 / 25, 1e-12, 'share of the segments');
  });

  test('a draw that does not know a member does not know the mean: no interval, with the reason', () => {
    const mean = share(setMeansOf(makeUncertainty(record, { unknownInDraws: ['hip_share'] })));
    expect([mean.lower, mean.upper]).toEqual([Number.NaN, Number.NaN]);
    expect(mean.reason).toMatch(/20 of 40/);
  });

  test('from joint draws the quantiles of the mean', () => {
    const mean = share(setMeansOf(makeUncertainty(record, { draws: 400 })));
    const half = (mean.upper - mean.lower) / 2;
    // sd of a quantile of 2.5 % from 400 draws: sqrt(p (1 − p) / n) / density = 0.13 sd; both ends together 0.1 sd, four times that.
    expect(Math.abs(half / (Math.hypot(0.08, 0.04) * mean.value) - QUANTILE)).toBeLessThan(0.4);
  });
});

describe('means.csv', () => {
  test('a mean or a reason, an interval or a reason, in every row', () => {
    const uncertainty = makeUncertainty(record, { unknownInDraws: ['trunk_lean'] });
    const rows = recordsOf(csvOf(meansTable(uncertainty.record, uncertainty)));
    for (const row of rows) {
      expect(row.mean === '').toBe(row.reason !== '');
      expect(row.lower === '').toBe(row.mean === '' || row.interval_reason !== '');
      const known = CAUSE_GROUPS.map((cause) => row[shareColumn(cause)]).filter((cell) => cell !== '');
      if (row.lower !== '' && Number(row.sd) > 0) {
        expectClose(
          known.map(Number).reduce((a, b) => a + b, 0),
          1,
          1e-6,
          `${row.measure}: shares`,
        );
        expect([row.calibration_share, row.vertical_share]).toEqual(['', '']);
      }
    }
    const without = rows.filter(({ interval_reason: why }) => why !== '');
    // The made errors are shares of a value: what is 0 is moved by none, and has no interval of width 0.
    const unmoved = without.filter(({ mean }) => Number(mean) === 0);
    expect(unmoved.length).toBeGreaterThan(0);
    for (const { sd, interval_reason: why } of unmoved) expect([sd, why]).toEqual(['0', uncertaintyReasons.unmoved()]);
    expect(without.filter((row) => !unmoved.includes(row)).every(({ measure }) => measure === 'trunk_lean')).toBe(true);
  });

  test('without intervals the means stay, and say that they were switched off', () => {
    const rows = recordsOf(csvOf(meansTable(record, null)));
    const row = rows.find(({ measure, at }) => measure === 'hip_share' && at === 'parallel')!;
    expect(Number(row.mean)).toBeGreaterThan(0);
    expect([row.lower, row.upper, row.sd]).toEqual(['', '', '']);
    expect(row.interval_reason).not.toBe('');
  });
});

describe('causes.csv', () => {
  test('a known measure without an interval has one row that says why', () => {
    const uncertainty = makeUncertainty(record, { unknownInDraws: ['hip_drop'] });
    const rows = recordsOf(csvOf(causesTable(uncertainty.record, uncertainty))).filter(
      ({ measure, repetition }) => measure === 'hip_drop' && repetition === '1',
    );
    expect(rows).toHaveLength(1);
    expect(rows[0]).toMatchObject({ cause: '', share: '', sd: '' });
    expect(rows[0].reason).toMatch(/20 of 40/);
  });

  test('what is not included has a reason and no share', () => {
    const uncertainty = makeUncertainty(record);
    for (const row of recordsOf(csvOf(causesTable(uncertainty.record, uncertainty)))) {
      expect(row.share === '').toBe(row.reason !== '');
    }
  });
});

test('mean curves have the interval of the mean, where the mean is known', () => {
  const uncertainty = makeUncertainty(record, { keypoints: 0.08, segments: 0, noise: 0 });
  const all = meanCurvesTable(uncertainty.record, uncertainty).objects({ limit: Infinity }) as {
    quantity: string;
    mean: number;
    lower: number;
    upper: number;
  }[];
  // The interval of the ratio is that of the share (tests/uncertainty/intervals).
  const rows = all.filter(({ quantity }) => quantity !== 'hip_knee_ratio');
  expect(rows.some(({ mean }) => Number.isFinite(mean))).toBe(true);
  for (const { mean, lower, upper } of rows) {
    // What is 0 is moved by no error that is a share of it.
    expect(Number.isFinite(lower)).toBe(Number.isFinite(mean) && mean !== 0);
    if (!Number.isFinite(lower)) continue;
    expectClose(upper - lower, 2 * QUANTILE * 0.08 * Math.abs(mean), 1e-9, 'width');
  }
  const off = meanCurvesTable(record).array('lower') as ArrayLike<number>;
  expect(Array.from(off).every(Number.isNaN)).toBe(true);
});

test('a ratio is averaged on its share: the mean ratio is that of the mean share, and lies in its interval', () => {
  const uncertainty = makeUncertainty(record, { keypoints: 0.08, segments: 0, noise: 0 });
  const full = new Set(record.repetitions.filter(({ completeness }) => completeness === 'full').map((r) => r.number));
  const shares = record.measures
    .filter(
      ({ measure, at, side, repetition }) =>
        measure === 'hip_knee_ratio' && at === 'bottom' && side === 'both' && full.has(repetition),
    )
    .map(({ value }) => value / (1 + value));
  expect(shares.length).toBeGreaterThan(1);
  const share = shares.reduce((sum, value) => sum + value, 0) / shares.length;
  const rows = meansTable(uncertainty.record, uncertainty).objects({ limit: Infinity }) as {
    measure: string;
    at: string;
    side: string;
    mean: number;
    lower: number;
    upper: number;
  }[];
  const row = rows.find(({ measure, at, side }) => measure === 'hip_knee_ratio' && at === 'bottom' && side === 'both')!;
  expectClose(row.mean, share / (1 - share), 1e-12, 'mean');
  expect(row.lower).toBeLessThan(row.mean);
  expect(row.upper).toBeGreaterThan(row.mean);
});
