import { describe, expect, test } from '@jest/globals';
import { DOUBLE_BOUNCE_FLOOR_M } from '../../../src/lift/limits.ts';
import { noStickingPoint, notFailed } from '../../../src/messages.ts';
import { expectClose } from '../../expect-close.ts';
import {
  blend,
  DEEP,
  hold,
  makeLoads,
  makeRecording,
  move,
  type Posture,
  RATE,
  STANDING,
  squats,
  statics,
} from '../make-loads.ts';
import { described, measure } from './with-points.ts';

const top = statics(STANDING).hipY;
const bottom = statics(DEEP).hipY;
const drop = top - bottom;

/** The posture with the hips at this share of the drop above the bottom, by bisection. */
function atHeight(share: number): Posture {
  let [low, high] = [0, 1];
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (statics(blend(DEEP, STANDING, middle)).hipY < bottom + share * drop) low = middle;
    else high = middle;
  }
  return blend(DEEP, STANDING, low);
}

describe('the way down', () => {
  const frames = 120;
  const even = Array.from({ length: frames }, (_, i) => atHeight(1 - (i + 1) / frames));
  const record = described(
    makeLoads([
      ...hold(STANDING, 150),
      ...even,
      ...hold(DEEP, 20),
      ...move(DEEP, STANDING, 120),
      ...hold(STANDING, 100),
    ]),
  );

  test('hips that sink evenly have one speed, positive downward', () => {
    const speed = (drop * RATE) / frames;
    expectClose(measure(record, 'descent_velocity_mean', 'descent').value, speed, 1e-6);
    // Beside a corner, which no smoothed motion has, five points overshoot by a twelfth.
    expectClose(measure(record, 'descent_velocity_peak', 'descent').value, (13 / 12) * speed, 1e-6);
  });

  test('the mean is the way between the 2 % marks over descent_time', () => {
    const found = described(makeLoads(squats(1)));
    const time = measure(found, 'descent_time', 'descent').value;
    expectClose(measure(found, 'descent_velocity_mean', 'descent').value, (0.96 * drop) / time, 1e-4);
    expect(measure(found, 'descent_velocity_peak', 'descent').value).toBeGreaterThan(
      measure(found, 'descent_velocity_mean', 'descent').value,
    );
  });
});

describe('a double bounce', () => {
  const bounced = (riseM: number) => {
    const up = atHeight(riseM / drop);
    return described(
      makeLoads([
        ...hold(STANDING, 150),
        ...move(STANDING, DEEP, 150),
        ...move(DEEP, up, 20),
        ...move(up, DEEP, 20),
        ...move(DEEP, STANDING, 120),
        ...hold(STANDING, 150),
      ]),
    );
  };

  test('is the rise that was lost again', () => {
    const found = measure(bounced(0.04), 'double_bounce', 'bottom');
    expectClose(found.value, 0.04, 1e-9);
    expect(found.frameLast - found.frameFirst).toBe(40);
    // Most of a third of the drop still counts, and is still one repetition.
    const high = bounced(0.28 * drop);
    expect(high.repetitions).toHaveLength(1);
    expectClose(measure(high, 'double_bounce', 'bottom').value, 0.28 * drop, 1e-9);
  });

  test('is 0 where there is none, and where it is smaller than the floor', () => {
    expect(measure(described(makeLoads(squats(1))), 'double_bounce', 'bottom').value).toBe(0);
    expect(measure(bounced(DOUBLE_BOUNCE_FLOOR_M - 0.001), 'double_bounce', 'bottom').value).toBe(0);
    expectClose(
      measure(bounced(DOUBLE_BOUNCE_FLOOR_M + 0.001), 'double_bounce', 'bottom').value,
      DOUBLE_BOUNCE_FLOOR_M + 0.001,
      1e-9,
    );
  });
});

describe('the sticking region', () => {
  // Upward speed of the hips: two peaks of a sine with a dip of known depth between, as shares of the drop a frame.
  const n = 160;
  const speed = (i: number) => {
    const t = (i + 0.5) / n;
    return Math.sin(Math.PI * t) * (1 - 0.8 * Math.exp(-(((t - 0.45) / 0.09) ** 2)));
  };
  const sum = Array.from({ length: n }, (_, i) => speed(i)).reduce((a, b) => a + b);
  const heights: number[] = [0];
  for (let i = 0; i < n; i++) heights.push(heights[i] + speed(i) / sum);
  const postures = [
    ...hold(STANDING, 150),
    ...move(STANDING, DEEP, 150),
    ...heights.slice(1).map(atHeight),
    ...hold(STANDING, 150),
  ];
  // No bar: the velocity is that of the hips.
  const record = described(makeLoads(postures, { barMassKg: 0 }));
  const [{ stickingFrame, ascent }] = record.repetitions;
  // The lifter's own numbers: central differences of the heights made above.
  const height = (f: number) => statics(postures[f]).hipY;
  const velocity = (f: number) => ((height(f + 1) - height(f - 1)) * RATE) / 2;
  const peakIn = (from: number, to: number, sign = 1) =>
    Array.from({ length: to - from }, (_, i) => from + i).reduce((a, b) =>
      sign * velocity(b) > sign * velocity(a) ? b : a,
    );
  const dip = peakIn(340, 400, -1);
  const first = peakIn(ascent!.from + 1, dip);
  const second = peakIn(dip, ascent!.to);

  test('height: share of the way up that is done', () => {
    expect(stickingFrame).toBe(dip);
    // The bottom is the middle of what lies within 2 % of the lowest hips.
    const [low, high] = [height(record.repetitions[0].bottomFrame), height(record.repetitions[0].topFrame)];
    expectClose(low, bottom, 5e-4);
    expectClose(measure(record, 'sticking_height', 'sticking point').value, (height(dip) - low) / (high - low), 1e-9);
  });

  test('duration: between the two peaks, which the continuous speed has at known times', () => {
    const found = measure(record, 'sticking_duration', 'ascent');
    expect([found.frameFirst, found.frameLast]).toEqual([first, second]);
    // Peaks of the continuous speed, by a fine grid: to a thousandth of a frame.
    const peak = (from: number, to: number) => {
      let best = from;
      for (let i = from; i < to; i += 1e-3) if (speed(i) > speed(best)) best = i;
      return best;
    };
    const truth = (peak(0.4 * n, n) - peak(0, 0.4 * n)) / RATE;
    // A parabola through three frames 10 ms apart is off by less than a tenth of a frame at peaks this broad.
    expectClose(found.value, truth, 0.001);
  });

  test('speed loss: of the first peak', () => {
    expectClose(
      measure(record, 'sticking_speed_loss', 'sticking point').value,
      1 - velocity(dip) / velocity(first),
      1e-9,
    );
  });

  test('none without one', () => {
    const smooth = described(makeLoads(squats(1)));
    for (const [name, at] of [
      ['sticking_height', 'sticking point'],
      ['sticking_duration', 'ascent'],
      ['sticking_speed_loss', 'sticking point'],
    ]) {
      expect(measure(smooth, name, at).reason).toBe(noStickingPoint());
    }
  });
});

describe('the stall', () => {
  test('of a failed repetition is how far up it came; of others there is none', () => {
    const stall = atHeight(0.42);
    const failed = described(
      makeLoads([...squats(1).slice(0, 310), ...move(DEEP, stall, 80), ...move(stall, DEEP, 60), ...hold(DEEP, 60)]),
      makeRecording({ outcome: 'failed' }),
    );
    expect(failed.repetitions[0].completeness).toBe('failed');
    expectClose(measure(failed, 'stall_height', 'ascent').value, 0.42, 1e-9);
    expect(measure(described(makeLoads(squats(1))), 'stall_height', 'ascent').reason).toBe(notFailed());
  });
});
