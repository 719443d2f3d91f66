import { describe, expect, test } from '@jest/globals';
import { LOADED_N, readForcePlate } from '../../src/capture/force-plate-csv.ts';
import type { ForcePlateSource } from '../../src/capture/recording.ts';
import { expectAllClose } from '../expect-close.ts';
import { dataError, temporaryFolder, write } from './written-files.ts';

const folder = temporaryFolder();
const HEADER = 'time_s,fx_n,fy_n,fz_n,copx_mm,copy_mm,copz_mm';
const read = (rows: string[], more: Partial<ForcePlateSource> = {}, header = HEADER) =>
  readForcePlate(
    {
      file: write(folder, 'left.csv', [header, ...rows].join('\n')),
      foot: 'left',
      frameRateHz: 100,
      unit: 'mm',
      offsetS: 0,
      axes: { forward: '-y', up: '+z' },
      ...more,
    },
    null,
  );

describe('a force plate', () => {
  // Lab axes after ISB (Wu & Cavanagh 1995): forward −y and up +z give lab (−y, z, −x).
  test('force and centre of pressure in lab axes, newtons and metres', () => {
    const track = read(['0,1,2,300,10,20,0', '0.01,1,2,400,30,40,5'], { offsetS: 0.25 });
    expectAllClose(track.force, [-2, 300, -1, -2, 400, -1], 0);
    expectAllClose(track.centreOfPressure, [-0.02, 0, -0.01, -0.04, 0.005, -0.03], 1e-15);
    expectAllClose(track.timeS, [0.25, 0.26], 1e-15);
    expect(track.hasFreeMoment).toBe(false);
    expectAllClose(track.freeMoment, [0, 0], 0);
  });

  test('without axes the file is in lab axes already', () => {
    const track = read(['0,1,200,3,10,0,20'], { axes: undefined });
    expectAllClose(track.force, [1, 200, 3], 0);
    expectAllClose(track.centreOfPressure, [0.01, 0, 0.02], 1e-15);
  });

  test('free moment; the vertical centre of pressure may be left out', () => {
    const track = read(['0,1,2,300,10,20,4.5'], {}, 'time_s,fx_n,fy_n,fz_n,copx_mm,copy_mm,free_moment_nm');
    expect(track.hasFreeMoment).toBe(true);
    expectAllClose(track.freeMoment, [4.5], 0);
    expectAllClose(track.centreOfPressure, [-0.02, 0, -0.01], 1e-15);
  });

  test(`below ${LOADED_N} N nothing is said about the centre of pressure`, () => {
    const track = read(['0,0,0,19.9,1,2,0', '0.01,0,0,20,1,2,0', '0.02,0,0,500,,NaN,0', '0.03,0,0,-20,1,2,0']);
    const known = [...track.centreOfPressure].map((value) => !Number.isNaN(value));
    expect(known).toEqual([false, false, false, true, true, true, false, false, false, false, false, false]);
  });

  test('times rounded to a millisecond are accepted at 300 Hz', () => {
    const rows = Array.from({ length: 60 }, (_, i) => `${(i / 300).toFixed(3)},0,0,500,1,2,0`);
    expect(read(rows, { frameRateHz: 300 }).samples).toBe(60);
  });

  const seconds = (times: number[]) => times.map((t) => `${t},0,0,500,1,2,0`);
  test.each([
    [
      'unit against columns',
      ['0,0,0,500,1,2,0'],
      { unit: 'm' as const },
      HEADER,
      'force-plate-unit',
      { inFile: 'mm', stated: 'm' },
    ],
    ['a missing column', ['0,0,0,1,2,0'], {}, HEADER.replace('fy_n,', ''), 'csv-column-missing', { column: 'fy_n' }],
    [
      'an unknown column',
      ['0,0,0,500,1,2,0,1'],
      {},
      `${HEADER},free_momnet_nm`,
      'csv-column-unknown',
      { suggestion: 'free_moment_nm' },
    ],
    [
      'a lost sample',
      seconds([0, 0.01, 0.03, 0.04, 0.06]),
      {},
      HEADER,
      'force-plate-time',
      { line: 4, timeS: 0.03, dueS: 0.02 },
    ],
    ['the wrong rate', seconds([0, 0.001, 0.002, 0.003]), {}, HEADER, 'force-plate-time', { rateHz: 100 }],
    ['time that stands still', seconds([0, 0.01, 0.01]), {}, HEADER, 'force-plate-time', { line: 4 }],
    ['an empty force', ['0,,0,500,1,2,0'], {}, HEADER, 'csv-cell-missing', { line: 2, column: 'fx_n' }],
    ['a NaN force', ['0,1,0,NaN,1,2,0'], {}, HEADER, 'csv-cell-missing', { line: 2, column: 'fz_n' }],
    [
      'force on the ground',
      ['0,0,0,-500,1,2,0', '0.01,0,0,-510,1,2,0'],
      {},
      HEADER,
      'force-plate-downward',
      { downward: 2 },
    ],
    ['an empty force plate', ['0,0,0,4,1,2,0'], {}, HEADER, 'force-plate-unloaded', { largestN: 4, limitN: 20 }],
    ['no row', [], {}, HEADER, 'csv-no-rows', {}],
    ['tonnes of force', ['0,0,0,500,1,2,0', '0.01,0,0,50001,1,2,0'], {}, HEADER, 'force-plate-too-strong', { line: 3 }],
    [
      'millimetres under a heading in metres',
      ['0,0,0,500,50,120,0'],
      { unit: 'm' as const },
      HEADER.replaceAll('_mm', '_m'),
      'force-plate-too-far',
      { line: 2, distanceM: 130, limitM: 20 },
    ],
  ])('%s is refused', (_, rows, more, header, code, facts) => {
    const error = dataError(() => read(rows, more, header));
    expect(error.code).toBe(code);
    expect(error.facts).toMatchObject(facts);
    expect(error.message).toContain('left.csv');
  });
});
