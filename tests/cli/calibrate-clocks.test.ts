import { copyFileSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from '@jest/globals';
import { Command } from 'commander';
import { registerCalibrateClocks } from '../../src/cli/calibrate-clocks.ts';
import { DataError } from '../../src/errors.ts';
import { expectClose } from '../expect-close.ts';

/** The demo's second phone started 13 ms after the first (tests/synthetic/demo.ts); both read out in 18 ms. */
const TRUE_OFFSET_S = 0.013;
const DEMO = 'datasets/demo-study';
const SET = `${DEMO}/recordings/A01-knees-flat`;
const folder = mkdtempSync(join(tmpdir(), 'calibrate-clocks-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Runs `calibrate clocks …` as the command line does, and keeps what it prints. */
async function clocks(...args: string[]): Promise<{ out: string; err: string }> {
  const printed = { out: '', err: '' };
  const { write: toOut } = process.stdout;
  const { write: toErr } = process.stderr;
  process.stdout.write = ((text: string) => {
    printed.out += text;
    return true;
  }) as typeof toOut;
  process.stderr.write = ((text: string) => {
    printed.err += text;
    return true;
  }) as typeof toErr;
  try {
    const program = new Command().exitOverride();
    registerCalibrateClocks(program.command('calibrate'));
    await program.parseAsync(['calibrate', 'clocks', ...args], { from: 'user' });
  } finally {
    process.stdout.write = toOut;
    process.stderr.write = toErr;
  }
  return printed;
}

describe('calibrate clocks', () => {
  const json = join(folder, 'clocks.json');
  const svg = join(folder, 'figure.svg');
  let printed = { out: '', err: '' };
  beforeAll(async () => {
    // The recording states no offsets: the search is on its own.
    const text = readFileSync(`${SET}/recording.yaml`, 'utf8').replace(/offset_s: [\d.]+, /g, '');
    for (const file of ['left.json.gz', 'left-bar.csv.gz', 'right.json.gz', 'right-bar.csv.gz']) {
      copyFileSync(`${SET}/${file}`, join(folder, file));
    }
    copyFileSync(`${DEMO}/rig.json`, join(folder, 'rig.json'));
    writeFileSync(join(folder, 'recording.yaml'), text.replace('rig: ../../rig.json', 'rig: rig.json'));
    printed = await clocks(join(folder, 'recording.yaml'), '--out', json, '--figure', svg);
  });

  test('finds what the demo was made with; results on stdout, talk on stderr', () => {
    const found = JSON.parse(readFileSync(json, 'utf8'));
    const right = found.cameras[1];
    expectClose(right.offset_s, TRUE_OFFSET_S, 1.5 * right.offset_half_width_95_s, 'offset');
    expect(right.offset_half_width_95_s).toBeLessThan(0.05 / 60);
    expect(right.picture).toBe('stands');
    const line = /camera: right, offset_s: ([\d.]+)/.exec(printed.out);
    expectClose(Number(line?.[1]), right.offset_s, 1e-6, 'printed line');
    expect(printed.err).not.toBe('');
    expect(printed.out).not.toContain('Written');
  });

  test('files hold no unknown numbers', () => {
    expect(readFileSync(json, 'utf8')).not.toMatch(/NaN|undefined|Infinity/);
    expect(readFileSync(svg, 'utf8')).toContain('camera right');
  });

  test('one view alone has no clock to set', async () => {
    const points = join(folder, 'points.yaml');
    const text = readFileSync(join(folder, 'recording.yaml'), 'utf8');
    writeFileSync(
      points,
      text
        .replace(/^rig: .*\n/m, '')
        .replace(/^views:\n(?: {2}- .*\n)+/m, (views) => `${views.split('\n').slice(0, 2).join('\n')}\n`)
        .replace('views:', 'rig: rig.json\nviews:'),
    );
    await expect(clocks(points)).rejects.toThrow(DataError);
    await expect(clocks(points)).rejects.toMatchObject({ code: 'clock-needs-two-views' });
  });
});
