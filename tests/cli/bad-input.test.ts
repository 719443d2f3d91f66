import { cpSync, existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { gunzipSync } from 'node:zlib';
import { afterAll, beforeAll, describe, expect, test } from '@jest/globals';
import { moved, pointsCsv, type Stick, stickLifter } from '../capture/stick-lifter.ts';
import { run } from './run.ts';

/*
 * What a user sees of a file that cannot be used: one message that names file, place, value and remedy, exit 1, no stack,
 * and nothing written. A good recording of each kind (two views; 3D points) is spoilt in one way at a time.
 */

let folder: string;
let case_ = 0;

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'kneeward-bad-'));
  const from = 'datasets/demo-study';
  cpSync(`${from}/rig.json`, join(folder, 'rig.json'));
  for (const name of ['left.json', 'right.json', 'left-bar.csv', 'right-bar.csv']) {
    const packed = readFileSync(`${from}/recordings/A03-knees-flat/${name}.gz`);
    writeFileSync(join(folder, name), gunzipSync(packed));
  }
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Views {
  readonly yaml: (text: string) => string;
  /** New contents of files beside the recording, by name; they get names of their own. */
  readonly files?: Readonly<Record<string, (text: string) => string>>;
}

const GOOD_VIEWS = `kneeward: 1
recording: R1
athlete: { id: "X", sex: male, mass_kg: 80, stature_m: 1.80 }
lift: { kind: front squat, planned_repetitions: 3 }
load: { total_kg: 100, bar: { position: front rack } }
rig: rig.json
views:
  - { camera: left, keypoints: [left.json, left-bar.csv], frame_rate_hz: 60, offset_s: 0, frames: 824 }
  - { camera: right, keypoints: [right.json, right-bar.csv], frame_rate_hz: 60, offset_s: 0.013, frames: 823 }
`;

const GOOD_POINTS = `kneeward: 1
recording: P1
athlete: { id: "X", sex: male, mass_kg: 80, stature_m: 1.80 }
lift: { kind: front squat }
load: { total_kg: 0 }
landmarks_3d: { file: points.csv, frame_rate_hz: 100, unit: m, axes: { forward: "+x", up: "+y" } }
`;

const STICK = stickLifter(300);

async function analyseText(yaml: string, files: Readonly<Record<string, string>>) {
  case_++;
  let text = yaml;
  for (const [name, contents] of Object.entries(files)) {
    const own = `case-${case_}-${name}`;
    writeFileSync(join(folder, own), contents);
    text = text.replaceAll(name, own);
  }
  const file = join(folder, `case-${case_}.yaml`);
  const out = join(folder, `out-${case_}`);
  writeFileSync(file, text);
  // Intervals come after all that can be refused, and take most of the work.
  return { ...(await run('analyse', file, '--out', out, '--quiet', '--no-intervals')), out };
}

const analyseViews = ({ yaml, files = {} }: Views) =>
  analyseText(
    yaml(GOOD_VIEWS),
    Object.fromEntries(
      Object.entries(files).map(([name, spoil]) => [name, spoil(readFileSync(join(folder, name), 'utf8'))]),
    ),
  );

const analysePoints = (stick: Stick, yaml: (text: string) => string = (text) => text, csv = (text: string) => text) =>
  analyseText(yaml(GOOD_POINTS), { 'points.csv': csv(pointsCsv(stick)) });

const same = (text: string) => text;

type Outcome = Awaited<ReturnType<typeof analyseText>>;

/** One message, exit 1, no stack, no output; the message holds every piece of `holds`. */
function expectRefused({ code, stdout, stderr, out }: Outcome, holds: readonly (string | RegExp)[]): void {
  expect(stderr.trimEnd().split('\n')).toHaveLength(1);
  expect(stderr).not.toMatch(/\bat .*:\d+:\d+|NaN|undefined|\[object/);
  for (const piece of holds) expect(stderr).toMatch(piece);
  expect(stdout).toBe('');
  expect(code).toBe(1);
  expect(existsSync(out)).toBe(false);
}

describe('the good recordings, before they are spoilt', () => {
  test('two views', async () => {
    const { code, stdout, stderr, out } = await analyseViews({ yaml: same });
    expect({ code, stderr }).toMatchObject({ code: 0 });
    expect(stdout).toMatch(/\bX\b/);
    expect(existsSync(join(out, 'report.html'))).toBe(true);
  });
  test('3D points', async () => {
    const { code, stderr, out } = await analysePoints(STICK);
    expect({ code, stderr }).toMatchObject({ code: 0 });
    expect(existsSync(join(out, 'frames.csv'))).toBe(true);
  });
});

describe('bad input', () => {
  test('missing file', async () => {
    const outcome = await analyseViews({ yaml: (text) => text.replace('left.json', 'letf.json') });
    expectRefused(outcome, [/letf\.json/, /no such file/, /left\.json/]);
  });

  test('missing recording file', async () => {
    const out = join(folder, 'out-none');
    expectRefused({ ...(await run('analyse', join(folder, 'none.yaml'), '--out', out)), out }, [/none\.yaml/]);
  });

  test('wrong landmark name', async () => {
    const outcome = await analysePoints(STICK, same, (text) => text.replaceAll('left_knee', 'left_kne'));
    expectRefused(outcome, [/points\.csv/, /left_kne"/, /left_knee/]);
  });

  test('unequal frame counts', async () => {
    const outcome = await analyseViews({
      yaml: (text) => text.replace(', offset_s: 0, frames: 824', '').replace(', offset_s: 0.013, frames: 823', ''),
      files: {
        'right.json': (text) => JSON.stringify(results(text).filter(({ image_id }) => image_id < 800)),
        'right-bar.csv': firstFrames(800),
      },
    });
    expectRefused(outcome, [/824/, /800/, /offset_s/]);
  });

  test('athlete of 0 kg', async () => {
    const outcome = await analyseViews({ yaml: (text) => text.replace('mass_kg: 80', 'mass_kg: 0') });
    expectRefused(outcome, [/mass_kg/, /\b0\b/, /line 3/]);
  });

  test('millimetres given as metres', async () => {
    const outcome = await analysePoints(moved(STICK, (x, y, z) => [1000 * x, 1000 * y, 1000 * z]));
    expectRefused(outcome, [/points\.csv/, /unit: mm/]);
  });

  test('upside-down axes', async () => {
    const outcome = await analysePoints(STICK, (text) => text.replace('up: "+y"', 'up: "-y"'));
    expectRefused(outcome, [/points\.csv/, /up/]);
  });

  test('mirrored points: left is right', async () => {
    const outcome = await analysePoints(moved(STICK, (x, y, z) => [x, y, -z]));
    expectRefused(outcome, [/points\.csv/, /left and right are exchanged/]);
  });

  test('mirrored views: both films flipped, as a detector names what it sees in them', async () => {
    const outcome = await analyseViews({
      yaml: (text) => text.replaceAll(/, (left|right)-bar\.csv/g, ''),
      files: { 'left.json': mirrored, 'right.json': mirrored },
    });
    expectRefused(outcome, [/mirror/]);
  });

  test('mirrored views: one film flipped', async () => {
    const outcome = await analyseViews({
      yaml: (text) => text.replaceAll(/, (left|right)-bar\.csv/g, ''),
      files: { 'left.json': mirrored },
    });
    expectRefused(outcome, [/mirror/]);
  });

  test('NaN everywhere', async () => {
    const outcome = await analysePoints(STICK, same, (text) =>
      text.replaceAll(/,-?[\d.e-]+,-?[\d.e-]+,-?[\d.e-]+$/gm, ',NaN,NaN,NaN'),
    );
    expectRefused({ ...outcome, stderr: outcome.stderr.replaceAll('NaN', 'not-a-number') }, [/points\.csv/]);
  });

  test('a word where a number must stand', async () => {
    const outcome = await analysePoints(STICK, same, (text) => text.replace(/^5,nose,[^,]+/m, '5,nose,abc'));
    expectRefused(outcome, [/points\.csv/, /\bx\b/, /abc/, /(line|row) \d+/]);
  });

  test('truncated JSON', async () => {
    const outcome = await analyseViews({ yaml: same, files: { 'left.json': (text) => text.slice(0, 5000) } });
    expectRefused(outcome, [/left\.json/]);
  });

  test('empty CSV', async () => {
    expectRefused(await analysePoints(STICK, same, () => ''), [/points\.csv/, /empty/]);
    expectRefused(await analysePoints(STICK, same, () => 'frame,landmark,x,y,z\n'), [/points\.csv/]);
  });

  test('a view with no confident landmark', async () => {
    const unsure = (text: string) =>
      JSON.stringify(
        JSON.parse(text).map((result: { keypoints: number[] }) => ({
          ...result,
          keypoints: result.keypoints.map((value, i) => (i % 3 === 2 ? 0.01 : value)),
        })),
      );
    const outcome = await analyseViews({
      yaml: (text) => text.replace(', right-bar.csv', ''),
      files: { 'right.json': unsure },
    });
    expectRefused(outcome, [/right/, /confiden/, /0\.3/]);
  });

  test('a recording without load', async () => {
    const outcome = await analyseViews({ yaml: (text) => text.replace(/^load:.*\n/m, '') });
    expectRefused(outcome, [/load/, /total_kg: 0/]);
  });

  test('a camera that the rig does not have', async () => {
    const outcome = await analyseViews({ yaml: (text) => text.replace('camera: left', 'camera: rear') });
    expectRefused(outcome, [/rear/, /left/, /right/]);
  });

  test('swapped cameras', async () => {
    const outcome = await analyseViews({
      yaml: (text) =>
        text
          .replace('camera: left', 'camera: middle')
          .replace('camera: right', 'camera: left')
          .replace('middle', 'right'),
    });
    expectRefused(outcome, [/exchanged/]);
  });
});

describe('check', () => {
  test('of views whose clocks are a second apart: refused with where to look, as the analysis would', async () => {
    const file = join(folder, 'late.yaml');
    writeFileSync(file, GOOD_VIEWS.replace('offset_s: 0.013', 'offset_s: 1'));
    const { code, stdout, stderr } = await run('check', file);
    expect(code).toBe(1);
    expect(`${stdout}${stderr}`).toMatch(/offset_s/);
    expect(stdout).not.toMatch(/can be used/);
  });
});

describe('a study with one bad recording', () => {
  test('reports it, analyses the others, exits 1', async () => {
    const study = join(folder, 'study.yaml');
    writeFileSync(join(folder, 'good-a.yaml'), GOOD_POINTS.replace('P1', 'good').replace('points.csv', 'ok.csv'));
    writeFileSync(join(folder, 'bad-a.yaml'), GOOD_POINTS.replace('P1', 'bad').replace('points.csv', 'absent.csv'));
    writeFileSync(join(folder, 'ok.csv'), pointsCsv(STICK));
    writeFileSync(study, 'kneeward: 1\nstudy: two\nrecordings: [good-a.yaml, bad-a.yaml]\n');
    const out = join(folder, 'out-study');
    const { code, stderr } = await run('analyse', study, '--out', out, '--quiet', '--no-intervals');
    expect(code).toBe(1);
    expect(stderr).toMatch(/absent\.csv/);
    expect(existsSync(join(out, 'recordings', 'good', 'report.html'))).toBe(true);
    expect(existsSync(join(out, 'recordings', 'bad'))).toBe(false);
    expect(readFileSync(join(out, 'index.html'), 'utf8')).toContain('absent.csv');
  });
});

describe('bad usage exits 2', () => {
  test.each([
    [['analyse']],
    [['analize', 'x.yaml']],
    [['analyse', 'x.yaml', '--colour']],
    [['analyse', 'x.yaml', '--cutoff-hz', 'six']],
    [['calibrate', 'board-corners', 'x.csv']],
  ])('%j', async (args) => {
    const { code, stdout, stderr } = await run(...args);
    expect(code).toBe(2);
    expect(stdout).toBe('');
    expect(stderr).toMatch(/error|usage/i);
  });
});

describe('help', () => {
  test.each([
    [['--help']],
    [['analyse', '--help']],
    [['check', '--help']],
    [['demo', '--help']],
    [['calibrate', 'board-corners', '--help']],
  ])('%j shows an example and exits 0', async (args) => {
    const { code, stdout } = await run(...args);
    expect(code).toBe(0);
    expect(stdout).toMatch(/Example/);
  });
});

interface KeypointResult {
  readonly image_id: number;
  readonly keypoints: readonly number[];
}

const results = (text: string): KeypointResult[] => JSON.parse(text);

/** COCO pairs: 1–2, 3–4 … 15–16 of the body; toes and heels 17–20, 18–21, 19–22. */
const opposite = (k: number) => (k === 0 ? 0 : k > 16 ? (k < 20 ? k + 3 : k - 3) : k % 2 === 1 ? k + 1 : k - 1);

/** What a detector finds in a film that a front camera mirrored: other columns, and left where right was. 1080 px wide. */
function mirrored(text: string): string {
  return JSON.stringify(
    results(text).map((result) => ({
      ...result,
      keypoints: Array.from({ length: result.keypoints.length / 3 }, (_, k) => {
        const [x, y, score] = result.keypoints.slice(3 * opposite(k), 3 * opposite(k) + 3);
        return [1079 - x, y, score];
      }).flat(),
    })),
  );
}

/** A tidy CSV cut to frames below `count`. */
function firstFrames(count: number): (text: string) => string {
  return (text) =>
    text
      .split('\n')
      .filter((line, i) => i === 0 || Number.parseInt(line, 10) < count)
      .join('\n');
}
