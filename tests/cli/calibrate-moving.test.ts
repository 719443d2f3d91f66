import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, expect, test } from '@jest/globals';
import { cameraCentre } from '../../src/cameras/camera-model.ts';
import { parseRig } from '../../src/cameras/rig-file.ts';
import { expectClose } from '../expect-close.ts';
import { run } from './run.ts';

const DEMO = fileURLToPath(new URL('../../datasets/demo-study/', import.meta.url));
const LENSES = join(DEMO, 'rig.json');
const RECORDING = join(DEMO, 'recordings/A01-hips-flat/recording.yaml');
const folder = mkdtempSync(join(tmpdir(), 'moving-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const rigAt = (file: string) => parseRig(JSON.parse(readFileSync(file, 'utf8')), file);
function apart(file: string): number {
  const [a, b] = rigAt(file).cameras.map(cameraCentre);
  return Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
}

test('a rig from the barbell and joints of the demo: distance of the cameras as the demo was filmed', async () => {
  const out = join(folder, 'bar');
  const { code, stdout } = await run(
    ...['calibrate', 'rig', 'barbell', RECORDING, '--lenses', LENSES, '--bar', 'women', '--quiet', '--out', out],
  );
  expect(code).toBe(0);
  // Accepted scale error: 0.2 %, as the long check of simulated rigs asks for.
  expectClose(apart(join(out, 'rig.json')) / apart(LENSES), 1, 0.002, 'scale');
  expect(rigAt(join(out, 'rig.json')).quality.measured?.vertical).toBeNull();
  expect(stdout).toMatch(/upright|vertical/);
});

test('no length, lens of another camera, three ends: each named', async () => {
  const barbell = (...args: string[]) =>
    run('calibrate', 'rig', 'barbell', RECORDING, '--quiet', '--out', join(folder, 'never'), ...args);
  const other = join(folder, 'other.json');
  writeFileSync(other, readFileSync(LENSES, 'utf8').replaceAll('"left"', '"front"'));
  const missing = await barbell('--lenses', other, '--bar', 'women');
  expect([missing.code, missing.stderr]).toEqual([1, expect.stringMatching(/left.*front, right/s)]);
  const stick = join(folder, 'stick.csv');
  writeFileSync(stick, 'camera,time_s,end,u,v\nleft,0,a,1,1\nleft,0,b,2,2\nleft,0,c,3,3\nright,0,a,1,1\n');
  const said = await run('calibrate', 'rig', 'stick', stick, '--lenses', LENSES, '--length-mm', '1000', '--quiet');
  expect([said.code, said.stderr]).toEqual([1, expect.stringMatching(/two ends.*3: a, b, c/)]);
});
