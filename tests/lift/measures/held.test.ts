import { expect, test } from '@jest/globals';
import { HELD_S } from '../../../src/lift/limits.ts';
import { held } from '../../../src/lift/measures/held.ts';
import type { Lift } from '../../../src/lift/measures/measure.ts';
import { prepareLift } from '../../../src/lift/prepare-lift.ts';
import { notHeld } from '../../../src/messages.ts';
import { seededRandom } from '../../../src/numerics/random.ts';
import { expectClose } from '../../expect-close.ts';
import { hold, makeLoads, makeRecording, move, RATE, STANDING, squats } from '../make-loads.ts';

/** A lift whose columns are these values; its one repetition is the whole series but for edges. */
function liftOf(values: Float64Array) {
  const { lift } = prepareLift(makeLoads(squats(1)), makeRecording());
  const column = { values, reasonAt: (frame: number) => (Number.isNaN(values[frame]) ? 'missing' : '') };
  return { lift: { ...lift, table: { ...lift.table, column: () => column } } as Lift, repetition: lift.repetitions[0] };
}

const WINDOW = Math.round(HELD_S * RATE) + 1;

/** By definition: the largest over all stretches of the least value in each. */
function byDefinition(values: Float64Array, from: number, to: number): number {
  let best = Number.NEGATIVE_INFINITY;
  for (let start = from; start + WINDOW <= to; start++) {
    const least = Math.min(...values.subarray(start, start + WINDOW));
    if (least > best) best = least;
  }
  return best;
}

test('largest of the least over all stretches of a quarter second, and smallest of the largest', () => {
  const random = seededRandom(3);
  for (let trial = 0; trial < 40; trial++) {
    const values = Float64Array.from({ length: squats(1).length }, (_, f) => Math.sin(f / 40) + random.normal());
    // Gaps: no stretch over one counts.
    for (let gap = 0; gap < trial / 8; gap++) values[Math.floor(values.length * random.uniform())] = Number.NaN;
    const { lift, repetition } = liftOf(values);
    const range = { from: repetition.descent!.from, to: repetition.ascent!.to };
    const most = held(lift, repetition, 'made', null, 'largest');
    expectClose(most.value, byDefinition(values, range.from, range.to), 0, `trial ${trial}`);
    const least = held(lift, repetition, 'made', null, 'smallest');
    const turned = values.map((value) => -value);
    expectClose(least.value, -byDefinition(turned, range.from, range.to), 0, `trial ${trial}, smallest`);
    expect(most.frameLast - most.frameFirst).toBe(WINDOW - 1);
    for (let f = most.frameFirst; f <= most.frameLast; f++) expect(values[f]).toBeGreaterThanOrEqual(most.value);
  }
});

test('a bump shorter than a quarter second does not count, one as long does', () => {
  const flat = new Float64Array(squats(1).length);
  const short = liftOf(flat.map((_, f) => (f >= 250 && f < 250 + WINDOW - 1 ? 1 : 0)));
  expect(held(short.lift, short.repetition, 'made', null, 'largest').value).toBe(0);
  const long = liftOf(flat.map((_, f) => (f >= 250 && f < 250 + WINDOW ? 1 : 0)));
  const found = held(long.lift, long.repetition, 'made', null, 'largest');
  expect([found.value, found.frameFirst, found.frameLast]).toEqual([1, 250, 250 + WINDOW - 1]);
});

test('noise of a level series: the plain largest grows with its length, the one held stays near the level', () => {
  // White noise of SD 1 averaged over seven frames: SD 0.38, and largest values of two to three times that.
  const random = seededRandom(7);
  const frames = squats(1).length + 6;
  const white = Float64Array.from({ length: frames }, () => random.normal());
  const values = Float64Array.from(
    { length: frames - 6 },
    (_, f) => white.subarray(f, f + 7).reduce((a, b) => a + b) / 7,
  );
  const { lift, repetition } = liftOf(values);
  const plain = Math.max(...values.subarray(repetition.descent!.from, repetition.ascent!.to));
  expect(plain).toBeGreaterThan(0.75);
  expect(Math.abs(held(lift, repetition, 'made', null, 'largest').value)).toBeLessThan(0.38);
});

test('known nowhere for so long says why: the reason of the frames between', () => {
  const values = new Float64Array(squats(1).length).map((_, f) => (f % 20 === 0 ? Number.NaN : 1));
  const gaps = liftOf(values);
  expect(held(gaps.lift, gaps.repetition, 'made', null, 'largest').reason).toBe('missing');
  const none = liftOf(new Float64Array(values.length).fill(Number.NaN));
  expect(held(none.lift, none.repetition, 'made', null, 'largest').reason).toBe('missing');
});

test('only frames that count: no stretch reaches over one that does not', () => {
  const values = new Float64Array(squats(1).length).map((_, f) => f);
  const { lift, repetition } = liftOf(values);
  const counts = (frame: number) => frame < 300 || frame > 320;
  expect(held(lift, repetition, 'made', null, 'smallest', counts).value).toBe(repetition.descent!.from + WINDOW - 1);
  const early = (frame: number) => frame < 300;
  expect(held(lift, repetition, 'made', null, 'largest', early).value).toBe(300 - WINDOW);
  const short = (frame: number) => frame % WINDOW !== 0;
  expect(held(lift, repetition, 'made', null, 'largest', short).reason).toBe(notHeld(HELD_S));
});

test('the time is in seconds: at another rate the stretch has other frames', () => {
  const postures = [...hold(STANDING, 75), ...move(STANDING, { shank: 35, thigh: -20, trunk: 30 }, 75)];
  const up = [...move({ shank: 35, thigh: -20, trunk: 30 }, STANDING, 60), ...hold(STANDING, 75)];
  const { lift } = prepareLift(makeLoads([...postures, ...up], { rateHz: 50 }), makeRecording());
  const { frameFirst, frameLast } = held(lift, lift.repetitions[0], 'trunk_lean', null, 'largest');
  expect(frameLast - frameFirst).toBe(Math.round(HELD_S * 50));
});
