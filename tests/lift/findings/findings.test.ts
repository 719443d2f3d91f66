import { describe, expect, test } from '@jest/globals';
import type { BarPosition } from '../../../src/capture/recording.ts';
import { findingsOf } from '../../../src/lift/findings/findings.ts';
import { rulesFor } from '../../../src/lift/findings/rule.ts';
import { BUILT_IN_RULES } from '../../../src/lift/findings/rules/index.ts';
import { makeRecording } from '../../study/make-record.ts';
import { type FoundIn, makeReading, makeRepetition, makeRule } from './make-findings.ts';

const recording = makeRecording();
const record: FoundIn = {
  repetitions: [makeRepetition(1), makeRepetition(2), makeRepetition(3, { completeness: 'partial' })],
  measures: [makeReading(1, 44), makeReading(2, 39), makeReading(3, 50)],
};
const setMean = { measure: 'trunk_lean', side: '', at: 'largest', value: 41.5, lower: 40.1, upper: 42.9, reason: '' };

describe('findings of a lift', () => {
  test('the set first, by its own interval, then every repetition with its frames', () => {
    const found = findingsOf(record, [setMean], recording, [makeRule()]);
    expect(found.map(({ repetition, word, frameLast }) => [repetition, word, frameLast])).toEqual([
      [0, 'shown', -1],
      [1, 'shown', 100],
      [2, 'open', 200],
      [3, 'shown', 300],
    ]);
    expect(found[0]).toMatchObject({ value: 41.5, lower: 40.1, upper: 42.9, unit: 'deg', side: '' });
  });

  test('without intervals everything known is open, and the set is the mean of its full repetitions', () => {
    const bare = { lower: Number.NaN, upper: Number.NaN };
    const found = findingsOf(
      { ...record, measures: record.measures.map((measure) => ({ ...measure, ...bare })) },
      [],
      recording,
      [makeRule()],
    );
    expect(found[0].value).toBe((44 + 39) / 2);
    expect(
      found.every(({ word, reason, probability }) => word === 'open' && reason !== '' && Number.isNaN(probability)),
    ).toBe(true);
  });

  test('unknown with the measure’s reason; the set has that of its full repetitions', () => {
    const measures = [
      makeReading(1, Number.NaN, { reason: 'needs left_hip' }),
      makeReading(2, Number.NaN, { reason: 'missing' }),
      makeReading(3, 50),
    ];
    const found = findingsOf({ ...record, measures }, [], recording, [makeRule()]);
    expect(found.slice(0, 3).map(({ word, reason }) => [word, reason])).toEqual([
      ['unknown', 'needs left_hip'],
      ['unknown', 'needs left_hip'],
      ['unknown', 'missing'],
    ]);
  });

  test('a set mean without interval says why; no full repetition and a measure that is absent are named', () => {
    const without = { ...setMean, lower: Number.NaN, upper: Number.NaN, reason: 'a draw is unknown' };
    expect(findingsOf(record, [without], recording, [makeRule()])[0]).toMatchObject({
      word: 'open',
      reason: 'a draw is unknown',
    });
    const partial = { repetitions: record.repetitions.slice(2), measures: record.measures.slice(2) };
    expect(findingsOf(partial, [], recording, [makeRule()])[0]).toMatchObject({ word: 'unknown' });
    expect(findingsOf(record, [], recording, [makeRule({ measure: 'hip_drop' })])).toMatchObject([
      { word: 'unknown', repetition: 0 },
    ]);
  });

  test('a measure of the whole set keeps its own interval and frames', () => {
    const measures = [
      makeReading(0, 0.4, { measure: 'velocity_loss', at: 'set', lower: 0.35, upper: 0.45, frameLast: 9 }),
    ];
    const rule = makeRule({ measure: 'velocity_loss', at: 'set', threshold: 0.3 });
    expect(findingsOf({ ...record, measures }, [], recording, [rule])).toMatchObject([
      { repetition: 0, word: 'shown', frameLast: 9 },
    ]);
  });

  test('what a measure alone cannot tell is never more than open, but may be not there', () => {
    const rule = makeRule({ openBecause: 'two things look alike' });
    const found = findingsOf(record, [setMean], recording, [rule]);
    expect(found.map(({ word }) => word)).toEqual(['open', 'open', 'open', 'open']);
    expect(found[0].reason).toBe('two things look alike');
    expect(findingsOf(record, [setMean], recording, [{ ...rule, threshold: 60 }])[0].word).toBe('not there');
  });

  test('one finding a side; a side the measure does not have is unknown', () => {
    const measures = [makeReading(1, 50, { side: 'left' })];
    const found = findingsOf({ ...record, measures }, [], recording, [makeRule({ sides: ['left', 'right'] })]);
    expect(found.map(({ side, word }) => [side, word])).toEqual([
      ['left', 'open'],
      ['left', 'shown'],
      ['right', 'unknown'],
    ]);
  });

  test('no repetition, no finding', () => {
    expect(findingsOf({ repetitions: [], measures: [] }, [], recording, BUILT_IN_RULES)).toEqual([]);
  });
});

describe('rules of other lifts are left out', () => {
  const with_ = (position: BarPosition, kind: string, grip: string | null = null) => ({
    load: { ...recording.load, bar: { ...recording.load.bar, position } },
    lift: { ...recording.lift, kind, grip },
  });
  const names = (...given: Parameters<typeof rulesFor>) => rulesFor(...given).map(({ name }) => name);

  test('a deadlift gets no rule of a squat, and none of a rack', () => {
    const deadlift = rulesFor(with_('hands', 'deadlift'), ['ascent first'], BUILT_IN_RULES);
    expect(deadlift.length).toBeGreaterThan(8);
    for (const { appliesTo = {} } of deadlift) {
      expect(appliesTo.order ?? 'ascent first').toBe('ascent first');
      expect(appliesTo.bar ?? ['hands']).toContain('hands');
    }
    expect(deadlift.map(({ name }) => name)).toContain('hips_rise_first_from_floor');
  });

  test('elbows are looked at in a front squat and not in a back squat', () => {
    expect(names(with_('front rack', 'front squat'), ['descent first'], BUILT_IN_RULES)).toContain('elbows_drop');
    expect(names(with_('low back', 'back squat'), ['descent first'], BUILT_IN_RULES)).not.toContain('elbows_drop');
  });

  test('each place of the bar has its own limit of lean, and only one of each', () => {
    for (const position of ['front rack', 'high back', 'low back', 'overhead', 'none'] as const) {
      const own = rulesFor(with_(position, 'squat'), ['descent first'], BUILT_IN_RULES);
      expect(own.filter(({ measure, at }) => measure === 'trunk_lean' && at === 'parallel')).toHaveLength(1);
    }
  });

  test('where the whole hand holds the bar, that rule takes the place of the general one', () => {
    const full = names(with_('front rack', 'front squat', 'Full grip'), ['descent first'], BUILT_IN_RULES);
    expect(full).toContain('elbows_low_with_whole_hand');
    expect(full).not.toContain('elbows_low_at_start');
    const two = names(with_('front rack', 'front squat', 'two fingers'), ['descent first'], BUILT_IN_RULES);
    expect(two).toContain('elbows_low_at_start');
    expect(two).not.toContain('elbows_low_with_whole_hand');
  });

  test('of a rule for squats only the repetitions that begin with the way down are judged', () => {
    const mixed: FoundIn = {
      repetitions: [makeRepetition(1), makeRepetition(2, { order: 'ascent first' })],
      measures: [makeReading(1, 50), makeReading(2, 50)],
    };
    const rule = makeRule({ appliesTo: { order: 'descent first' } });
    expect(findingsOf(mixed, [], recording, [rule]).map(({ repetition }) => repetition)).toEqual([0, 1]);
  });
});
