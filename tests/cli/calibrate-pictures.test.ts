import { copyFileSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, jest, test } from '@jest/globals';
import sharp from 'sharp';
import { parseLenses } from '../../src/cameras/lens-file.ts';
import { composePoses, invertPose } from '../../src/cameras/pose.ts';
import { parseRig } from '../../src/cameras/rig-file.ts';
import { expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';
import { run } from './run.ts';

const PHOTOGRAPHS = fileURLToPath(new URL('../../datasets/chessboard-photographs/', import.meta.url));
const BOARD = join(PHOTOGRAPHS, 'board.json');
const NAMES = ['01', '02', '03', '04', '05', '06'];
const MORE_NAMES = [...NAMES, '07', '08', '09', '11'];

const folder = mkdtempSync(join(tmpdir(), 'pictures-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
jest.setTimeout(240_000);

let count = 0;
/** A folder of pairs, some pictures replaced. */
async function pictures(
  replace: Readonly<Record<string, (file: string) => Promise<Buffer> | Buffer>> = {},
  names = NAMES,
): Promise<string> {
  const to = join(folder, `set${count++}`);
  mkdirSync(to);
  for (const camera of ['left', 'right']) {
    for (const name of names) {
      const file = `${camera}${name}.jpg`;
      const change = replace[file] ?? replace[camera];
      if (change === undefined) copyFileSync(join(PHOTOGRAPHS, file), join(to, file));
      else writeFileSync(join(to, file), await change(join(PHOTOGRAPHS, file)));
    }
  }
  return to;
}

const rig = async (from: string, ...args: string[]) => {
  const out = join(folder, `out${count++}`);
  return { ...(await run('calibrate', 'rig', 'board', from, '--board', BOARD, '--quiet', '--out', out, ...args)), out };
};

describe('calibrate rig board, real photographs', () => {
  test('writes rig, report and tables; the relative pose lies inside the published 3-sigma intervals', async () => {
    const { code, stdout, stderr, out } = await rig(PHOTOGRAPHS, '--tape', 'left:right=0.0998');
    expect([code, stderr]).toEqual([0, '']);
    expect(stdout).toContain('1404 image points');
    for (const file of [
      'rig.json',
      'report.html',
      'calibration-points.csv',
      'calibration-views.csv',
      'provenance.json',
    ]) {
      expect(existsSync(join(out, file))).toBe(true);
    }
    const made = parseRig(JSON.parse(readFileSync(join(out, 'rig.json'), 'utf8')), 'rig.json');
    expect(made.quality.reprojectionRmsPx).toBeLessThan(0.23);
    const relative = composePoses(made.cameras[1], invertPose(made.cameras[0]));
    const { translationMm, translation3SdMm } = reference('cameras-stereo-chessboard').published as Record<
      string,
      number[]
    >;
    for (let k = 0; k < 3; k++) {
      expectClose(1000 * relative.translation[k], translationMm[k], translation3SdMm[k], `T${'xyz'[k]} mm`);
    }
    const provenance = JSON.parse(readFileSync(join(out, 'provenance.json'), 'utf8'));
    expect(provenance.inputs).toHaveLength(27);
    expect(JSON.stringify(provenance)).not.toContain(tmpdir());
  });

  test('squares said to be 25 mm: the tape between the lenses tells, and names the true size', async () => {
    const board = join(folder, 'wrong.json');
    writeFileSync(board, readFileSync(BOARD, 'utf8').replace('"square_mm": 30', '"square_mm": 25'));
    const out = join(folder, 'never');
    const said = await run(
      'calibrate',
      'rig',
      'board',
      await pictures(),
      '--board',
      board,
      '--quiet',
      '--out',
      out,
      '--tape',
      'left:right=0.0998',
    );
    expect(said.code).toBe(1);
    expect(said.stderr).toMatch(/squares of (29\.\d|30\.\d)\d* mm instead of 25 mm/);
    expect(existsSync(out)).toBe(false);
  });

  test('blurred pictures, another board, a pair exchanged: each is named and left out, the rest makes the rig', async () => {
    const blur = (file: string) => sharp(file).blur(5).jpeg().toBuffer();
    const squares = Array.from({ length: 48 }, (_, k) => {
      const [column, row] = [k % 8, Math.floor(k / 8)];
      return (column + row) % 2 === 0
        ? `<rect x="${120 + 50 * column}" y="${90 + 50 * row}" width="50" height="50"/>`
        : '';
    });
    const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="640" height="480"><rect width="640" height="480" fill="#ddd"/>${squares.join('')}</svg>`;
    const other = () => sharp(Buffer.from(svg)).blur(0.8).jpeg().toBuffer();
    const otherSide = (file: string) =>
      readFileSync(file.includes('left04') ? file.replace('left04', 'right04') : file.replace('right04', 'left04'));
    const { code, stderr } = await rig(
      await pictures(
        {
          'left02.jpg': blur,
          'left05.jpg': blur,
          'right07.jpg': blur,
          'left03.jpg': other,
          'left04.jpg': otherSide,
          'right04.jpg': otherSide,
        },
        MORE_NAMES,
      ),
    );
    expect(code).toBe(0);
    for (const name of ['left, image 02', 'left, image 05', 'right, image 07']) {
      expect(stderr).toMatch(new RegExp(`${name} left out: .*blurred`));
    }
    expect(stderr).toMatch(/left, image 03 left out: shows a board of 7 × 5 inner corners instead of 9 × 6/);
    expect(stderr).toMatch(/image 04 left out: .*exchanged/);
  });

  test('one camera that mirrors its pictures', async () => {
    const { code, stderr } = await rig(
      await pictures({ right: (file) => sharp(file).flop().jpeg({ quality: 95 }).toBuffer() }),
    );
    expect(code).toBe(1);
    expect(stderr).toMatch(/mirrored/);
  });

  test.each([
    ['resized', (file: string) => sharp(file).resize(320, 240).jpeg().toBuffer(), /left.*06.*320 × 240/],
    ['turned', (file: string) => sharp(file).rotate(90).jpeg().toBuffer(), /left.*06.*480 × 640/],
  ])('one %s picture is named', async (_, change, message) => {
    const { code, stderr } = await rig(await pictures({ 'left06.jpg': change }));
    expect(code).toBe(1);
    expect(stderr).toMatch(message);
  });
});

describe('calibrate lens, and its lens in a rig', () => {
  test('lens file; a lens of video is refused for photographs, one of photographs is taken', async () => {
    const from = await pictures();
    const file = join(folder, 'lens.json');
    const { code, stdout } = await run('calibrate', 'lens', from, '--board', BOARD, '--quiet', '--out', file);
    expect(code).toBe(0);
    expect(stdout).toContain('Lenses written');
    const lenses = parseLenses(JSON.parse(readFileSync(file, 'utf8')), file);
    expect(lenses.map(({ camera, views }) => [camera.name, views])).toEqual([
      ['left', 6],
      ['right', 6],
    ]);
    for (const { rmsPx } of lenses) expect(rmsPx).toBeLessThan(0.22);

    // With a known lens three pairs are enough.
    const taken = await rig(await pictures({}, ['01', '02', '03']), '--lenses', file);
    expect(taken.code).toBe(0);

    const ofVideo = join(folder, 'video-lens.json');
    writeFileSync(ofVideo, readFileSync(file, 'utf8').replaceAll('"photographs"', '"video"'));
    const refused = await rig(await pictures({}, ['01']), '--lenses', ofVideo);
    expect([refused.code, refused.stderr]).toEqual([1, expect.stringMatching(/made from video .* photographs/)]);

    const turned = join(folder, 'turned-lens.json');
    writeFileSync(turned, readFileSync(file, 'utf8').replaceAll('[640, 480]', '[480, 640]'));
    const across = await rig(await pictures({}, ['01']), '--lenses', turned);
    expect([across.code, across.stderr]).toEqual([1, expect.stringMatching(/taken upright and the other across/)]);
  });

  test('sources that are not there, are no pictures, or do not say the camera', async () => {
    const missing = await rig(join(folder, 'nowhere'));
    expect([missing.code, missing.stderr]).toEqual([1, expect.stringMatching(/there is nothing at/)]);
    const text = join(folder, 'a.txt');
    writeFileSync(text, 'x');
    expect((await rig(`left=${text}`)).stderr).toMatch(/neither a picture/);
    const unnamed = join(folder, 'picture.jpg');
    copyFileSync(join(PHOTOGRAPHS, 'left01.jpg'), unnamed);
    expect((await rig(unnamed)).stderr).toMatch(/does not say which camera/);
    const alone = await rig(`left=${unnamed}`);
    expect([alone.code, alone.stderr]).toEqual([2, expect.stringMatching(/two cameras or more/)]);
  });
});
