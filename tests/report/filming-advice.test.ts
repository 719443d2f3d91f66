import { describe, expect, test } from '@jest/globals';
import type { LiftRecord } from '../../src/lift/lift-record.ts';
import {
  ascentComesFirst,
  beginsInDescent,
  edgeOfRecording,
  needsForcePlates,
  needsLandmarks,
  noStickingPoint,
  parallelNotReached,
  standingTooShort,
} from '../../src/messages.ts';
import { filmingAdvice } from '../../src/report/filming-advice.ts';
import { makeRecord } from '../study/make-record.ts';

const record = makeRecord({ repetitions: 1 });

/** The record with nothing known, for these reasons. */
const unknownFor = (...reasons: string[]): LiftRecord => ({
  ...record,
  repetitions: record.repetitions.map((repetition) => ({ ...repetition, reason: '' })),
  measures: reasons.map((reason, i) => ({ ...record.measures[i], value: Number.NaN, reason })),
});
const notSeen = (...reasons: string[]) => filmingAdvice(unknownFor(...reasons)).map((one) => one.notSeen);

describe('what could not be seen', () => {
  test.each([
    [needsLandmarks(['left_heel']), /heels/],
    [needsLandmarks(['bar_left_end', 'bar_right_end']), /bar/],
    [needsLandmarks(['mid_back', 'neck_base']), /back/],
    [needsLandmarks(['left_ear', 'right_eye']), /head/],
    [needsLandmarks(['left_hand']), /hands/],
    [needsLandmarks(['left_hip']), /hips/],
    [edgeOfRecording(), /beginning or end.*hole/],
    [standingTooShort(), /still stand/],
  ])('%s', (reason, words) => {
    expect(notSeen(reason)).toEqual([expect.stringMatching(words)]);
  });

  test.each([ascentComesFirst(), noStickingPoint(), needsForcePlates(), parallelNotReached(12)])(
    'no film gives it: %s',
    (reason) => {
      expect(notSeen(reason)).toEqual([]);
    },
  );

  test('a reason that names several points has advice for each, once, and the most wanted stands first', () => {
    const found = filmingAdvice(
      unknownFor(needsLandmarks(['left_heel', 'bar_left_end']), needsLandmarks(['right_heel'])),
    );
    expect(found.map(({ notSeen: words }) => words)).toEqual([
      expect.stringMatching(/heels/),
      expect.stringMatching(/bar/),
    ]);
    expect(found[0].titles.length).toBeGreaterThanOrEqual(found[1].titles.length);
  });

  test('beside a gap in the middle of the film the advice is not only to film longer', () => {
    expect(filmingAdvice(unknownFor(edgeOfRecording()))[0].nextTime).toMatch(/two seconds before.*in every picture/);
  });

  test('a repetition that is cut off asks for a longer film, although no measure says so', () => {
    const cut = unknownFor();
    const repetitions = cut.repetitions.map((one) => ({ ...one, reason: beginsInDescent() }));
    expect(filmingAdvice({ ...cut, repetitions })).toHaveLength(1);
  });
});
