import { describe, expect, test } from '@jest/globals';
import { seededRandom } from '../../../src/numerics/random.ts';
import { quantile } from '../../../src/numerics/statistics.ts';
import type { PilotRecording } from '../../../src/study/sample-size/pilot-file.ts';
import {
  componentsOf,
  drawComponents,
  pilotSpread,
  varianceOfOne,
} from '../../../src/study/sample-size/variance-components.ts';
import { expectClose } from '../../expect-close.ts';
import { reference } from '../../reference.ts';

/** Recordings from repetitions: `athlete/recording/condition` → values. */
function recordingsOf(values: Readonly<Record<string, readonly number[]>>): PilotRecording[] {
  return Object.entries(values).map(([name, all]) => {
    const [athlete, recording, condition = ''] = name.split('/');
    const mean = all.reduce((sum, value) => sum + value, 0) / all.length;
    const squares = all.reduce((sum, value) => sum + (value - mean) ** 2, 0);
    return {
      athlete,
      recording: `${athlete}${recording}`,
      condition,
      mean,
      repetitions: all.length,
      squares,
      freedom: all.length - 1,
    };
  });
}

describe('against lme4', () => {
  const pastes = reference<{ batch: string; cask: string; value: number }>('study-variance-components');
  const values: Record<string, number[]> = {};
  for (const { batch, cask, value } of pastes.cases) {
    const name = `${batch}/${cask}`;
    values[name] = [...(values[name] ?? []), value];
  }
  const spread = pilotSpread(recordingsOf(values));

  test('batches, casks and assays of the Pastes data: variances of REML', () => {
    const found = componentsOf(spread);
    expect([spread.athlete.freedom, spread.recording.freedom, spread.repetition.freedom]).toEqual([9, 20, 30]);
    expectClose(found.athlete, pastes.batch as number, pastes.tolerance * (pastes.batch as number), 'batch');
    expectClose(found.recording, pastes.cask as number, pastes.tolerance * (pastes.cask as number), 'cask');
    expectClose(
      found.repetition,
      pastes.residual as number,
      pastes.tolerance * (pastes.residual as number),
      'residual',
    );
  });

  test('draws of a mean square have the quantiles of freedom · s² / χ² (χ² of 30 from memory of the printed table)', () => {
    const drawn = drawComponents(spread, 20_000, seededRandom(2)).map(({ repetition }) => repetition);
    const { value } = spread.repetition;
    // χ²(30): 0.025 16.791, 0.975 46.979. The quantile of 20,000 draws: within 4 standard deviations, 3 %.
    expectClose(quantile(drawn, 0.025), (30 * value) / 46.979, (0.03 * 30 * value) / 46.979, 'lower');
    expectClose(quantile(drawn, 0.975), (30 * value) / 16.791, (0.03 * 30 * value) / 16.791, 'upper');
  });
});

describe('by hand', () => {
  test('a mean difference between conditions is no spread where conditions are told apart', () => {
    const apart = pilotSpread(
      recordingsOf({
        'A/1/flat': [1],
        'A/2/raised': [3],
        'B/1/flat': [2],
        'B/2/raised': [4],
        'C/1/flat': [6],
        'C/2/raised': [8],
      }),
    );
    expect(apart.recording.freedom).toBe(2);
    expectClose(apart.recording.value, 0, 1e-24, 'within');
    const together = pilotSpread(
      recordingsOf({ 'A/1': [1], 'A/2': [3], 'B/1': [2], 'B/2': [4], 'C/1': [6], 'C/2': [8] }),
    );
    expectClose(together.recording.value, 2, 1e-12, 'with the difference of 2 in it');
  });

  test('one recording an athlete: athlete and recording cannot be told apart and stay together', () => {
    const found = componentsOf(pilotSpread(recordingsOf({ 'A/1': [1, 3], 'B/1': [4, 6], 'C/1': [9, 11] })));
    expect(found.recording).toBe(0);
    expectClose(found.repetition, 2, 1e-12, 'repetition');
    expectClose(found.athlete, 49 / 3 - 1, 1e-12, 'variance of 2, 5, 10 less 2/2');
  });

  test('the mean squares expect what they say: an unbalanced pilot with conditions, 4,000 times', () => {
    const random = seededRandom(8);
    const sizes = { 'A/1/x': 2, 'A/2/y': 5, 'B/1/x': 3, 'C/1/y': 1, 'C/2/x': 4, 'C/3/y': 2, 'D/1/x': 3, 'D/2/y': 3 };
    const runs = 4000;
    const sums = { recording: 0, repetition: 0 };
    let factor = 0;
    for (let run = 0; run < runs; run++) {
      const level = new Map(['A', 'B', 'C', 'D'].map((id) => [id, 5 * random.normal()]));
      const values = Object.fromEntries(
        Object.entries(sizes).map(([name, m]) => {
          const mean = level.get(name[0])! + (name.endsWith('y') ? 3 : 0) + 1.5 * random.normal();
          return [name, Array.from({ length: m }, () => mean + 2 * random.normal())];
        }),
      );
      const spread = pilotSpread(recordingsOf(values));
      factor = spread.repetitionInRecording;
      sums.recording += spread.recording.value / runs;
      sums.repetition += spread.repetition.value / runs;
    }
    // Mean of 4,000 mean squares of 3 and 15 degrees of freedom: four standard deviations are 5.2 % and 2.3 %.
    expectClose(sums.recording, 1.5 ** 2 + factor * 4, 0.052 * (1.5 ** 2 + factor * 4), 'recording');
    expectClose(sums.repetition, 4, 0.023 * 4, 'repetition');
  });

  test('what the t test sees: pairs lose the athlete, groups keep it; repetitions divide their own part only', () => {
    const parts = { athlete: 9, recording: 2, repetition: 3 };
    expect(varianceOfOne(parts, 'paired', 3)).toBe(6);
    expect(varianceOfOne(parts, 'groups', 3)).toBe(12);
    expect(varianceOfOne(parts, 'paired', 0)).toBe(4);
  });
});
