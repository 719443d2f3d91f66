import { describe, expect, test } from '@jest/globals';
import { seededRandom } from '../../src/numerics/random.ts';
import { borrowVariances, frameToFrame, roundingSd, slowLeak } from '../../src/reconstruction/white-noise.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { BODY, film, lifterAt, sideCameras } from './scene.ts';

const [fore] = sideCameras();
const FRAMES = 600;

function filmed(noise: () => number) {
  return film(fore, lifterAt, { frames: FRAMES, noise });
}

describe('frame-to-frame variance of a moving track', () => {
  test('white noise of 1.3 px is found on every landmark, the squat is not taken for noise', () => {
    const random = seededRandom(1);
    const { variance, count } = frameToFrame(filmed(() => 1.3 * random.normal()));
    expect(Array.from(count)).toEqual(BODY.map(() => 2 * (FRAMES - 4)));
    // Variance of a mean of N squares with the stencil's correlations: 2 · 2.63 / 1192 → 6.6 %; three of them.
    expectAllClose(variance, Array(BODY.length).fill(1.69), 0.2 * 1.69, 'variance, px²');
    const mean = variance.reduce((sum, value) => sum + value, 0) / BODY.length;
    expectClose(mean, 1.69, 0.05 * 1.69, 'mean of 19 landmarks, px²');
  });

  test('the squat alone leaves less than 1e-3 px', () => {
    const { variance } = frameToFrame(filmed(() => 0));
    expect(Math.sqrt(Math.max(...variance))).toBeLessThan(1e-3);
  });

  test('one gross error in a hundred samples moves it by less than a tenth', () => {
    const random = seededRandom(2);
    const plain = filmed(() => random.normal());
    const pixel = plain.pixel.map((value, i) => (Math.floor(i / 2) % 101 === 0 ? value + 80 : value));
    const before = frameToFrame(plain).variance;
    const after = frameToFrame({ ...plain, pixel }).variance;
    // Five differences of a hundred are spoilt by each: those beyond five scales are dropped, the median hardly moves.
    after.forEach((value, l) => {
      expectClose(value / before[l], 1, 0.1, BODY[l]);
    });
  });

  test('unequal frame times: the divided difference keeps the motion out', () => {
    const random = seededRandom(3);
    const times = Float64Array.from({ length: FRAMES }, (_, k) => (k === 0 ? 0 : (k + 0.6 * random.uniform()) / 60));
    const exact = film(fore, lifterAt, { frames: FRAMES });
    const pixel = exact.pixel.slice();
    for (let k = 0; k < FRAMES; k++) {
      const one = film(fore, (_, landmark) => lifterAt(times[k], landmark), { frames: 1 });
      pixel.set(one.pixel, 2 * k * BODY.length);
    }
    const told = Math.sqrt(Math.max(...frameToFrame({ ...exact, pixel, frameTimesS: times }).variance));
    expect(told).toBeLessThan(0.01);
    // The same track taken for equally spaced: 100 px/s times milliseconds are tenths of a pixel.
    expect(Math.sqrt(Math.max(...frameToFrame({ ...exact, pixel }).variance))).toBeGreaterThan(10 * told);
    const noisy = pixel.map((value) => value + random.normal());
    const { variance } = frameToFrame({ ...exact, pixel: noisy, frameTimesS: times });
    expectClose(variance.reduce((sum, value) => sum + value, 0) / BODY.length, 1, 0.06, 'white, px²');
  });

  test('every second frame missing', () => {
    const random = seededRandom(4);
    const track = filmed(() => random.normal());
    const status = track.status.map((code, s) => (Math.floor(s / BODY.length) % 2 === 1 ? 1 : code));
    const { variance } = frameToFrame({ ...track, status });
    expectClose(variance.reduce((sum, value) => sum + value, 0) / BODY.length, 1, 0.06, 'white, px²');
  });
});

test('what a first-order process leaves in fourth differences: simulated', () => {
  const random = seededRandom(5);
  const rate = 60;
  const keep = Math.exp(-1 / (rate * 0.15));
  let slow = random.normal();
  const frames = 40_000;
  const pixel = new Float64Array(2 * frames);
  for (let k = 0; k < frames; k++) {
    pixel[2 * k] = slow;
    slow = keep * slow + Math.sqrt(1 - keep ** 2) * random.normal();
    pixel[2 * k + 1] = pixel[2 * k];
  }
  const track = {
    ...film(fore, lifterAt, { frames: 1, landmarks: ['nose'] }),
    frames,
    pixel,
    status: new Uint8Array(frames),
  };
  const leak = slowLeak(rate, 0.15);
  // 1.1 % of scatter in 40,000 correlated squares.
  expectClose(frameToFrame(track).variance[0] / leak, 1, 0.04, 'share');
});

test('rounding: the step is found, exact data have none', () => {
  const exact = film(fore, lifterAt, { frames: 60 });
  const rounded = (step: number) => ({ ...exact, pixel: exact.pixel.map((value) => Math.round(value / step) * step) });
  expectClose(roundingSd(rounded(1)), 1 / Math.sqrt(12), 1e-12, 'whole pixels');
  expectClose(roundingSd(rounded(0.01)), 0.01 / Math.sqrt(12), 1e-12, 'hundredths');
  expect(roundingSd(exact)).toBe(0);
});

test('a track seen too rarely: the view’s part times the landmark’s part', () => {
  // Two views, three landmarks; the view's noise is 1 : 4, the landmark's 1 : 2 : 3; the last is rare in view 1.
  const variance = Float64Array.of(1, 4, 2, 8, 3, 99);
  const borrowed = borrowVariances(variance, Float64Array.of(900, 900, 900, 900, 900, 10), 2);
  expect(Array.from(borrowed)).toEqual([0, 0, 0, 0, 0, 1]);
  // View 0 alone tells the landmark's part: 3 / (1 · 2 · 3)^⅓; view 1 has (4 · 8)^½ of the other landmarks.
  expectClose(variance[5], (Math.sqrt(32) * 3) / 6 ** (1 / 3), 1e-12, 'borrowed, px²');
});
