import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from '@jest/globals';
import { hashSeed, type Random, seededRandom } from '../../src/numerics/random.ts';
import { imageOf, type SyntheticCamera } from '../synthetic/camera.ts';
import { DEMO_RECORDINGS, demoFilming, liftOf } from '../synthetic/demo.ts';
import { film } from '../synthetic/film.ts';
import { recordingFiles, rigFile } from '../synthetic/write.ts';
import { run } from './run.ts';

/*
 * Every file a user may hand over, spoilt at random: bytes turned, text cut off, lines and fields lost, doubled, exchanged,
 * values replaced. Whatever comes of it is a result without a trace of NaN, or one message and no output. Seeded: a failure
 * is the same everywhere. A film of one invented repetition at 20 frames a second keeps it short.
 */

const SEED = 20260304;
const MUTATIONS = 135;
/** Each so many files are analysed to the last figure, which takes a hundred times as long as a check. */
const ANALYSED_EVERY = 16;
/** Intervals take some 150 runs of the analysis: this many-th mutation has them. */
const WITH_INTERVALS_EVERY = 11;

const CONTROL = [
  'control-points',
  '--points',
  'control.csv',
  '--pixels',
  'marks.csv',
  '--up',
  '+y',
  '--image-size',
  '1080x1920',
];
/** File that is spoilt, and the command that reads it. */
const TARGETS: readonly (readonly [file: string, command: readonly string[]])[] = [
  ['recording.yaml', ['check', 'recording.yaml']],
  ['study.yaml', ['check', 'study.yaml']],
  ['rig.json', ['check', 'recording.yaml']],
  ['left.json', ['check', 'recording.yaml']],
  ['left-bar.csv', ['check', 'recording.yaml']],
  ['force-left.csv', ['check', 'recording.yaml']],
  ['control.csv', ['calibrate', ...CONTROL]],
  ['marks.csv', ['calibrate', ...CONTROL]],
  [
    'dlt.csv',
    ['calibrate', 'dlt-coefficients', 'dlt.csv', '--pixel-y', 'down', '--up', '+y', '--image-size', '1080x1920'],
  ],
];

const VALUES = [
  ...[
    '',
    'NaN',
    '.nan',
    'Infinity',
    '-.inf',
    '1e308',
    '1e309',
    '1e-320',
    '-1',
    '0',
    '99999999999999999999',
    '1,5',
    '3.7',
  ],
  ...[
    'abc',
    '"',
    '"12"',
    'null',
    '~',
    'true',
    '[]',
    '{}',
    '[1, 2, 3]',
    '__proto__',
    '*x',
    '!!float 1',
    '2026-02-30',
    '☃',
  ],
];
const NUMBER = /-?\d+(?:\.\d+)?/g;
const WORD = /"?[A-Za-z_][\w ]*"?/g;
const FIELD = /"?[A-Za-z_]\w*"?\s*:\s*[^,}\n]*,?/g;

const pick = <T>(random: Random, from: readonly T[]): T => from[random.integer(from.length)];

function replaceOne(random: Random, text: string, pattern: RegExp, by: string): string {
  const found = [...text.matchAll(pattern)];
  if (found.length === 0) return text.slice(1);
  const { index, 0: old } = pick(random, found);
  return text.slice(0, index) + by + text.slice(index + old.length);
}

const MUTANTS: readonly ((random: Random, text: string) => string | Uint8Array)[] = [
  (random, text) => {
    const bytes = Buffer.from(text);
    bytes[random.integer(bytes.length)] ^= 1 << random.integer(8);
    return bytes;
  },
  (random, text) => text.slice(0, random.integer(text.length)),
  (random, text) => {
    const lines = text.split('\n');
    lines.splice(random.integer(lines.length), 1 + random.integer(3));
    return lines.join('\n');
  },
  (random, text) => {
    const lines = text.split('\n');
    lines.splice(random.integer(lines.length), 0, pick(random, lines));
    return lines.join('\n');
  },
  (random, text) => {
    const lines = text.split('\n');
    const [a, b] = [random.integer(lines.length), random.integer(lines.length)];
    [lines[a], lines[b]] = [lines[b], lines[a]];
    return lines.join('\n');
  },
  (random, text) => replaceOne(random, text, NUMBER, pick(random, VALUES)),
  (random, text) => replaceOne(random, text, NUMBER, pick(random, text.match(NUMBER)!)),
  (random, text) => replaceOne(random, text, WORD, pick(random, VALUES)),
  (random, text) => replaceOne(random, text, FIELD, ''),
  (random, text) => {
    const column = random.integer(text.split('\n')[0].split(',').length);
    const [value, factor] = [pick(random, VALUES), pick(random, [10, 1000, -1, 0, 1e30])];
    const spoil = (cell: string) =>
      random.integer(2) === 0 || Number.isNaN(Number(cell)) ? value : String(Number(cell) * factor);
    return text
      .split('\n')
      .map((line, row) =>
        row === 0
          ? line
          : line
              .split(',')
              .map((cell, c) => (c === column ? spoil(cell) : cell))
              .join(','),
      )
      .join('\n');
  },
];

let folder: string;
const home = process.cwd();
const good = new Map<string, string>();

beforeAll(() => {
  const recorded = {
    ...DEMO_RECORDINGS[0],
    plan: { ...DEMO_RECORDINGS[0].plan, repetitions: 1, descentS: 1, ascentS: 1 },
  };
  const lift = liftOf(recorded, 'inside');
  const views = film(lift, { ...demoFilming(recorded), frameRateHz: 20, placement: { headingRad: 0, placeM: [0, 0] } });
  const cameras = views.map(({ camera }) => camera);
  const header = {
    id: 'R1',
    date: null,
    condition: { heel: 'flat' },
    rig: 'rig.json',
    settings: ['gap_limit_s: 0.2'],
    forcePlates: true,
  };
  const files = recordingFiles(lift, views, header);
  for (const { path, text } of files) good.set(path.replace('.gz', ''), text.replaceAll('.gz', ''));
  good.set('rig.json', rigFile(cameras));
  good.set(
    'study.yaml',
    'kneeward: 1\nstudy: S1\ntitle: A study\nseed: 3\nrecordings:\n  - recording.yaml\nsettings: { gap_limit_s: 0.1 }\n',
  );
  const points = [-0.5, 0.5].flatMap((x) =>
    [0, 0.9, 1.8].flatMap((y) => [-0.6, 0.6].map((z) => [x + 0.1 * y * z, y, z] as const)),
  );
  const rows = (of: (point: (typeof points)[number], i: number) => string) => points.map(of).join('\n');
  good.set('control.csv', `point,x,y,z\n${rows((point, i) => `p${i},${point.join(',')}`)}\n`);
  good.set(
    'marks.csv',
    `camera,point,u,v\n${cameras.map((camera) => rows((point, i) => `${camera.name},p${i},${imageOf(camera, point)!.join(',')}`)).join('\n')}\n`,
  );
  good.set('dlt.csv', dltCsv(cameras));
  folder = mkdtempSync(join(tmpdir(), 'kneeward-mutations-'));
  process.chdir(folder);
  for (const [name, text] of good) writeFileSync(name, text);
});
afterAll(() => {
  process.chdir(home);
  rmSync(folder, { recursive: true, force: true });
});

/** L1 … L11 of cameras without their lens: the rows of K [R | −R c], divided by the last (Abdel-Aziz & Karara 1971). */
function dltCsv(cameras: readonly SyntheticCamera[]): string {
  const columns = cameras.map(({ focalPx: f, principalPointPx: [cx, cy], axes, centre }) => {
    const k = [[f, 0, cx], [0, f, cy], [0, 0, 1]]; // biome-ignore format: a matrix
    const p = k.map((row) => [0, 1, 2].map((c) => row.reduce((sum, value, i) => sum + value * axes[i][c], 0)));
    const all = p.flatMap((row) => [...row, -row.reduce((sum, value, c) => sum + value * centre[c], 0)]);
    return all.slice(0, 11).map((value) => value / all[11]);
  });
  const lines = Array.from({ length: 11 }, (_, i) => `L${i + 1},${columns.map((column) => column[i]).join(',')}`);
  return `${['coefficient,left,right', ...lines].join('\n')}\n`;
}

const filesIn = (path: string): string[] =>
  readdirSync(path).flatMap((name) =>
    statSync(join(path, name)).isDirectory() ? filesIn(join(path, name)) : [join(path, name)],
  );

/** What no table, figure, report or terminal may show. */
const TRACES = /\bNaN\b|(?<![A-Za-z])Infinity\b|\bundefined\b|\[object/;
/** What no message may show: the program's own inside, or another library's words. A user's own NaN may be quoted. */
const INSIDES =
  /undefined|\[object|does not know|\bat .*:\d+:\d+|Invalid input|expected \w+ to|Cannot read|is not a function|E[A-Z]{5,}:/;

/** What a reader of the file sees: code in a page, and its packed data, are no text. */
function readable(file: string): string {
  const text = readFileSync(file, 'utf8');
  return file.endsWith('.html') ? text.replace(/<script\b[\s\S]*?<\/script>/g, '') : text;
}

async function command(args: readonly string[]) {
  const writes = args[0] !== 'check';
  const to = args[0] === 'calibrate' ? 'out/rig.json' : 'out';
  const ran = await run(...args, ...(writes ? ['--out', to] : []));
  const traces = existsSync('out') ? filesIn('out').filter((file) => TRACES.test(readable(file))) : [];
  const made = existsSync('out');
  rmSync('out', { recursive: true, force: true });
  return { ...ran, made, traces };
}

/** What is wrong with how the program took it; empty where nothing is. */
function faultsOf({ code, stdout, stderr, made, traces }: Awaited<ReturnType<typeof command>>): string[] {
  const faults = traces.map((file) => `NaN in ${file}`);
  if (code === 0) {
    if (TRACES.test(stdout)) faults.push('NaN on the terminal');
    return faults;
  }
  if (code !== 1 && code !== 2) faults.push(`exit code ${code}`);
  if (made) faults.push('output beside a message');
  if (stderr.trimEnd().split('\n').length !== 1) faults.push('not one message');
  if (INSIDES.test(stderr)) faults.push("the program's inside in the message");
  if (!/\.(yaml|json|csv)\b/.test(stderr)) faults.push('no file named');
  return faults;
}

test('the files before they are spoilt are taken', async () => {
  for (const args of new Set(TARGETS.map(([, args]) => args))) {
    const outcome = await command(args);
    expect({ args, code: outcome.code, stderr: outcome.code === 0 ? '' : outcome.stderr }).toEqual({
      args,
      code: 0,
      stderr: '',
    });
    expect(outcome.traces).toEqual([]);
  }
}, 90_000);

test(`${MUTATIONS} spoilt files: a clean result, or one message and no output`, async () => {
  const codes = new Map<number, number>();
  const bad: string[] = [];
  for (let i = 0; i < MUTATIONS; i++) {
    const [file, reading] = TARGETS[i % TARGETS.length];
    const asked = reading[0] === 'check' && i % ANALYSED_EVERY === 0 ? ['analyse', reading[1], '--quiet'] : reading;
    const plain = asked[0] === 'analyse' && i % WITH_INTERVALS_EVERY !== 0;
    const args = plain ? [...asked, '--no-intervals'] : asked;
    const random = seededRandom(hashSeed(SEED, i));
    writeFileSync(file, pick(random, MUTANTS)(random, good.get(file)!));
    const outcome = await command(args);
    for (const fault of faultsOf(outcome)) bad.push(`mutation ${i} of ${file}: ${fault}: ${outcome.stderr}`);
    codes.set(outcome.code, (codes.get(outcome.code) ?? 0) + 1);
    writeFileSync(file, good.get(file)!);
  }
  expect(bad).toEqual([]);
  // Both ends are reached: the mutations are neither all harmless nor all fatal.
  expect(codes.get(0)).toBeGreaterThan(MUTATIONS / 10);
  expect(codes.get(1)).toBeGreaterThan(MUTATIONS / 3);
}, 120_000);
