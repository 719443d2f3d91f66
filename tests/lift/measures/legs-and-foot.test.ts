import { describe, expect, test } from '@jest/globals';
import { ascentComesFirst, firstRepetition, needsLandmarks, phaseMissing } from '../../../src/messages.ts';
import { expectClose } from '../../expect-close.ts';
import {
  ANKLE,
  blend,
  DEEP,
  hold,
  LENGTH,
  type LoadsOptions,
  makeLoads,
  mirrored,
  move,
  moveEvenly,
  type Point,
  type Posture,
  STANDING,
  squats,
  statics,
} from '../make-loads.ts';
import { beforeFit } from './before-fit.ts';
import { depthOf, EVEN, HELD_DEPTH, PARALLEL_DEPTH, thirdOfTheWayUp } from './even-squat.ts';
import { deadlift, PULL } from './pulled.ts';
import { described, measure, shoulderOf } from './with-points.ts';

const RAD = Math.PI / 180;

/** How far the knees go back in the first third of the way up, linear between frames as its end is. */
function wayBack(postures: readonly Posture[], bottom: number, top: number, height: (p: Posture) => number): number {
  const { after, part } = thirdOfTheWayUp(postures.map(height), bottom, top);
  const [a, b] = [postures[after - 1], postures[after]].map((p) => statics(p).kneeX);
  return statics(postures[bottom]).kneeX - (a + part * (b - a));
}
const hipHeight = (p: Posture) => statics(p).hipY;

describe('knee return', () => {
  test('is the way back of each knee in the first third of the way up', () => {
    const record = described(makeLoads(EVEN, { leftKneeAheadM: 0.02 }));
    const way = wayBack(EVEN, 306, 0, hipHeight);
    expect(way).toBeGreaterThan(0.02);
    for (const side of ['left', 'right', 'both'] as const) {
      const { value, frameFirst, frameLast } = measure(record, 'knee_return', 'drive', side);
      expectClose(value, way, 1e-9, side);
      expect([frameFirst < frameLast, frameFirst]).toEqual([true, record.repetitions[0].bottomFrame]);
    }
  });

  test('knees that go further forward out of the hole are negative', () => {
    const forward: Posture = { shank: 42, thigh: 25, trunk: 30 };
    const postures = [
      ...squats(1).slice(0, 310),
      ...moveEvenly(DEEP, forward, 80),
      ...moveEvenly(forward, STANDING, 80),
      ...hold(STANDING, 100),
    ];
    const { value } = measure(described(makeLoads(postures)), 'knee_return', 'drive', 'both');
    expectClose(value, wayBack(postures, 309, 0, hipHeight), 1e-9);
    expect(value).toBeLessThan(-0.01);
  });

  test('in a pull from the floor as well; unknown without an ascent, and without a knee', () => {
    const pulled = described(makeLoads(PULL), deadlift());
    // The height of a pull is that of the shoulders.
    const way = wayBack(PULL, 79, 199, (p) => shoulderOf(p)[1]);
    expectClose(measure(pulled, 'knee_return', 'drive', 'left').value, way, 1e-9);
    const down = described(makeLoads([...squats(1).slice(0, 310)]));
    expect(measure(down, 'knee_return', 'drive', 'right').reason).toBe(phaseMissing('ascent'));
    const bare = described(makeLoads(EVEN, { without: ['left_knee'] }));
    for (const { reason, side } of bare.measures.filter((m) => m.measure === 'knee_return')) {
      if (side !== 'right') expect(reason).toBe(needsLandmarks(['left_knee']));
    }
  });
});

describe('ankle bend used', () => {
  test('is what the shin leans more than in the stand; largest as held', () => {
    const record = described(makeLoads(EVEN));
    for (const side of ['left', 'right', 'both'] as const) {
      expectClose(measure(record, 'ankle_dorsiflexion', 'bottom', side).value, DEEP.shank, 1e-9, side);
      expectClose(measure(record, 'ankle_dorsiflexion', 'largest', side).value, DEEP.shank * HELD_DEPTH, 1e-9, side);
    }
  });

  test('a raised heel that stays cancels; a heel that comes up takes off what it turns the foot', () => {
    const heels = (m: (p: Posture) => number): LoadsOptions => ({
      moved: (name, [x, y, z], f): Point => (name.endsWith('heel') ? [x, y + m(EVEN[f]), z] : [x, y, z]),
    });
    const shoe = described(
      makeLoads(
        EVEN,
        heels(() => 0.02),
      ),
    );
    expectClose(measure(shoe, 'ankle_dorsiflexion', 'bottom', 'both').value, DEEP.shank, 1e-9);
    const lifted = described(
      makeLoads(
        EVEN,
        heels((p) => 0.03 * depthOf(p)),
      ),
    );
    const turned = Math.atan2(0.03, LENGTH.foot) / RAD;
    expectClose(measure(lifted, 'ankle_dorsiflexion', 'bottom', 'both').value, DEEP.shank - turned, 1e-9);
  });

  test('needs knee, ankle, heel and big toe of the side; unknown in a pull', () => {
    const bare = described(makeLoads(EVEN, { without: ['right_heel'] }));
    const pulled = described(makeLoads(PULL), deadlift());
    for (const at of ['bottom', 'largest']) {
      expect(measure(bare, 'ankle_dorsiflexion', at, 'right').reason).toBe(needsLandmarks(['right_heel']));
      expect(measure(bare, 'ankle_dorsiflexion', at, 'both').reason).toBe(needsLandmarks(['right_heel']));
      expect(measure(bare, 'ankle_dorsiflexion', at, 'left').reason).toBe('');
      expect(measure(pulled, 'ankle_dorsiflexion', at, 'left').reason).toBe(ascentComesFirst());
    }
  });
});

describe('knee over the line of the foot', () => {
  /** Feet straight ahead; the left knee goes inward, the right one outward, evenly with depth. */
  const tracking = (inward: number, outward: number): LoadsOptions => ({
    moved: (name, [x, y, z], f): Point => {
      const depth = depthOf(EVEN[f]);
      if (name === 'left_knee') return [x, y, z + inward * depth];
      return name === 'right_knee' ? [x, y, z + outward * depth] : [x, y, z];
    },
  });

  test('inside is negative, outside positive, on either side; both = mean', () => {
    const record = described(makeLoads(EVEN, tracking(0.03, 0.05)));
    expectClose(measure(record, 'knee_track', 'bottom', 'left').value, -0.03, 1e-9);
    expectClose(measure(record, 'knee_track', 'bottom', 'right').value, 0.05, 1e-9);
    expectClose(measure(record, 'knee_track', 'bottom', 'both').value, 0.01, 1e-9);
    // Knees that go sideways turn the thighs: between two frames their elevation is not quite linear.
    expectClose(measure(record, 'knee_track', 'parallel', 'left').value, -0.03 * PARALLEL_DEPTH, 1e-6);
    expectClose(measure(record, 'knee_track', 'smallest', 'left').value, -0.03 * HELD_DEPTH, 1e-9);
  });

  test('smallest leaves out what happens in the first 30 % of the drop', () => {
    const record = described(makeLoads(EVEN, tracking(0.03, 0.05)));
    // The right knee is least outward where it begins to count: held for 25 intervals from there on, on the way down or up.
    const top = statics(STANDING).hipY;
    const drop = top - statics(DEEP).hipY;
    const deep = EVEN.map((p) => (top - statics(p).hipY) / drop >= 0.3);
    const [first, last] = [deep.indexOf(true), deep.lastIndexOf(true)];
    const expected = 0.05 * Math.min(depthOf(EVEN[first + 25]), depthOf(EVEN[last - 25]));
    const { value, frameFirst, frameLast } = measure(record, 'knee_track', 'smallest', 'right');
    expectClose(value, expected, 1e-9);
    expect([frameFirst === first || frameLast === last, frameLast - frameFirst]).toEqual([true, 25]);
  });

  test('feet turned out: square to the line of the foot, which passes through the heel', () => {
    const out = 25;
    const record = described(makeLoads(EVEN, { toeOutDeg: { left: out, right: out } }));
    // The knee stands straight above the heel's own line forward, `ahead` of the heel: inside a foot that turns out.
    const ahead = statics(DEEP).kneeX - (ANKLE.x - 0.05);
    for (const side of ['left', 'right', 'both'] as const) {
      expectClose(measure(record, 'knee_track', 'bottom', side).value, -ahead * Math.sin(out * RAD), 1e-9, side);
    }
  });

  test('a mirror exchanges left and right', () => {
    const loads = makeLoads(EVEN, tracking(0.03, 0.05));
    const there = described(mirrored(loads));
    for (const at of ['parallel', 'bottom', 'smallest']) {
      const left = measure(described(loads), 'knee_track', at, 'left').value;
      expectClose(measure(there, 'knee_track', at, 'right').value, left, 1e-12, at);
    }
  });

  test('a failed ascent keeps its deepest part; a pull has values; a missing heel is said', () => {
    const stall = blend(STANDING, DEEP, 0.88);
    const failed = described(
      makeLoads([...squats(1).slice(0, 300), ...move(DEEP, stall, 60), ...move(stall, DEEP, 60), ...hold(DEEP, 100)]),
    );
    expect(failed.repetitions[0].completeness).toBe('failed');
    expectClose(measure(failed, 'knee_track', 'smallest', 'both').value, 0, 1e-12);
    const pulled = described(makeLoads(PULL), deadlift());
    for (const at of ['bottom', 'smallest']) expectClose(measure(pulled, 'knee_track', at, 'left').value, 0, 1e-12, at);
    // Between the two ways of a pull the lifter stands: what the knees do there does not count.
    const wide = described(
      makeLoads(PULL, {
        moved: (name, [x, y, z], f): Point =>
          name === 'right_knee' && f > 185 && f < 275 ? [x, y, z - 0.05] : [x, y, z],
      }),
      deadlift(),
    );
    expectClose(measure(wide, 'knee_track', 'smallest', 'right').value, 0, 1e-12);
    const bare = described(makeLoads(EVEN, { without: ['left_heel'] }));
    for (const at of ['parallel', 'bottom', 'smallest']) {
      expect(measure(bare, 'knee_track', at, 'left').reason).toBe(needsLandmarks(['left_heel']));
      expect(measure(bare, 'knee_track', at, 'right').reason).toBe('');
    }
  });
});

describe.each([
  ['heel_lift', 'heel', [-0.05, 0.085]],
  ['toe_lift', 'big_toe', [0.2, 0.085]],
] as const)('%s', (name, part, [x, z]) => {
  const at = (side: 'left' | 'right', height: (f: number) => number) => (f: number) =>
    [x, height(f), side === 'left' ? -z : z] as const;
  /** The left one comes up by 30 mm, evenly with depth; both points lie 12 mm above the floor in the stand. */
  const lifted = (loads = makeLoads(EVEN)) =>
    beforeFit(loads, {
      [`left_${part}`]: at('left', (f) => 0.012 + 0.03 * depthOf(EVEN[f])),
      [`right_${part}`]: at('right', () => 0.012),
    });

  test('is the height held, over the height in the stand, of the points before the fit', () => {
    const record = described(lifted());
    expectClose(measure(record, name, 'largest', 'left').value, 0.03 * HELD_DEPTH, 1e-9);
    expectClose(measure(record, name, 'largest', 'right').value, 0, 1e-12);
    expectClose(measure(record, name, 'largest', 'both').value, 0.015 * HELD_DEPTH, 1e-9);
    // The fitted feet rest on the floor throughout.
    expectClose(measure(described(makeLoads(EVEN)), name, 'largest', 'left').value, 0, 1e-12);
  });

  test('a jump of a tenth of a second is no lift', () => {
    const jump = beforeFit(makeLoads(EVEN), {
      [`left_${part}`]: at('left', (f) => (f > 250 && f < 262 ? 0.05 : 0)),
    });
    expectClose(measure(described(jump), name, 'largest', 'left').value, 0, 1e-12);
  });

  test('in a pull over the height at its start; needs the point', () => {
    const pulled = described(makeLoads(PULL), deadlift());
    expectClose(measure(pulled, name, 'largest', 'both').value, 0, 1e-12);
    const bare = described(makeLoads(EVEN, { without: [`right_${part}`] }));
    expect(measure(bare, name, 'largest', 'right').reason).toBe(needsLandmarks([`right_${part}`]));
    expect(measure(bare, name, 'largest', 'both').reason).toBe(needsLandmarks([`right_${part}`]));
    expect(measure(bare, name, 'largest', 'left').reason).toBe('');
  });
});

describe('feet moved', () => {
  const postures = squats(3);
  /** The left foot goes 3 cm forward and 4 cm in after the first repetition, the right one 2 cm back after the second. */
  const moved: LoadsOptions['moved'] = (name, [x, y, z], f) => {
    if (/^left_(heel|big_toe)$/.test(name) && f > 500) return [x + 0.03, y, z + 0.04];
    return /^right_(heel|big_toe)$/.test(name) && f > 930 ? [x - 0.02, y, z] : [x, y, z];
  };
  const loads = makeLoads(postures, { moved });
  const record = described(loads);
  const way = (side: 'left' | 'right' | 'both', repetition: number) =>
    measure(record, 'feet_moved', 'start', side, repetition);

  test('is the distance of each foot since the start before; both = the larger one', () => {
    expect(record.repetitions.length).toBe(3);
    expectClose(way('left', 2).value, 0.05, 1e-9);
    expectClose(way('right', 2).value, 0, 1e-12);
    expectClose(way('both', 2).value, 0.05, 1e-9);
    expectClose(way('left', 3).value, 0, 1e-12);
    expectClose(way('both', 3).value, 0.02, 1e-9);
    expect(way('both', 2).frameFirst).toBe(record.repetitions[0].topFrame);
    expect(way('both', 2).frameLast).toBe(record.repetitions[1].topFrame);
  });

  test('a small slide that the fit averages away is seen', () => {
    const place = (x: number, z: number) => (f: number) => [f > 500 ? x + 0.004 : x, 0, z] as const;
    const slid = beforeFit(makeLoads(postures), {
      left_heel: place(-0.05, -0.085),
      left_big_toe: place(0.2, -0.085),
    });
    expectClose(measure(described(slid), 'feet_moved', 'start', 'left', 2).value, 0.004, 1e-12);
  });

  test('a mirror exchanges the feet', () => {
    const there = described(mirrored(loads));
    expectClose(measure(there, 'feet_moved', 'start', 'right', 2).value, 0.05, 1e-9);
  });

  test('the first repetition has none before it; a missing toe is said first', () => {
    for (const side of ['left', 'right', 'both'] as const) expect(way(side, 1).reason).toBe(firstRepetition());
    const bare = described(makeLoads(postures, { without: ['left_big_toe'] }));
    for (const repetition of [1, 2]) {
      const reason = (side: 'left' | 'right' | 'both') => measure(bare, 'feet_moved', 'start', side, repetition).reason;
      expect([reason('left'), reason('both')]).toEqual([
        needsLandmarks(['left_big_toe']),
        needsLandmarks(['left_big_toe']),
      ]);
    }
    expect(measure(bare, 'feet_moved', 'start', 'right', 2).reason).toBe('');
  });

  test('between two pulls', () => {
    const two = [...PULL, ...PULL.slice(80)];
    const pulled = described(makeLoads(two), deadlift());
    const values = pulled.measures.filter((m) => m.measure === 'feet_moved' && m.side === 'both');
    expect(values.map(({ reason }) => reason)).toEqual([firstRepetition(), '']);
    expectClose(values[1].value, 0, 1e-12);
  });
});
