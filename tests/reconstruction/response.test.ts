import { describe, expect, test } from '@jest/globals';
import { LANDMARKS, type Landmark } from '../../src/capture/landmarks.ts';
import { DEFAULT_SETTINGS, SMOOTHING_METHODS, type Smoothing } from '../../src/capture/recording.ts';
import { SampleStatus } from '../../src/capture/sample-status.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { fillGaps, longestGapFrames } from '../../src/reconstruction/gaps.ts';
import { responseOf } from '../../src/reconstruction/response.ts';
import { smooth } from '../../src/reconstruction/smooth.ts';
import { smoothingBias } from '../../src/reconstruction/smoothing-bias.ts';
import { smoothingGain } from '../../src/reconstruction/smoothing-gain.ts';
import { expectClose } from '../expect-close.ts';

const RATE = 60;
const { seen, occluded, outlier, edge, filled } = SampleStatus;

/** Raw points of four landmarks with short gaps, long gaps, a short stretch, a gap at the start, and one never seen. */
function rawPoints(frames = 400) {
  const landmarks: readonly Landmark[] = ['left_hip', 'left_knee', 'bar_left_end', 'nose', 'right_ankle'];
  const random = seededRandom(21);
  const status = new Uint8Array(frames * landmarks.length);
  const position = new Float64Array(3 * status.length);
  const hidden: [number, number, number][] = [
    [0, 50, 53],
    [0, 57, 58],
    [1, 100, 130],
    [1, 200, 205],
    [2, 0, 7],
    [2, 90, 110],
    [2, 135, 160],
    [3, 0, frames],
  ];
  for (let k = 0; k < frames; k++) {
    for (let l = 0; l < landmarks.length; l++) {
      const s = k * landmarks.length + l;
      status[s] = hidden.some(([of, from, to]) => of === l && k >= from && k < to)
        ? l === 1
          ? outlier
          : occluded
        : seen;
      for (let axis = 0; axis < 3; axis++) {
        const motion = 0.4 * Math.sin(0.05 * k + l + axis) ** 3 + 0.004 * random.normal();
        position[3 * s + axis] = status[s] === seen ? motion : Number.NaN;
      }
    }
  }
  return { landmarks, frames, frameRateHz: RATE, status, position };
}

type Raw = ReturnType<typeof rawPoints>;

/** As reconstruct.ts does: gaps, then smoothing. */
function chain({ landmarks, frames, status, position }: Raw, smoothing: Smoothing) {
  const settings = { ...DEFAULT_SETTINGS, smoothing };
  const [filledPosition, filledStatus] = [position.slice(), status.slice()];
  fillGaps(filledPosition, filledStatus, landmarks.length, frames, longestGapFrames(settings.gapLimitS, RATE));
  return { settings, ...smooth('x', landmarks, filledPosition, filledStatus, frames, RATE, smoothing, []) };
}

const SMOOTHINGS: [string, Smoothing][] = [
  ['none', { kind: 'none' }],
  ...SMOOTHING_METHODS.flatMap((method): [string, Smoothing][] => [
    [`${method}, fixed`, { kind: 'fixed', legsHz: 6, trunkHz: 3, barHz: 3.5, method }],
    [`${method}, residual`, { kind: 'residual', method }],
  ]),
];

describe.each(SMOOTHINGS)('%s', (_, smoothing) => {
  const raw = rawPoints();
  const before = chain(raw, smoothing);
  const respond = responseOf(raw, before.settings, before);
  const random = seededRandom(4);
  const draw = () => raw.position.map((x) => (Number.isNaN(x) ? 1e6 : 0.01 * random.normal()));

  test('smooth(x + d) − smooth(x) = respond(d), NaN at the same places; what is not seen is not read', () => {
    const d = draw();
    const position = raw.position.map((x, i) => x + d[i]);
    // Residual analysis would choose other cut-offs for other points: they are held at those of x.
    const held: Smoothing[] =
      smoothing.kind === 'residual'
        ? Array.from(before.cutoffHz, (hz) => ({
            kind: 'fixed',
            legsHz: hz,
            trunkHz: hz,
            barHz: hz,
            method: smoothing.method,
          }))
        : [smoothing];
    const response = respond(d);
    const count = raw.landmarks.length;
    held.forEach((one, l) => {
      if (one.kind === 'fixed' && Number.isNaN(one.legsHz)) return;
      const after = chain({ ...raw, position }, one);
      for (let i = 0; i < response.length; i++) {
        if (held.length > 1 && Math.floor(i / 3) % count !== l) continue;
        if (Number.isNaN(before.position[i])) expect(response[i]).toBeNaN();
        else expectClose(response[i], after.position[i] - before.position[i], 1e-12, `value ${i}`);
      }
    });
    expect(response.filter(Number.isFinite).length).toBeGreaterThan(3 * 900);
  });

  test('respond is linear, and may write over its input', () => {
    const [a, b] = [draw(), draw()];
    const sum = respond(a.map((x, i) => 2 * x - 3 * b[i]));
    const [ra, rb] = [respond(a), respond(b)];
    for (let i = 0; i < sum.length; i++) {
      if (!Number.isNaN(sum[i])) expectClose(sum[i], 2 * ra[i] - 3 * rb[i], 1e-12, `value ${i}`);
    }
    expect(respond(a, a)).toEqual(ra);
  });
});

describe('every method', () => {
  const raw = rawPoints();
  const results = SMOOTHING_METHODS.map((method) =>
    chain(raw, { kind: 'fixed', legsHz: 6, trunkHz: 3, barHz: 3, method }),
  );

  test('status is the same: edges of 1 / cut-off, gaps, left-out stretches', () => {
    for (const { status } of results) expect(status).toEqual(results[0].status);
    const codes = (l: number) => Array.from({ length: 400 }, (_, k) => results[0].status[5 * k + l]);
    expect(codes(0).filter((code) => code === edge)).toHaveLength(40);
    expect(codes(0)[51]).toBe(filled);
    expect(codes(2)[120]).toBe(occluded); // 25 frames between two long gaps: shorter than 3 / 3 Hz
  });

  test('differ by less than the noise, and do differ', () => {
    for (const { position } of results.slice(1)) {
      let squares = 0;
      let number = 0;
      for (let i = 0; i < position.length; i++) {
        if (Number.isNaN(position[i])) continue;
        squares += (position[i] - results[0].position[i]) ** 2;
        number++;
      }
      expect(Math.sqrt(squares / number)).toBeLessThan(0.004);
      expect(Math.sqrt(squares / number)).toBeGreaterThan(1e-5);
    }
  });

  test.each(SMOOTHING_METHODS)('%s: a gap of nine frames in a slow motion comes back within 2 mm', (method) => {
    const landmarks: readonly Landmark[] = ['left_hip'];
    const at = (k: number) => 0.3 * Math.cos((2 * Math.PI * 0.5 * (k - 150)) / RATE);
    const gap = (k: number) => k >= 146 && k < 155;
    const status = Uint8Array.from({ length: 300 }, (_, k) => (gap(k) ? occluded : seen));
    const position = Float64Array.from({ length: 900 }, (_, i) =>
      gap(Math.floor(i / 3)) ? Number.NaN : at(Math.floor(i / 3)),
    );
    const out = chain(
      { landmarks, frames: 300, frameRateHz: RATE, status, position },
      {
        kind: 'fixed',
        legsHz: 6,
        trunkHz: 3,
        barHz: 3,
        method,
      },
    );
    for (let k = 140; k < 160; k++) expectClose(out.position[3 * k], at(k), 0.002, `frame ${k}`);
    expect(out.status[150]).toBe(filled);
  });
});

describe('smoothing bias', () => {
  test.each(SMOOTHING_METHODS)('%s: of a sine, gain g, the bias g − 1 is estimated as g (g − 1)', (method) => {
    for (const hz of [1, 3]) {
      const landmarks: readonly Landmark[] = ['left_hip'];
      const wave = (k: number) => Math.cos((2 * Math.PI * hz * (k - 300)) / RATE);
      const status = new Uint8Array(601);
      const position = Float64Array.from({ length: 3 * 601 }, (_, i) => wave(Math.floor(i / 3)));
      const raw = { landmarks, frames: 601, frameRateHz: RATE, status, position };
      const smoothed = chain(raw, { kind: 'fixed', legsHz: 6, trunkHz: 3, barHz: 3, method });
      const bias = smoothingBias(responseOf(raw, smoothed.settings, smoothed), smoothed.position);
      const g = smoothingGain(method, hz, 3, RATE);
      if (hz === 3) expectClose(g, Math.SQRT1_2, 1e-12, 'gain at the cut-off');
      for (const k of [295, 300, 307]) {
        expectClose(smoothed.position[3 * k] - wave(k), (g - 1) * wave(k), 1e-6, 'bias');
        expectClose(bias[3 * k], g * (g - 1) * wave(k), 1e-6, 'estimate');
      }
    }
  });
});

test('20 minutes are smoothed as one is', () => {
  const landmarks = LANDMARKS.slice(0, 2);
  for (const frames of [3600, 72_000]) {
    const raw = {
      landmarks,
      frames,
      frameRateHz: RATE,
      status: new Uint8Array(2 * frames),
      position: Float64Array.from({ length: 6 * frames }, (_, i) => Math.sin(i / 1000)),
    };
    for (const method of SMOOTHING_METHODS) {
      const { position } = chain(raw, { kind: 'fixed', legsHz: 6, trunkHz: 3, barHz: 3, method });
      for (const i of [6 * 100, 6 * (frames - 100)])
        expectClose(position[i], raw.position[i], 1e-5, `${method}, value ${i}`);
    }
  }
});
