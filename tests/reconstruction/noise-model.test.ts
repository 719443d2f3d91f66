import { describe, expect, test } from '@jest/globals';
import type { KeypointTrack } from '../../src/capture/recording.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import type { PointEvidence, ViewEvidence } from '../../src/reconstruction/evidence.ts';
import { pointsFromViews } from '../../src/reconstruction/measured-points.ts';
import { noiseModel } from '../../src/reconstruction/noise-model.ts';
import { reconstruct } from '../../src/reconstruction/reconstruct.ts';
import { pointProblem, triangulatePoint } from '../../src/reconstruction/triangulate-point.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { landmarkShare, noisyFilm, type ViewNoise } from './noisy-film.ts';
import { BODY, cameraAt, film, lifterAt, type Motion, pointsOf, recordingOf, rigOf, turned } from './scene.ts';

const cameras = [40, -40, 100].map((deg, v) => {
  const angle = (deg * Math.PI) / 180;
  return cameraAt(`view ${v}`, [4 * Math.cos(angle), 1.1, 4 * Math.sin(angle)], [0, 0.9, 0]);
});
const NO_TURN = Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1);

function evidenceOf(tracks: readonly KeypointTrack[]): ViewEvidence {
  const points = pointsFromViews('recording.yaml', tracks, rigOf(...cameras), []);
  return noiseModel(points, NO_TURN) as ViewEvidence;
}

function films(noise: readonly ViewNoise[], rates: readonly number[], seed: number): KeypointTrack[] {
  const random = seededRandom(seed);
  return noise.map((one, v) => noisyFilm(cameras[v], lifterAt, 8 * rates[v], rates[v], one, random));
}

/** Mean over landmarks of one view's standard deviation over the landmark's share: what the view was given. */
function ofView({ noise, cameras: { length } }: ViewEvidence, part: 'whitePx' | 'slowPx', view: number): number {
  const sum = BODY.reduce((total, _, l) => total + noise[part][l * length + view] / landmarkShare(l), 0);
  return sum / BODY.length;
}

describe('two views, white 0.8 and 2 px, slow 0.6 px in both', () => {
  const tracks = films(
    [
      { whitePx: 0.8, slowPx: 0.6 },
      { whitePx: 2, slowPx: 0.6 },
    ],
    [60, 60],
    31,
  );
  const evidence = evidenceOf(tracks);

  test('white noise view by view, slow noise as one', () => {
    // 19 landmarks of 480 frames: 1.2 % of a white SD. Slow: some 8 s / 0.3 s · 19 = 500 values, 3 %, beside the noise of the lags.
    expectClose(ofView(evidence, 'whitePx', 0), 0.8, 0.06, 'white of view 0');
    expectClose(ofView(evidence, 'whitePx', 1), 2, 0.12, 'white of view 1');
    expectClose(ofView(evidence, 'slowPx', 0), 0.6, 0.15, 'slow');
    expectAllClose(
      BODY.map((_, l) => evidence.noise.slowPx[2 * l]),
      BODY.map((_, l) => evidence.noise.slowPx[2 * l + 1]),
      1e-12,
      'shared out equally',
    );
    expect(evidence.noise.notes.some((note) => note.includes('shared out equally'))).toBe(true);
  });

  test('the weights are those the points were triangulated with: inverse variances over their geometric mean', () => {
    const points = pointsFromViews('recording.yaml', tracks, rigOf(...cameras), []);
    const problem = pointProblem(cameras.slice(0, 2));
    for (const s of [5, 200, 3000, 9000]) {
      const l = s % BODY.length;
      tracks.forEach(({ pixel }, v) => {
        problem.pixel.set(pixel.subarray(2 * s, 2 * s + 2), 2 * v);
        problem.weight[v] = evidence.weight[2 * l + v];
      });
      triangulatePoint(problem);
      expectAllClose(points.position.subarray(3 * s, 3 * s + 3), problem.position, 1e-12, `sample ${s}, m`);
    }
    BODY.forEach((landmark, l) => {
      const ratio = evidence.weight[2 * l] / evidence.weight[2 * l + 1];
      expectClose(evidence.weight[2 * l] * evidence.weight[2 * l + 1], 1, 1e-12, 'geometric mean');
      // True ratio 4.36 / 1; the ratio of two variances of 480 frames scatters by 10 %.
      expectClose(Math.log(ratio), Math.log((4 + 0.36) / (0.64 + 0.36)), 0.4, landmark);
    });
  });
});

test('three views: the slow noise of each', () => {
  const evidence = evidenceOf(
    films(
      [
        { whitePx: 0.8, slowPx: 0.3 },
        { whitePx: 0.8, slowPx: 0.6 },
        { whitePx: 0.8, slowPx: 1.5 },
      ],
      [60, 60, 60],
      32,
    ),
  );
  for (const v of [0, 1, 2]) expectClose(ofView(evidence, 'whitePx', v), 0.8, 0.05, `white of view ${v}`);
  expectClose(ofView(evidence, 'slowPx', 0), 0.3, 0.2, 'slow of view 0');
  expectClose(ofView(evidence, 'slowPx', 1), 0.6, 0.15, 'slow of view 1');
  expectClose(ofView(evidence, 'slowPx', 2), 1.5, 0.2, 'slow of view 2');
});

test('white noise only: the slow part is none or small', () => {
  const evidence = evidenceOf(
    films(
      [
        { whitePx: 1, slowPx: 0 },
        { whitePx: 1, slowPx: 0 },
      ],
      [60, 60],
      33,
    ),
  );
  expectClose(ofView(evidence, 'whitePx', 0), 1, 0.05, 'white');
  expect(ofView(evidence, 'slowPx', 0)).toBeLessThan(0.25);
});

test('a resampled view has the noise it was filmed with, not the smaller one of its samples', () => {
  const random = seededRandom(34);
  const white = { whitePx: 1, slowPx: 0 };
  // Filmed half a frame later: every sample is interpolated at mid-interval, where 0.64 of its variance is left.
  const lateS = 0.5 / 60;
  const late: Motion = (timeS, landmark) => lifterAt(timeS + lateS, landmark);
  const evidence = evidenceOf([
    noisyFilm(cameras[0], lifterAt, 480, 60, white, random),
    { ...noisyFilm(cameras[1], late, 480, 60, white, random), offsetS: lateS },
  ]);
  expectClose(ofView(evidence, 'whitePx', 1), 1, 0.05, 'white of the resampled view');
  expectClose(ofView(evidence, 'whitePx', 0), 1, 0.05, 'white of the clock view');
});

test('a view with half the frames has twice the variance on the grid: as much at low frequencies', () => {
  const evidence = evidenceOf(
    films(
      [
        { whitePx: 1, slowPx: 0 },
        { whitePx: 1, slowPx: 0 },
      ],
      [60, 30],
      35,
    ),
  );
  expectClose(ofView(evidence, 'whitePx', 1), Math.SQRT2, 0.1, 'white of the 30 Hz view at 60 Hz');
});

test('exact and rounded films: no noise, or that of rounding; equal weights', () => {
  const exact = cameras.slice(0, 2).map((camera) => film(camera, lifterAt, { frames: 240 }));
  const none = evidenceOf(exact);
  expect(Math.max(...none.noise.whitePx)).toBeLessThan(1e-3);
  expect(Math.max(...none.noise.slowPx)).toBeLessThan(1e-3);
  expectAllClose(none.weight, Array(none.weight.length).fill(1), 0.01, 'weights');
  const whole = evidenceOf(exact.map((track) => ({ ...track, pixel: track.pixel.map(Math.round) })));
  for (const white of whole.noise.whitePx) expect(white).toBeGreaterThan(0.2);
  for (const white of whole.noise.whitePx) expect(white).toBeLessThan(0.6);
});

test('a landmark that one view hardly sees borrows, and is named', () => {
  const tracks = films(
    [
      { whitePx: 1, slowPx: 0 },
      { whitePx: 2, slowPx: 0 },
    ],
    [60, 60],
    36,
  );
  const status = tracks[1].status.slice();
  const l = BODY.indexOf('left_wrist');
  for (let k = 0; k < tracks[1].frames; k++) if (k % 40 > 4) status[k * BODY.length + l] = 1;
  const evidence = evidenceOf([tracks[0], { ...tracks[1], status }]);
  expectClose(evidence.noise.whitePx[2 * l + 1], 2 * landmarkShare(l), 0.4, 'borrowed, px');
  expect(evidence.noise.notes.filter((note) => note.includes('left_wrist') && note.includes('"view 1"'))).toHaveLength(
    1,
  );
});

describe('3D points', () => {
  const random = seededRandom(37);
  const sd = [0.002, 0.001, 0.004];
  const shaking: Motion = (timeS, landmark) => {
    const place = lifterAt(timeS, landmark);
    return [place[0] + sd[0] * random.normal(), place[1] + sd[1] * random.normal(), place[2] + sd[2] * random.normal()];
  };
  const measured = (stated: number | null) =>
    reconstruct(recordingOf({ points: { ...pointsOf(turned(shaking, 0.5), 400), sdM: stated } }), null)
      .evidence as PointEvidence;

  test('white noise per lab axis, slow noise unknown', () => {
    const { whiteM, slowM, notes } = measured(null);
    for (let axis = 0; axis < 3; axis++) {
      const mean = BODY.reduce((sum, _, l) => sum + whiteM[3 * l + axis], 0) / BODY.length;
      expectClose(mean / sd[axis], 1, 0.05, `axis ${axis}`);
    }
    expect(Math.max(...slowM)).toBe(0);
    expect(notes.join(' ')).toContain('unknown');
  });

  test('a stated standard deviation wins', () => {
    expectAllClose(measured(0.003).whiteM, Array(3 * BODY.length).fill(0.003), 1e-15, 'white, m');
  });
});
