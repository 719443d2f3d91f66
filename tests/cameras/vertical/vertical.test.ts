import { describe, expect, test } from '@jest/globals';
import { projectInto } from '../../../src/cameras/camera-model.ts';
import type { Camera } from '../../../src/cameras/rig.ts';
import { verticalFromFreeFall } from '../../../src/cameras/vertical/free-fall.ts';
import { verticalFromLevelMarks } from '../../../src/cameras/vertical/level-surface.ts';
import { placeRig } from '../../../src/cameras/vertical/place-rig.ts';
import { type PlumbLine, verticalFromPlumbLines } from '../../../src/cameras/vertical/plumb-line.ts';
import { verticalFromStanding } from '../../../src/cameras/vertical/standing-athlete.ts';
import {
  angleOf95,
  combineVerticals,
  roundCovariance,
  verticalEstimate,
} from '../../../src/cameras/vertical/vertical-estimate.ts';
import { verticalFrom } from '../../../src/cameras/vertical/vertical-evidence.ts';
import { DataError } from '../../../src/errors.ts';
import { seededRandom } from '../../../src/numerics/random.ts';
import { expectAllClose, expectClose } from '../../expect-close.ts';
import { demoCameras } from '../../synthetic/camera.ts';
import { analysedCamera } from '../moving-points/simulated-gym.ts';

// World Y is up: the truth of every test.
const cameras = demoCameras().map(analysedCamera);
const UP = [0, 1, 0];
const DEG = Math.PI / 180;

const seen = (camera: Camera, p: readonly number[]): number[] => {
  const uv = new Float64Array(2);
  projectInto(uv, 0, camera, p[0], p[1], p[2]);
  return [...uv];
};
const angleToUp = (v: ArrayLike<number>) => Math.acos(Math.min(1, v[1])) / DEG;
const codeOf = (run: () => unknown): string => {
  try {
    run();
  } catch (error) {
    if (error instanceof DataError) return error.code;
    throw error;
  }
  return 'not refused';
};

describe('half width of a direction', () => {
  test('round errors: Rayleigh’s 95 % point √(−2 ln 0.05) = 2.4477; one axis: 1.95996 (normal tables)', () => {
    expectClose(angleOf95(roundCovariance(UP, 0.01)) / 0.01, Math.sqrt(-2 * Math.log(0.05)), 1e-9, 'round');
    // A variance of nothing across: the mean over the angles leaves about 1e-3.
    expectClose(angleOf95([1e-4, 0, 0, 0, 0, 0, 0, 0, 0]) / 0.01, 1.959964, 2e-3, 'one axis');
  });

  test('unequal errors: as often within as stated, of 20,000 draws', () => {
    const random = seededRandom(4);
    const limit = angleOf95([4e-4, 0, 0, 0, 0, 0, 0, 0, 1e-4]);
    let within = 0;
    for (let i = 0; i < 20_000; i++) {
      if (Math.hypot(0.02 * random.normal(), 0.01 * random.normal()) <= limit) within++;
    }
    expectClose(within / 20_000, 0.95, 0.005, 'share'); // its own standard error 0.0015
  });
});

describe('plumb line', () => {
  const string = [0.8, 0.3, 2.1, -0.6];
  const lineIn = (camera: Camera, noise: () => number): PlumbLine => ({
    camera: camera.name,
    pixels: Float64Array.from(
      [0.4, 1.0, 1.6, 2.0].flatMap((y) => seen(camera, [string[0], y, string[3]]).map((x) => x + noise())),
    ),
  });

  test('one string in two cameras: exact pixels give the vertical, noise as much as stated in 95 % of 200 draws', () => {
    const options = { plumbSdDeg: 0, pixelSdPx: 1 };
    const exact = verticalFromPlumbLines(
      cameras,
      cameras.map((camera) => lineIn(camera, () => 0)),
      options,
    );
    expectAllClose(exact.up, UP, 1e-9, 'up');
    const random = seededRandom(9);
    let within = 0;
    for (let i = 0; i < 200; i++) {
      const lines = cameras.map((camera) => lineIn(camera, random.normal));
      const found = verticalFromPlumbLines(cameras, lines, options);
      if (angleToUp(found.up) <= found.halfWidth95Deg) within++;
    }
    expectClose(within / 200, 0.95, 0.046, 'coverage'); // three standard errors of 0.0154
    expect(exact.halfWidth95Deg).toBeLessThan(0.5);
  });

  test('a string that is not plumb by 0.5° cannot be better than that', () => {
    const found = verticalFromPlumbLines(
      cameras,
      cameras.map((camera) => lineIn(camera, () => 0)),
      {
        plumbSdDeg: 0.5,
        pixelSdPx: 0.1,
      },
    );
    expectClose(found.halfWidth95Deg, 0.5 * 2.4477, 0.01, 'half width');
  });

  test('refused: one line, a short one, an unknown camera', () => {
    const options = { plumbSdDeg: 0.05, pixelSdPx: 1 };
    const line = lineIn(cameras[0], () => 0);
    expect(codeOf(() => verticalFromPlumbLines(cameras, [line], options))).toBe('plumb-lines-too-few');
    expect(codeOf(() => verticalFromPlumbLines(cameras, [line, line], options))).toBe('plumb-lines-too-few');
    const short = { camera: 'left', pixels: line.pixels.map((x, i) => (i < 2 ? x : line.pixels[i % 2] + i)) };
    expect(codeOf(() => verticalFromPlumbLines(cameras, [short, line], options))).toBe('plumb-line-short');
    expect(codeOf(() => verticalFromPlumbLines(cameras, [{ ...line, camera: 'x' }], options))).toBe(
      'plumb-line-camera-unknown',
    );
  });
});

describe('free fall', () => {
  const g = 9.80665;
  const flight = (rateHz: number, lastedS: number, gravity: number, noise: () => number) =>
    cameras.map((camera, c) => {
      const timeS = Float64Array.from({ length: Math.floor(lastedS * rateHz) }, (_, k) => 0.004 * c + k / rateHz);
      const pixel = Float64Array.from(
        [...timeS].flatMap((t) =>
          seen(camera, [0.4 * t - 0.2, 1 + 3 * t - 0.5 * gravity * t * t, 0.5 - 0.8 * t]).map((x) => x + noise()),
        ),
      );
      return { camera: camera.name, timeS, pixel };
    });

  test('exact pixels: straight down at 9.80665 m/s²', () => {
    const found = verticalFromFreeFall(
      cameras,
      flight(60, 0.6, g, () => 0),
      { otherForcesShare: 0, leastPixelSd: 1e-6 },
    );
    expectAllClose(found.vertical.up, UP, 1e-8, 'up');
    expectClose(found.scale, 1, 1e-8, 'scale');
  });

  test('1 px of noise: direction and scale within what is stated in 95 % of 100 throws', () => {
    const random = seededRandom(5);
    let direction = 0;
    let scale = 0;
    for (let i = 0; i < 100; i++) {
      const found = verticalFromFreeFall(cameras, flight(60, 0.6, g, random.normal), { otherForcesShare: 0 });
      if (angleToUp(found.vertical.up) <= found.vertical.halfWidth95Deg) direction++;
      if (Math.abs(found.scale - 1) <= 1.96 * found.scaleSd) scale++;
    }
    expectClose(direction / 100, 0.95, 0.065, 'direction'); // three standard errors of 0.022
    expectClose(scale / 100, 0.95, 0.065, 'scale');
  });

  test('refused: too short, one camera, not a fall', () => {
    expect(
      codeOf(() =>
        verticalFromFreeFall(
          cameras,
          flight(60, 0.1, g, () => 0),
        ),
      ),
    ).toBe('free-fall-short');
    expect(codeOf(() => verticalFromFreeFall(cameras, flight(60, 0.6, g, () => 0).slice(1)))).toBe('free-fall-short');
    expect(
      codeOf(() =>
        verticalFromFreeFall(
          cameras,
          flight(60, 0.6, 5, () => 0),
        ),
      ),
    ).toBe('free-fall-wrong');
  });
});

describe('level surface', () => {
  const marks = (noise: () => number) => ({
    cameras: cameras.map(({ name }) => name),
    pixel: Float64Array.from(
      [
        [-0.3, -0.4],
        [0.4, -0.3],
        [0.3, 0.5],
        [-0.4, 0.4],
        [0, 0],
      ].flatMap(([x, z]) => cameras.flatMap((camera) => seen(camera, [x, 0, z]).map((value) => value + noise()))),
    ),
  });

  test('marks on the floor: exact pixels give up, noise as stated in 95 % of 100 draws', () => {
    const options = { levelSdDeg: 0, pixelSdPx: 1 };
    expectAllClose(
      verticalFromLevelMarks(
        cameras,
        marks(() => 0),
        options,
      ).up,
      UP,
      1e-9,
      'up',
    );
    const random = seededRandom(6);
    let within = 0;
    for (let i = 0; i < 100; i++) {
      const found = verticalFromLevelMarks(cameras, marks(random.normal), options);
      if (angleToUp(found.up) <= found.halfWidth95Deg) within++;
    }
    expectClose(within / 100, 0.95, 0.065, 'coverage'); // three standard errors of 0.022
  });

  test('a line of marks is refused', () => {
    const line = { ...marks(() => 0), pixel: marks(() => 0).pixel.slice(0, 8) };
    expect(codeOf(() => verticalFromLevelMarks(cameras, line, { levelSdDeg: 0.2, pixelSdPx: 1 }))).toBe(
      'level-surface-undetermined',
    );
  });
});

describe('sources together', () => {
  const tilted = (deg: number, sdDeg: number, from: string) => {
    const up = [Math.sin(deg * DEG), Math.cos(deg * DEG), 0];
    return verticalEstimate(from, up, roundCovariance(up, sdDeg * DEG));
  };

  test('weights are those of inverse variances, the interval that of both', () => {
    const joint = combineVerticals([tilted(0, 0.1, 'a'), tilted(0.3, 0.2, 'b')]);
    // (0·4 + 0.3·1)/5 = 0.06°; 1/√(1/0.01 + 1/0.04) = 0.0894°
    expectClose(Math.atan2(joint.up[0], joint.up[1]) / DEG, 0.06, 1e-4, 'mean');
    expectClose(joint.halfWidth95Deg, 2.4477 * 0.08944, 1e-3, 'half width');
    expect(joint.from).toBe('a + b');
  });

  test('a source that contradicts the others is named', () => {
    let found: unknown;
    try {
      combineVerticals([tilted(0, 0.1, 'string'), tilted(0.1, 0.1, 'floor'), tilted(3, 0.1, 'upright')]);
    } catch (error) {
      found = error;
    }
    expect(found).toMatchObject({ code: 'verticals-disagree', facts: { source: 'upright' } });
  });

  test('the standing athlete is a weak source: several degrees', () => {
    const moment = { midAnkle: [0, 0.1, 0], upper: [0.02, 1.4, 0], toRight: [0, 0, 0.4] };
    const found = verticalFromStanding([moment, moment, moment]);
    expect(found.halfWidth95Deg).toBeGreaterThan(5);
    expect(angleToUp(found.up)).toBeLessThan(1);
    expect(codeOf(() => verticalFromStanding([moment]))).toBe('standing-too-short');
  });

  test('the rig’s own doubt about the cameras widens every source', () => {
    const moment = { kind: 'level surface', levelSdDeg: 0.1, pixelSdPx: 0.01 } as const;
    const marks = {
      cameras: cameras.map(({ name }) => name),
      pixel: Float64Array.from(
        [
          [-0.3, -0.4],
          [0.4, -0.3],
          [0.3, 0.5],
        ].flatMap(([x, z]) => cameras.flatMap((camera) => seen(camera, [x, 0, z]))),
      ),
    };
    const sure = verticalFrom(cameras, null, [{ ...moment, marks }], 0)!;
    const unsure = verticalFrom(cameras, null, [{ ...moment, marks }], 0.2)!;
    expectClose(sure.halfWidth95Deg, 0.245, 0.01, 'sure');
    expectClose(unsure.halfWidth95Deg, 2.4477 * Math.hypot(0.1, 0.2), 0.01, 'unsure');
    expect(verticalFrom(cameras, null, [], 0.1)).toBeNull();
  });
});

describe('placing', () => {
  test('Y is up, the floor at 0, distances and pictures unchanged', () => {
    const up = [0.1, -0.9, 0.3].map((x) => x / Math.hypot(0.1, 0.9, 0.3));
    const floor = Float64Array.from([1, 2, 3].flatMap((k) => [0.3 * k, -1.2, 0.2 * k]));
    const { cameras: turnedCameras, world } = placeRig(cameras, up, { points: floor, heightM: 0.03 });
    const at = (p: readonly number[]) =>
      [0, 1, 2].map(
        (k) =>
          world.rotation[3 * k] * p[0] +
          world.rotation[3 * k + 1] * p[1] +
          world.rotation[3 * k + 2] * p[2] +
          world.translation[k],
      );
    const [a, b] = [at([0, 0, 0]), at(up)];
    expectAllClose(
      b.map((x, k) => x - a[k]),
      UP,
      1e-12,
      'up becomes Y',
    );
    expectClose([1, 2, 3].map((k) => at([0.3 * k, -1.2, 0.2 * k])[1]).sort((x, y) => x - y)[1], 0.03, 1e-12, 'floor');
    const point = [0.2, 1.1, -0.3];
    expectAllClose(seen(turnedCameras[1], at(point)), seen(cameras[1], point), 1e-9, 'picture');
  });
});
