import { describe, expect, test } from '@jest/globals';
import type { Smoothing } from '../../src/capture/recording.ts';
import type { MeasureValue } from '../../src/lift/lift-record.ts';
import { unresolvedDips } from '../../src/uncertainty/causes/unresolved-dips.ts';
import { linearIntervals } from '../../src/uncertainty/intervals.ts';
import { liftUncertainty } from '../../src/uncertainty/lift-uncertainty.ts';
import type { Outputs } from '../../src/uncertainty/outputs.ts';
import { expectClose } from '../expect-close.ts';
import { drawnWorld } from '../synthetic/drawn-world.ts';
import { drawnStyle } from '../synthetic/styles.ts';
import { trueValue } from '../synthetic/true-measures/true-measures.ts';
import { analysedWorld } from '../validation/coverage-runs.ts';

const FILTER = { kind: 'cutoff', hz: { legs: 6, trunk: 6, bar: 3 }, method: 'zero-lag filter' } as unknown as Smoothing;

function outputsWith(...values: (readonly [measure: string, value: number])[]): Outputs {
  const measures = values.map(([measure]) => ({ measure }) as MeasureValue);
  return {
    measures,
    curves: [],
    count: values.length,
    values: Float64Array.from(values, ([, value]) => value),
    readInto: () => {},
  };
}

describe('what smoothing hides of the time between two peaks of velocity', () => {
  test('a tenth of the time by what the filter takes of an oscillation as long; other numbers lose nothing', () => {
    const outputs = outputsWith(['sticking_duration', 0.4], ['descent_time', 0.4], ['sticking_duration', Number.NaN]);
    const sds = unresolvedDips(outputs, { smoothing: FILTER, cutoffHz: 3, frameRateHz: 60 });
    // Half a power at 3 Hz over both passes, on the pre-warped axis: 1 / (1 + (√2 − 1) (tan ratio)⁴).
    const ratio = Math.tan((Math.PI * 2.5) / 60) / Math.tan((Math.PI * 3) / 60);
    expectClose(sds[0], 0.1 * 0.4 * (1 - 1 / (1 + (Math.SQRT2 - 1) * ratio ** 4)), 1e-12);
    expect([...sds.slice(1)]).toEqual([0, 0]);
  });

  test('of the depth of the dip one and a half times what a wave as long loses, the true depth no more than 1', () => {
    const at = (depth: number, seconds: number) => {
      const outputs = outputsWith(['sticking_speed_loss', depth], ['sticking_duration', seconds]);
      return unresolvedDips(outputs, { smoothing: FILTER, cutoffHz: 3, frameRateHz: 60 })[0];
    };
    // At its cut-off the filter keeps 1 / √2 of an oscillation.
    const kept = Math.SQRT1_2;
    expectClose(at(0.2, 1 / 3), (1.5 * (1 - kept) * 0.2) / kept, 1e-12);
    expectClose(at(0.9, 1 / 3), 1.5 * (1 - kept), 1e-12);
    expect(at(-0.1, 1 / 3)).toBe(0);
    expect(at(0.2, Number.NaN)).toBe(0);
  });

  test('nothing where nothing is smoothed, and ever less for longer times', () => {
    const at = (seconds: number, cutoffHz: number) =>
      unresolvedDips(outputsWith(['sticking_duration', seconds]), { smoothing: FILTER, cutoffHz, frameRateHz: 60 })[0];
    expect(at(0.4, Number.NaN)).toBe(0);
    expect(at(0.3, 3)).toBeGreaterThan(at(0.5, 3));
    expect(at(0.5, 3)).toBeGreaterThan(2 * at(0.8, 3));
    // Shorter than two frames no oscillation is seen at all: all of it may be lost.
    expectClose(at(0.001, 3), 1e-4, 1e-6);
  });

  test('the interval of a short sticking region of exact pixels holds the truth, which smoothing misses by 10 ms', () => {
    const world = drawnWorld(drawnStyle(21), 1, new Set());
    const run = analysedWorld(world);
    const { record } = liftUncertainty(run, {
      mode: 'linear',
      draws: 0,
      seed: 1,
      groups: ['noise'],
      noiseDraws: 2,
      curves: false,
    });
    const found = record.measures.find(({ measure }) => measure === 'sticking_duration')!;
    const truth = trueValue(world.lift, { measure: 'sticking_duration', at: 'ascent', side: '' });
    expect(found.value - truth).toBeGreaterThan(0.005);
    expect(found.lower).toBeLessThan(truth);
    expect(found.upper - found.lower).toBeLessThan(0.06);
  });
});

describe('the length of a vector on the floor', () => {
  test('a step of 2.4 standard deviations may be none; one of 10 has about ± 1.96', () => {
    const steps = (value: number): Outputs => ({ ...outputsWith(['feet_moved', value]), planeLengths: new Set([0]) });
    const [small, large] = [0.0024, 0.01].map((value) =>
      linearIntervals(
        steps(value),
        [{ group: 'calibration', key: 'k', label: 'k' }],
        Float64Array.of(0.001),
        new Float64Array(0),
        0,
      ),
    );
    expect(small.lower[0]).toBe(0);
    expectClose(large.lower[0], 0.00798, 1e-5);
    expectClose(large.upper[0], 0.01191, 1e-5);
  });
});
