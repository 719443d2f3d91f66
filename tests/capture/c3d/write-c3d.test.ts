import { describe, expect, test } from '@jest/globals';
import type { C3dFile } from '../../../src/capture/c3d/c3d-file.ts';
import { newC3d } from '../../../src/capture/c3d/new-c3d.ts';
import { parseC3d } from '../../../src/capture/c3d/read-c3d.ts';
import { writeC3d } from '../../../src/capture/c3d/write-c3d.ts';
import { dataError } from '../written-files.ts';
import { ENCODINGS, madeBytes } from './made-files.ts';

/** What must come back, bit for bit: Float32Array equality treats NaN as equal and tells −0 from 0. */
const kept = ({ frames, firstFrame, frameRateHz, points, analog, events, headerEvents }: C3dFile) => ({
  frames,
  firstFrame,
  frameRateHz,
  points,
  analog,
  events,
  headerEvents,
});

describe('read → write → read is exact', () => {
  test.each(ENCODINGS)('%s', (encoding) => {
    const first = parseC3d(encoding, madeBytes(encoding));
    const bytes = writeC3d(first);
    const second = parseC3d('written', bytes);
    expect(kept(second)).toEqual(kept(first));
    expect([second.processor, second.storage]).toEqual(['Intel', 'float']);
    expect(writeC3d(second)).toEqual(bytes);
  });

  test('every parameter that does not follow from the data is kept as it was', () => {
    const first = parseC3d('dec-integer', madeBytes('dec-integer'));
    const second = parseC3d('written', writeC3d(first));
    const follows = ['POINT:SCALE', 'POINT:DATA_START', 'TRIAL:ACTUAL_START_FIELD', 'TRIAL:ACTUAL_END_FIELD'];
    for (const { name: group, parameters } of first.groups) {
      const written = second.groups.find(({ name }) => name === group)!;
      for (const parameter of parameters) {
        if (follows.includes(`${group}:${parameter.name}`)) continue;
        const { description: _, ...rest } = parameter;
        expect(written.parameters.find(({ name }) => name === parameter.name)).toMatchObject(rest);
      }
    }
  });
});

const trial = (frames: number, points: number, numbers = 0) =>
  newC3d({
    frames,
    frameRateHz: 60,
    unit: 'mm',
    points: Array.from({ length: points }, (_, p) => ({
      label: `point_${p}`,
      description: `Point ${p}`,
      values: Float64Array.from({ length: 3 * frames }, (_, i) => (i % 7 === 6 ? Number.NaN : 1000 * Math.sin(i + p))),
    })),
    numbers: Array.from({ length: numbers }, (_, c) => ({
      label: `number_${c}`,
      description: '',
      unit: 'Nm',
      values: Float64Array.from({ length: frames }, (_, i) => i - c / 3),
    })),
    events: [{ label: 'bottom 1', context: 'General', timeS: 65.25 }],
    screen: ['+X', '+Y'],
    software: ['Kneeward', '0'],
  });

test('a new file: points in float32, unknown ones missing, numbers with their unit, events over a minute', () => {
  const c3d = parseC3d('new', writeC3d(trial(20, 3, 2)));
  expect(c3d.points).toMatchObject({ count: 3, labels: ['point_0', 'point_1', 'point_2'], unit: 'mm' });
  for (let point = 0; point < 3; point++) {
    for (let frame = 0; frame < 20; frame++) {
      const values = [0, 1, 2]
        .map((k) => 3 * frame + k)
        .map((i) => (i % 7 === 6 ? NaN : Math.fround(1000 * Math.sin(i + point))));
      const missing = values.some(Number.isNaN);
      const at = 3 * (frame * 3 + point);
      expect([...c3d.points.position.slice(at, at + 3)]).toEqual(missing ? [NaN, NaN, NaN] : values);
      expect(c3d.points.residual[frame * 3 + point]).toEqual(missing ? NaN : 0);
    }
  }
  expect(c3d.analog).toMatchObject({ channels: 2, samplesPerFrame: 1, rateHz: 60, units: ['Nm', 'Nm'] });
  expect(c3d.events).toEqual([{ label: 'bottom 1', context: 'General', timeS: 65.25 }]);
});

test('more than 255 points and channels: the lists go on in LABELS2, SCALE2 …', () => {
  const c3d = parseC3d('many', writeC3d(trial(2, 300, 270)));
  expect(c3d.points.labels[299]).toBe('point_299');
  expect(c3d.analog.labels[269]).toBe('number_269');
  expect(c3d.analog.scale[269]).toBe(1);
});

test('more than 65535 frames: POINT:FRAMES as a float, LONG_FRAMES, TRIAL', () => {
  const c3d = parseC3d('long', writeC3d(trial(70_000, 1)));
  expect(c3d.frames).toBe(70_000);
  const stated = (group: string, name: string) => [
    ...c3d.groups.find((one) => one.name === group)!.parameters.find((one) => one.name === name)!.values,
  ];
  expect(stated('POINT', 'FRAMES')).toEqual([70_000]);
  expect(stated('TRIAL', 'ACTUAL_START_FIELD')).toEqual([1, 0]);
  expect(stated('TRIAL', 'ACTUAL_END_FIELD')).toEqual([70_000 - 65_536, 1]);
});

test('no points, only numbers; no numbers, only points', () => {
  expect(parseC3d('numbers', writeC3d(trial(5, 0, 2)))).toMatchObject({ frames: 5, points: { count: 0 } });
  expect(parseC3d('points', writeC3d(trial(5, 2, 0)))).toMatchObject({ frames: 5, analog: { channels: 0 } });
});

test('what the format cannot hold is said', () => {
  expect(dataError(() => writeC3d(trial(1, 8000))).code).toBe('c3d-cannot-hold');
});
