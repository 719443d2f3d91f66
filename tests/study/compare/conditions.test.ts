import { describe, expect, test } from '@jest/globals';
import { compareCautions } from '../../../src/messages/compare.ts';
import { cautionsOf, conditionsOf, sameRig } from '../../../src/study/compare/conditions.ts';
import { madeLift } from './made-lifts.ts';

const base = madeLift({ recordingId: 'mon' });
const { recording } = base;
const with_ = (changes: Parameters<typeof madeLift>[3]) => madeLift({ recordingId: 'fri' }, {}, null, changes);

describe('what is not alike is said', () => {
  test('nothing where all is alike but the recording', () => {
    expect(cautionsOf(base, with_({}), true)).toEqual([]);
    const differing = conditionsOf(base, with_({})).filter(({ a, b }) => a !== b);
    expect(differing.map(({ name }) => name)).toEqual(['recording']);
  });

  test('load, body mass, lifter, kind of lift, rig', () => {
    const heavier = with_({ load: { ...recording.load, totalKg: 90 } });
    expect(cautionsOf(base, heavier, true)).toEqual([compareCautions.otherLoad(80, 90)]);
    const grown = with_({ athlete: { ...recording.athlete, massKg: 64.5 } });
    expect(cautionsOf(base, grown, true)).toEqual([compareCautions.otherMass(63, 64.5)]);
    const other = with_({ athlete: { ...recording.athlete, id: 'B' } });
    expect(cautionsOf(base, other, true)).toEqual([compareCautions.otherLifter('007', 'B')]);
    const deadlift = with_({ lift: { ...recording.lift, kind: 'deadlift' } });
    expect(cautionsOf(base, deadlift, true)).toEqual([compareCautions.otherKind('front squat', 'deadlift')]);
    expect(cautionsOf(base, with_({}), false)).toEqual([compareCautions.otherRig()]);
  });

  test('one id for two bodies, another way of analysing, a partial repetition, intervals switched off', () => {
    const taller = with_({ athlete: { ...recording.athlete, statureM: 1.8 } });
    expect(cautionsOf(base, taller, true)).toEqual([compareCautions.otherDescription('007')]);
    const table = with_({ segments: 'dempster-winter-2009' });
    expect(cautionsOf(base, table, true)).toEqual([compareCautions.otherMethod('segments')]);
    const partial = madeLift({ recordingId: 'fri', partialRepetition: 2 }, {}, 2);
    expect(cautionsOf(base, partial, true)).toHaveLength(1);
    expect(cautionsOf(base, madeLift({ recordingId: 'fri' }, null), true)).toEqual([compareCautions.nothingJudged()]);
  });
});

test('one rig by the keys of its causes', () => {
  const withRig = (key: string) => ({
    ...base,
    source: key,
    uncertainty: { ...base.uncertainty!, causes: [{ group: 'vertical' as const, key, label: '' }] },
  });
  expect(sameRig(withRig('rig/1/vertical'), withRig('rig/2/vertical'))).toBe(false);
  expect(sameRig(withRig('rig/1/vertical'), { ...withRig('rig/1/vertical'), source: 'other' })).toBe(true);
});
