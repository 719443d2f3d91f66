import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from '@jest/globals';
import { readC3d } from '../../src/capture/c3d/read-c3d.ts';
import { channelValues } from '../../src/capture/c3d/read-data.ts';
import { LABELS, lifterC3d } from '../capture/c3d/lifter-file.ts';
import { expectClose } from '../expect-close.ts';
import { run } from './run.ts';

/* A recording whose points and force plates come from a C3D file, analysed, and written as C3D again. */

const folder = mkdtempSync(join(tmpdir(), 'kneeward-c3d-'));
const at = (name: string) => join(folder, name);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

beforeAll(async () => {
  const labels = Object.entries(LABELS).map(([name, label]) => `${name}: ${label}`);
  writeFileSync(at('lift.c3d'), lifterC3d());
  writeFileSync(
    at('recording.yaml'),
    `kneeward: 1
recording: lab-1
athlete: { id: X, sex: male, mass_kg: 78 }
lift: { kind: squat }
load: { total_kg: 0 }
c3d:
  file: lift.c3d
  labels: { ${labels.join(', ')} }
  axes: { forward: "-y", up: "+z" }
  force_plates: [{ number: 1, foot: left }, { number: 2, foot: right }]
`,
  );
  const { code, stderr } = await run(
    'analyse',
    at('recording.yaml'),
    '--out',
    at('out'),
    '--no-intervals',
    '--c3d',
    '--quiet',
  );
  expect({ code, stderr: code === 0 ? '' : stderr }).toEqual({ code: 0, stderr: '' });
}, 120_000);

const frames = () => {
  const [header, ...rows] = readFileSync(at('out/frames.csv'), 'utf8')
    .trim()
    .split('\n')
    .map((line) => line.split(','));
  return { rows: rows.length, column: (name: string) => rows.map((row) => row[header.indexOf(name)]) };
};

test('a C3D file where a recording file belongs, and no labels: each says what to write', async () => {
  const direct = await run('analyse', at('lift.c3d'), '--out', at('never'));
  expect(direct.code).toBe(1);
  expect(direct.stderr).toMatch(/C3D file.*"c3d:"/);
  const text = readFileSync(at('recording.yaml'), 'utf8').replace(/labels: \{.*\}/, 'labels: {}');
  writeFileSync(at('no-labels.yaml'), text);
  const bare = await run('check', at('no-labels.yaml'));
  expect(bare.code).toBe(1);
  expect(bare.stderr).toMatch(/no-labels\.yaml, line 8: c3d\.labels names no point/);
});

test('check says that the C3D file can be used, and what of it is not', async () => {
  const { code, stdout } = await run('check', at('recording.yaml'));
  expect(code).toBe(0);
  expect(stdout).toMatch(/CAL1/);
});

test('points and centre of mass are those of the analysis, in mm, unknown ones missing', () => {
  const { points, frames: count, frameRateHz } = readC3d(at('out/lift.c3d'), null);
  const table = frames();
  expect([count, frameRateHz, points.unit]).toEqual([table.rows, 100, 'mm']);
  expect(points.labels).toEqual(expect.arrayContaining(['left_hip', 'right_ankle', 'com', 'measured_cop']));
  const com = points.labels.indexOf('com');
  for (let frame = 0; frame < count; frame += 29) {
    ['com_x_m', 'com_y_m', 'com_z_m'].forEach((name, k) => {
      const written = table.column(name)[frame];
      const found = points.position[3 * (frame * points.count + com) + k];
      // The table has seven digits, the file float32.
      if (written === '') expect(found).toBeNaN();
      else expectClose(found, 1000 * Number(written), 1e-3, `${name}, frame ${frame}`);
    });
  }
});

test('every moment of frames.csv is a channel in Nm with its definition; 0 with known = 0 where the table is empty', () => {
  const c3d = readC3d(at('out/lift.c3d'), null);
  const table = frames();
  const header = readFileSync(at('out/frames.csv'), 'utf8').split('\n', 1)[0].split(',');
  const moments = header.filter((name) => name.endsWith('_nm') && table.column(name).some((cell) => cell !== ''));
  expect(moments).toEqual(expect.arrayContaining(['hip_moment_both_nm', 'knee_moment_left_nm']));
  for (const name of moments) {
    const channel = c3d.analog.labels.indexOf(name.slice(0, -3));
    expect({ name, unit: c3d.analog.units[channel] }).toEqual({ name, unit: 'Nm' });
    const values = channelValues(c3d.analog, channel);
    const flag = c3d.analog.labels.indexOf(`${name.slice(0, -3)}_known`);
    const known = flag < 0 ? null : channelValues(c3d.analog, flag);
    table.column(name).forEach((cell, frame) => {
      if (cell === '') expect([values[frame], known?.[frame]]).toEqual([0, 0]);
      else {
        expectClose(values[frame], Number(cell), 1e-6 * Math.abs(Number(cell)) + 1e-9, `${name}, frame ${frame}`);
        expect(known?.[frame] ?? 1).toBe(1);
      }
    });
  }
});

test('the file that was written is taken as a recording again', async () => {
  const { points } = readC3d(at('out/lift.c3d'), null);
  const names = Object.keys(LABELS).filter((name) => points.labels.includes(name));
  writeFileSync(
    at('again.yaml'),
    `kneeward: 1
recording: again
athlete: { id: X, mass_kg: 78 }
lift: { kind: squat }
load: { total_kg: 0 }
c3d: { file: out/lift.c3d, labels: { ${names.map((name) => `${name}: ${name}`).join(', ')} }, axes: { forward: "+x", up: "+y" } }
`,
  );
  expect((await run('check', at('again.yaml'))).code).toBe(0);
});

test('without --c3d none is written', async () => {
  const { code } = await run('analyse', at('recording.yaml'), '--out', at('plain'), '--no-intervals', '--quiet');
  expect(code).toBe(0);
  expect(() => readFileSync(at('plain/lift.c3d'))).toThrow();
}, 60_000);
