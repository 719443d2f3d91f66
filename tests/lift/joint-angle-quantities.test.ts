import { expect, test } from '@jest/globals';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import { jointAngles } from '../../src/body/joint-angles/joint-angles.ts';
import { jointAngleQuantities } from '../../src/lift/joint-angle-quantities.ts';
import { columnName } from '../../src/lift/quantities.ts';
import type { JointLoads } from '../../src/mechanics/joint-loads.ts';
import { FRAME_QUANTITIES } from '../../src/study/frame-quantities.ts';
import { makeRecording, makeTrajectories } from '../body/made-lifter.ts';
import { posedBody, SOME_POSE } from '../body/posed-body.ts';
import { expectClose } from '../expect-close.ts';

const motion = bodyMotion(
  makeTrajectories(2, 60, () => posedBody(SOME_POSE)),
  makeRecording(),
);
const quantities = jointAngleQuantities({ motion } as JointLoads);

test('degrees of every joint angle, under columns the dictionary describes', () => {
  const described = new Set(
    FRAME_QUANTITIES.flatMap(({ quantity, unit, sides }) => sides.map((side) => columnName({ quantity, side, unit }))),
  );
  expect(quantities).toHaveLength(34);
  for (const found of quantities) expect(described).toContain(columnName(found));
  const of = (name: string) => quantities.find((found) => columnName(found) === name)!;
  expectClose(of('hip_flexion_left_deg').values[1], (180 / Math.PI) * SOME_POSE.left.hip[0], 1e-9, 'hip, °');
  expectClose(of('pelvis_tilt_deg').values[0], (180 / Math.PI) * SOME_POSE.pelvis[0], 1e-9, 'tilt, °');
});

test('a body without axes has no angles, and says why', () => {
  const bare = jointAngles({ ...motion, attitudes: undefined });
  expect(bare['shoulder_elevation/left'].radians[0]).toBeNaN();
  expect(bare['shoulder_elevation/left'].unknownBecause).not.toBe('');
});

test('nothing is computed before it is read: draws do not pay for angles', () => {
  let read = 0;
  const attitudes = new Proxy(motion.attitudes!, {
    get: (target, name) => {
      read++;
      return Reflect.get(target, name);
    },
  });
  const lazy = jointAngleQuantities({ motion: { ...motion, attitudes } } as JointLoads);
  expect(read).toBe(0);
  expect(lazy[0].values).toBe(lazy[0].values);
  expect(read).toBeGreaterThan(0);
});
