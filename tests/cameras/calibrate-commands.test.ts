import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from '@jest/globals';
import { Command } from 'commander';
import { cameraCentre } from '../../src/cameras/camera-model.ts';
import { dltCoefficients } from '../../src/cameras/dlt.ts';
import { projectionMatrix } from '../../src/cameras/projection-matrix.ts';
import type { CameraRig } from '../../src/cameras/rig.ts';
import { parseRig, serialiseRig } from '../../src/cameras/rig-file.ts';
import { registerCalibrate } from '../../src/cli/calibrate.ts';
import { readBoardCorners } from '../../src/cli/calibrate-files.ts';
import { DataError, UsageError } from '../../src/errors.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { CHESSBOARD_FILE } from './chessboard-corners.ts';
import { cameraLookingAt, pixelsOf } from './synthetic-cameras.ts';

const folder = mkdtempSync(join(tmpdir(), 'calibrate-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function write(name: string, lines: readonly string[]): string {
  const file = join(folder, name);
  writeFileSync(file, `${lines.join('\n')}\n`);
  return file;
}

interface Made {
  readonly rig: CameraRig;
  readonly out: string;
  readonly summary: string;
}

/** Runs `calibrate …` as the command line does. */
async function calibrate(...args: string[]): Promise<Made> {
  let made: Made | undefined;
  const program = new Command().exitOverride().configureOutput({ writeOut: () => {}, writeErr: () => {} });
  registerCalibrate(program, (rig, out, summary) => {
    made = { rig, out, summary };
  });
  await program.parseAsync(['calibrate', ...args], { from: 'user' });
  return made!;
}

async function refusal(...args: string[]): Promise<DataError | UsageError> {
  try {
    await calibrate(...args);
  } catch (error) {
    if (error instanceof DataError || error instanceof UsageError) return error;
    throw error;
  }
  throw new Error('nothing was refused');
}

const CAMERAS = [cameraLookingAt('a', [1.5, 1.2, 4], [0, 1, 0]), cameraLookingAt('b', [-2, 1.4, 3.5], [0, 1, 0])];
const WORLD = Float64Array.from(
  [-0.8, 0.8].flatMap((x) => [0.1, 1, 2].flatMap((y) => [-0.6, 0.6].flatMap((z) => [x, y, z]))),
);
const rows = Array.from({ length: 12 }, (_, i) => WORLD.subarray(3 * i, 3 * i + 3));
/** The same points in centimetres, z up from a floor at 20, the lifter facing −y: x = −right, y = −forward. */
const points = write('points.csv', [
  'point,x,y,z',
  ...rows.map(([x, y, z], i) => `p${i + 1},${-100 * z},${-100 * x},${100 * y + 20}`),
]);
const pixelRows = CAMERAS.flatMap((camera) => {
  const pixels = pixelsOf(camera, WORLD);
  return rows.map((_, i) => `${camera.name},p${i + 1},${pixels[2 * i]},${pixels[2 * i + 1]}`);
});
const pixels = write('pixels.csv', ['camera,point,u,v', ...pixelRows]);
const FRAME = ['--unit', 'cm', '--forward', '-y', '--up', '+z', '--floor-height', '20', '--image-size', '1920x1080'];

function expectTrueCentres(rig: CameraRig, tolerance: number): void {
  rig.cameras.forEach((camera, i) => {
    expectAllClose(cameraCentre(camera), cameraCentre(CAMERAS[i]), tolerance, `centre of ${camera.name}`);
  });
}

describe('calibrate control-points', () => {
  test('unit, axes and floor height lead to the rig’s world; the file written is read back', async () => {
    const { rig, out, summary } = await calibrate('control-points', '--points', points, '--pixels', pixels, ...FRAME);
    expect(out).toBe('rig.json');
    expectTrueCentres(rig, 1e-7);
    expect(summary).toMatch(/^camera +points +rms px/);
    expect(parseRig(JSON.parse(serialiseRig(rig)), out)).toEqual(rig);
  });

  test('lenses can come from another rig', async () => {
    const lenses = write('lenses.json', [
      serialiseRig({
        kneeward: 1,
        cameras: CAMERAS,
        quality: { method: 'stated', reprojectionRmsPx: null, pointsUsed: null, notes: [] },
        synthetic: true,
      }),
    ]);
    const args = ['control-points', '--points', points, '--pixels', pixels, ...FRAME, '--lenses-from', lenses];
    const { rig } = await calibrate(...args);
    expectTrueCentres(rig, 1e-10);
    expect(rig.cameras.map((camera) => camera.fx)).toEqual([1500, 1500]);
  });

  test('errors name the file', async () => {
    const few = write('few.csv', ['camera,point,u,v', ...pixelRows.slice(0, 5)]);
    const error = await refusal('control-points', '--points', points, '--pixels', few, ...FRAME);
    expect(error.code).toBe('control-points-too-few');
    expect((error as DataError).facts.file).toBe(few);
    expect(error.message.startsWith(`${few}: `)).toBe(true);
    const twice = write('twice.csv', ['point,x,y,z', 'p1,0,0,0', 'p1,1,0,0']);
    expect((await refusal('control-points', '--points', twice, '--pixels', pixels, ...FRAME)).code).toBe(
      'control-point-twice',
    );
    const same = ['--unit', 'cm', '--forward', '+z', '--up', '-z', '--image-size', '1920x1080'];
    expect(await refusal('control-points', '--points', points, '--pixels', pixels, ...same)).toBeInstanceOf(UsageError);
  });

  test('image sizes are per camera or for all; a camera without one is named', async () => {
    const args = ['control-points', '--points', points, '--pixels', pixels, '--unit', 'cm', '--forward', '-y'];
    const { rig } = await calibrate(...args, '--image-size', '1920x1080', '--image-size', 'b=1900x1080');
    expect(rig.cameras.map((camera) => camera.imageWidth)).toEqual([1920, 1900]);
    const error = await refusal(...args, '--image-size', 'a=1920x1080');
    expect([error.code, (error as DataError).facts.camera]).toEqual(['image-size-missing', 'b']);
    expect(await refusal(...args, '--image-size', '1920')).toBeInstanceOf(UsageError);
  });
});

describe('an image size that is not that of the pixels', () => {
  const small = ['--image-size', '320x240'];

  test('is refused with the camera, for control points and for boards', async () => {
    const marks = await refusal('control-points', '--points', points, '--pixels', pixels, ...FRAME, ...small);
    expect([marks.code, (marks as DataError).facts.width]).toEqual(['calibration-pixel-outside', 320]);
    const board = ['--columns', '9', '--rows', '6', '--square-mm', '30'];
    const corners = await refusal('board-corners', CHESSBOARD_FILE, ...board, ...small);
    expect([corners.code, (corners as DataError).facts.camera]).toEqual(['calibration-pixel-outside', 'left']);
  });

  test('a mark a little over the border stays', async () => {
    const border = write('border.csv', ['camera,point,u,v', ...pixelRows.map((row) => row.replace(/,[^,]+$/, ',-3'))]);
    const code = (await refusal('control-points', '--points', points, '--pixels', border, ...FRAME)).code;
    expect(code).not.toBe('calibration-pixel-outside');
  });
});

describe('calibrate dlt-coefficients', () => {
  const matrices = CAMERAS.map((camera) => dltCoefficients(projectionMatrix(camera)));
  const file = write('dlt.csv', ['a,b', ...Array.from({ length: 11 }, (_, i) => matrices.map((l) => l[i]).join(','))]);
  const plain = ['--pixel-y', 'down', '--image-size', '1920x1080', '--forward', '+x', '--up', '+y'];

  test('a column a camera', async () => {
    const { rig, summary } = await calibrate('dlt-coefficients', file, ...plain);
    expectTrueCentres(rig, 1e-9);
    expect(summary).toMatch(/^camera +focal px/);
  });

  test('a lens is taken over; wrong ones are a matter of usage', async () => {
    const { rig } = await calibrate('dlt-coefficients', file, ...plain, '--lens', '1500,1500,950,545,-0.2,0.05');
    expect(rig.cameras[1].pixelLens).toEqual({
      fx: 1500,
      fy: 1500,
      cx: 950,
      cy: 545,
      distortion: [-0.2, 0.05, 0, 0, 0],
    });
    expect(await refusal('dlt-coefficients', file, ...plain, '--lens', '1500,1500,950')).toBeInstanceOf(UsageError);
    expect(await refusal('dlt-coefficients', file, ...plain, '--point-in-view', '1,2')).toBeInstanceOf(UsageError);
  });

  test('ten rows are refused with the file', async () => {
    const ten = write('ten.csv', ['a', ...Array.from({ length: 10 }, () => '1')]);
    const error = await refusal('dlt-coefficients', ten, ...plain);
    expect([error.code, (error as DataError).facts.file, (error as DataError).facts.rows]).toEqual([
      'dlt-rows-wrong',
      ten,
      10,
    ]);
  });
});

describe('calibrate board-corners', () => {
  const board = ['--columns', '9', '--rows', '6', '--square-mm', '30', '--image-size', '640x480'];

  test('the committed corners: summary with joint r.m.s., relative pose and the board measured back', async () => {
    const { rig, summary } = await calibrate('board-corners', CHESSBOARD_FILE, ...board);
    expect(rig.cameras.map((camera) => camera.name)).toEqual(['left', 'right']);
    expect(summary).toMatch(/joint rms 0\.215 px over 1404 corners/);
    expect(summary).toMatch(/edge 30\.0\d ± 0\.2\d mm \(true 30\.00, 1209 edges\)/);
  });

  test('part of a corner is a matter of usage', async () => {
    expect(await refusal('board-corners', CHESSBOARD_FILE, ...board, '--columns', '8.5')).toBeInstanceOf(UsageError);
  });

  test('a vertical that cannot be read is a matter of usage', async () => {
    expect(await refusal('board-corners', CHESSBOARD_FILE, ...board, '--up', '01')).toBeInstanceOf(UsageError);
  });

  const size = { columns: 3, rows: 3, squareSizeM: 0.1 };
  const corners = (u: number) => Array.from({ length: 9 }, (_, k) => `${k % 3},${Math.floor(k / 3)},${u + k},${k}`);

  test('one file an image, named <camera>-<image>.csv; image names that begin with the camera are paired by the rest', () => {
    const files = ['left-01', 'right-01'].map((name, i) => write(`${name}.csv`, ['col,row,u,v', ...corners(100 * i)]));
    const named = readBoardCorners(files, size);
    expect(named.map(({ camera, image }) => [camera, image])).toEqual([
      ['left', '01'],
      ['right', '01'],
    ]);
    expectClose(named[1].corners[10], 105, 0);
    const all = write('all.csv', [
      'camera,image,col,row,u,v',
      ...corners(0).map((row) => `left,left07,${row}`),
      ...corners(0).map((row) => `right,right07,${row}`),
    ]);
    expect(readBoardCorners([all], size).map((one) => one.image)).toEqual(['07', '07']);
  });

  test('corners outside the board, with a wrong number, twice, or in a file without names', () => {
    const codeOf = (name: string, lines: string[]) => {
      try {
        readBoardCorners([write(name, lines)], size);
      } catch (error) {
        return (error as DataError).code;
      }
      return 'none';
    };
    expect(codeOf('a-1.csv', ['col,row,u,v', '3,0,1,1'])).toBe('board-corner-outside');
    expect(codeOf('a-2.csv', ['corner,col,row,u,v', '4,0,1,1,1'])).toBe('board-corner-number-wrong');
    expect(codeOf('a-3.csv', ['col,row,u,v', '0,1,1,1', '0,1,2,2'])).toBe('board-corner-twice');
    expect(codeOf('nameless.csv', ['col,row,u,v', '0,1,1,1'])).toBe('board-image-unnamed');
  });
});
