import { describe, expect, test } from '@jest/globals';
import { seededRandom } from '../../src/numerics/random.ts';
import type { ViewEvidence } from '../../src/reconstruction/evidence.ts';
import { pointsFromViews } from '../../src/reconstruction/measured-points.ts';
import { constantOver, giveBackFitted, motionRegressors, takeOff } from '../../src/reconstruction/motion-residual.ts';
import { noiseModel } from '../../src/reconstruction/noise-model.ts';
import { expectClose } from '../expect-close.ts';
import { landmarkShare, noisyFilm } from './noisy-film.ts';
import { BODY, cameraAt, lifterAt, type Motion, rigOf } from './scene.ts';

const FRAMES = 480;
const RATE_HZ = 60;
const KEEP = Math.exp(-1 / (RATE_HZ * 0.15));
const LAGS = [3, 4, 5];

/** One landmark that squats: 0.4 m up and down in 2.5 s, 0.1 m to and fro, hardly sideways. */
const squat = Float64Array.from({ length: 3 * FRAMES }, (_, i) => {
  const phase = (2 * Math.PI * Math.floor(i / 3)) / (2.5 * RATE_HZ);
  return [0.05 * Math.sin(phase), 1 + 0.2 * Math.cos(phase), 0.001 * Math.sin(3 * phase)][i % 3];
});
const ALL_SEEN = new Uint8Array(FRAMES).fill(1);
const WITH_GAP = ALL_SEEN.map((_, k) => (k >= 100 && k < 160 ? 0 : 1));

describe.each([
  ['all frames', ALL_SEEN],
  ['a second missing', WITH_GAP],
])('a landmark that squats, %s', (_, isSeen) => {
  const samples = isSeen.reduce((sum, seen) => sum + seen, 0);
  const regressors = motionRegressors(squat, isSeen, 1, 0, RATE_HZ, KEEP);

  test('regressors have length 1 and are square to each other; the axis that rests has none', () => {
    // Constant, place and velocity forward and up: forward and up are a quarter apart, so that velocity up lies along place forward.
    expect(regressors.length).toBeGreaterThanOrEqual(3);
    expect(regressors.length).toBeLessThanOrEqual(5);
    regressors.forEach((a, i) => {
      regressors.forEach((b, j) => {
        const product = a.reduce((sum, value, k) => sum + value * b[k], 0);
        expectClose(product, i === j ? 1 : 0, 1e-9, `${i} · ${j}`);
      });
    });
  });

  test('white and slow variance come back on average, whatever goes with place and velocity', () => {
    const [white, slow] = [0.64, 0.36];
    const random = seededRandom(7);
    const runs = 1500;
    let [whole, slowFound] = [0, 0];
    for (let run = 0; run < runs; run++) {
      const rows = new Float64Array(FRAMES);
      let drift = random.normal();
      for (let k = 0; k < FRAMES; k++) {
        if (isSeen[k]) rows[k] = Math.sqrt(white) * random.normal() + Math.sqrt(slow) * drift;
        drift = KEEP * drift + Math.sqrt(1 - KEEP * KEEP) * random.normal();
        // What a camera turned a little and a clock run late would add.
        if (isSeen[k]) rows[k] += 3 + 12 * squat[3 * k + 1] - 8 * squat[3 * k];
      }
      for (const one of regressors) takeOff(rows, one, 1);
      const products = (lag: number) => {
        let [sum, pairs] = [0, 0];
        for (let k = 0; k + lag < FRAMES; k++) {
          if (isSeen[k] === 0 || isSeen[k + lag] === 0) continue;
          sum += rows[k] * rows[k + lag];
          pairs++;
        }
        return sum / pairs;
      };
      const square = Float64Array.of(products(0));
      const lagged = Float64Array.of(LAGS.reduce((sum, lag) => sum + (products(lag) * KEEP ** -lag) / LAGS.length, 0));
      giveBackFitted(square, lagged, regressors, isSeen, samples, LAGS, KEEP);
      whole += square[0] / runs;
      slowFound += lagged[0] / runs;
    }
    // The slow variance of one run scatters by a quarter or so: 0.36 · 0.3 / √1500 = 0.003.
    expectClose(slowFound, slow, 0.012, 'slow variance');
    expectClose(whole - slowFound, white, 0.012, 'white variance');
  });
});

test('what would take half of the slow noise of a short recording is left out', () => {
  const short = ALL_SEEN.subarray(0, 40);
  expect(motionRegressors(squat.subarray(0, 120), short, 1, 0, RATE_HZ, KEEP)).toEqual([constantOver(short, 40)]);
});

test('a clock stated 8 ms wrong is no noise of the detector', () => {
  const cameras = [40, -40].map((deg, v) => {
    const angle = (deg * Math.PI) / 180;
    return cameraAt(`view ${v}`, [4 * Math.cos(angle), 1.1, 4 * Math.sin(angle)], [0, 0.9, 0]);
  });
  const slowOf = (lateS: number) => {
    const random = seededRandom(36);
    const late: Motion = (timeS, landmark) => lifterAt(timeS + lateS, landmark);
    const one = { whitePx: 0.8, slowPx: 0.6 };
    const tracks = [lifterAt, late].map((motion, v) => noisyFilm(cameras[v], motion, FRAMES, RATE_HZ, one, random));
    const points = pointsFromViews('recording.yaml', tracks, rigOf(...cameras), []);
    const { noise } = noiseModel(points, Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1)) as ViewEvidence;
    return BODY.reduce((sum, _, l) => sum + noise.slowPx[2 * l] / landmarkShare(l), 0) / BODY.length;
  };
  const [right, wrong] = [slowOf(0), slowOf(0.008)];
  expectClose(right, 0.6, 0.06, 'slow noise, clocks right, px');
  expectClose(wrong, right, 0.03, 'slow noise, one clock wrong, px');
});
