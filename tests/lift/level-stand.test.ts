import { describe, expect, test } from '@jest/globals';
import { middleOfBottom, topOfSlope } from '../../src/lift/candidate.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { expectClose } from '../expect-close.ts';

const RATE = 60;
/** Stand for a second, down by 0.6 m in one, a pause of half a second, up in one and a stand again; half a cosine each way. */
const STAND = 60;
const BOTTOM_FROM = 120;
const BOTTOM_TO = 150;
const heightAt = (f: number) => {
  if (f <= STAND || f >= 210) return 0.9;
  if (f >= BOTTOM_FROM && f <= BOTTOM_TO) return 0.3;
  const share = f < BOTTOM_FROM ? (f - STAND) / 60 : (210 - f) / 60;
  return 0.6 + 0.3 * Math.cos(Math.PI * share);
};
const smooth = Float64Array.from({ length: 270 }, (_, f) => heightAt(f));

/** Noise of 1 mm that lasts for some frames, as that of smoothed points does. */
function noisy(seed: number): Float64Array {
  const random = seededRandom(seed);
  const white = Array.from({ length: smooth.length + 8 }, () => random.normal());
  return smooth.map((h, f) => h + (0.001 * white.slice(f, f + 9).reduce((a, b) => a + b)) / 3);
}
const lowestOf = (height: Float64Array) => height.indexOf(Math.min(...height));
const middleOf = (height: Float64Array) => middleOfBottom(height, lowestOf(height), 0, height.length, 0.006);

describe('the bottom of a repetition', () => {
  test('is the middle of a pause, within three frames under noise that moves the lowest frame all over it', () => {
    expect(middleOf(smooth)).toBe(135);
    const [middles, lowest] = [middleOf, lowestOf].map((of) =>
      Array.from({ length: 40 }, (_, seed) => of(noisy(seed)) - 135),
    );
    expect(Math.max(...middles.map(Math.abs))).toBeLessThanOrEqual(3);
    expect(Math.max(...lowest.map(Math.abs))).toBeGreaterThan(10);
  });

  test('is the lowest frame of a turn without a pause that is alike on both sides', () => {
    const turn = Float64Array.from({ length: 121 }, (_, f) => 0.6 - 0.3 * Math.cos((Math.PI * (f - 60)) / 60));
    expect(middleOf(turn)).toBe(60);
  });

  test('stays the lowest frame beside missing ones: the bottom may lie among these', () => {
    const gap = noisy(1).map((h, f) => (f >= 140 && f < 150 ? Number.NaN : h));
    const known = Array.from(gap, (h) => (Number.isNaN(h) ? 1 : h));
    const lowest = known.indexOf(Math.min(...known));
    expect(middleOfBottom(gap, lowest, 0, gap.length, 0.006)).toBe(lowest);
  });
});

describe('the stand before a repetition', () => {
  const standBefore = (height: Float64Array) => topOfSlope(height, 135, 0, 135, RATE)!;
  const levelEdge = (height: Float64Array) => {
    const { edge } = standBefore(height);
    // Where between two frames the height falls below 2 % of the drop under the stand.
    return edge + (height[edge] - (0.9 - 0.02 * 0.6)) / (height[edge] - height[edge + 1]);
  };

  test('ends at its own height, not above it: noise does not move the mark of 2 % out', () => {
    // A height that falls by the square of time leaves later than one by the fourth power: the frame lies a little within the stand.
    expect(standBefore(smooth).frame).toBeGreaterThan(STAND - 12);
    expect(standBefore(smooth).frame).toBeLessThanOrEqual(STAND);
    const found = Array.from({ length: 60 }, (_, seed) => noisy(seed));
    const heights = found.map((height) => height[standBefore(height).frame] - 0.9);
    const highest = found.map((height) => Math.max(...height.slice(0, STAND + 1)) - 0.9);
    const mean = (x: readonly number[]) => x.reduce((a, b) => a + b) / x.length;
    // The highest of sixty frames with noise of 1 mm lies 1.5 to 2 mm above the stand.
    expect(mean(highest)).toBeGreaterThan(0.0013);
    expectClose(mean(heights), 0, 3 * (0.001 / Math.sqrt(60)), 'height of the frame that stands for the stand, m');
    expectClose(levelEdge(smooth), STAND + (60 / Math.PI) * Math.acos(1 - 0.04), 0.5, 'mark of 2 %');
  });

  test('is where legs that bend from straight begin to: within a tenth of a second under noise', () => {
    // By the fourth power of time at first.
    const fall = (f: number) => 0.9 - 0.6 * Math.min(1, Math.max(0, (f - STAND) / 60)) ** 4;
    const bent = (height: Float64Array) =>
      height.map((h, f) => h - smooth[f] + (f < BOTTOM_FROM ? fall(f) : smooth[f]));
    const frames = Array.from({ length: 40 }, (_, seed) => standBefore(bent(noisy(seed))).frame - STAND);
    expect(Math.max(...frames.map(Math.abs))).toBeLessThanOrEqual(6);
  });

  test('a turn without a rest: the highest frame or one beside it', () => {
    const turn = Float64Array.from({ length: 121 }, (_, f) => 0.6 + 0.3 * Math.cos((Math.PI * (f - 60)) / 60));
    expect(Math.abs(topOfSlope(turn, 120, 0, 120, RATE)!.frame - 60)).toBeLessThanOrEqual(5);
  });

  test('a slow start beside the stand is not in its height', () => {
    // Hips sink by 5 mm in a second before the descent.
    const slow = Float64Array.from([
      ...Array(60).fill(0.905),
      ...Array.from({ length: 60 }, (_, i) => 0.905 - (0.005 * i) / 60),
      ...smooth.slice(STAND),
    ]);
    const { frame, edge } = topOfSlope(slow, 195, 0, 195, RATE)!;
    // With the mean of all that lies within 2 %, the mark would be 2 mm lower, two frames later.
    const mark = 0.905 - 0.02 * (0.905 - 0.3);
    expect(slow[edge]).toBeGreaterThanOrEqual(mark);
    expect(slow[edge + 1]).toBeLessThan(mark);
    expect(slow[frame]).toBeGreaterThan(0.905 - 0.0075 * 0.605);
  });
});
