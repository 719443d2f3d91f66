import { expect, test } from '@jest/globals';
import { seededRandom } from '../../src/numerics/random.ts';
import type { Reconstruction } from '../../src/reconstruction/reconstruct.ts';
import { noiseDraws } from '../../src/uncertainty/noise-draws.ts';
import { expectClose } from '../expect-close.ts';

const RATE = 60;
const FRAMES = 4000;

/** Two landmarks given in 3D, as far as noise looks at them. */
function pointsWith(whiteM: number, slowM: number, slowS = 0.15): Reconstruction {
  return {
    raw: {
      frames: FRAMES,
      landmarks: ['left_knee', 'right_knee'],
      frameRateHz: RATE,
      position: new Float64Array(6 * FRAMES),
    },
    turn: Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1),
    evidence: {
      kind: 'points',
      whiteM: new Float64Array(6).fill(whiteM),
      slowM: new Float64Array(6).fill(slowM),
      slowS,
      notes: [],
    },
  } as unknown as Reconstruction;
}

/** Mean of x_t x_{t+lag} over all coordinates and some draws. */
function covariance(made: Reconstruction, lag: number, seed: number): number {
  const draw = noiseDraws(made);
  const random = seededRandom(seed);
  let sum = 0;
  let n = 0;
  for (let d = 0; d < 3; d++) {
    const field = draw(random);
    for (let k = 0; k < 6; k++) {
      for (let f = 0; f + lag < FRAMES; f++) sum += field[6 * f + k] * field[6 * (f + lag) + k];
    }
    n += 6 * (FRAMES - lag);
  }
  return sum / n;
}

test.each([
  ['white', 0.003, 0],
  ['slow', 0, 0.002],
  ['both, much white', 0.003, 0.001],
  ['both, much slow', 0.0005, 0.002],
])('%s: covariances at lags 0, 1, 5, 20 are those of the two parts', (_, white, slow) => {
  const made = pointsWith(white, slow);
  for (const lag of [0, 1, 5, 20]) {
    const expected = (lag === 0 ? white * white : 0) + slow * slow * Math.exp(-lag / (RATE * 0.15));
    // 72,000 samples of which some 1 in 9 is new: standard error of a covariance about 1.6 % of the variance.
    const tolerance = 0.06 * (white * white + slow * slow);
    expectClose(covariance(made, lag, 5), expected, tolerance, `lag ${lag}`);
  }
});

test('the first frame is as uncertain as all others: the process starts in its steady state', () => {
  const draw = noiseDraws(pointsWith(0.001, 0.002, 0.15));
  const random = seededRandom(2);
  let squares = 0;
  for (let d = 0; d < 60; d++)
    squares += draw(random)
      .slice(0, 6)
      .reduce((sum, x) => sum + x * x, 0);
  // 360 numbers: 7.5 %.
  expectClose(squares / 360 / 5e-6, 1, 0.23, 'variance of frame 0');
});

test('no noise is no displacement', () => {
  expect(noiseDraws(pointsWith(0, 0))(seededRandom(1)).every((x) => x === 0)).toBe(true);
});
