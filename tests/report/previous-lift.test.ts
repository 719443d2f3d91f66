import { describe, expect, test } from '@jest/globals';
import type { Recording } from '../../src/capture/recording.ts';
import { type EarlierLift, latestBefore, previousLift } from '../../src/report/previous-lift.ts';
import type { SetMean } from '../../src/study/set-means.ts';
import { makeRecording } from '../study/make-record.ts';

const lift = (id: string, changes: Partial<Recording> = {}): EarlierLift => ({
  recording: { ...makeRecording({ recordingId: id }), ...changes },
  means: [],
  scene: null,
});

describe('which lift is the last one', () => {
  const now = lift('m', { date: '2026-03-10' }).recording;
  const found = (...others: EarlierLift[]) => latestBefore(now, others)?.recording.id ?? null;

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
  expect(previousLift({ means }, earlier, null).differences.map(({ verdict }) => verdict)).toEqual(['']);
});
