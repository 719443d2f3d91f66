import { describe, expect, test } from '@jest/globals';
import { LOADED_N, readForcePlate } from '../../src/capture/force-plate-csv.ts';
import { forcePlateSurface, metresOffSurface } from '../../src/capture/force-plate-geometry.ts';
import { takeOffOffset } from '../../src/capture/force-plate-offset.ts';
import { loadRecording } from '../../src/capture/load-recording.ts';
import type { ForcePlateSource } from '../../src/capture/recording.ts';
import { DataError } from '../../src/errors.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { LABELS, lifterC3d } from './c3d/lifter-file.ts';
import { dataError, temporaryFolder, write } from './written-files.ts';

const folder = temporaryFolder();
const RATE = 100;

type Row = readonly [fx: number, fy: number, fz: number, cx: number | '', cy: number | '', cz: number | ''];
/** Lab axes, millimetres; y up. */
const csv = (rows: readonly Row[], header = 'time_s,fx_n,fy_n,fz_n,copx_mm,copy_mm,copz_mm') =>
  [header, ...rows.map((row, k) => [(k / RATE).toFixed(2), ...row].join(','))].join('\n');
const read = (text: string, more: Partial<ForcePlateSource> = {}) => {
  const notes: string[] = [];
  const file = write(folder, 'force.csv', text);
  const track = readForcePlate({ file, foot: 'left', frameRateHz: RATE, unit: 'mm', offsetS: 0, ...more }, null, notes);
  return { track, notes };
};
const STANDING: Row = [5, 400, -10, 100, 0, 50];
const repeat = <T>(count: number, row: T): T[] => Array.from({ length: count }, () => row);

describe('offset of an empty force plate', () => {
  // 4 N stand in all channels at the middle of the force plate, as a real one reads.
  const withOffset = [...repeat<Row>(60, [-1, 4, 0.5, 300, 0, 200]), ...repeat(60, STANDING)];

  test('is told and not taken off', () => {
    const { track, notes } = read(csv(withOffset));
    expect(notes.length).toBe(1);
    expect(notes[0]).toContain('4.0 N from 0.00 to 0.49 s');
    expect(track.force[3 * 80 + 1]).toBe(400);
  });

  test('named, it is taken off force and moment: what is left, by hand', () => {
    const { track, notes } = read(csv(withOffset), { unloaded: { fromS: 0, toS: 0.5 } });
    expectAllClose(track.force.subarray(240, 243), [6, 396, -10.5], 1e-12, 'force');
    // Moment about z: 0.1·400 = 40 less 0.3·4 = 1.2 is 38.8; over 396 N: 0.097980 m. About x: −0.05·400 less −0.2·4: −19.2; z 0.048485.
    expectAllClose(track.centreOfPressure.subarray(240, 243), [38.8 / 396, 0, 19.2 / 396], 1e-12, 'place');
    expect(track.centreOfPressure[0]).toBeNaN();
    expect(notes[0]).toContain('4.0 N vertical force');
  });

  test('above the floor the plane of the pressure stays and the wrench is the old one less the offset', () => {
    const samples = {
      force: Float64Array.of(1, 3, -2, 30, 500, 20),
      centreOfPressure: Float64Array.of(0.2, 0.05, 0.1, 0.12, 0.05, -0.04),
      freeMoment: Float64Array.of(0.1, 2),
    };
    const momentOf = (i: number) => {
      const [x, y, z] = samples.centreOfPressure.subarray(3 * i, 3 * i + 3);
      const [fx, fy, fz] = samples.force.subarray(3 * i, 3 * i + 3);
      return [y * fz - z * fy, z * fx - x * fz + samples.freeMoment[i], x * fy - y * fx];
    };
    const [offset, before] = [momentOf(0), momentOf(1)];
    expect(takeOffOffset(samples, { from: 0, to: 1 }, LOADED_N)).toBe(true);
    expectAllClose(
      momentOf(1),
      before.map((value, k) => value - offset[k]),
      1e-12,
      'moment about the origin',
    );
    expect(samples.centreOfPressure[4]).toBe(0.05);
  });

  test('without a centre of pressure in the stretch the places stay as written, and it is said', () => {
    const rows = [...repeat<Row>(60, [-1, 4, 0.5, '', '', '']), ...repeat(60, STANDING)];
    const { track, notes } = read(csv(rows), { unloaded: { fromS: 0, toS: 0.5 } });
    expectAllClose(track.centreOfPressure.subarray(240, 243), [0.1, 0, 0.05], 0, 'place');
    expectAllClose(track.force.subarray(240, 243), [6, 396, -10.5], 1e-12, 'force');
    expect(notes[0]).toContain('stay as written');
  });

  test('a large one is found too; a foot that sways is none, nor is zero', () => {
    const random = seededRandom(3);
    const sway = (fy: number): Row => [0, fy + 4 * random.normal(), 0, 100, 0, 50];
    expect(read(csv([...repeat<Row>(60, [0, 55, 0, 1, 0, 1]), ...repeat(60, STANDING)])).notes[0]).toContain('55.0 N');
    expect(read(csv([...Array.from({ length: 60 }, () => sway(30)), ...repeat(60, STANDING)])).notes).toEqual([]);
    expect(read(csv([...repeat<Row>(60, [0, 0.4, 0, 1, 0, 1]), ...repeat(60, STANDING)])).notes).toEqual([]);
  });

  test('refused: a stretch outside the file, or one in which somebody stands', () => {
    const outside = dataError(() => read(csv(withOffset), { unloaded: { fromS: 5, toS: 6 } }));
    expect(outside.code).toBe('force-plate-unloaded-outside');
    const loaded = dataError(() => read(csv(withOffset), { unloaded: { fromS: 0.3, toS: 0.9 } }));
    expect(loaded.code).toBe('force-plate-unloaded-loaded');
  });
});

describe('corners', () => {
  const corners = [0, 0, 0, 400, 0, 0, 400, 0, 600, 0, 0, 600];

  test('in lab axes and metres, whichever axes the file has', () => {
    const { track, notes } = read(csv(repeat(10, STANDING)), { corners });
    expectAllClose(track.surface!.centre, [0.2, 0, 0.3], 1e-12, 'middle');
    expect(notes).toEqual([]);
    // Forward −y and up +z of the file: lab (−y, z, −x).
    const turned = 'time_s,fx_n,fy_n,fz_n,copx_mm,copy_mm,copz_mm\n0,10,-5,400,-50,-100,0\n';
    const axes = { forward: '-y', up: '+z' } as const;
    const inFile = [0, 0, 0, 0, -400, 0, -600, -400, 0, -600, 0, 0];
    const other = read(turned, { corners: inFile, axes }).track;
    expectAllClose(other.surface!.centre, [0.2, 0, 0.3], 1e-12, 'middle, turned');
    expectAllClose(other.centreOfPressure, [0.1, 0, 0.05], 1e-12, 'place, turned');
  });

  test('how far outside: 0 within, the distance to the nearest side or corner beyond', () => {
    const surface = forcePlateSurface(corners);
    if (typeof surface === 'string') throw new Error(surface);
    for (const [place, off] of [
      [[100, 0, 100], 0],
      [[430, 5, 300], 30],
      [[430, 0, 640], 50],
    ] as const)
      expectClose(metresOffSurface(surface, place, 0), off, 1e-9, `${place}`);
  });

  test('a centre of pressure outside is told; far outside is refused', () => {
    const { notes } = read(csv([...repeat(90, STANDING), ...repeat<Row>(10, [0, 400, 0, 430, 0, 50])]), { corners });
    expect(notes[0]).toContain('10 %');
    expect(notes[0]).toContain('30 mm');
    const off = dataError(() => read(csv(repeat(10, STANDING)), { corners: corners.map((value) => value + 700) }));
    expect(off.code).toBe('force-plate-off');
  });

  test('crossed, askew, upright or as large as a hall (millimetres read as metres): refused', () => {
    for (const wrong of [
      [0, 0, 0, 400, 0, 600, 400, 0, 0, 0, 0, 600],
      [0, 0, 0, 400, 0, 0, 500, 0, 600, 100, 0, 600],
      [0, 0, 0, 400, 0, 0, 400, 600, 0, 0, 600, 0],
      corners.map((value) => 1000 * value),
    ])
      expect(dataError(() => read(csv(repeat(5, STANDING)), { corners: wrong })).code).toBe('force-plate-corners');
  });
});

describe('height of the surface', () => {
  const flat = 'time_s,fx_n,fy_n,fz_n,copx_mm,copz_mm';
  const rows = `${flat}\n0,0,400,0,100,50\n0.01,0,400,0,100,50\n`;

  test('stated, else that of the corners, else 0', () => {
    const raised = [0, 30, 0, 400, 30, 0, 400, 30, 600, 0, 30, 600];
    expect(read(rows).track.centreOfPressure[1]).toBe(0);
    expectClose(read(rows, { corners: raised }).track.centreOfPressure[1], 0.03, 1e-12, 'corners');
    expect(read(rows, { corners: raised, surfaceHeightM: 0.02 }).track.centreOfPressure[1]).toBe(0.02);
  });

  test('stated otherwise than the column says: refused', () => {
    expect(dataError(() => read(csv(repeat(5, STANDING)), { surfaceHeightM: 0.05 })).code).toBe('force-plate-heights');
  });
});

test('200 spoilt files with corners and an unloaded stretch: read without NaN in the force, or refused with a reason', () => {
  const random = seededRandom(41);
  const good = csv([...repeat<Row>(40, [0, 3, 0, 100, 0, 100]), ...repeat(40, STANDING)]);
  const pieces = ['', ',', '-', '1e300', 'NaN', '\n', '"', '0', '1e-320', ',,', 'é', '\0'];
  const seen = new Set<string>();
  for (let k = 0; k < 200; k++) {
    const at = random.integer(good.length);
    const text = good.slice(0, at) + pieces[random.integer(pieces.length)] + good.slice(at + random.integer(6));
    try {
      const { track } = read(text, {
        unloaded: { fromS: 0, toS: 0.3 },
        corners: [0, 0, 0, 400, 0, 0, 400, 0, 600, 0, 0, 600],
      });
      expect(track.force.every(Number.isFinite) && track.freeMoment.every(Number.isFinite)).toBe(true);
      seen.add('read');
    } catch (error) {
      if (!(error instanceof DataError)) throw error;
      expect(error.message).not.toMatch(/undefined|\[object/);
      seen.add(error.code);
    }
  }
  expect(seen.size).toBeGreaterThan(4);
});

describe('in the recording file', () => {
  const recording = (rest: string) => `kneeward: 1
recording: x
athlete: { id: X, mass_kg: 78 }
lift: { kind: squat }
load: { total_kg: 0 }
c3d: { file: trial.c3d, labels: { ${Object.entries(LABELS)
    .map(([name, label]) => `${name}: "${label}"`)
    .join(', ')} }, axes: { forward: "-y", up: "+z" }, force_plates: [{ number: 1, foot: left }] }
${rest}`;
  const load = (rest: string) => {
    write(folder, 'trial.c3d', lifterC3d());
    return loadRecording(write(folder, 'recording.yaml', recording(rest)));
  };

  test('a C3D file brings its corners along: half a metre square, its middle 0.25 m to the left', () => {
    const { surface } = load('').forcePlates[0];
    expectAllClose(surface!.centre, [0, 0, -0.25], 1e-7, 'middle');
    expectClose(surface!.halfX, 0.25, 1e-7, 'half');
    // Its normal is vertical in lab axes.
    expectClose(Math.abs(surface!.axes[5]), 1, 1e-12, 'normal');
  });

  test('options of a CSV force plate, clock and sole reach the track', () => {
    const rows = csv([...repeat<Row>(60, [0.5, 1, 4, 200, 300, 0]), ...repeat<Row>(240, [5, 10, 400, 100, 50, 0])]);
    write(folder, 'right.csv', rows);
    const {
      recording: read,
      forcePlates,
      notes,
    } = load(`force_plates:
  - { file: right.csv, foot: right, frame_rate_hz: 100, unit: mm, unloaded: { from_s: 0, to_s: 0.5 }, corners: [[0, 0, 0], [400, 0, 0], [400, 600, 0], [0, 600, 0]] }
force_clock: estimate
shoes: { heel_height_m: 0.02, sole_thickness_m: 0.01 }
`);
    expect(read.forceClock).toBe('estimate');
    const right = forcePlates.find(({ foot }) => foot === 'right')!;
    expectClose(right.force[3 * 100 + 1], 396, 1e-12, 'offset taken off');
    // Sole and half the heel.
    expectClose(right.soleThicknessM!, 0.02, 1e-12, 'sole');
    expectAllClose(right.surface!.centre, [-0.3, 0, -0.2], 1e-12, 'corners');
    expect(notes!.some((note) => note.startsWith('right.csv: offset of 4.0 N'))).toBe(true);
  });
});
