import { readFileSync } from 'node:fs';
import { describe, expect, test } from '@jest/globals';
import type { CameraRig } from '../../src/cameras/rig.ts';
import { parseRig, rigJsonSchema, serialiseRig } from '../../src/cameras/rig-file.ts';
import { DataError } from '../../src/errors.ts';
import { expectAllClose } from '../expect-close.ts';
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
