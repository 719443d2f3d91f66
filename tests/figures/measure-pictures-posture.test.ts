import { describe, expect, test } from '@jest/globals';
import { fromAbove, fromFront, fromSide } from '../../src/figures/measure-pictures/lifter.ts';
import { bearing } from '../../src/figures/measure-pictures/marks.ts';
import {
  BOTTOM,
  DRAWN,
  distance,
  drawnPosture,
  PARALLEL,
  STANDING,
} from '../../src/figures/measure-pictures/posture.ts';
import { expectClose } from '../expect-close.ts';

/** The angles put in come back from the places, by the definitions of the measures. */
describe.each([
  ['standing', STANDING],
  ['at parallel', PARALLEL],
  ['at the bottom', BOTTOM],
])('the drawn lifter %s', (_, angles) => {
  const lifter = drawnPosture(angles);

  test.each(['left', 'right'] as const)('%s leg', (side) => {
    const { hip, knee, ankle, heel, toe } = lifter[side];
    const deg = 180 / Math.PI;
    expectClose(distance(knee, ankle), DRAWN.shank, 1e-12, 'shank');
    expectClose(distance(hip, knee), DRAWN.thigh, 1e-12, 'thigh');
    const forward = Math.hypot(knee[0] - ankle[0], knee[2] - ankle[2]);
    expectClose(Math.atan2(forward, knee[1] - ankle[1]) * deg, angles.shank, 1e-9, 'shank inclination');
    const out = side === 'right' ? 1 : -1;
    expectClose(Math.atan2(out * (toe[2] - heel[2]), toe[0] - heel[0]) * deg, angles.toeOut, 1e-9, 'toe-out');
    expect(Math.sign(hip[1] - knee[1])).toBe(Math.sign(Math.sin(angles.thigh / deg)));
  });

  test('trunk', () => {
    expectClose(distance(lifter.midHip, lifter.midShoulder), DRAWN.trunk, 1e-12, 'trunk');
    const [hip, shoulder] = [lifter.midHip, lifter.midShoulder];
    const lean = (Math.atan2(shoulder[0] - hip[0], shoulder[1] - hip[1]) * 180) / Math.PI;
    expectClose(lean, angles.lean, 1e-9, 'lean');
  });

  test('the centre of mass stands over the foot', () => {
    const { heel, toe } = lifter.right;
    const along = (lifter.centreOfMass[0] - heel[0]) / (toe[0] - heel[0]);
    expect(along).toBeGreaterThan(0.2);
    expect(along).toBeLessThan(0.7);
  });
});

test('the three views: ahead is right from the side and up from above; the lifter’s right is left from the front', () => {
  const [side, front, above] = [fromSide(50, 100, 10), fromFront(50, 100, 10), fromAbove(50, 100, 10)];
  expect(side([1, 2, 3])).toEqual([60, 80]);
  expect(front([1, 2, 3])).toEqual([20, 80]);
  expect(above([1, 2, 3])).toEqual([80, 90]);
  expect(bearing([0, 0], [0, -1])).toBe(0);
  expect(bearing([0, 0], [1, 0])).toBe(90);
});
