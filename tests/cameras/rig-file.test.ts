import { readFileSync } from 'node:fs';
import { describe, expect, test } from '@jest/globals';
import { undistortInto } from '../../src/cameras/camera-model.ts';
import { invertibleRadius } from '../../src/cameras/distortion.ts';
import { lensFold } from '../../src/cameras/lens-fold.ts';
import type { CameraRig, MeasuredQuality } from '../../src/cameras/rig.ts';
import { parseRig, rigJsonSchema, serialiseRig } from '../../src/cameras/rig-file.ts';
import { DataError } from '../../src/errors.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { camera, MODERATE_DISTORTION } from './synthetic-cameras.ts';

const rig: CameraRig = {
  kneeward: 1,
  cameras: [
    camera({ name: 'left', distortion: MODERATE_DISTORTION, skew: 0.1 }),
    camera({ name: 'right', pixelLens: { fx: 526, fy: 527, cx: 320, cy: 255, distortion: [-0.3, 0.1, 0, 0, 0] } }),
  ],
  quality: { method: 'control points', reprojectionRmsPx: 0.7, pointsUsed: 24, notes: ['a note with "quotes"'] },
  synthetic: true,
};
type Json = Record<string, never>;
const json = () => JSON.parse(serialiseRig(rig));

function refusal(change: (one: Json) => void): DataError {
  const changed = json();
  change(changed);
  try {
    parseRig(changed, 'r.json');
  } catch (error) {
    if (error instanceof DataError) return error;
    throw error;
  }
  throw new Error('nothing was refused');
}

/** Sets a value at a path of keys. */
const set = (path: readonly (string | number)[], value: unknown) => (one: Json) => {
  let at = one as unknown as Record<string | number, unknown>;
  for (const key of path.slice(0, -1)) at = at[key] as Record<string | number, unknown>;
  const last = path[path.length - 1];
  if (value === undefined) delete at[last];
  else at[last] = value;
};

describe('rig.json', () => {
  test('what is written is read back to the last digit', () => {
    expect(parseRig(json(), 'r.json')).toEqual(rig);
  });

  test('rows of a rotation and all vectors stand on one line', () => {
    const text = serialiseRig(rig);
    const row = [...rig.cameras[0].rotation.subarray(0, 3)].join(', ');
    expect(text).toContain(`[${row}]`);
    expect(text.split('\n').length).toBeLessThan(60);
    expect(text.endsWith('}\n')).toBe(true);
  });

  test('distortion, skew and quality may be left out', () => {
    const short = {
      kneeward: 1,
      kind: 'camera rig',
      cameras: [
        {
          name: 'a',
          image_size_px: [640, 480],
          focal_px: [500, 500],
          principal_point_px: [319.5, 239.5],
          distortion: { model: 'brown-conrady', k1: -0.1 },
          camera_from_world: {
            rotation: [
              [1, 0, 0],
              [0, 1, 0],
              [0, 0, 1],
            ],
            translation_m: [0, 0, 3],
          },
        },
      ],
    };
    const read = parseRig(short, 'r.json');
    expect(read.cameras[0].distortion).toEqual([-0.1, 0, 0, 0, 0]);
    expect(read.cameras[0].skew).toBe(0);
    expect(read.quality).toEqual({ method: 'stated', reprojectionRmsPx: null, pointsUsed: null, notes: [] });
    expect(read.synthetic).toBe(false);
  });

  test('a rotation copied with six digits is made orthonormal; with three it is refused', () => {
    const rounded = (digits: number) =>
      [0, 3, 6].map((o) => [...rig.cameras[0].rotation.subarray(o, o + 3)].map((x) => Number(x.toFixed(digits))));
    const six = json();
    set(['cameras', 0, 'camera_from_world', 'rotation'], rounded(6))(six);
    const r = parseRig(six, 'r.json').cameras[0].rotation;
    expectAllClose(r, rig.cameras[0].rotation, 1e-6);
    const products = [0, 3, 6].flatMap((a) =>
      [0, 3, 6].map((b) => r[a] * r[b] + r[a + 1] * r[b + 1] + r[a + 2] * r[b + 2]),
    );
    expectAllClose(products, [1, 0, 0, 0, 1, 0, 0, 0, 1], 1e-14);
    const three = refusal(set(['cameras', 0, 'camera_from_world', 'rotation'], rounded(3)));
    expect([three.code, three.facts.file, three.facts.camera]).toEqual([
      'rig-rotation-not-orthonormal',
      'r.json',
      'left',
    ]);
  });

  test.each([
    ['cameras[1].focal_px[0]', set(['cameras', 1, 'focal_px', 0], -500)],
    ['cameras[0].focal_px', set(['cameras', 0, 'focal_px'], undefined)],
    ['cameras[0].fokus_px', set(['cameras', 0, 'fokus_px'], [1, 1])],
    ['cameras[0].distortion.model', set(['cameras', 0, 'distortion', 'model'], 'fisheye')],
    [
      'cameras[0].camera_from_world.translation_m[2]',
      set(['cameras', 0, 'camera_from_world', 'translation_m', 2], null),
    ],
    ['cameras[1].distortion', set(['cameras', 1, 'distortion', 'k1'], 0.1)],
    ['cameras', set(['cameras'], [])],
    ['kind', set(['kind'], 'rig')],
  ] as const)('a wrong %s is named', (field, change) => {
    const error = refusal(change);
    expect([error.code, error.facts.file, error.facts.field]).toEqual(['rig-field-wrong', 'r.json', field]);
  });

  test.each([
    ['a focal length beyond any lens', set(['cameras', 1, 'focal_px', 0], 1e12), 'must be at most 1000000'],
    [
      'a camera beyond the sky',
      set(['cameras', 0, 'camera_from_world', 'translation_m', 2], -1e308),
      'at least -1000000',
    ],
    ['half a pixel', set(['cameras', 0, 'image_size_px', 0], 10.5), '10.5 must be a whole number'],
    ['a word', set(['cameras', 0, 'skew_px'], 'abc'), '"abc" must be a number'],
    ['a row too long', set(['cameras', 0, 'focal_px'], [1, 1, 1]), 'must have 2 items'],
    ['another lens model', set(['cameras', 0, 'distortion', 'model'], 'fisheye'), '"fisheye" must be "brown-conrady"'],
  ] as const)('%s: said in words', (_, change, words) => {
    const { message } = refusal(change);
    expect(message).toContain(words);
    expect(message).not.toMatch(/expected|received|<=|>=|\?\./);
  });

  test('another version, no version, no object, a mirror, a name twice', () => {
    expect(refusal(set(['kneeward'], 2)).code).toBe('rig-version-unknown');
    expect(refusal(set(['kneeward'], undefined)).code).toBe('rig-version-unknown');
    expect(() => parseRig([1], 'r.json')).toThrow(DataError);
    const mirrored = [0, 3, 6].map((o) =>
      [...rig.cameras[0].rotation.subarray(o, o + 3)].map((x) => (o === 0 ? -x : x)),
    );
    expect(refusal(set(['cameras', 0, 'camera_from_world', 'rotation'], mirrored)).code).toBe('rig-rotation-mirrored');
    expect(refusal(set(['cameras', 1, 'name'], 'left')).code).toBe('rig-camera-named-twice');
  });

  test('docs/rig.schema.json is the schema the reader uses', () => {
    const file = new URL('../../docs/rig.schema.json', import.meta.url);
    expect(JSON.parse(readFileSync(file, 'utf8'))).toEqual(rigJsonSchema());
  });
});

const measured: MeasuredQuality = {
  cameras: [
    {
      camera: 'left',
      reprojectionRmsPx: 0.21,
      points: 702,
      views: 13,
      focalSdPx: 1.25,
      principalPointSdPx: 1.5,
      placeSdM: null,
      directionSdDeg: null,
      coverage: 0.83,
      tiltRangeDeg: 51.5,
      clock: null,
    },
    {
      camera: 'right',
      reprojectionRmsPx: 0.23,
      points: 702,
      views: 13,
      focalSdPx: null,
      principalPointSdPx: null,
      placeSdM: 0.0021,
      directionSdDeg: 0.04,
      coverage: 0.8,
      tiltRangeDeg: null,
      clock: { offsetS: -0.0123, halfWidth95S: 0.0011, drift: null },
    },
  ],
  heldOutLength: { what: 'boards', rmsM: 0.0004, share: 0.002, count: 26 },
  vertical: { from: 'plumb line', halfWidth95Deg: 0.3 },
  scale: { sdShare: 0.0012, causes: { 'bar length': 0.001, fit: 0.0007 } },
  volumeM: [-1, 0, -0.5, 1, 2, 0.5],
  covariance: { parameters: ['right.turn_x', 'right.turn_y'], lowerTriangle: [4e-8, -1e-8, 9e-8] },
};
const measuredRig: CameraRig = { ...rig, quality: { ...rig.quality, measured } };

describe('the measured quality in rig.json', () => {
  const wrong = (change: (one: Json) => void) => {
    const changed = JSON.parse(serialiseRig(measuredRig));
    change(changed);
    try {
      parseRig(changed, 'r.json');
    } catch (error) {
      if (error instanceof DataError) return [error.code, error.facts.field];
      throw error;
    }
    return 'nothing was refused';
  };
  const at = (...path: (string | number)[]) => ['quality', 'measured', ...path];

  test('is read back to the last digit, null where nothing is known', () => {
    expect(parseRig(JSON.parse(serialiseRig(measuredRig)), 'r.json')).toEqual(measuredRig);
    const nothing: MeasuredQuality = {
      cameras: [],
      heldOutLength: null,
      vertical: null,
      scale: null,
      volumeM: null,
      covariance: null,
    };
    const empty = { ...rig, quality: { ...rig.quality, measured: nothing } };
    expect(parseRig(JSON.parse(serialiseRig(empty)), 'r.json')).toEqual(empty);
  });

  test('a file without it, as older versions wrote, is read without it', () => {
    const text = serialiseRig(rig);
    expect(text).not.toContain('measured');
    expect('measured' in parseRig(JSON.parse(text), 'r.json').quality).toBe(false);
  });

  test.each([
    [at('cameras', 0, 'camera'), 'middle', 'rig-measured-wrong', 'cameras[0]'],
    [at('cameras', 1, 'camera'), 'left', 'rig-measured-wrong', 'cameras[1]'],
    [at('volume_m'), [0, 3, 0, 1, 2, 1], 'rig-measured-wrong', 'volume_m'],
    [at('covariance', 'lower_triangle'), [1, 0], 'rig-measured-wrong', 'covariance'],
    [at('covariance', 'lower_triangle'), [1, 0, 0], 'rig-measured-wrong', 'covariance'],
    [at('covariance', 'lower_triangle'), [1, 1.1, 1], 'rig-measured-wrong', 'covariance'],
    [at('cameras', 0, 'coverage_share'), 1.2, 'rig-field-wrong', 'quality.measured.cameras[0].coverage_share'],
    [at('cameras', 0, 'points'), undefined, 'rig-field-wrong', 'quality.measured.cameras[0].points'],
    [at('volume_m'), [0, 0, 0], 'rig-field-wrong', 'quality.measured.volume_m'],
    [at('verticle'), null, 'rig-field-wrong', 'quality.measured.verticle'],
  ] as const)('%j = %j is refused by name', (path, value, code, field) => {
    expect(wrong(set(path, value))).toEqual([code, field]);
  });

  test.each([
    ['quality.reprojection_rms_px', { ...rig, quality: { ...rig.quality, reprojectionRmsPx: Number.NaN } }],
    ['cameras[0].focal_px[1]', { ...rig, cameras: [{ ...rig.cameras[0], fy: Number.POSITIVE_INFINITY }] }],
    [
      'quality.measured.volume_m[4]',
      { ...rig, quality: { ...rig.quality, measured: { ...measured, volumeM: [0, 0, 0, 1, Number.NaN, 1] } } },
    ],
  ])('a number that is none is not written: %s', (field, one) => {
    expect(() => serialiseRig(one)).toThrow(
      expect.objectContaining({ code: 'rig-number-not-finite', facts: { field } }),
    );
  });
});

describe('a lens that folds the picture inside its border', () => {
  const folded = (distortion: readonly [number, number, number, number, number]) =>
    camera({ name: 'side', cx: 959.5, cy: 539.5, distortion });

  test('is refused, naming the camera and the radius of the closed form', () => {
    // k1 alone folds where 1 + 3 k1 r² = 0; that circle is seen at f r (1 + k1 r²) = f · 2/3 · r.
    const k1 = -1;
    const radiusPx = 1500 * (2 / 3) * Math.sqrt(1 / 3);
    const error = refusal((one) => {
      set(['cameras', 0, 'distortion', 'k1'], k1)(one);
      for (const term of ['k2', 'p1', 'p2', 'k3']) set(['cameras', 0, 'distortion', term], 0)(one);
    });
    expect([error.code, error.facts.camera]).toEqual(['rig-lens-folds', 'left']);
    // The message says whole pixels. Newton gives up a hair before the fold, where its slope is 0 (here 0.02 px).
    expectClose(Number(error.facts.radiusPx), radiusPx, 0.5, 'radius of the fold, px');
    expect(Number(error.facts.borderPx)).toBeGreaterThan(radiusPx);
  });

  test('whatever terms fold it: radial ones agree with invertibleRadius, tangential ones are found too', () => {
    const radial = [-0.9, 0.25, 0, 0, 0.01] as const;
    const r = invertibleRadius(radial);
    const seenAt = 1500 * r * (1 + r * r * (radial[0] + r * r * (radial[1] + r * r * radial[4])));
    expectClose(lensFold(folded(radial))!.radiusPx, seenAt, 0.5, 'px');
    const tangential = folded([0, 0, 0.6, 0, 0]);
    expect(invertibleRadius(tangential.distortion)).toBe(Number.POSITIVE_INFINITY);
    expect(lensFold(tangential)).not.toBeNull();
  });

  test('one that folds beyond the border passes: every pixel has a place in space', () => {
    // Corner at 1101 px; k1 alone reaches it while 1500 · 2/3 · r > 1101, r = √(−1 / (3 k1)), so above −0.275.
    const good = folded([-0.27, 0, 0, 0, 0]);
    expect(lensFold(good)).toBeNull();
    expect(undistortInto(new Float64Array(2), 0, good, 0, 0)).toBe(true);
    expect(lensFold(folded([-0.28, 0, 0, 0, 0]))).not.toBeNull();
  });
});
