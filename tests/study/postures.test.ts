import { describe, expect, test } from '@jest/globals';
import { POSTURES, posturesTable, shownRepetition } from '../../src/study/postures.ts';
import { expectClose } from '../expect-close.ts';
import { makeRecord } from './make-record.ts';

interface Row {
  readonly posture: string;
  readonly frame: number;
  readonly part: string;
  readonly point: number;
  readonly x_m: number;
  readonly y_m: number;
}
const rowsOf = (record = makeRecord()) => posturesTable(record).objects({ limit: Number.POSITIVE_INFINITY }) as Row[];

describe('posturesTable', () => {
  const record = makeRecord();
  const rows = rowsOf(record);
  const find = (posture: string, part: string, point: number) =>
    rows.find((row) => row.posture === posture && row.part === part && row.point === point)!;

  test('has the five postures of the middle full repetition, in order of time', () => {
    expect([...new Set(rows.map(({ posture }) => posture))]).toEqual([...POSTURES]);
    expect(shownRepetition(record)!.number).toBe(2);
    const frames = POSTURES.map((posture) => find(posture, 'trunk', 0).frame);
    expect([...frames].sort((a, b) => a - b)).toEqual(frames);
  });

  test('keeps limb lengths (thigh of 0.43 m, drawn from its joints)', () => {
    for (const posture of POSTURES) {
      const [hip, knee] = [find(posture, 'near leg', 0), find(posture, 'near leg', 1)];
      expectClose(Math.hypot(hip.x_m - knee.x_m, hip.y_m - knee.y_m), 0.43, 0.02, `thigh, ${posture}`);
    }
  });

  test('at parallel the thigh is level within one frame of movement', () => {
    const [hip, knee] = [find('parallel', 'near leg', 0), find('parallel', 'near leg', 1)];
    expectClose(hip.y_m, knee.y_m, 0.02, 'hip level with knee');
  });

  test('the half-way frame lies half way between the heights of standing and bottom', () => {
    const [top, half, low] = ['standing', 'half way down', 'bottom'].map((posture) => find(posture, 'trunk', 0).y_m);
    expectClose(half, (top + low) / 2, 0.01, 'mid-hip height half way');
  });

  test('the line of the mass ends on the floor under the mass', () => {
    const [mass, floor] = [find('bottom', 'centre of mass', 0), find('bottom', 'centre of mass', 1)];
    expect(floor.x_m).toBe(mass.x_m);
    expect(floor.y_m).toBe(0);
  });
});

test('a repetition that does not reach parallel has no picture of it', () => {
  const record = makeRecord({ repetitions: 1, partialRepetition: 1 });
  const postures = new Set(rowsOf(record).map(({ posture }) => posture));
  expect([...postures]).toEqual(['standing', 'half way down', 'bottom']);
});

test('without heels and toes there is no foot on the floor; without a bar no bar; without repetitions nothing', () => {
  const parts = new Set(rowsOf(makeRecord({ withFeet: false, withBar: false })).map(({ part }) => part));
  expect(parts.has('foot on the floor')).toBe(false);
  expect(parts.has('bar')).toBe(false);
  expect(parts.has('bar path')).toBe(false);
  expect(parts.has('near leg')).toBe(true);
  expect(rowsOf(makeRecord({ repetitions: 0 }))).toEqual([]);
});
