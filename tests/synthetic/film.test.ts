import { describe, expect, test } from '@jest/globals';
import { seededRandom } from '../../src/numerics/random.ts';
import { mean, standardDeviation } from '../../src/numerics/statistics.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { cameraOn, demoCameras, imageOf } from './camera.ts';
import { DEMO_RECORDINGS, demoFilming, liftOf } from './demo.ts';
import { behindDisc, type Filming, film, labFromWorld, worldFromLab } from './film.ts';
import { landmarksOf } from './lift.ts';
import { DETECTOR_NOISE, noiseTrace, whiteNoise } from './noise.ts';
import { norm, subtract } from './vector.ts';

const lift = liftOf({ ...DEMO_RECORDINGS[0], plan: { ...DEMO_RECORDINGS[0].plan, repetitions: 1 } }, 'inside');
const filmed = demoFilming(DEMO_RECORDINGS[0]);
const exact: Filming = {
  ...filmed,
  noise: null,
  discsHide: false,
  views: filmed.views.map((view) => ({ ...view, readoutS: 0, bias: {} })),
};

describe('camera', () => {
  test('a point worked out by hand, with every lens term', () => {
    const camera = cameraOn(
      { name: 'c', centre: [0, 1, 4], lookAt: [0, 1, 0], rollRad: 0 },
      {
        imageSizePx: [1000, 800],
        focalPx: 1000,
        principalPointPx: [500, 400],
        lens: { k1: 0.1, k2: 0.2, p1: 0.01, p2: 0.02, k3: 0.3 },
      },
    );
    // 0.8 to the right and 0.4 above, 4 m away: x = 0.2, y = −0.1, r² = 0.05;
    // radial 1 + 0.005 + 0.0005 + 0.0000375; tangential u: 2·0.01·(−0.02) + 0.02·(0.05 + 0.08), v: 2·0.02·(−0.02) + 0.01·(0.05 + 0.02).
    const [u, v] = imageOf(camera, [0.8, 1.4, 0])!;
    expectClose(u, 500 + 1000 * (0.2 * 1.0055375 - 0.0004 + 0.0026), 1e-9, 'u');
    expectClose(v, 400 + 1000 * (-0.1 * 1.0055375 - 0.0008 + 0.0007), 1e-9, 'v');
    expect(imageOf(camera, [0, 1, 5])).toBeNull();
  });

  test.each(demoCameras())(
    '$name: axes are right-handed, the camera stands 30–60° off the side and sees the whole lift',
    (camera) => {
      const [right, down, axis] = camera.axes;
      const third = [
        right[1] * down[2] - right[2] * down[1],
        right[2] * down[0] - right[0] * down[2],
        right[0] * down[1] - right[1] * down[0],
      ];
      expectAllClose(third, axis, 1e-12, 'optical axis');
      const offSide = (Math.atan2(camera.centre[0], Math.abs(camera.centre[2])) * 180) / Math.PI;
      expect(offSide).toBeGreaterThan(30);
      expect(offSide).toBeLessThan(60);
      const distance = Math.hypot(camera.centre[0], camera.centre[2]);
      expect(distance).toBeGreaterThan(3.4);
      expect(distance).toBeLessThan(4.6);
      const [view] = film(lift, { ...exact, views: [{ camera, offsetS: 0, readoutS: 0, bias: {} }] });
      for (let i = 0; i < view.pixel.length; i += 2) {
        expect(view.pixel[i]).toBeGreaterThan(0);
        expect(view.pixel[i]).toBeLessThan(1080);
        expect(view.pixel[i + 1]).toBeGreaterThan(0);
        expect(view.pixel[i + 1]).toBeLessThan(1920);
      }
    },
  );
});

describe('film', () => {
  test('the lifter stands turned and moved in the world, and back', () => {
    const placement = { headingRad: 0.3, placeM: [0.4, -0.2] as const };
    const point = [0.3, 1.2, -0.5] as const;
    const back = labFromWorld(placement, worldFromLab(placement, point));
    expectClose(norm(subtract(back, point)), 0, 1e-15, 'round trip');
    // Heading turns lab +X towards −Z (right-handed about +Y).
    const facing = subtract(worldFromLab(placement, [1, 0, 0]), worldFromLab(placement, [0, 0, 0]));
    expectClose(Math.atan2(-facing[2], facing[0]), 0.3, 1e-12, 'heading');
  });

  test('a frame shows the lift at offset + frame / rate', () => {
    const [, right] = film(lift, exact);
    const k = 71;
    const t = 0.013 + k / 60;
    const truth = landmarksOf(lift.postureAt(t), lift.setup.equipment);
    for (const landmark of ['left_hip', 'right_ankle', 'bar_right_end'] as const) {
      const at = k * right.landmarks.length + right.landmarks.indexOf(landmark);
      const [u, v] = imageOf(right.camera, worldFromLab(exact.placement, truth.get(landmark)!))!;
      expectClose(right.pixel[2 * at], u, 1e-9, landmark);
      expectClose(right.pixel[2 * at + 1], v, 1e-9, landmark);
    }
  });

  test('a rolling shutter shows each point at the moment its own row is read', () => {
    const readoutS = 0.03;
    const [view] = film(lift, { ...exact, views: [{ ...exact.views[0], readoutS }] });
    for (const [k, landmark] of [
      [80, 'nose'],
      [80, 'left_knee'],
      [100, 'right_hip'],
    ] as const) {
      const at = k * view.landmarks.length + view.landmarks.indexOf(landmark);
      const t = view.offsetS + k / 60 + (view.pixel[2 * at + 1] / 1920) * readoutS;
      const truth = landmarksOf(lift.postureAt(t), lift.setup.equipment).get(landmark)!;
      const [u, v] = imageOf(view.camera, worldFromLab(exact.placement, truth))!;
      // Parabola through three instants 15 ms apart: below jerk (about 30 m/s³) · (15 ms)³ / 15 = 7 µm, 0.003 px.
      expectClose(view.pixel[2 * at], u, 0.005, `${landmark} u`);
      expectClose(view.pixel[2 * at + 1], v, 0.005, `${landmark} v`);
    }
  });

  test('a bias moves both sides outward and forward alike', () => {
    const wide = exact.views.map((view) => ({ ...view, bias: { hip: [0.02, 0, 0.03] as const } }));
    const [plain] = film(lift, exact);
    const [shifted] = film(lift, { ...exact, views: wide });
    const truth = landmarksOf(lift.postureAt(0), lift.setup.equipment);
    const left = shifted.landmarks.indexOf('left_hip');
    const [x, y, z] = truth.get('left_hip')!;
    const [u] = imageOf(shifted.camera, worldFromLab(exact.placement, [x + 0.02, y, z - 0.03]))!;
    expectClose(shifted.pixel[2 * left], u, 1e-9, 'left hip');
    const knee = shifted.landmarks.indexOf('left_knee');
    expect(shifted.pixel[2 * knee]).toBe(plain.pixel[2 * knee]);
  });

  test('sides are swapped only in the view and time asked for', () => {
    const swap = { camera: 'left', fromS: 1, toS: 1.2, points: 'legs' } as const;
    const [plain, plainRight] = film(lift, exact);
    const [left, right] = film(lift, { ...exact, swaps: [swap] });
    const at = (k: number, landmark: (typeof left.landmarks)[number]) =>
      2 * (k * left.landmarks.length + left.landmarks.indexOf(landmark));
    expect(left.pixel[at(66, 'left_knee')]).toBe(plain.pixel[at(66, 'right_knee')]);
    expect(left.pixel[at(66, 'left_wrist')]).toBe(plain.pixel[at(66, 'left_wrist')]);
    expect(left.pixel[at(80, 'left_knee')]).toBe(plain.pixel[at(80, 'left_knee')]);
    expect(right.pixel).toEqual(plainRight.pixel);
  });

  test('a disc hides what lies behind it and not what lies beside it', () => {
    const { equipment } = lift.setup;
    const bar = [0.1, 1.4, 0] as const;
    const eye = [0, 1.4, 4] as const; // straight abeam: the near disc hides the shoulders
    expect(behindDisc(equipment, bar, eye, [0.05, 1.38, 0.2])).toBe(true);
    expect(behindDisc(equipment, bar, eye, [0, 0.5, 0.2])).toBe(false);
    expect(behindDisc(equipment, bar, eye, [0.1, 1.4, 1.0])).toBe(false); // bar end, in front of the disc
    expect(behindDisc({ ...equipment, loadKg: equipment.barMassKg }, bar, eye, [0.05, 1.38, 0.2])).toBe(false);
  });

  test('both views of the demo see both bar ends and both hips past the discs, nearly always', () => {
    for (const view of film(lift, { ...filmed, noise: null })) {
      for (const landmark of ['bar_left_end', 'bar_right_end', 'left_hip', 'right_hip', 'left_wrist'] as const) {
        const column = view.landmarks.indexOf(landmark);
        let hidden = 0;
        for (let k = 0; k < view.frames; k++) if (view.confidence[k * view.landmarks.length + column] < 0.5) hidden++;
        expect(hidden / view.frames).toBeLessThan(0.05);
      }
    }
  });
});

describe('noise', () => {
  const frames = 40_000;
  const only = (trace: Float64Array) => trace.filter((_, i) => i % 2 === 0);

  test('white noise has the stated size and no memory', () => {
    const error = only(noiseTrace('left_hip', frames, 60, whiteNoise(1), seededRandom(5)).errorPx);
    expectClose(standardDeviation(error), 1, 0.015, 'sd'); // its own SD at 40,000 draws: 0.0035
    expectClose(lagged(error, 1), 0, 0.02, 'lag 1'); // SD 0.005
  });

  test('slow noise has forgotten 1 − 1/e after its correlation time', () => {
    const noise = { ...whiteNoise(0), slowPx: 1 };
    const error = only(noiseTrace('left_hip', frames, 60, noise, seededRandom(6)).errorPx);
    expectClose(standardDeviation(error), 1, 0.06, 'sd'); // some 2,200 independent stretches: SD about 0.015
    expectClose(lagged(error, 9), Math.exp(-1), 0.06, 'lag 0.15 s');
  });

  test('heavy tails keep the size and raise the kurtosis to that of Student t', () => {
    const noise = { ...whiteNoise(1), tailDegreesOfFreedom: 10 };
    const error = only(noiseTrace('left_hip', frames, 60, noise, seededRandom(7)).errorPx);
    expectClose(standardDeviation(error), 1, 0.02, 'sd');
    const fourth = mean(error.map((e) => e ** 4)) / mean(error.map((e) => e ** 2)) ** 2;
    expectClose(fourth, 4, 0.45, 'kurtosis 3 + 6/(ν − 4)');
  });

  test('detector noise: about 1 px, low confidence where it is bad, bursts as often as stated', () => {
    const trace = noiseTrace('left_knee', frames, 60, DETECTOR_NOISE, seededRandom(8));
    const error = only(trace.errorPx);
    const good = error.filter((_, k) => trace.confidence[k] > 0.5);
    const weak = error.filter((_, k) => trace.confidence[k] > 0 && trace.confidence[k] < 0.3);
    expectClose(standardDeviation(good), 1.02, 0.1, 'clear frames');
    expect(standardDeviation(weak)).toBeGreaterThan(4);
    const badShare = 1 - good.length / frames;
    // 2 bursts a minute, exponential of mean 0.06 s cut off at 0.1 s: mean 0.06 (1 − e^(−1/0.6)) = 0.049 s, share 0.0016.
    expectClose(badShare, 0.0016, 0.001, 'share of bad frames'); // 22 bursts: its own SD about 0.0004
  });
});

function lagged(values: Float64Array, lag: number): number {
  let sum = 0;
  for (let i = 0; i + lag < values.length; i++) sum += values[i] * values[i + lag];
  return sum / (values.length - lag) / standardDeviation(values) ** 2;
}
