import { describe, expect, test } from '@jest/globals';
import { sharedCauses } from '../../../src/study/cohort/shared-causes.ts';
import { expectAllClose } from '../../expect-close.ts';

const row = (athleteId: string, recordingId: string, effects: Readonly<Record<string, number>>) => ({
  athleteId,
  recordingId,
  effects: new Map(Object.entries(effects)),
});
const spread = (athleteSd: number, residualSd: number) => ({
  randomSds: [{ name: '(intercept)', sd: athleteSd }],
  residualSd,
});
const NOTHING = spread(0, 0);

describe('whose a cause is', () => {
  test('one for the study: whole, one unknown for all rows with its key', () => {
    const found = sharedCauses(
      [row('A', 'a1', { 'rig/lab/scale': 2 }), row('B', 'b1', { 'rig/lab/scale': 3 }), row('B', 'b2', {})],
      spread(100, 100),
      'recordings',
    );
    expect(found.map(({ name, sharedBy }) => [name, sharedBy])).toEqual([
      ['rig/lab/scale', ['rig/lab/scale', 'rig/lab/scale', '']],
    ]);
    expectAllClose(found[0].effects, [2, 3, 0], 0);
  });

  test("athletes' own causes are one pass, each athlete an unknown; what is unlike in the athlete's rows is kept", () => {
    const found = sharedCauses(
      [
        row('A', 'a1', { 'detector/x/A/knee': 1 }),
        row('A', 'a2', { 'detector/x/A/knee': 3 }),
        row('B', 'b1', { 'detector/x/B/knee': 5 }),
      ],
      spread(100, 0),
      'recordings',
    );
    expect(found).toHaveLength(1);
    expect(found[0].sharedBy).toEqual(['detector/x/A/knee', 'detector/x/A/knee', 'detector/x/B/knee']);
    // The mean of 2 is in the spread between athletes.
    expectAllClose(found[0].effects, [-1, 1, 0], 1e-15);
  });

  test('a word that is the id of an athlete by chance makes no cause the athlete’s', () => {
    const found = sharedCauses(
      [row('survey', 'a1', { 'survey/thigh': 1 }), row('B', 'b1', { 'survey/thigh': 1 })],
      spread(100, 0),
      'recordings',
    );
    expectAllClose(found[0].effects, [1, 1], 0);
  });

  test('two causes of one row that would go by one name keep places of their own', () => {
    const found = sharedCauses(
      [row('A', 'a', { 'A/x': 1, '<athlete>/x': 2 }), row('B', 'b', { '<athlete>/x': 4 })],
      NOTHING,
      'recordings',
    );
    expect(found.map(({ effects }) => Array.from(effects))).toEqual([
      [1, 4],
      [2, 0],
    ]);
    // Not one unknown though one name: B's key is that of A's second.
    expect(found.map(({ sharedBy }) => sharedBy)).toEqual([
      ['A/x', '<athlete>/x'],
      ['<athlete>/x', ''],
    ]);
  });
});

describe('what the estimated spread holds is not added again', () => {
  const own = [row('A', 'a1', { 'athlete/A/mass': 3, 'athlete/A/trunk': 4 })];

  test.each([
    [0, 1],
    [3, 0.8], // 25 − 9 of 25 are left.
    [5, 0],
    [9, 0],
  ])('a spread of %d between athletes leaves %d of effects 3 and 4', (sd, kept) => {
    const found = sharedCauses(own, spread(sd, 0), 'recordings');
    expectAllClose(
      found.map(({ effects }) => effects[0]),
      [3 * kept, 4 * kept],
      1e-12,
    );
  });

  test("a recording's own causes are in the residual where recordings are the rows, not where repetitions are", () => {
    const rows = [row('A', 'a1', { 'recording/a1/load': 5 }), row('A', 'a1', { 'recording/a1/load': 5 })];
    expectAllClose(sharedCauses(rows, spread(0, 4), 'repetitions')[0].effects, [5, 5], 1e-12);
    expectAllClose(sharedCauses(rows.slice(0, 1), spread(0, 4), 'recordings')[0].effects, [3], 1e-12);
  });
});
