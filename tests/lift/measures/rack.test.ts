import { describe, expect, test } from '@jest/globals';
import { ascentComesFirst, barIsPlaced, needsBar, needsLandmarks } from '../../../src/messages.ts';
import { expectClose } from '../../expect-close.ts';
import {
  blend,
  DEEP,
  hold,
  makeLoads,
  makeRecording,
  mirrored,
  move,
  moveEvenly,
  type Posture,
  STANDING,
  squats,
  statics,
} from '../make-loads.ts';
import { barAt, described, measure, type Placed, shoulderOf, withPoints } from './with-points.ts';

const RAD = Math.PI / 180;
const EVEN = [
  ...hold(STANDING, 150),
  ...moveEvenly(STANDING, DEEP, 157),
  ...moveEvenly(DEEP, STANDING, 143),
  ...hold(STANDING, 150),
];
const PARALLEL = blend(STANDING, DEEP, 90 / 110);

/** Share of the way down, 0 … 1. */
const depthOf = (p: Posture) => (90 - p.thigh) / 110;

/** Elbows 0.3 m from the shoulders at an elevation that falls evenly with depth, and stand apart as the shoulders do. */
const elbows = (from: number, to: number, lowerLeft = 0): Placed => {
  const at = (z: number, less: number) => (f: number) => {
    const [x, y] = shoulderOf(EVEN[f]);
    const elevation = (from + (to - from) * depthOf(EVEN[f]) - less) * RAD;
    return [x + 0.3 * Math.cos(elevation), y + 0.3 * Math.sin(elevation), z] as const;
  };
  return { left_elbow: at(-0.18, lowerLeft), right_elbow: at(0.18, 0) };
};

describe('arms', () => {
  const record = described(withPoints(makeLoads(EVEN), elbows(10, -23, 4)));

  test('the elevation of the upper arm is the angle the arms were given, at every place; both = mean', () => {
    const right = (at: string) => measure(record, 'upper_arm_elevation', at, 'right').value;
    expectClose(right('start'), 10, 1e-9);
    expectClose(right('bottom'), -23, 1e-9);
    expectClose(right('smallest'), -23, 1e-9);
    // Angles go evenly with time: linear between frames is exact.
    for (const at of ['parallel descent', 'parallel ascent', 'parallel']) {
      expectClose(right(at), 10 - 33 * depthOf(PARALLEL), 1e-9, at);
    }
    expectClose(measure(record, 'upper_arm_elevation', 'bottom', 'left').value, -27, 1e-9);
    expectClose(measure(record, 'upper_arm_elevation', 'bottom', 'both').value, -25, 1e-9);
    expect(measure(record, 'upper_arm_elevation', 'smallest', 'both').frameFirst).toBe(
      record.repetitions[0].bottomFrame,
    );
  });

  test('an arm that hangs is at −90°', () => {
    expectClose(measure(described(makeLoads(EVEN)), 'upper_arm_elevation', 'start', 'left').value, -90, 1e-9);
  });

  test('the drop is what was lost since the start; at the drive where a third of the way up is done', () => {
    expectClose(measure(record, 'upper_arm_drop', 'bottom', 'both').value, 33, 1e-9);
    const top = statics(STANDING).hipY;
    const level = top - (2 / 3) * (top - statics(DEEP).hipY);
    const f = EVEN.findIndex((p, i) => i > 310 && statics(p).hipY >= level);
    const [a, b] = [EVEN[f - 1], EVEN[f]];
    const part = (level - statics(a).hipY) / (statics(b).hipY - statics(a).hipY);
    const depth = depthOf(a) + part * (depthOf(b) - depthOf(a));
    expectClose(measure(record, 'upper_arm_drop', 'drive', 'both').value, 33 * depth, 1e-9);
  });

  test('elbow width in shoulder widths, also where the elbows stand wider', () => {
    expectClose(measure(described(makeLoads(EVEN)), 'elbow_width', 'start').value, 1, 1e-9);
    const wide = described(
      withPoints(makeLoads(EVEN), { left_elbow: () => [0.2, 1.3, -0.27], right_elbow: () => [0.2, 1.3, 0.27] }),
    );
    expectClose(measure(wide, 'elbow_width', 'bottom').value, 1.5, 1e-9);
  });

  test('room between elbow and thigh: a right angle off the thigh, and beyond the knee the distance to the knee', () => {
    const { hipX, hipY, kneeX } = statics(DEEP);
    const kneeY = 0.08 + 0.4 * Math.cos(35 * RAD);
    // Midway along the thigh and 0.12 m square above it; and 0.05 m beyond the knee along the thigh.
    const [ux, uy] = [(kneeX - hipX) / 0.42, (kneeY - hipY) / 0.42];
    const above = [(hipX + kneeX) / 2 - 0.12 * uy, (hipY + kneeY) / 2 + 0.12 * ux];
    const beyond = [kneeX + 0.05 * ux, kneeY + 0.05 * uy];
    const found = described(
      withPoints(makeLoads(EVEN), {
        left_elbow: () => [above[0], above[1], -0.085],
        right_elbow: () => [beyond[0], beyond[1], 0.085],
      }),
    );
    expectClose(measure(found, 'elbow_thigh_clearance', 'bottom', 'left').value, 0.12, 1e-9);
    expectClose(measure(found, 'elbow_thigh_clearance', 'bottom', 'right').value, 0.05, 1e-9);
    expectClose(measure(found, 'elbow_thigh_clearance', 'bottom', 'both').value, 0.05, 1e-9);
  });

  test('hand spacing is that of the wrists; the bend of a wrist is the angle it was given', () => {
    const hand = (z: number, bend: number) => (f: number) => {
      const [x, y] = shoulderOf(EVEN[f]);
      // The forearm points straight ahead: up by `bend` is bent back by it.
      return [x + 0.27 + 0.08 * Math.cos(bend * RAD), y - 0.3 + 0.08 * Math.sin(bend * RAD), z] as const;
    };
    const found = described(withPoints(makeLoads(EVEN), { left_hand: hand(-0.18, 0), right_hand: hand(0.18, 50) }));
    expectClose(measure(found, 'hand_spacing', 'start').value, 1, 1e-9);
    expectClose(measure(found, 'wrist_extension', 'start', 'left').value, 0, 1e-6);
    expectClose(measure(found, 'wrist_extension', 'bottom', 'right').value, 50, 1e-9);
    expectClose(measure(found, 'wrist_extension', 'bottom', 'both').value, 25, 1e-6);
  });
});

describe('the bar on the shoulders', () => {
  const onTrunk = (forwardM: number, alongM: number, slipM: number): Placed =>
    barAt((f) => {
      const [x, y] = shoulderOf(EVEN[f]);
      const lean = EVEN[f].trunk * RAD;
      const along = alongM - slipM * depthOf(EVEN[f]);
      return [
        x + forwardM * Math.cos(lean) + along * Math.sin(lean),
        y - forwardM * Math.sin(lean) + along * Math.cos(lean),
      ];
    });
  const record = described(withPoints(makeLoads(EVEN), onTrunk(0.09, 0.03, 0.04)));

  test('ahead of and above the shoulders, standing and leaning', () => {
    expectClose(measure(record, 'bar_ahead_of_shoulders', 'start').value, 0.09, 1e-9);
    expectClose(measure(record, 'bar_above_shoulders', 'start').value, 0.03, 1e-9);
    const [sin, cos] = [Math.sin(30 * RAD), Math.cos(30 * RAD)];
    expectClose(measure(record, 'bar_ahead_of_shoulders', 'bottom').value, 0.09 * cos - 0.01 * sin, 1e-9);
    expectClose(measure(record, 'bar_above_shoulders', 'bottom').value, -0.09 * sin - 0.01 * cos, 1e-9);
  });

  test('the slip is what it has moved down the trunk, whatever the lean; a bar that only turns with the trunk slips by 0', () => {
    expectClose(measure(record, 'bar_slip', 'bottom').value, 0.04, 1e-9);
    // The ascent ends within 2 % of standing: the last frame is not quite upright.
    const last = record.repetitions[0].ascent!.to - 1;
    expectClose(measure(record, 'bar_slip', 'end').value, 0.04 * depthOf(EVEN[last]), 1e-9);
    const still = described(withPoints(makeLoads(EVEN), onTrunk(0.09, 0.03, 0)));
    expectClose(measure(still, 'bar_slip', 'bottom').value, 0, 1e-9);
  });

  test('ahead of the neck', () => {
    const neck: Placed = {
      neck_base: (f) => {
        const [x, y] = shoulderOf(EVEN[f]);
        return [x - 0.06, y + 0.05, 0];
      },
    };
    const found = described(withPoints(makeLoads(EVEN), { ...onTrunk(0.09, 0.03, 0), ...neck }));
    expectClose(measure(found, 'bar_ahead_of_neck', 'start').value, 0.15, 1e-9);
  });

  test('a bar that is placed, none, and points that are not there, say why', () => {
    const placed = described(makeLoads(EVEN, { barPlacedBy: 'at the shoulders' }));
    const bare = described(makeLoads(EVEN, { barMassKg: 0 }));
    const noEnds = described(makeLoads(EVEN));
    for (const name of ['bar_ahead_of_shoulders', 'bar_above_shoulders', 'bar_ahead_of_neck', 'bar_slip']) {
      expect(measure(placed, name, 'bottom').reason).toBe(barIsPlaced('at the shoulders'));
      expect(measure(bare, name, 'bottom').reason).toBe(needsBar());
    }
    expect(measure(noEnds, 'bar_slip', 'end').reason).toBe(needsLandmarks(['bar_left_end', 'bar_right_end']));
    expect(measure(record, 'bar_ahead_of_neck', 'start').reason).toBe(needsLandmarks(['neck_base']));
    const oneArm = described(makeLoads(EVEN, { without: ['left_elbow'] }));
    expect(measure(oneArm, 'upper_arm_elevation', 'start', 'left').reason).toBe(needsLandmarks(['left_elbow']));
    expect(measure(oneArm, 'upper_arm_elevation', 'start', 'both').reason).toBe(needsLandmarks(['left_elbow']));
    expectClose(measure(oneArm, 'upper_arm_elevation', 'start', 'right').value, -90, 1e-9);
    expect(measure(oneArm, 'wrist_extension', 'bottom', 'both').reason).toBe(
      needsLandmarks(['left_elbow', 'left_hand', 'right_hand']),
    );
  });

  test('a missing point leaves its frames unknown and is never guessed', () => {
    const { bottomFrame } = record.repetitions[0];
    const lost = described(
      withPoints(makeLoads(EVEN), {
        ...elbows(10, -23),
        left_elbow: (f) => (Math.abs(f - bottomFrame) < 3 ? [Number.NaN, Number.NaN, Number.NaN] : [0.3, 1.2, -0.18]),
      }),
    );
    expect(measure(lost, 'upper_arm_elevation', 'bottom', 'left').value).toBeNaN();
    expect(measure(lost, 'upper_arm_elevation', 'bottom', 'both').value).toBeNaN();
    expect(measure(lost, 'upper_arm_elevation', 'bottom', 'right').reason).toBe('');
    expect(measure(lost, 'upper_arm_elevation', 'start', 'left').reason).toBe('');
  });

  test('frames at the edge of what was tracked are not read', () => {
    const cut = described(makeLoads(squats(1).slice(150), { edgeFrames: 75 }));
    expect(measure(cut, 'upper_arm_elevation', 'start', 'both').value).toBeNaN();
  });

  test('mirrored: left and right are exchanged, what belongs to both stays', () => {
    const loads = withPoints(makeLoads(EVEN), { ...onTrunk(0.09, 0.03, 0.04), ...elbows(10, -23, 4) });
    const [here, there] = [described(loads), described(mirrored(loads))];
    for (const at of ['start', 'bottom', 'smallest']) {
      expectClose(
        measure(there, 'upper_arm_elevation', at, 'right').value,
        measure(here, 'upper_arm_elevation', at, 'left').value,
        1e-9,
      );
    }
    for (const name of ['bar_slip', 'bar_ahead_of_shoulders']) {
      expectClose(measure(there, name, 'bottom').value, measure(here, name, 'bottom').value, 1e-9);
    }
  });

  test('where the ascent comes first nothing is measured from a stand that is not there', () => {
    const floor: Posture = { shank: 12, thigh: 30, trunk: 70 };
    const pull = [
      ...hold(floor, 80),
      ...move(floor, STANDING, 120),
      ...hold(STANDING, 60),
      ...move(STANDING, floor, 120),
      ...hold(floor, 60),
    ];
    const loads = withPoints(
      makeLoads(pull),
      barAt((f) => [0.1 + 0.001 * f, 0.3]),
    );
    const found = described(loads, makeRecording({ kind: 'deadlift', bar: 'hands' }));
    const [{ ascent }] = found.repetitions;
    expect(measure(found, 'bar_slip', 'bottom').reason).toBe(ascentComesFirst());
    expect(measure(found, 'upper_arm_drop', 'drive', 'both').reason).toBe(ascentComesFirst());
    expect(measure(found, 'bar_drift', 'bottom').reason).toBe(ascentComesFirst());
    // From where the pull begins to where it ends.
    expectClose(measure(found, 'bar_drift', 'end').value, 0.001 * (ascent!.to - 1 - ascent!.from), 1e-9);
    expectClose(measure(found, 'upper_arm_elevation', 'start', 'both').value, -90, 1e-9);
    for (const [name, at] of [['double_bounce', 'bottom']]) {
      expect(measure(found, name, at).reason).toBe(ascentComesFirst());
    }
  });
});
