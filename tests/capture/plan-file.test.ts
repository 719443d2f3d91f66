import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from '@jest/globals';
import { readPlanFile } from '../../src/capture/plan-file.ts';
import { planJsonSchema } from '../../src/capture/plan-schema.ts';
import { DataError } from '../../src/errors.ts';

const folder = mkdtempSync(join(tmpdir(), 'plan-file-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const file = join(folder, 'plan.yaml');
const read = (...lines: string[]) => {
  writeFileSync(file, `${['kneeward: 1', 'plan: test', ...lines].join('\n')}\n`);
  return readPlanFile(file, null);
};
const fault = (...lines: string[]): DataError => {
  try {
    read(...lines);
  } catch (error) {
    if (error instanceof DataError) return error;
    throw error;
  }
  throw new Error('no fault found');
};
const two = (left: string, right = '') => [
  'cameras:',
  `  - { name: a, side: left, ${left} }`,
  `  - { name: b, side: right${right} }`,
];

describe('plan.yaml', () => {
  test('an empty plan is two like phones, one on each side', () => {
    const plan = read();
    expect(plan.cameras.map(({ name, side }) => [name, side])).toEqual([
      ['left', 'left'],
      ['right', 'right'],
    ]);
    expect(plan.cameras[0]).toMatchObject({
      angleDeg: 45,
      distanceM: 4,
      imageWidth: 1080,
      imageHeight: 1920,
      frameRateHz: 60,
    });
    expect(plan.smoothing).toEqual({ kind: 'fixed', legsHz: 6, trunkHz: 3, barHz: 3 });
    expect(plan.room).toBeNull();
  });

  test('an angle of view of 90° along the longer side is a focal length of half that side', () => {
    expect(read(...two('field_of_view_deg: 90')).cameras[0].focalPx).toBeCloseTo(960, 9);
    expect(read(...two('field_of_view_deg: 90, image_size_px: [3840, 2160]')).cameras[0].focalPx).toBeCloseTo(1920, 9);
  });

  test.each([
    ['plan-camera-twice', ['cameras:', '  - { name: a, side: left }', '  - { name: a, side: right }'], { line: 5 }],
    ['plan-lens-twice', two('focal_px: 1500, field_of_view_deg: 60'), { line: 4 }],
    ['plan-bar-too-heavy', ['load: { total_kg: 10, bar: { mass_kg: 20 } }'], { barKg: 20, totalKg: 10 }],
    ['plan-outside-room', ['room: { front_m: 2, behind_m: 2, left_m: 2, right_m: 2 }'], { limitM: 2 }],
  ] as const)('%s', (code, lines, facts) => {
    expect(fault(...lines)).toMatchObject({ code, facts });
  });

  test('a misspelt field is named with the one that was meant', () => {
    expect(fault(...two('distance: 4')).facts).toMatchObject({ field: 'cameras[0].distance' });
  });

  test('docs/plan.schema.json is that of the code', () => {
    const written = readFileSync(new URL('../../docs/plan.schema.json', import.meta.url), 'utf8');
    expect(JSON.parse(written)).toEqual(JSON.parse(JSON.stringify(planJsonSchema())));
  });
});
