import { readFileSync } from 'node:fs';
import { describe, expect, test } from '@jest/globals';
import { type KnownLensRecord, lensJsonSchema, parseLenses, serialiseLenses } from '../../src/cameras/lens-file.ts';
import { DataError } from '../../src/errors.ts';
import { camera } from './synthetic-cameras.ts';

const RECORD: KnownLensRecord = {
  camera: {
    ...camera({ name: 'left', distortion: [0.06, -0.1, 0, 0, 0] }),
    rotation: Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1),
    translation: new Float64Array(3),
  },
  mode: { from: 'video', width: 1920, height: 1080 },
  parameters: ['fx', 'fy', 'cx', 'cy', 'k1', 'k2'],
  covariance: Float64Array.from({ length: 36 }, (_, k) => (k % 7 === 0 ? 0.1 / 3 : 1e-7 * k)),
  rmsPx: 0.2,
  views: 12,
  coverage: 0.61,
  tiltRangeDeg: 48.2,
  notes: ['one', 'two'],
};

const json = () => JSON.parse(serialiseLenses([RECORD]));

function refusal(change: (one: { [key: string]: never }) => void): DataError {
  const changed = json();
  change(changed);
  try {
    parseLenses(changed, 'l.json');
  } catch (error) {
    if (error instanceof DataError) return error;
    throw error;
  }
  throw new Error('nothing was refused');
}

describe('lens.json', () => {
  test('what is written is read back to the last digit, rows of numbers on one line', () => {
    expect(parseLenses(json(), 'l.json')).toEqual([RECORD]);
    expect(serialiseLenses([RECORD]).split('\n').length).toBeLessThan(60);
  });

  test('docs/lens.schema.json is the schema that is used', () => {
    const published = readFileSync(new URL('../../docs/lens.schema.json', import.meta.url), 'utf8');
    expect(JSON.parse(published)).toEqual(lensJsonSchema());
  });

  test('a rig file, a covariance of another width, a missing field: each named', () => {
    expect(refusal((one) => Object.assign(one, { kind: 'camera rig' })).code).toBe('lens-file-kind');
    const narrow = refusal((one) => Object.assign(one.lenses[0], { fitted: ['fx', 'fy'] }));
    expect([narrow.code, narrow.facts.field]).toEqual(['lens-field-wrong', 'lenses.0.covariance']);
    const missing = refusal((one) => Object.assign(one.lenses[0], { focal_px: undefined }));
    expect([missing.code, missing.facts.field]).toEqual(['lens-field-wrong', 'lenses.0.focal_px']);
  });
});
