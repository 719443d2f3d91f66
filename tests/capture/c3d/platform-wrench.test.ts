import { describe, expect, test } from '@jest/globals';
import { forcePlatform, forcePlatformCount, zeroFrames } from '../../../src/capture/c3d/force-platforms.ts';
import { platformWrench } from '../../../src/capture/c3d/platform-wrench.ts';
import { parseC3d } from '../../../src/capture/c3d/read-c3d.ts';
import { pressurePointInto } from '../../../src/capture/force-plate-geometry.ts';
import { expectClose } from '../../expect-close.ts';
import { reference } from '../../reference.ts';
import { dataError } from '../written-files.ts';
import { ENCODINGS, madeBytes, oneForcePlate } from './made-files.ts';

interface PlateTruth {
  readonly type: number;
  readonly force_n: readonly (readonly number[])[];
  readonly place_mm: readonly (readonly number[])[];
  readonly free_nmm: readonly number[];
}

const made = reference<unknown>('c3d-made-trial');
const truths = made.force_plates as readonly PlateTruth[];
const tolerance = made.tolerance as unknown as Readonly<Record<string, number>>;

describe.each(ENCODINGS)('force plates of types 1 to 4 under known loads, %s', (encoding) => {
  const c3d = parseC3d(encoding, madeBytes(encoding));

  test.each([1, 2, 3, 4])('force plate %i: force on the body, centre of pressure and free moment', (number) => {
    const truth = truths[number - 1];
    const platform = forcePlatform(c3d, number);
    expect(platform.type).toBe(truth.type);
    const { force, moment, centre, up, samples, rateHz } = platformWrench(c3d, platform, 'mm', null);
    expect([samples, rateHz]).toEqual([truth.force_n.length, 100]);
    const place = new Float64Array(3);
    for (let sample = 0, i = 0; sample < samples; sample++, i += 3) {
      const free = pressurePointInto(place, 0, force, moment, i, up, 20);
      for (let k = 0; k < 3; k++) {
        expectClose(force[i + k], truth.force_n[sample][k], tolerance.force_n, `force ${k} of sample ${sample}`);
        const foundMm = 1000 * (place[k] + centre[k]);
        expectClose(foundMm, truth.place_mm[sample][k], tolerance.place_mm, `place ${k} of sample ${sample}`);
      }
      expectClose(free, truth.free_nmm[sample] / 1000, tolerance.free_nm, `free moment of sample ${sample}`);
    }
  });
});

interface SheetRow {
  readonly frame: number;
  readonly counts: readonly number[];
  readonly type_2: readonly number[];
  readonly type_4: readonly number[];
}

describe('the worked sheet of c3d.org: one plate as type 2 and as type 4', () => {
  const sheet = reference<SheetRow>('c3d-force-plate-sheet');
  const counts = sheet.cases.map((row) => row.counts);
  const offset = sheet.offset as number;
  const matrix = (sheet.calibration_matrix as number[][]).flat();
  const units = ['N', 'N', 'N', 'Nmm', 'Nmm', 'Nmm'];

  test.each([
    ['type_2', oneForcePlate(2, counts, sheet.type_2_scale as number[], { offset, units })],
    ['type_4', oneForcePlate(4, counts, sheet.type_4_scale as number[], { offset, units, matrix })],
  ] as const)('%s: forces and moments of all 22 rows', (type, c3d) => {
    const { force, moment } = platformWrench(c3d, forcePlatform(c3d, 1), 'mm', null);
    sheet.cases.forEach((row, sample) => {
      // Plate axes: y and z of this plate are −y and −z of the file. The sheet's moments are N·mm.
      const found = [0, 1, 2].map((k) => (k === 0 ? 1 : -1) * force[3 * sample + k]);
      const turning = [0, 1, 2].map((k) => (k === 0 ? 1000 : -1000) * moment[3 * sample + k]);
      const largest = Math.max(1, ...row[type].map(Math.abs));
      [...found, ...turning].forEach((value, k) => {
        expectClose(value, row[type][k], sheet.tolerance * largest, `${type}, frame ${row.frame}, channel ${k + 1}`);
      });
    });
  });
});

test('type 3 by hand: 400 N over the middle of sensors 1 and 4, pushed along +y', () => {
  // a = 120, b = 200, c = −50 mm; Fz1 = Fz4 = −200 N (reaction, z down), Fy14 = 30, Fy23 = 10 N. Plate axes, about the
  // sensors: My = a (−Fz1 − Fz4) = 0.12 · 400 = 48, Mz = a (30 − 10) = 2.4; at the surface Mx = Fy · c = 40 · (−0.05) = −2.
  const c3d = oneForcePlate(3, [[0, 0, 30, 10, -200, 0, 0, -200]], new Array(8).fill(1), { origin: [120, 200, -50] });
  const { force, moment } = platformWrench(c3d, forcePlatform(c3d, 1), 'mm', null);
  const expected = [0, -40, 400, -2, -48, -2.4];
  [...force, ...moment].forEach((value, k) => {
    expectClose(value, expected[k], 1e-12, `component ${k}`);
  });
  // x = −My/Fz = 0.12, y = Mx/Fz = 0.005 in plate axes.
  const place = new Float64Array(3);
  const free = pressurePointInto(place, 0, force, moment, 0, [0, 0, 1], 20);
  expectClose(place[0], 0.12, 1e-12, 'x');
  expectClose(place[1], -0.005, 1e-12, 'y of the file, −y of the plate');
  // Tz = Mz − x Fy + y Fx = 2.4 − 0.12 · 40 = −2.4 about the plate's z, so +2.4 about the upward vertical.
  expectClose(free, 2.4, 1e-12, 'free moment');
});

test('an origin with positive z is the vector the other way round: turned, and said', () => {
  const row = [[0, 0, -400, 0, 0, 0]];
  const right = oneForcePlate(2, row, [1, 1, 1, 1, 1, 1], {
    origin: [10, 0, -40],
    units: ['N', 'N', 'N', 'Nm', 'Nm', 'Nm'],
  });
  const wrong = oneForcePlate(2, row, [1, 1, 1, 1, 1, 1], {
    origin: [-10, 0, 40],
    units: ['N', 'N', 'N', 'Nm', 'Nm', 'Nm'],
  });
  const [a, b] = [right, wrong].map((c3d) => platformWrench(c3d, forcePlatform(c3d, 1), 'mm', null));
  expect([...b.moment]).toEqual([...a.moment]);
  expect(a.notes).toEqual([]);
  expect(b.notes).toHaveLength(1);
});

test('the offset of the stated frames is taken off the channels, of type 4 before the matrix', () => {
  const matrix = Array.from({ length: 36 }, (_, k) => (k % 7 === 0 ? 2 : 0.01));
  const still = [3, -2, 5, 40, -30, 20];
  const loaded = [13, 8, -395, 140, 70, 50];
  const c3d = oneForcePlate(4, [still, still, loaded], [1, 1, 1, 1, 1, 1], { matrix, zero: [0, 2] });
  expect(zeroFrames(c3d)).toEqual([0, 1]);
  const clean = oneForcePlate(4, [loaded.map((value, k) => value - still[k])], [1, 1, 1, 1, 1, 1], { matrix });
  const found = platformWrench(c3d, forcePlatform(c3d, 1), 'mm', { from: 0, to: 2 });
  const expected = platformWrench(clean, forcePlatform(clean, 1), 'mm', null);
  expect([...found.force.slice(6)]).toEqual([...expected.force]);
  expect([...found.moment.slice(6)]).toEqual([...expected.moment]);
  expect([...found.force.slice(0, 6)].map(Math.abs)).toEqual([0, 0, 0, 0, 0, 0]);
});

describe('what cannot be a force plate is refused', () => {
  const one = [[1, 1, -100, 1, 1, 1]];
  const flat = [1, 1, 1, 1, 1, 1];
  const code = (c3d: ReturnType<typeof oneForcePlate>, number = 1) =>
    dataError(() => platformWrench(c3d, forcePlatform(c3d, number), 'mm', null)).code;

  test('a number that is not there', () => {
    const c3d = oneForcePlate(2, one, flat);
    expect(forcePlatformCount(c3d)).toBe(1);
    expect(code(c3d, 2)).toBe('c3d-force-plate-missing');
  });
  test('a type that is not read', () => expect(code(oneForcePlate(5, one, flat))).toBe('c3d-force-plate-type'));
  test('too few channels', () => expect(code(oneForcePlate(3, one, flat))).toBe('c3d-too-short'));
  test('type 4 without its matrix', () => expect(code(oneForcePlate(4, one, flat))).toBe('c3d-missing'));
  test('corners out of order', () => {
    const corners = [200, -300, 0, -200, 300, 0, -200, -300, 0, 200, 300, 0];
    expect(code(oneForcePlate(2, one, flat, { corners }))).toBe('c3d-corners');
  });
  test('a unit of force that is not newtons', () => {
    expect(code(oneForcePlate(2, one, flat, { units: ['lbf', 'lbf', 'lbf', 'Nm', 'Nm', 'Nm'] }))).toBe('c3d-unit');
  });
  test('a unit of moment that is not known', () => {
    expect(code(oneForcePlate(2, one, flat, { units: ['N', 'N', 'N', 'lbin', 'lbin', 'lbin'] }))).toBe('c3d-unit');
  });
  test('a sample that is no number, with its channel and time', () => {
    const c3d = oneForcePlate(2, [...one, [1, 1, Number.NaN, 1, 1, 1]], flat);
    const error = dataError(() => platformWrench(c3d, forcePlatform(c3d, 1), 'mm', null));
    expect(error).toMatchObject({ code: 'c3d-force-not-finite', facts: { number: 1, channel: 'CH3', timeS: 0.01 } });
  });
});
