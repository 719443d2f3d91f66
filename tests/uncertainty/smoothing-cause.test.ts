import { describe, expect, test } from '@jest/globals';
import { seededRandom } from '../../src/numerics/random.ts';
import type { Reconstruction } from '../../src/reconstruction/reconstruct.ts';
import { responseOf } from '../../src/reconstruction/response.ts';
import { smoothingCause, withoutNoise } from '../../src/uncertainty/causes/smoothing-cause.ts';
import { liftUncertainty } from '../../src/uncertainty/lift-uncertainty.ts';
import { expectClose } from '../expect-close.ts';
import { drawnWorld } from '../synthetic/drawn-world.ts';
import { drawnStyle } from '../synthetic/styles.ts';
import { trueValue } from '../synthetic/true-measures/true-measures.ts';
import { analysedWorld } from '../validation/coverage-runs.ts';

describe('what smoothing takes of the noise is taken off an effect', () => {
  test('effect² less twice the mean square of what it does to noise alone; the sign stays, nothing falls below 0', () => {
    const once = Float64Array.of(1, 1, 10, 10);
    const again = Float64Array.of(4, 2, 7, 9);
    // Changes 3 and −3 of the first number, 1 and −1 of the second.
    const found = withoutNoise(Float64Array.of(-10, 1.4), once, again, 2);
    expectClose(found[0], -Math.sqrt(82), 1e-12, 'a hundred less twice nine');
    expect(found[1]).toBe(0);
  });

  test('draws that do not know the number are left out, and with none of them the effect stays', () => {
    const found = withoutNoise(Float64Array.of(10), Float64Array.of(0, Number.NaN), Float64Array.of(3, 1), 2);
    expectClose(found[0], Math.sqrt(82), 1e-12, 'one draw');
    expect(withoutNoise(Float64Array.of(5), Float64Array.of(Number.NaN), Float64Array.of(0), 1)[0]).toBe(5);
  });

  test('an effect that is noise alone keeps a quarter of its variance (mean of 10,000 normal numbers)', () => {
    const random = seededRandom(3);
    const count = 10_000;
    const effects = Float64Array.from({ length: count }, () => random.normal());
    const again = Float64Array.from({ length: 8 * count }, () => random.normal());
    const left = withoutNoise(effects, new Float64Array(8 * count), again, 8);
    const variance = left.reduce((sum, value) => sum + value * value, 0) / count;
    // E max(0, z² − 2) = 2 (√2 φ(√2) − Q(√2)) = 0.258; the mean square of eight numbers scatters, which adds a little.
    expect(variance).toBeGreaterThan(0.24);
    expect(variance).toBeLessThan(0.35);
  });
});

describe('the cause', () => {
  test('tells of the loss of a sine as the filter has it: gain g, then g (g − 1) (2 − g) of its size', () => {
    const frameRateHz = 60;
    const frames = 600;
    const cutoffHz = 6;
    const hz = 3;
    const landmarks = ['left_hip'] as const;
    const raw = Float64Array.from({ length: 3 * frames }, (_, i) =>
      Math.sin((2 * Math.PI * hz * Math.floor(i / 3)) / frameRateHz),
    );
    const status = new Uint8Array(frames);
    const settings = {
      gapLimitS: 0.2,
      smoothing: { kind: 'cutoff', hz: { legs: cutoffHz, trunk: cutoffHz, bar: cutoffHz }, method: 'zero-lag filter' },
    } as unknown as Parameters<typeof responseOf>[1];
    const smoothed = { position: raw, status, cutoffHz: Float64Array.of(cutoffHz) };
    const respond = responseOf({ landmarks, frames, frameRateHz, status }, settings, smoothed);
    const position = respond(raw);
    const [cause] = smoothingCause({ smoothed: { position, frames, landmarks }, respond } as unknown as Reconstruction);
    // Half a power at the cut-off over both passes; second order on the pre-warped axis: 1 / (1 + (tan ratio)⁴ (√2 − 1)).
    const warped = (f: number) => Math.tan((Math.PI * f) / frameRateHz);
    const gain = 1 / (1 + (warped(hz) / warped(cutoffHz)) ** 4 * (Math.SQRT2 - 1));
    const peak = 3 * 305;
    expectClose(position[peak], gain * raw[peak], 1e-4, 'smoothed');
    expectClose(cause.moveApart!.smoothed[peak], gain * (gain - 1) * (2 - gain) * raw[peak], 1e-4, 'loss');
  });

  test('peak power of the hips of a quick lift, exact pixels, lies below the truth; the effect of smoothing tells most of it', () => {
    const world = drawnWorld(drawnStyle(21), 1, new Set());
    const run = analysedWorld(world);
    const { record, effects, causes, outputs } = liftUncertainty(run, {
      mode: 'linear',
      draws: 0,
      seed: 1,
      groups: ['noise'],
      noiseDraws: 2,
      curves: false,
    });
    const at = outputs.measures.findIndex(({ measure, side }) => measure === 'hip_power_peak' && side === 'both');
    const truth = trueValue(world.lift, { measure: 'hip_power_peak', at: 'largest', side: 'both' });
    const missing = truth - record.measures[at].value;
    const effect = effects[at * causes.length + causes.findIndex(({ key }) => key === 'smoothing')];
    expect(missing).toBeGreaterThan(0.1 * truth);
    expect(effect).toBeLessThan(0);
    // Of a component with gain g the share g (2 − g) of its loss is seen: a peak is made of those that pass in good part.
    expect(-effect / missing).toBeGreaterThan(0.5);
    expect(-effect / missing).toBeLessThan(1);
  });
});
