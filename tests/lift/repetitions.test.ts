import { describe, expect, test } from '@jest/globals';
import { describeLift } from '../../src/lift/describe-lift.ts';
import type { LiftRecord } from '../../src/lift/lift-record.ts';
import { NEAR_PARALLEL_DEG } from '../../src/lift/limits.ts';
import {
  beginsInDescent,
  endsAtBottom,
  farFromParallel,
  fellBack,
  outcomeContradicts,
  shouldersFollowed,
} from '../../src/messages.ts';
import { expectClose } from '../expect-close.ts';
import {
  blend,
  DEEP,
  hold,
  type LoadsOptions,
  makeLoads,
  makeRecording,
  move,
  type Posture,
  RATE,
  STANDING,
  squats,
  statics,
} from './make-loads.ts';

const describeMade = (
  postures: readonly Posture[],
  options: LoadsOptions = {},
  recording = makeRecording(),
): LiftRecord => describeLift(makeLoads(postures, options), recording);

const kinds = (record: LiftRecord) => record.repetitions.map(({ completeness }) => completeness);
const HALF_WAY = blend(STANDING, DEEP, 0.5);
const QUARTER = blend(STANDING, DEEP, 0.45);

describe('a set of squats', () => {
  test('three are found, full, descent first, with the drop they were made with', () => {
    const { repetitions, quality } = describeMade(squats(3));
    expect(repetitions.map(({ completeness, order, number }) => [number, order, completeness])).toEqual([
      [1, 'descent first', 'full'],
      [2, 'descent first', 'full'],
      [3, 'descent first', 'full'],
    ]);
    const drop = statics(STANDING).hipY - statics(DEEP).hipY;
    for (const { hipDropM, bottomThighElevationDeg } of repetitions) {
      expectClose(hipDropM, drop, 1e-9, 'hip drop');
      expectClose(bottomThighElevationDeg, DEEP.thigh, 1e-9, 'bottom');
    }
    expect(quality.notes).toEqual([]);
  });

  test('a phase begins with the last frame, and ends with the first, within 2 % of the drop of standing', () => {
    const postures = squats(1);
    const [{ descent, ascent, bottomFrame }] = describeMade(postures).repetitions;
    const height = postures.map((p) => statics(p).hipY);
    const limit = height[0] - 0.02 * (height[0] - statics(DEEP).hipY);
    let begin = bottomFrame;
    while (height[begin] < limit) begin--;
    let end = bottomFrame;
    while (height[end] < limit) end++;
    expect(descent).toEqual({ from: begin, to: bottomFrame });
    expect(ascent).toEqual({ from: bottomFrame, to: end });
  });

  test('parallel frames are the first and the last at or below 0° of thigh elevation', () => {
    const postures = squats(1);
    const [{ parallelDescentFrame, parallelAscentFrame }] = describeMade(postures).repetitions;
    const low = postures.map(({ thigh }, f) => (thigh <= 0 ? f : -1)).filter((f) => f >= 0);
    expect([parallelDescentFrame, parallelAscentFrame]).toEqual([low[0], low[low.length - 1]]);
  });

  test('noise of 3 mm on every point changes neither their number nor their phases by more than a tenth of a second', () => {
    const clean = describeMade(squats(3)).repetitions;
    const noisy = describeMade(squats(3), { noiseM: 0.003, seed: 5 }).repetitions;
    expect(noisy.map(({ completeness }) => completeness)).toEqual(['full', 'full', 'full']);
    noisy.forEach(({ descent, ascent }, i) => {
      expectClose(descent!.from, clean[i].descent!.from, 0.1 * RATE, 'descent begins');
      expectClose(ascent!.to, clean[i].ascent!.to, 0.1 * RATE, 'ascent ends');
    });
  });

  test('a lifter who stretches 15 mm taller long before the descent does not begin it', () => {
    const tall: Posture = { ...STANDING, bob: 0.015 };
    const postures = [...hold(tall, 100), ...hold(STANDING, 200), ...squats(1).slice(150)];
    const [{ descent }] = describeMade(postures).repetitions;
    expect(descent!.from).toBeGreaterThan(299);
  });

  test('nothing is found where the lifter only stands', () => {
    const record = describeMade(hold(STANDING, 300), { noiseM: 0.002 });
    expect(record.repetitions).toEqual([]);
    expect(record.curves).toEqual([]);
    expect(record.quality.notes).toHaveLength(1);
  });
});

describe('what is not a repetition', () => {
  const bobbing = (steps: number, from: number, to: number): Posture[] =>
    Array.from({ length: steps * 60 }, (_, i) => ({
      ...STANDING,
      x: from + ((to - from) * (i + 1)) / (steps * 60),
      bob: -0.02 + 0.02 * Math.cos((2 * Math.PI * i) / 60),
    }));
  const shifted = (postures: readonly Posture[], x: number) => postures.map((p) => ({ ...p, x }));

  test('a walk-out and a re-rack of half a metre with 40 mm of bobbing', () => {
    const set = squats(2);
    const record = describeMade([...bobbing(4, 0.5, 0), ...set, ...bobbing(4, 0, 0.5)]);
    expect(kinds(record)).toEqual(['full', 'full']);
    // The taller stand of a stride must not stretch the phases.
    expect(record.repetitions[0].descent!.from).toBeGreaterThan(240 + 140);
  });

  test('a deep dip of the hips while the feet travel', () => {
    const down = blend(STANDING, DEEP, 0.5);
    const dip = [...move(STANDING, down, 50), ...move(down, STANDING, 50)].map((p, i) => ({
      ...p,
      x: 0.5 - 0.005 * (i + 1),
    }));
    const record = describeMade([...shifted(hold(STANDING, 60), 0.5), ...dip, ...squats(1)]);
    expect(kinds(record)).toEqual(['full']);
    expect(record.quality.notes).toHaveLength(1);
  });

  test('an unrack dip of 60 mm', () => {
    const knees = { shank: 22, thigh: 68, trunk: 2 };
    expect(statics(STANDING).hipY - statics(knees).hipY).toBeGreaterThan(0.055);
    const record = describeMade([...move(knees, STANDING, 40), ...squats(2)]);
    expect(kinds(record)).toEqual(['full', 'full']);
    expect(record.repetitions[0].order).toBe('descent first');
  });

  test('getting under the bar, 150 mm low, before a walk-out', () => {
    const under = blend(STANDING, DEEP, 0.45);
    expect(statics(STANDING).hipY - statics(under).hipY).toBeGreaterThan(0.14);
    const record = describeMade([
      ...shifted(
        [...hold(STANDING, 60), ...move(STANDING, under, 60), ...hold(under, 60), ...move(under, STANDING, 60)],
        0.5,
      ),
      ...bobbing(4, 0.5, 0),
      ...squats(2),
    ]);
    expect(kinds(record)).toEqual(['full', 'full']);
  });

  test('frames without hips and knees, and a lift hidden in them', () => {
    const postures = squats(3);
    // The second repetition begins at frame 150 + 430 and lasts 430 frames.
    const record = describeMade(postures, { gap: [600, 870] });
    expect(record.repetitions).toHaveLength(2);
    expect(kinds(record)).toEqual(['full', 'full']);
  });

  test('a gap at the bottom leaves the depth unknown and says so', () => {
    const { repetitions } = describeMade(squats(1), { gap: [270, 330] });
    expect(repetitions).toHaveLength(1);
    expect(repetitions[0].completeness).toBe('partial');
    expect(repetitions[0].reason).toMatch(/0\.60 s/);
  });
});

describe('partial and failed', () => {
  test('a squat that stays high is partial, also alone', () => {
    const high = blend(STANDING, DEEP, 0.55);
    const { repetitions } = describeMade(squats(1, high));
    expect(repetitions[0].completeness).toBe('partial');
    expect(repetitions[0].reason).toBe(farFromParallel(high.thigh, NEAR_PARALLEL_DEG));
  });

  test('one much shallower than the deepest of its set is partial, in any lift', () => {
    const postures = [...squats(2), ...squats(1, QUARTER).slice(150)];
    expect(kinds(describeMade(postures, {}, makeRecording({ kind: 'kettlebell lift' })))).toEqual([
      'full',
      'full',
      'partial',
    ]);
  });

  test('a rise that falls back is failed, whether it wins 43 or 69 % of the drop', () => {
    const height = (p: Posture) => statics(p).hipY;
    for (const share of [0.7, 0.5]) {
      const stall = blend(STANDING, DEEP, share);
      const won = (height(stall) - height(DEEP)) / (height(STANDING) - height(DEEP));
      const postures = [
        ...squats(1),
        ...move(STANDING, DEEP, 150),
        ...move(DEEP, stall, 120),
        ...move(stall, DEEP, 80),
        ...hold(DEEP, 100),
      ];
      const record = describeMade(postures, {}, makeRecording({ outcome: 'failed' }));
      expect(kinds(record)).toEqual(['full', 'failed']);
      expect(record.repetitions[1].reason).toBe(fellBack(won));
      expect(record.quality.notes).toEqual([]);
    }
  });

  test('a stall at which the recording ends is failed; a rise that is cut off is partial', () => {
    const stalled = [...squats(1), ...move(STANDING, DEEP, 150), ...move(DEEP, HALF_WAY, 80), ...hold(HALF_WAY, 80)];
    expect(kinds(describeMade(stalled))).toEqual(['full', 'failed']);
    const cut = [...squats(1), ...move(STANDING, DEEP, 150), ...move(DEEP, STANDING, 120).slice(0, 60)];
    const record = describeMade(cut);
    expect(kinds(record)).toEqual(['full', 'partial']);
    expect(record.repetitions[1].reason).toMatch(/ends during the ascent/);
    // The same recording, said to have failed, did.
    expect(kinds(describeMade(cut, {}, makeRecording({ outcome: 'failed' })))).toEqual(['full', 'failed']);
  });

  test('a recording that ends at the bottom or begins on the way down says so', () => {
    const ends = describeMade([...squats(1), ...move(STANDING, DEEP, 150), ...hold(DEEP, 30)]).repetitions;
    expect([ends[1].completeness, ends[1].reason]).toEqual(['partial', endsAtBottom()]);
    const begins = describeMade(squats(1).slice(150 + 75)).repetitions;
    expect([begins[0].completeness, begins[0].reason]).toEqual(['partial', beginsInDescent()]);
  });

  test('a statement that does not fit what is seen is noted', () => {
    expect(describeMade(squats(1), {}, makeRecording({ outcome: 'failed' })).quality.notes).toEqual([
      outcomeContradicts('failed'),
    ]);
  });

  test('a double bounce does not split a repetition; two touch-and-go repetitions are two', () => {
    const up = blend(STANDING, DEEP, 0.75);
    const bounce = [
      ...move(STANDING, DEEP, 150),
      ...move(DEEP, up, 35),
      ...move(up, DEEP, 35),
      ...move(DEEP, STANDING, 120),
    ];
    expect(statics(up).hipY - statics(DEEP).hipY).toBeGreaterThan(0.1);
    const record = describeMade([...hold(STANDING, 150), ...bounce, ...hold(STANDING, 150)]);
    expect(kinds(record)).toEqual(['full']);

    const nearly = blend(STANDING, DEEP, 0.1);
    const touchAndGo = [
      ...hold(STANDING, 150),
      ...move(STANDING, DEEP, 150),
      ...move(DEEP, nearly, 120),
      ...move(nearly, DEEP, 150),
      ...move(DEEP, STANDING, 120),
      ...hold(STANDING, 100),
    ];
    expect(kinds(describeMade(touchAndGo))).toEqual(['full', 'full']);
  });

  test('planned and found are compared', () => {
    const record = describeMade(squats(2), {}, makeRecording({ plannedRepetitions: 3 }));
    expect(record.quality).toMatchObject({ repetitionsFound: 2, repetitionsPlanned: 3 });
    expect(record.quality.notes).toHaveLength(1);
  });
});

describe('lifts that begin with the ascent', () => {
  const FLOOR: Posture = { shank: 12, thigh: 30, trunk: 70 };
  const pull = [
    ...move(FLOOR, STANDING, 120),
    ...hold(STANDING, 60),
    ...move(STANDING, FLOOR, 120),
    ...hold(FLOOR, 60),
  ];
  const recording = makeRecording({ kind: 'deadlift', bar: 'hands' });

  test('three pulls from rest on the floor', () => {
    const record = describeMade([...hold(FLOOR, 80), ...pull, ...pull, ...pull], {}, recording);
    expect(record.repetitions.map(({ order, completeness }) => [order, completeness])).toEqual(
      Array.from({ length: 3 }, () => ['ascent first', 'full']),
    );
    for (const { ascent, descent, topFrame, bottomFrame } of record.repetitions) {
      expect(bottomFrame).toBeLessThanOrEqual(ascent!.from);
      expect(ascent!.to).toBeLessThanOrEqual(topFrame + 1);
      expect(descent!.from).toBeGreaterThanOrEqual(ascent!.to);
    }
    expect(record.quality.notes).toEqual([shouldersFollowed()]);
  });

  test('the lowering may be missing at the end; a top that is not upright is no lift', () => {
    const record = describeMade([...hold(FLOOR, 80), ...pull, ...pull.slice(0, 170)], {}, recording);
    expect(kinds(record)).toEqual(['full', 'full']);
    expect(record.repetitions[1].descent).toBeNull();
    const knee = blend(FLOOR, STANDING, 0.5);
    const lost = [...hold(FLOOR, 80), ...move(FLOOR, knee, 100), ...move(knee, FLOOR, 60), ...hold(FLOOR, 60)];
    expect(kinds(describeMade(lost, {}, recording))).toEqual(['failed']);
  });

  test('a hip hinge that lowers the hips by less than a walk would is followed by the shoulders', () => {
    const hinge: Posture = { shank: 5, thigh: 66, trunk: 85 };
    expect(statics(STANDING).hipY - statics(hinge).hipY).toBeLessThan(0.05);
    const one = [
      ...move(hinge, STANDING, 120),
      ...hold(STANDING, 60),
      ...move(STANDING, hinge, 120),
      ...hold(hinge, 60),
    ];
    const record = describeMade([...hold(hinge, 60), ...one, ...one], {}, recording);
    expect(kinds(record)).toEqual(['full', 'full']);
  });

  test('bent down and still sinking when the recording begins', () => {
    const first = move(STANDING, FLOOR, 120).slice(70);
    const record = describeMade([...first, ...hold(FLOOR, 40), ...pull, ...pull], {}, recording);
    expect(record.repetitions.map(({ order }) => order)).toEqual(['ascent first', 'ascent first']);
  });
});

test('the sticking point is the least velocity between two peaks, and none where there is one peak', () => {
  // Slowed to a fifth of its speed half-way up.
  const share = (t: number) => t + (0.8 * Math.sin(2 * Math.PI * t)) / (2 * Math.PI);
  const eased = (t: number) => share((1 - Math.cos(Math.PI * t)) / 2);
  const ascent = Array.from({ length: 200 }, (_, i) => blend(DEEP, STANDING, eased((i + 1) / 200)));
  const postures = [...hold(STANDING, 150), ...move(STANDING, DEEP, 150), ...ascent, ...hold(STANDING, 150)];
  const [{ stickingFrame, ascent: range }] = describeMade(postures).repetitions;
  const height = postures.map((p) => statics(p).hipY + 0.5 * Math.cos((p.trunk * Math.PI) / 180));
  const velocity = height.map((_, f) => height[f + 1] - height[f - 1]);
  const peaks = [];
  for (let f = range!.from + 2; f < range!.to; f++) {
    if (velocity[f] > velocity[f - 1] && velocity[f] >= velocity[f + 1]) peaks.push(f);
  }
  expect(peaks).toHaveLength(2);
  let least = peaks[0];
  for (let f = peaks[0]; f <= peaks[1]; f++) if (velocity[f] < velocity[least]) least = f;
  expect(stickingFrame).toBe(least);
  expect(describeMade(squats(1)).repetitions[0].stickingFrame).toBe(-1);
});
