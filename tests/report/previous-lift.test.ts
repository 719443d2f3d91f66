import { describe, expect, test } from '@jest/globals';
import type { Recording } from '../../src/capture/recording.ts';
import { sinceSection } from '../../src/report/athlete-part.ts';
import { differenceText, lastTimeCard } from '../../src/report/first-screen.ts';
import {
  type EarlierLift,
  heldAgainst,
  type PreviousDifference,
  previousLift,
} from '../../src/report/previous-lift.ts';
import { taskOf } from '../../src/report/task.ts';
import { notOnlyYou, sinceWhen } from '../../src/report/wording-athlete.ts';
import { against, nothingChanged, otherwiseAlike } from '../../src/report/wording-first.ts';
import { whatDiffers } from '../../src/report/wording-task.ts';
import type { SetMean } from '../../src/study/set-means.ts';
import { makeRecording } from '../study/make-record.ts';

const lift = (id: string, changes: Partial<Recording> = {}): EarlierLift => ({
  recording: { ...makeRecording({ recordingId: id }), ...changes },
  means: [],
  scene: null,
});

describe('which lift is the last one', () => {
  const now = lift('m', { date: '2026-03-10' }).recording;
  const found = (...others: EarlierLift[]) => heldAgainst(now, others)?.recording.id ?? null;

  test('the latest before it by day, then by id', () => {
    expect(found(lift('z', { date: '2026-03-01' }), lift('a', { date: '2026-03-04' }))).toBe('a');
    expect(
      found(lift('a', { date: '2026-03-10' }), lift('k', { date: '2026-03-10' }), lift('n', { date: '2026-03-10' })),
    ).toBe('k');
  });

  test('not a later one, not itself, not another lifter, not another kind of lift', () => {
    expect(found(lift('z', { date: '2026-03-11' }))).toBeNull();
    expect(found(lift('m', { date: '2026-03-10' }))).toBeNull();
    expect(found(lift('a', { date: '2026-03-01', athlete: { ...now.athlete, id: 'other' } }))).toBeNull();
    expect(found(lift('a', { date: '2026-03-01', lift: { ...now.lift, kind: 'back squat' } }))).toBeNull();
  });

  test('a lift without a day stands before all that have one', () => {
    expect(found(lift('z', { date: null }))).toBe('z');
    expect(found(lift('z', { date: null }), lift('a', { date: '2020-01-01' }))).toBe('a');
  });
});

describe('of several earlier lifts', () => {
  const lifted = (loadKg: number, condition: Recording['condition'] = { heel: 'flat' }): Partial<Recording> => ({
    load: { ...makeRecording().load, totalKg: loadKg },
    condition,
  });
  const now = lift('m', { date: '2026-03-10', ...lifted(100) }).recording;
  const found = (...others: EarlierLift[]) => heldAgainst(now, others)?.recording.id ?? null;
  const older = { date: '2026-03-01' };
  const newer = { date: '2026-03-08' };

  test('one of the same condition, bar place and heel before a later one of another', () => {
    const alike = lift('a', { ...older, ...lifted(60) });
    expect(found(alike, lift('b', { ...newer, ...lifted(100, { heel: 'raised' }) }))).toBe('a');
    expect(found(alike, lift('b', { ...newer, ...lifted(100), shoes: { heelHeightM: 0.03 } }))).toBe('a');
    expect(found(lift('b', { ...newer, ...lifted(100, { heel: 'raised' }) }))).toBe('b');
  });

  test('then the nearest load; within 2.5 % the loads count as the same and the later one is taken', () => {
    expect(found(lift('a', { ...older, ...lifted(90) }), lift('b', { ...newer, ...lifted(60) }))).toBe('a');
    expect(found(lift('a', { ...older, ...lifted(100) }), lift('b', { ...newer, ...lifted(102.5) }))).toBe('b');
    expect(found(lift('a', { ...older, ...lifted(100) }), lift('b', { ...newer, ...lifted(103) }))).toBe('a');
  });

  test('of one day by the number of the set, not by the name', () => {
    const set = (id: string, number: number) =>
      lift(id, { ...newer, ...lifted(100), lift: { ...now.lift, set: number } });
    expect(found(set('x10', 10), set('x9', 9))).toBe('x10');
  });
});

describe('what else differs from the lift before', () => {
  const earlier = lift('a', { condition: { heel: 'raised' }, load: { ...makeRecording().load, totalKg: 60.5 } });
  const { recording } = lift('m', { condition: { heel: 'flat' }, load: { ...makeRecording().load, totalKg: 80 } });
  const previous = previousLift({ means: [] }, earlier, null);

  test('both views say it: load and condition', () => {
    const differs = whatDiffers(previous, taskOf(recording));
    expect(differs).toEqual([
      expect.stringMatching(/60\.5 kg then; 80 kg now/),
      expect.stringMatching(/heel raised then; heel flat now/),
    ]);
    const athlete = sinceSection({ previous, recording }).text;
    for (const words of [notOnlyYou(differs), sinceWhen(against(previous))]) expect(athlete).toContain(words);
    expect(lastTimeCard({ previous, recording }).text).toContain(otherwiseAlike(previous, recording)[0]);
  });

  test('place of the bar and heel of the shoe are named too; of lifts alike nothing is said', () => {
    const { load } = recording;
    const high = { ...recording, load: { ...load, bar: { ...load.bar, position: 'high back' as const } } };
    const other = previousLift(
      { means: [] },
      { ...earlier, recording: { ...high, shoes: { heelHeightM: 0.03 } } },
      null,
    );
    expect(whatDiffers(other, taskOf(recording))).toEqual([
      expect.stringMatching(/high back then; front rack now/),
      expect.stringMatching(/30 mm then; 20 mm now/),
    ]);
    const same = previousLift({ means: [] }, { ...earlier, recording }, null);
    expect(whatDiffers(same, taskOf(recording))).toEqual([]);
    expect(notOnlyYou([])).toBe('');
  });
});

/** A mean with one cause that both lifts share and one of its own. */
const mean = (measure: string, at: string, side: string, value: number, own: number, shared: number): SetMean => ({
  measure,
  side,
  at,
  unit: measure === 'trunk_lean' ? 'deg' : '1',
  value,
  repetitions: 3,
  lower: value - 1,
  upper: value + 1,
  sd: Math.hypot(own, shared),
  reason: '',
  shares: [],
  effects: new Map([['shared', shared]]),
  noiseVariance: own ** 2,
  noiseFreedom: 39,
  drawn: null,
});

test('the difference is this lift less the earlier one, in which the shared cause cancels: verdicts by hand', () => {
  const earlier: EarlierLift = {
    ...lift('a'),
    means: [mean('trunk_lean', 'parallel', '', 40, 0.5, 4), mean('hip_share', 'parallel', 'both', 0.6, 0.02, 0.1)],
  };
  const means = [
    mean('trunk_lean', 'parallel', '', 36, 0.5, 4),
    mean('hip_share', 'parallel', 'both', 0.58, 0.02, 0.1),
  ];
  const { differences } = previousLift({ means }, earlier, null);
  expect(differences.map(({ title, verdict }) => [title, verdict])).toEqual([
    ['Hips’ part at parallel', 'cannot tell'],
    ['Lean at parallel', 'different'],
  ]);
  const lean = differences[1];
  expect(lean.difference).toBeCloseTo(-4, 12);
  // Half width: Student's 0.975 quantile with 78 degrees of freedom (1.9908, from memory) times √(0.5² + 0.5²).
  expect((lean.upper - lean.lower) / 2).toBeCloseTo(1.9908 * Math.SQRT1_2, 3);
});

test('a measure that one of the two lacks is left out; one without an interval has no verdict', () => {
  const earlier: EarlierLift = {
    ...lift('a'),
    means: [{ ...mean('trunk_lean', 'parallel', '', 40, 0.5, 4), reason: 'known in 20 of 40 draws only' }],
  };
  const means = [
    mean('trunk_lean', 'parallel', '', 36, 0.5, 4),
    mean('hip_share', 'parallel', 'both', 0.58, 0.02, 0.1),
  ];
  const previous = previousLift({ means }, earlier, null);
  expect(previous.differences.map(({ verdict }) => verdict)).toEqual(['']);
  const { recording } = lift('m');
  expect(lastTimeCard({ previous, recording }).text).toContain(nothingChanged(0));
  expect(nothingChanged(0)).not.toBe(nothingChanged(1));
});

test('a difference that reads as 0 has no plus', () => {
  const shown = { factor: 100, unit: 'points', decimals: 0 };
  const of = (difference: number) => ({ difference, lower: difference - 0.05, upper: difference + 0.05, shown });
  const text = (difference: number) => differenceText(of(difference) as PreviousDifference);
  expect([0.002, 0.07, -0.07].map(text)).toEqual([
    '0 points (−5 to 5)',
    '+7 points (2 to 12)',
    '−7 points (−12 to −2)',
  ]);
});
