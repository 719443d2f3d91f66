import { describe, expect, test } from '@jest/globals';
import { expectAllClose, expectClose } from '../../expect-close.ts';
import { BOTH, type BothSides, bothSidesOf, type Half } from '../both-sides.ts';
import { DEMO_RECORDINGS, liftOf } from '../demo.ts';
import { landmarksOf, type VirtualLift } from '../lift.ts';
import { type Sought, trueValue } from '../true-measures/true-measures.ts';
import { loadsAt } from '../truth.ts';
import { norm, subtract } from '../vector.ts';
import { FAULTS } from './all-faults.ts';
import { withDrawnHabits } from './drawn-habits.ts';
import { withFault } from './fault.ts';
import { lowered, reshaped } from './reshaped.ts';

const lift = liftOf({ ...DEMO_RECORDINGS[0], plan: { ...DEMO_RECORDINGS[0].plan, repetitions: 2 } }, 'inside');
/** Room for unlike legs. */
const soft = reshaped(lift, (sides) => lowered(sides, 0.01));
const TIMES = [0.2, 1.1, 1.9, 2.6, 3.4, 4.4, 5.3];

const bodyAt = (one: VirtualLift, t: number): BothSides =>
  bothSidesOf(one.postureAt(t), one.setup.equipment.barLengthM);

const LIMBS: readonly (readonly [keyof Half, keyof Half])[] = [
  ['hip', 'knee'],
  ['knee', 'ankle'],
  ['heel', 'bigToe'],
  ['heel', 'ankle'],
  ['shoulder', 'elbow'],
  ['elbow', 'wrist'],
  ['wrist', 'hand'],
  ['ear', 'eye'],
];

const limbsOf = (body: BothSides) => [
  ...BOTH.flatMap((side) => LIMBS.map(([from, to]) => norm(subtract(body[side][to], body[side][from])))),
  ...(['hip', 'shoulder', 'barEnd'] as const).map((part) => norm(subtract(body.left[part], body.right[part]))),
];

describe('limbs', () => {
  test.each(Object.entries(FAULTS))('%s: as long as before', (_name, fault) => {
    const size = fault.range[0] + 0.6 * (fault.range[1] - fault.range[0]);
    // Half of what is asked for where a limb is too short for it.
    const made = [size, size / 2, size / 4].map((one) => tried(() => fault.apply(soft, one, ['left', 'right'])));
    const changed = made.find((one) => one !== null);
    expect(changed).toBeDefined();
    for (const t of TIMES) {
      const before = limbsOf(bodyAt(soft, t));
      expectAllClose(limbsOf(bodyAt(changed!, t)), before, 1e-9, `limbs at ${t} s`);
    }
  });
});

/** Throws nothing at any of the times, or null. */
function tried(make: () => VirtualLift): VirtualLift | null {
  try {
    const made = make();
    for (const t of TIMES) made.postureAt(t);
    return made;
  } catch {
    return null;
  }
}

test('a lift that nothing is done to has the points and forces it had', () => {
  const same = reshaped(lift, (sides) => sides);
  for (const t of TIMES) {
    const before = landmarksOf(lift.postureAt(t), lift.setup.equipment);
    for (const [name, place] of landmarksOf(same.postureAt(t), lift.setup.equipment)) {
      expectAllClose(place, before.get(name)!, 1e-12, `${name} at ${t} s`);
    }
  }
  const [a, b] = [loadsAt(lift, 2.1), loadsAt(same, 2.1)];
  expectClose(b.hip.total, a.hip.total, 1e-6, 'hip moment');
  expectClose(b.knee.total, a.knee.total, 1e-6, 'knee moment');
  expectClose(b.centreOfPressure[0], a.centreOfPressure[0], 1e-9, 'centre of pressure');
});

test.each<[string, Sought & { value: number }]>([
  ['heel lifts', { measure: 'heel_lift', at: 'largest', side: 'left', value: 0.03 }],
  ['knees drift in', { measure: 'knee_track', at: 'smallest', side: 'right', value: -0.03 }],
  ['elbows drop', { measure: 'upper_arm_drop', at: 'bottom', side: 'both', value: 40 }],
  ['weight goes back', { measure: 'com_rear_shift', at: 'largest', side: '', value: 0.15 }],
  ['double bounce', { measure: 'double_bounce', at: 'bottom', side: '', value: 0.03 }],
])('%s: brought to what is asked', (name, target) => {
  const made = withFault(lift, FAULTS[name], target);
  expect(made).not.toBeNull();
  expectClose(trueValue(made!, target), target.value, 1e-3 * Math.abs(target.value), name);
});

test('a size that no lifter has is refused', () => {
  const found = withFault(lift, FAULTS['heel lifts'], {
    measure: 'heel_lift',
    at: 'largest',
    side: 'both',
    value: 0.5,
  });
  expect(found).toBeNull();
});

test('drawn habits are the same each time and differ from lifter to lifter', () => {
  const [one, again, other] = [withDrawnHabits(lift, 3), withDrawnHabits(lift, 3), withDrawnHabits(lift, 4)];
  const knee = (made: VirtualLift) => bodyAt(made, 2.6).left.knee;
  expect(knee(again)).toEqual(knee(one));
  expect(knee(other)).not.toEqual(knee(one));
});
