import { readFileSync } from 'node:fs';
import { describe, expect, test } from '@jest/globals';
import { LANDMARKS } from '../../src/capture/landmarks.ts';
import { describeLift } from '../../src/lift/describe-lift.ts';
import type { LiftRecord, MeasureValue, Side } from '../../src/lift/lift-record.ts';
import { HIP_CENTRES_APART_LIMIT_M } from '../../src/lift/limits.ts';
import { MEASURES } from '../../src/lift/measures/index.ts';
import { kneeOnsetLead } from '../../src/lift/measures/knee-onset-lead.ts';
import { prepareLift } from '../../src/lift/prepare-lift.ts';
import { startWord } from '../../src/lift/start-word.ts';
import {
  ascentComesFirst,
  barIsPlaced,
  barIsTracked,
  hipPointsAreTrochanters,
  needsBar,
  needsLandmarks,
  noStickingPoint,
  notReached,
  parallelNotReached,
  withinOneFrame,
} from '../../src/messages.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { expectClose } from '../expect-close.ts';
import { MEASURES_DOC, measuresDocument } from '../generators/write-measures-doc.ts';
import {
  blend,
  DEEP,
  HEEL_X,
  hold,
  LENGTH,
  type LoadsOptions,
  makeLoads,
  makeRecording,
  mirrored,
  move,
  moveEvenly,
  type Posture,
  RATE,
  STANDING,
  squats,
  statics,
  TOE_X,
} from './make-loads.ts';
import { overPhase } from './over-phase.ts';

const describeMade = (postures: readonly Posture[], options: LoadsOptions = {}, recording = makeRecording()) =>
  describeLift(makeLoads(postures, options), recording);

function measure(record: LiftRecord, name: string, at: string, side: Side | '' = '', repetition = 1): MeasureValue {
  const found = record.measures.filter(
    (m) => m.measure === name && m.at === at && m.side === side && m.repetition === repetition,
  );
  if (found.length !== 1) throw new Error(`${found.length} values of ${name} at ${at} side "${side}"`);
  return found[0];
}

const PARALLEL = blend(STANDING, DEEP, 90 / 110);
// Angles go evenly with time: interpolation between frames is exact for them; see curves.test.ts for moments.
const EVEN = [
  ...hold(STANDING, 150),
  ...moveEvenly(STANDING, DEEP, 157),
  ...moveEvenly(DEEP, STANDING, 143),
  ...hold(STANDING, 150),
];

describe('the registry', () => {
  test('names are snake_case and used once; each measure says what it is, needs and comes from', () => {
    expect(new Set(MEASURES.map(({ name }) => name)).size).toBe(MEASURES.length);
    for (const { name, unit, title, definition, needs, source } of MEASURES) {
      expect(name).toMatch(/^[a-z]+(_[a-z]+)*$/);
      expect(['1', 'deg', 'm', 's', 'nm', 'nms', 'j', 'w', 'm_per_s']).toContain(unit);
      expect(title.length * definition.length * source.length).toBeGreaterThan(0);
      for (const landmark of needs) expect(LANDMARKS).toContain(landmark);
    }
  });

  test('docs/method/measures.md is what the registry says', () => {
    expect(readFileSync(MEASURES_DOC, 'utf8')).toBe(measuresDocument());
  });

  test('every measure speaks about every repetition, or about the set', () => {
    const { measures } = describeMade(squats(2));
    for (const { name, scope } of MEASURES) {
      const repetitions = new Set(measures.filter((m) => m.measure === name).map((m) => m.repetition));
      expect([name, [...repetitions]]).toEqual([name, scope === 'set' ? [0] : [1, 2]]);
    }
  });

  test('a landmark that a measure needs, when absent, is named or at least leaves no number', () => {
    for (const absent of ['left_heel', 'right_big_toe'] as const) {
      const { measures } = describeMade(squats(1), { without: [absent] });
      for (const { name } of MEASURES.filter((m) => (m.needs as readonly string[]).includes(absent))) {
        const values = measures.filter(
          (m) => m.measure === name && m.side !== 'left' && m.side !== 'right' && m.at !== 'sticking point',
        );
        expect(values.length).toBeGreaterThan(0);
        for (const { value, reason } of values)
          expect([name, value, reason]).toEqual([name, Number.NaN, needsLandmarks([absent])]);
      }
    }
  });
});

describe('trunk, legs, foot, depth', () => {
  const record = describeMade(EVEN);

  test('lean at start, parallel, bottom and largest; extra lean is what was added', () => {
    expectClose(measure(record, 'trunk_lean', 'start').value, 0, 1e-9);
    for (const at of ['parallel descent', 'parallel ascent', 'parallel']) {
      expectClose(measure(record, 'trunk_lean', at).value, PARALLEL.trunk, 1e-9, at);
      expectClose(measure(record, 'extra_lean', at).value, PARALLEL.trunk, 1e-9, at);
    }
    expectClose(measure(record, 'trunk_lean', 'bottom').value, DEEP.trunk, 1e-9);
    expectClose(measure(record, 'trunk_lean', 'largest').value, DEEP.trunk, 1e-9);
  });

  test('lean gained in the drive is positive when the hips rise first', () => {
    const hipsFirst: Posture = { ...blend(STANDING, DEEP, 0.6), trunk: 50 };
    const postures = [
      ...squats(1).slice(0, 310),
      ...moveEvenly(DEEP, hipsFirst, 60),
      ...moveEvenly(hipsFirst, STANDING, 60),
      ...hold(STANDING, 100),
    ];
    const first = measure(describeMade(postures), 'lean_gained_in_drive', 'ascent');
    const height = postures.map((p) => statics(p).hipY);
    const third = height[309] + (height[0] - height[309]) / 3;
    const frame = height.findIndex((h, f) => f > 309 && h >= third);
    expectClose(first.value, postures[frame].trunk - DEEP.trunk, 0.4, 'within one frame of lean');
    expect(first.value).toBeGreaterThan(10);
    expect(measure(record, 'lean_gained_in_drive', 'ascent').value).toBeLessThan(0);
  });

  test('knee over toe, by leg', () => {
    const ahead = describeMade(EVEN, { leftKneeAheadM: 0.02 });
    // The left knee alone is moved: both = mean.
    const bottom = statics(DEEP).kneeX - TOE_X;
    expectClose(measure(ahead, 'knee_over_toe', 'bottom', 'left').value, bottom + 0.02, 1e-9);
    expectClose(measure(ahead, 'knee_over_toe', 'bottom', 'right').value, bottom, 1e-9);
    expectClose(measure(ahead, 'knee_over_toe', 'bottom', 'both').value, bottom + 0.01, 1e-9);
    expectClose(measure(record, 'knee_over_toe', 'largest', 'both').value, bottom, 1e-9);
  });

  test('shank inclination, and trunk less shank', () => {
    expectClose(measure(record, 'shank_inclination', 'parallel', 'both').value, PARALLEL.shank, 1e-9);
    expectClose(measure(record, 'trunk_minus_shank', 'parallel').value, PARALLEL.trunk - PARALLEL.shank, 1e-9);
    expectClose(measure(record, 'trunk_minus_shank', 'bottom').value, DEEP.trunk - DEEP.shank, 1e-9);
  });

  test('centre of mass along the foot, and its shift to the rear', () => {
    const share = (p: Posture) => (statics(p).comX - HEEL_X) / LENGTH.foot;
    expectClose(measure(record, 'com_along_foot', 'start').value, share(STANDING), 1e-9);
    expectClose(measure(record, 'com_along_foot', 'bottom').value, share(DEEP), 1e-9);
    // 0.7° of thigh a frame: the chord of a curve of radius about 1 foot is off by less than 1e-4.
    expectClose(measure(record, 'com_along_foot', 'parallel').value, share(PARALLEL), 1e-4);
    const { descent, ascent } = record.repetitions[0];
    const rear = Math.min(...EVEN.slice(descent!.from, ascent!.to).map(share));
    expectClose(measure(record, 'com_rear_shift', 'largest').value, share(STANDING) - rear, 1e-9);
  });

  test('depth', () => {
    expectClose(measure(record, 'bottom_thigh_elevation', 'bottom', 'both').value, DEEP.thigh, 1e-9);
    expectClose(measure(record, 'hip_drop', 'bottom').value, statics(STANDING).hipY - statics(DEEP).hipY, 1e-9);
  });

  test('parallel that is not reached says how high the thighs stayed', () => {
    const high = describeMade(squats(1, blend(STANDING, DEEP, 0.7)));
    const { value, reason } = measure(high, 'trunk_lean', 'parallel');
    expect(value).toBeNaN();
    expect(reason).toBe(parallelNotReached(13));
  });
});

test('an ascent that fails below parallel is not said to have missed parallel on the way down', () => {
  const stall = blend(STANDING, DEEP, 0.88);
  const record = describeMade([
    ...squats(1).slice(0, 300),
    ...move(DEEP, stall, 60),
    ...move(stall, DEEP, 60),
    ...hold(DEEP, 100),
  ]);
  expect(record.repetitions[0].completeness).toBe('failed');
  expect(measure(record, 'trunk_lean', 'parallel descent').reason).toBe('');
  expect(measure(record, 'trunk_lean', 'parallel ascent').reason).toBe(notReached());
  expect(measure(record, 'ascent_time', 'ascent').value).toBeNaN();
});

describe('hip and knee', () => {
  const record = describeMade(EVEN);
  const s = statics(PARALLEL);

  test('share, difference and ratio at parallel and bottom', () => {
    expectClose(measure(record, 'hip_share', 'parallel', 'both').value, s.hip / (s.hip + s.knee), 1e-4);
    expectClose(measure(record, 'hip_minus_knee', 'parallel', 'both').value, s.hip - s.knee, 0.02);
    expectClose(measure(record, 'hip_knee_ratio', 'parallel', 'both').value, s.hip / s.knee, 1e-3);
    const low = statics(DEEP);
    expectClose(measure(record, 'hip_share', 'bottom', 'both').value, low.hip / (low.hip + low.knee), 1e-9);
    expect(measure(record, 'hip_share', 'sticking point', 'both').reason).toBe(noStickingPoint());
  });

  test('the ratio at parallel is the geometric mean of descent and ascent, the share their mean', () => {
    const other: Posture = { ...DEEP, trunk: 55 };
    const found = describeMade([
      ...squats(1).slice(0, 300),
      ...moveEvenly(DEEP, other, 20),
      ...moveEvenly(other, STANDING, 140),
      ...hold(STANDING, 100),
    ]);
    const read = (name: string, at: string) => measure(found, name, at, 'both').value;
    expect(Math.abs(read('hip_share', 'parallel ascent') - read('hip_share', 'parallel descent'))).toBeGreaterThan(
      0.05,
    );
    expectClose(
      read('hip_share', 'parallel'),
      (read('hip_share', 'parallel descent') + read('hip_share', 'parallel ascent')) / 2,
      1e-12,
    );
    expectClose(
      Math.log(read('hip_knee_ratio', 'parallel')),
      (Math.log(read('hip_knee_ratio', 'parallel descent')) + Math.log(read('hip_knee_ratio', 'parallel ascent'))) / 2,
      1e-12,
    );
  });

  test('impulse share is the sum of the hip over the sum of both', () => {
    const all = EVEN.map((p) => statics(p));
    const sums = (joint: 'hip' | 'knee') =>
      overPhase(
        all.map((m) => m[joint]),
        all.map((m) => m.hipY),
        record.repetitions[0],
      );
    const [hip, knee] = [sums('hip'), sums('knee')];
    for (const phase of ['descent', 'ascent'] as const) {
      const share = hip[phase] / (hip[phase] + knee[phase]);
      expectClose(measure(record, 'hip_impulse_share', phase, 'both').value, share, 1e-4);
    }
  });

  test('largest moments name their frame', () => {
    const { descent, ascent } = record.repetitions[0];
    const hips = EVEN.map((p) => statics(p).hip);
    const peak = measure(record, 'hip_moment_peak', 'largest', 'both');
    expectClose(peak.value, Math.max(...hips.slice(descent!.from, ascent!.to)), 1e-9);
    expect(peak.value).toBe(hips[peak.frameFirst]);
  });
});

describe('initiation', () => {
  /** The descent as two even movements: what leads, then the rest. */
  const led = (start: Posture) => [
    ...hold(STANDING, 200),
    ...moveEvenly(STANDING, start, 60),
    ...move(start, DEEP, 120),
    ...move(DEEP, STANDING, 120),
    ...hold(STANDING, 150),
  ];
  // In the first the hips stay over the ankles while the knees go forward; in the second the shanks stay upright.
  const kneesFirst: Posture = { shank: 30, thigh: 90 - 28.4, trunk: 2 };
  const hipsFirst: Posture = { shank: 0, thigh: 40, trunk: 30 };
  const word = (postures: readonly Posture[], options: LoadsOptions = {}) => startWord(describeMade(postures, options));

  test('knees straight forward give 1, hips straight back give 0', () => {
    expectClose(measure(describeMade(led(kneesFirst)), 'knee_share_of_start', 'descent').value, 1, 0.02);
    expectClose(measure(describeMade(led(hipsFirst)), 'knee_share_of_start', 'descent').value, 0, 1e-9);
    expect(word(led(kneesFirst))).toBe('knees first');
    expect(word(led(hipsFirst))).toBe('hips first');
  });

  test('the share is forward knee travel over forward knee and backward hip travel', () => {
    const postures = led({ shank: 15, thigh: 55, trunk: 15 });
    const record = describeMade(postures);
    const { topFrame, hipDropM } = record.repetitions[0];
    const s = postures.map((p) => statics(p));
    const level = s[topFrame].hipY - 0.15 * hipDropM;
    const end = s.findIndex(({ hipY }, f) => f > topFrame && hipY <= level);
    const part = (s[end - 1].hipY - level) / (s[end - 1].hipY - s[end].hipY);
    const at = (x: 'kneeX' | 'hipX') => s[end - 1][x] + part * (s[end][x] - s[end - 1][x]);
    const knee = at('kneeX') - s[topFrame].kneeX;
    const hip = s[topFrame].hipX - at('hipX');
    expectClose(measure(record, 'knee_share_of_start', 'descent').value, knee / (knee + hip), 1e-9);
  });

  test('what the knees do before the hips have sunk by 2 % of the drop counts', () => {
    // Shanks first lean by 10° under hips that stay over the ankles: 69 mm forward, hips down by 12 mm, 2 % of the drop.
    const broken: Posture = { shank: 10, thigh: 90 - 9.52, trunk: 0 };
    const postures = [
      ...hold(STANDING, 200),
      ...moveEvenly(STANDING, broken, 60),
      ...moveEvenly(broken, { ...broken, thigh: 30, trunk: 40 }, 120),
      ...move({ ...broken, thigh: 30, trunk: 40 }, DEEP, 120),
      ...move(DEEP, STANDING, 120),
      ...hold(STANDING, 150),
    ];
    const s = postures.map((p) => statics(p));
    const level = s[0].hipY - 0.15 * (s[0].hipY - statics(DEEP).hipY);
    const end = s.findIndex(({ hipY }) => hipY <= level);
    const knee = s[end].kneeX - s[0].kneeX;
    const back = s[0].hipX - s[end].hipX;
    expectClose(knee, 0.4 * Math.sin(Math.PI / 18), 1e-9, 'all of the knees’ way is in the first 2 %');
    // One frame of the hips' way (2 mm of 0.2 m) lies between the crossing and the frame after it.
    expectClose(measure(describeMade(postures), 'knee_share_of_start', 'descent').value, knee / (knee + back), 0.005);
  });

  test('the word needs the spread over repetitions on one side of its threshold', () => {
    const of = (...values: number[]) =>
      startWord({ measures: values.map((value) => ({ measure: 'knee_share_of_start', value }) as MeasureValue) });
    expect(of(0.7, 0.72, 0.68)).toBe('knees first');
    expect(of(0.3, 0.28)).toBe('hips first');
    expect(of(0.5, 0.51, 0.49)).toBe('together');
    expect(of(0.8, 0.4, 0.6)).toBe('cannot tell');
    expect(of(0.57, 0.53)).toBe('cannot tell');
    expect(of(Number.NaN)).toBe('unknown');
  });

  test('a lead of the knees, and of the hips, is the time between the two passings of 3 SD, with the sign', () => {
    const lead = (first: Posture) => {
      const postures = [
        ...hold(STANDING, 200),
        ...moveEvenly(STANDING, first, 20),
        ...move(first, DEEP, 140),
        ...move(DEEP, STANDING, 120),
        ...hold(STANDING, 100),
      ];
      const found = measure(describeMade(postures), 'knee_onset_lead', 'descent');
      // Nobody sways here, so the SD is its floor of 1 mm and either is on its way from 3 mm on.
      const passes = (distance: (p: Posture) => number) => {
        const moved = postures.map(distance);
        const f = moved.findIndex((d) => d > 0.003);
        return f - 1 + (0.003 - moved[f - 1]) / (moved[f] - moved[f - 1]);
      };
      const knee = passes((p) => statics(p).kneeX - statics(STANDING).kneeX);
      const hip = passes((p) => statics(STANDING).hipX - statics(p).hipX);
      expectClose(found.value, (hip - knee) / RATE, 1e-9);
      return found.value;
    };
    expect(lead({ shank: 8, thigh: 90 - 7.61, trunk: 0 })).toBeGreaterThan(0.1);
    expect(lead({ shank: 0, thigh: 78, trunk: 5 })).toBeLessThan(-0.1);
  });

  // Knee forward and hip back by the same distance in each frame: 0.4 sin(shank) = 0.42 cos(thigh) − 0.4 sin(shank).
  const together = Array.from({ length: 140 }, (_, i): Posture => {
    const shank = (30 * (i + 1)) / 140;
    return {
      shank,
      thigh: (Math.acos((0.8 * Math.sin((shank * Math.PI) / 180)) / 0.42) * 180) / Math.PI,
      trunk: 0.8 * shank,
    };
  });
  const inTime = [...hold(STANDING, 100), ...together, ...move(together[139], STANDING, 120), ...hold(STANDING, 60)];
  /** The lead read from points with white noise, `sdM` on every coordinate of the mid-points; phases as without noise. */
  const leadIn = (postures: readonly Posture[]) => {
    const { lift } = prepareLift(makeLoads(postures), makeRecording());
    return (sdM: number, seed: number) => {
      const random = seededRandom(seed);
      const noisy = (points: Float64Array | null) => points?.map((x) => x + sdM * random.normal()) ?? null;
      return kneeOnsetLead.of(lift.repetitions[0], { ...lift, joint: (name) => noisy(lift.joint(name)) })[0];
    };
  };

  test('knees and hips that start together lead by nothing, and in noise are called wrongly in no more than 5 %', () => {
    const read = leadIn(inTime);
    expect(read(0, 1).reason).toBe(withinOneFrame());
    for (const sdM of [0.001, 0.003]) {
      let called = 0;
      for (let seed = 1; seed <= 150; seed++) if (read(sdM, seed).reason === '') called++;
      expect(called).toBeLessThanOrEqual(0.05 * 150);
    }
  });

  test('a lead of the knees well outside the noise is called, and close to its true size', () => {
    const first: Posture = { shank: 14, thigh: 90 - 13.3, trunk: 0 };
    const read = leadIn([
      ...hold(STANDING, 100),
      ...moveEvenly(STANDING, first, 25),
      ...moveEvenly(first, DEEP, 100),
      ...move(DEEP, STANDING, 120),
      ...hold(STANDING, 60),
    ]);
    const truth = read(0, 1).value;
    expect(truth).toBeGreaterThan(0.2);
    for (let seed = 1; seed <= 50; seed++) {
      const { value, reason } = read(0.002, seed);
      expect(reason).toBe('');
      // Knees pass 6 mm (3 SD) at 4 mm a frame, hips at 3: three standard deviations of both crossings are 25 ms, and the
      // threshold of 6 instead of 3 mm moves the two apart by less than one frame.
      expectClose(value, truth, 0.035, `lead, seed ${seed}`);
    }
  });
});

describe('stance and proportions', () => {
  test('ankle distance per hip width; toe-out of each foot', () => {
    const record = describeMade(squats(1), { hipHalfM: 0.0875, ankleHalfM: 0.175, toeOutDeg: { left: 12, right: 20 } });
    expectClose(measure(record, 'stance_ankle_distance', 'start').value, 0.35, 1e-9);
    expectClose(measure(record, 'stance_heel_distance', 'start').value, 0.35, 1e-9);
    expectClose(measure(record, 'stance_per_hip_width', 'start').value, 2, 1e-9);
    expectClose(measure(record, 'toe_out', 'start', 'left').value, 12, 1e-9);
    expectClose(measure(record, 'toe_out', 'start', 'right').value, 20, 1e-9);
    expectClose(measure(record, 'toe_out', 'start', 'both').value, 16, 1e-9);
  });

  test('hip points of 0.37 m are trochanters: no ratio to them', () => {
    const record = describeMade(squats(1), { hipHalfM: 0.185 });
    const { value, reason } = measure(record, 'stance_per_hip_width', 'start');
    expect(value).toBeNaN();
    expect(reason).toBe(hipPointsAreTrochanters(0.37, HIP_CENTRES_APART_LIMIT_M));
  });

  test('limb ratios are those the lifter was made with', () => {
    const record = describeMade(squats(1));
    const ratio = (name: string) => measure(record, name, 'set', '', 0).value;
    expectClose(ratio('femur_per_trunk'), LENGTH.thigh / LENGTH.trunk, 1e-9);
    expectClose(ratio('femur_per_tibia'), LENGTH.thigh / LENGTH.shank, 1e-9);
    expectClose(ratio('leg_per_trunk'), (LENGTH.thigh + LENGTH.shank) / LENGTH.trunk, 1e-9);
    expectClose(ratio('forearm_per_upper_arm'), 0.27 / 0.3, 1e-9);
    expectClose(ratio('foot_per_femur'), LENGTH.foot / LENGTH.thigh, 1e-9);
  });
});

describe('tempo and velocity', () => {
  const postures = squats(1);
  const record = describeMade(postures);
  const height = postures.map((p) => statics(p).hipY);
  const [{ ascent }] = record.repetitions;

  // `move` is (1 − cos πt/T)/2 of the way: where the height has changed by 2 % of the drop, by bisection.
  const top = statics(STANDING).hipY;
  const drop = top - statics(DEEP).hipY;
  const shareOfWay = (level: number) => {
    let [low, high] = [0, 1];
    for (let i = 0; i < 60; i++) {
      const middle = (low + high) / 2;
      if (statics(blend(STANDING, DEEP, middle)).hipY > level) low = middle;
      else high = middle;
    }
    return low;
  };
  const moment = (share: number) => Math.acos(1 - 2 * share) / Math.PI;
  const [first, last] = [0.02, 0.98].map((part) => moment(shareOfWay(top - part * drop)));
  const ascentS = 1.2 * (last - first);

  test('times of descent, pause and ascent are those between the 2 % marks, not rounded to frames', () => {
    // Linear between frames of 0.01 s: the curvature of the way costs less than 0.2 ms at a mark.
    expectClose(measure(record, 'descent_time', 'descent').value, 1.5 * (last - first), 4e-4);
    expectClose(measure(record, 'ascent_time', 'ascent').value, ascentS, 4e-4);
    // The pause was held for 10 frames, and the way down ends, the way up begins within 2 % of it.
    expectClose(measure(record, 'bottom_pause', 'bottom').value, 0.1 + (1.5 + 1.2) * (1 - last), 4e-4);
  });

  test('hip velocity: rise over time between the 2 % marks, and its largest five-point difference', () => {
    expectClose(measure(record, 'hip_velocity_mean', 'ascent').value, (0.96 * drop) / ascentS, 4e-4);
    const velocity = height.map(
      (_, f) => ((8 * (height[f + 1] - height[f - 1]) - (height[f + 2] - height[f - 2])) * RATE) / 12,
    );
    const peak = Math.max(...velocity.slice(ascent!.from, ascent!.to));
    expectClose(measure(record, 'hip_velocity_peak', 'ascent').value, peak, 1e-9);
  });

  test.each([
    ['lowest at its beginning', 0, 2e-4],
    ['lowest at its end', 2e-4, 0],
  ])('a pause of 2 s, %s: the mean velocity and the impulse shares do not care', (_where, firstM, lastM) => {
    const paused = [
      ...hold(STANDING, 150),
      ...move(STANDING, DEEP, 150),
      ...Array.from({ length: 200 }, (_, i) => ({ ...DEEP, bob: firstM + ((lastM - firstM) * i) / 199 })),
      ...move(DEEP, STANDING, 120),
      ...hold(STANDING, 150),
    ];
    const held = describeMade(paused);
    expectClose(measure(held, 'hip_velocity_mean', 'ascent').value, (0.96 * drop) / ascentS, 2e-3);
    // Half of the pause each: 100 frames of it, and the ways down and up.
    for (const [phase, from, to] of [
      ['descent', 150, 400],
      ['ascent', 400, 620],
    ] as const) {
      const frames = paused.slice(from, to).map((p) => statics(p));
      const hip = frames.reduce((sum, m) => sum + m.hip, 0);
      const knee = frames.reduce((sum, m) => sum + m.knee, 0);
      // The frames within 2 % of standing, and one or two about the middle, are counted otherwise: 1 % of the sums.
      expectClose(measure(held, 'hip_impulse_share', phase, 'both').value, hip / (hip + knee), 0.005, phase);
    }
  });

  test('the velocity of a bar whose ends are not tracked goes by another name', () => {
    expect(measure(record, 'bar_velocity_mean', 'ascent').reason).toBe('');
    expect(measure(record, 'placed_bar_velocity_mean', 'ascent').reason).toBe(barIsTracked());
    const placed = describeMade(postures, { barPlacedBy: 'at the shoulders' });
    expect(measure(placed, 'bar_velocity_peak', 'ascent').reason).toBe(barIsPlaced('at the shoulders'));
    expectClose(
      measure(placed, 'placed_bar_velocity_peak', 'ascent').value,
      measure(record, 'bar_velocity_peak', 'ascent').value,
      1e-12,
    );
    const bare = describeMade(postures, { barMassKg: 0 });
    expect(measure(bare, 'bar_velocity_peak', 'ascent').reason).toBe(needsBar());
    expect(measure(bare, 'hip_velocity_peak', 'ascent').reason).toBe('');
  });

  test('a repetition that begins with the ascent has times and no initiation', () => {
    const floor: Posture = { shank: 12, thigh: 30, trunk: 70 };
    const pulled = describeMade(
      [
        ...hold(floor, 80),
        ...move(floor, STANDING, 120),
        ...hold(STANDING, 60),
        ...move(STANDING, floor, 120),
        ...hold(floor, 60),
      ],
      {},
      makeRecording({ kind: 'deadlift', bar: 'hands' }),
    );
    expect(measure(pulled, 'knee_share_of_start', 'descent').reason).toBe(ascentComesFirst());
    expect(measure(pulled, 'extra_lean', 'largest').reason).toBe(ascentComesFirst());
    expect(measure(pulled, 'extra_lean', 'parallel').reason).toBe(ascentComesFirst());
    expect(measure(pulled, 'com_rear_shift', 'largest').reason).toBe(ascentComesFirst());
    expect(measure(pulled, 'ascent_time', 'ascent').value).toBeGreaterThan(0.8);
    expect(measure(pulled, 'ascent_time', 'ascent').value).toBeLessThan(1.2);
    expectClose(measure(pulled, 'trunk_lean', 'start').value, floor.trunk, 2, 'lean at the start of the pull');
  });
});

/** Measures that tell left from right: they change their sign in a mirror. */
const TO_ONE_SIDE: ReadonlySet<string> = new Set([
  'bar_tilt',
  'bar_turn',
  'hip_shift',
  'hips_tilt',
  'left_minus_right_knee_over_toe',
  'left_minus_right_thigh',
  'shoulders_tilt',
  'stance_stagger',
]);

test('a mirrored lift has equal measures with left and right exchanged', () => {
  const loads = makeLoads(squats(1), { leftKneeAheadM: 0.02, ankleHalfM: 0.2, toeOutDeg: { left: 10, right: 25 } });
  const here = describeLift(loads, makeRecording()).measures;
  const there = describeLift(mirrored(loads), makeRecording()).measures;
  const other = { left: 'right', right: 'left', both: 'both', '': '' } as const;
  const exchanged = (reason: string) => reason.replace(/left|right/g, (side) => (side === 'left' ? 'right' : 'left'));
  const inOrder = (reason: string) => reason.replace(/[a-z_]+(, [a-z_]+)+/, (names) => names.split(', ').sort().join());
  expect(here.length).toBe(there.length);
  for (const m of here) {
    const sign = TO_ONE_SIDE.has(m.measure) ? -1 : 1;
    const twin = there.find((t) => t.measure === m.measure && t.at === m.at && t.side === other[m.side])!;
    expect([m.measure, m.at, inOrder(twin.reason)]).toEqual([m.measure, m.at, inOrder(exchanged(m.reason))]);
    if (m.reason === '') expectClose(twin.value, sign * m.value, 1e-9, `${m.measure} ${m.side} ${m.at}`);
  }
});
