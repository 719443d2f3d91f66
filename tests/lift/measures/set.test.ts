import { expect, test } from '@jest/globals';
import { HIP_CENTRES_APART_LIMIT_M } from '../../../src/lift/limits.ts';
import { SURVEY } from '../../../src/lift/measures/survey-percentile.ts';
import {
  hipPointsAreTrochanters,
  missing,
  needsFullRepetitions,
  needsLandmarks,
  sexNotStated,
} from '../../../src/messages.ts';
import { expectClose } from '../../expect-close.ts';
import {
  blend,
  DEEP,
  hold,
  LENGTH,
  makeLoads,
  makeRecording,
  move,
  type Posture,
  STANDING,
  squats,
} from '../make-loads.ts';
import { described, measure } from './with-points.ts';

/** One repetition to this depth with so many frames on the way up. */
const one = (deep: Posture, up: number) => [
  ...move(STANDING, deep, 120),
  ...hold(deep, 10),
  ...move(deep, STANDING, up),
  ...hold(STANDING, 100),
];
const setOf = (...repetitions: (readonly [share: number, up: number])[]) => [
  ...hold(STANDING, 120),
  ...repetitions.flatMap(([share, up]) => one(blend(STANDING, DEEP, share), up)),
];

test('velocity loss: the same way in half as much time again is a third slower', () => {
  const slowing = setOf([1, 100], [1, 90], [1, 135]);
  // Fastest is the second: 90 frames against 135 of the last; the shape of the movement is the same.
  for (const options of [{}, { barPlacedBy: 'at the shoulders' }, { barMassKg: 0 }]) {
    const record = described(makeLoads(slowing, options));
    const { value, frameFirst, frameLast } = measure(record, 'velocity_loss', 'set', '', 0);
    // Marks at 2 % fall between frames: linear there, the times are good to a tenth of a frame of 90.
    expectClose(value, 1 / 3, 0.002);
    expect(frameFirst).toBeGreaterThan(record.repetitions[0].bottomFrame);
    expect(frameLast).toBeGreaterThan(record.repetitions[2].bottomFrame);
  }
  const quickening = described(makeLoads(setOf([1, 135], [1, 90])));
  expect(measure(quickening, 'velocity_loss', 'set', '', 0).value).toBe(0);
});

test('a full repetition whose velocity is not known leaves the loss unknown, with its reason: it may be the fastest', () => {
  const loads = makeLoads(setOf([1, 90], [1, 100], [1, 100]));
  const { motion } = loads;
  const centre = motion.barbell!.centre.slice();
  // The first repetition stands up at frame 340.
  centre.fill(Number.NaN, 3 * 300, 3 * 345);
  const record = described({ ...loads, motion: { ...motion, barbell: { ...motion.barbell!, centre } } });
  expect(record.repetitions.map(({ completeness }) => completeness)).toEqual(['full', 'full', 'full']);
  const first = measure(record, 'bar_velocity_mean', 'ascent', '', 1);
  expect(first.reason).toBe(missing());
  expect(measure(record, 'velocity_loss', 'set', '', 0)).toMatchObject({
    value: Number.NaN,
    reason: missing(),
    frameFirst: first.frameFirst,
    frameLast: first.frameLast,
  });
});

test('depth loss: the last against the deepest', () => {
  const record = described(makeLoads(setOf([0.95, 100], [1, 100], [0.9, 100])));
  expectClose(measure(record, 'depth_loss', 'set', '', 0).value, 11, 1e-9);
  const deepening = described(makeLoads(setOf([0.9, 100], [1, 100])));
  expectClose(measure(deepening, 'depth_loss', 'set', '', 0).value, 0, 1e-12);
});

test('one full repetition has no loss: a partial one does not count', () => {
  const record = described(makeLoads(setOf([1, 100], [0.7, 100])));
  expect(record.repetitions.map(({ completeness }) => completeness)).toEqual(['full', 'partial']);
  for (const name of ['velocity_loss', 'depth_loss']) {
    expect(measure(record, name, 'set', '', 0).reason).toBe(needsFullRepetitions(2, 1));
  }
});

test('widths of hips and shoulders are those the lifter was made with; trochanters are no hip centres', () => {
  const record = described(makeLoads(squats(1), { hipHalfM: 0.09 }));
  expectClose(measure(record, 'hip_width', 'set', '', 0).value, 0.18, 1e-9);
  expectClose(measure(record, 'shoulder_width', 'set', '', 0).value, 0.36, 1e-9);
  const wide = described(makeLoads(squats(1), { hipHalfM: 0.185 }));
  const reason = hipPointsAreTrochanters(0.37, HIP_CENTRES_APART_LIMIT_M);
  expect(measure(wide, 'hip_width', 'set', '', 0).reason).toBe(reason);
  expect(measure(wide, 'thigh_percentile', 'set', '', 0).reason).toBe(reason);
  const none = described(makeLoads(squats(1), { without: ['left_shoulder'] }));
  expect(measure(none, 'shoulder_width', 'set', '', 0).reason).toBe(needsLandmarks(['left_shoulder']));
});

test('percentiles: thighs and shanks of one’s own sex in the survey', () => {
  const of = (sex: 'female' | 'male' | 'unknown') => {
    const recording = makeRecording();
    return described(makeLoads(squats(1)), { ...recording, athlete: { ...recording.athlete, sex } });
  };
  // Normal probabilities by a table: Φ(0.63) = 0.7357, Φ(1.78) = 0.9625, Φ(−1.28) = 0.1003, Φ(−0.45) = 0.3264.
  expectClose((LENGTH.thigh - SURVEY.thigh.male.meanM) / SURVEY.thigh.male.sdM, 0.63, 0.005);
  expectClose(measure(of('male'), 'thigh_percentile', 'set', '', 0).value, 0.7357, 0.002);
  expectClose(measure(of('female'), 'thigh_percentile', 'set', '', 0).value, 0.9625, 0.002);
  expectClose(measure(of('male'), 'shank_percentile', 'set', '', 0).value, 0.1003, 0.002);
  expectClose(measure(of('female'), 'shank_percentile', 'set', '', 0).value, 0.3264, 0.002);
  expect(measure(of('unknown'), 'thigh_percentile', 'set', '', 0).reason).toBe(sexNotStated());
});

test('the join of survey and joint centres stays within a centimetre or two of de Leva’s own sample', () => {
  // De Leva (1996) Table 4, 100 men of 1.741 m: thigh 422.2 mm (hip to knee centre), shank 440.3 mm (knee to ankle centre).
  // The survey's men are 1.756 m tall; a thigh grows by about 0.27 and a shank by about 0.32 of a change in stature.
  const toStature = (meanM: number, slope: number) => meanM - slope * (1.756 - 1.741);
  expectClose(toStature(SURVEY.thigh.male.meanM, 0.27), 0.4222, 0.025, 'thigh');
  expectClose(toStature(SURVEY.shank.male.meanM, 0.32), 0.4403, 0.015, 'shank');
});
