import { describe, expect, test } from '@jest/globals';
import { parseC3d } from '../../../src/capture/c3d/read-c3d.ts';
import { dataError } from '../written-files.ts';
import { madeBytes } from './made-files.ts';

const good = madeBytes('intel-float');

/** The made file with some bytes changed. */
function changed(edit: (bytes: Uint8Array, view: DataView) => void): Uint8Array {
  const bytes = good.slice();
  edit(bytes, new DataView(bytes.buffer));
  return bytes;
}

const refusal = (bytes: Uint8Array) => dataError(() => parseC3d('trial.c3d', bytes));

/** Byte of a parameter's name in the file, `nth` of that name. */
function nameAt(name: string, nth = 0): number {
  let at = -1;
  for (let n = 0; n <= nth; n++) at = Buffer.from(good).indexOf(name, at + 1, 'latin1');
  expect(at).toBeGreaterThan(0);
  return at;
}

/** Byte of the values of a parameter without dimensions: after name, pointer, type and dimension count. */
const valueAt = (name: string, nth = 0): number => nameAt(name, nth) + name.length + 4;

describe('foreign files', () => {
  test.each([
    ['an empty file', new Uint8Array(0)],
    ['one byte', Uint8Array.of(2)],
    ['text', new TextEncoder().encode('frame,landmark,x,y,z\n0,nose,1,2,3\n'.repeat(40))],
    ['parameters in the header block', changed((bytes) => bytes.fill(1, 0, 1))],
    ['a processor nobody knows', changed((bytes) => bytes.fill(87, 512 + 3, 512 + 4))],
  ])('%s', (_, bytes) => {
    const error = refusal(bytes);
    expect(error.code).toBe('c3d-foreign');
    expect(error.message).toMatch(/^trial\.c3d: /);
  });
});

describe('files that end too early say where', () => {
  test('in the header', () => {
    expect(refusal(good.slice(0, 300))).toMatchObject({ code: 'c3d-truncated', facts: { bytes: 300, needed: 512 } });
  });
  test('before the parameters', () => {
    expect(refusal(good.slice(0, 513))).toMatchObject({ code: 'c3d-truncated', facts: { bytes: 513 } });
  });
  test('in the parameters', () => expect(refusal(good.slice(0, 900)).code).toBe('c3d-truncated'));
  test('in the data: frames promised and held', () => {
    // 288 bytes a frame: 5 points of 16 and 26 channels × 2 samples of 4.
    const perFrame = 5 * 16 + 26 * 2 * 4;
    const dataAt = (new DataView(good.buffer, good.byteOffset).getUint16(16, true) - 1) * 512;
    const error = refusal(good.slice(0, dataAt + 4 * perFrame + 10));
    expect(error).toMatchObject({ code: 'c3d-truncated', facts: { frames: 6, held: 4 } });
  });
});

describe('a file that lies about its size is refused before anything is allocated', () => {
  const memory = (bytes: Uint8Array) => {
    const before = process.memoryUsage().arrayBuffers;
    const error = refusal(bytes);
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(2 ** 20);
    return error;
  };
  test('65535 points, in the header and in the parameters', () => {
    const bytes = changed((_, view) => {
      view.setUint16(2, 65535, true);
      view.setUint16(valueAt('USED'), 65535, true);
    });
    expect(memory(bytes)).toMatchObject({ code: 'c3d-truncated', facts: { frames: 6, held: 0 } });
  });
  test('a billion frames', () => {
    const bytes = changed((bytes, view) => {
      // POINT:FRAMES as it stands is 65535, and the frames of TRIAL run to 2³⁰.
      view.setUint16(valueAt('FRAMES'), 65535, true);
      bytes.set([0, 0, 0, 64], nameAt('ACTUAL_END_FIELD') + 'ACTUAL_END_FIELD'.length + 5);
    });
    expect(memory(bytes)).toMatchObject({
      code: 'c3d-truncated',
      facts: { frames: 2 ** 30 - 10, held: expect.any(Number) },
    });
  });
  test('a parameter of 255 × 255 values', () => {
    const bytes = changed((bytes) => bytes.set([2, 255, 255], nameAt('SCALE', 2) + 5 + 3));
    expect(memory(bytes).code).toBe('c3d-damaged');
  });
});

describe('what header and parameters disagree about', () => {
  test.each([
    ['the number of points', changed((_, view) => view.setUint16(2, 4, true)), 'the number of points'],
    ['the frame rate', changed((_, view) => view.setFloat32(20, 60, true)), 'the frame rate'],
    ['the scale', changed((_, view) => view.setFloat32(12, 0.05, true)), 'the scale of the points'],
    ['where the data begin', changed((_, view) => view.setUint16(16, 8, true)), 'the block at which the data begin'],
    ['the channels', changed((_, view) => view.setUint16(18, 4, true)), 'the number of analog channels'],
    ['the analog rate', changed((_, view) => view.setFloat32(valueAt('RATE', 1), 1000, true)), 'the analog rate'],
  ])('%s', (_, bytes, what) => {
    expect(refusal(bytes)).toMatchObject({ code: 'c3d-disagree', facts: { what } });
  });
});

describe('single faults', () => {
  test('a type of parameter that there is not', () => {
    expect(refusal(changed((bytes) => bytes.fill(3, valueAt('USED') - 2, valueAt('USED') - 1)))).toMatchObject({
      code: 'c3d-damaged',
      facts: { place: 'parameter USED' },
    });
  });
  test('analog numbers that are no multiple of the samples', () => {
    expect(refusal(changed((_, view) => view.setUint16(18, 3, true))).code).toBe('c3d-damaged');
  });
  test('a scale that is no number', () => {
    const bytes = changed((_, view) => {
      view.setFloat32(12, 0, true);
      view.setFloat32(valueAt('SCALE'), Number.NaN, true);
    });
    expect(refusal(bytes)).toMatchObject({ code: 'c3d-value', facts: { parameter: 'POINT:SCALE' } });
  });
  test('no frame at all', () => {
    const bytes = changed((_, view) => {
      view.setUint16(valueAt('FRAMES'), 0, true);
      for (const name of ['ACTUAL_START_FIELD', 'ACTUAL_END_FIELD']) view.setUint32(valueAt(name) + 1, 0, true);
      view.setUint16(6, 5, true);
      view.setUint16(8, 4, true);
    });
    expect(refusal(bytes).code).toBe('c3d-empty');
  });
  test('a coordinate that is no number makes its point missing', () => {
    const dataAt = (new DataView(good.buffer, good.byteOffset).getUint16(16, true) - 1) * 512;
    const c3d = parseC3d(
      'trial.c3d',
      changed((_, view) => view.setFloat32(dataAt + 4, Number.NaN, true)),
    );
    expect([...c3d.points.position.slice(0, 3)]).toEqual([NaN, NaN, NaN]);
    expect(c3d.points.residual[0]).toBeNaN();
  });
});
