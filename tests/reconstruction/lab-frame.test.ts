import { describe, expect, test } from '@jest/globals';
import { multiply3, rotationAboutY, transpose3 } from '../../src/numerics/rotation.ts';
import { findFloor } from '../../src/reconstruction/floor.ts';
import { headingAngle } from '../../src/reconstruction/heading.ts';
import { turnCovariances, turnPoints } from '../../src/reconstruction/turn.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { BODY, lifterAt, type Motion, pointsOf, turned } from './scene.ts';

const DEG = Math.PI / 180;

describe('heading', () => {
  test.each([-170, -90, -33, 0, 12, 90, 135, 180])('a lifter turned by %i° is turned back', (deg) => {
    const { position } = pointsOf(turned(lifterAt, deg * DEG, [0.7, 0, -0.4]));
    const angle = headingAngle(BODY, position);
    const turn = rotationAboutY(angle);
    turnPoints(position, turn);
    const left = 3 * BODY.indexOf('left_hip');
    const right = 3 * BODY.indexOf('right_hip');
    expectAllClose(
      [0, 1, 2].map((axis) => position[right + axis] - position[left + axis]),
      [0, 0, 0.18],
      1e-12,
      'left to right',
    );
    const heel = 3 * BODY.indexOf('left_heel');
    const toe = 3 * BODY.indexOf('left_big_toe');
    expectClose(position[toe] - position[heel], 0.24, 1e-12, 'forward'); // toe 0.18, heel −0.06 m in the stick lifter
  });

  test('a fifth of the frames with the hips turned by a right angle does not move it', () => {
    const wrong: Motion = (timeS, landmark) =>
      (timeS < 1 && landmark.includes('hip') ? turned(lifterAt, Math.PI / 2) : lifterAt)(timeS, landmark);
    const { position } = pointsOf(turned(wrong, 0.3));
    expectClose(headingAngle(BODY, position), -0.3, 1e-12, 'angle');
  });

  test('two lines 60° to either side of their mean, none near it: the mean stands', () => {
    // Left hip at the origin, right hip 60° before and after +X: the right of the lifter is +X, a quarter turn from +Z.
    const [c, s] = [Math.cos(Math.PI / 3), Math.sin(Math.PI / 3)];
    const position = Float64Array.of(0, 1, 0, c, 1, s, 0, 1, 0, c, 1, -s);
    expectClose(headingAngle(['left_hip', 'right_hip'], position), -Math.PI / 2, 1e-12, 'angle');
  });

  test('one pair in one frame is enough; none is NaN', () => {
    const { position } = pointsOf(turned(lifterAt, 0.5), 2, 60, ['left_knee', 'right_knee']);
    position.fill(Number.NaN, 0, 6);
    expectClose(headingAngle(['left_knee', 'right_knee'], position), -0.5, 1e-12, 'angle');
    position.fill(Number.NaN);
    expect(headingAngle(['left_knee', 'right_knee'], position)).toBeNaN();
    expect(headingAngle(['left_knee', 'nose'], new Float64Array(6))).toBeNaN();
  });
});

test('a covariance turns as R C Rᵀ', () => {
  const full = Float64Array.of(4, 1, -0.5, 1, 3, 0.7, -0.5, 0.7, 2);
  const packed = Float64Array.of(
    4,
    1,
    -0.5,
    3,
    0.7,
    2,
    Number.NaN,
    Number.NaN,
    Number.NaN,
    Number.NaN,
    Number.NaN,
    Number.NaN,
  );
  const turn = rotationAboutY(0.83);
  const expected = multiply3(multiply3(turn, full), transpose3(turn));
  turnCovariances(packed, turn);
  expectAllClose(
    packed.subarray(0, 6),
    [0, 1, 2, 4, 5, 8].map((i) => expected[i]),
    1e-14,
    'covariance',
  );
  expect(packed[6]).toBeNaN();
});

describe('floor', () => {
  const floorOf = (motion: Motion, landmarks = BODY, notes: string[] = []) => {
    const { position, frames } = pointsOf(motion, 300, 60, landmarks);
    return { ...findFloor(landmarks, position, frames, 60, notes), notes };
  };

  test('ankles 0.09 m above zero: the zero is the floor', () => {
    const { heightM, basis, notes } = floorOf(lifterAt);
    expect([heightM, basis, notes.length]).toEqual([0, 'world zero', 0]);
  });

  test('zero at another height: estimated 0.03 m below heels and toes, with a note', () => {
    const { heightM, basis, notes } = floorOf(turned(lifterAt, 0, [0, 0.6, 0]));
    expectClose(heightM, 0.6, 1e-12, 'floor'); // toes and heels of the stick lifter stand 0.03 m above its floor
    expect([basis, notes.length]).toEqual(['estimated from the feet', 1]);
  });

  test('without heels and toes: 0.086 m below the ankles', () => {
    const { heightM } = floorOf(turned(lifterAt, 0, [0, -0.5, 0]), ['left_ankle', 'right_ankle', 'left_hip']);
    expectClose(heightM, -0.5 + 0.09 - 0.086, 1e-12, 'floor');
  });

  test('ankles that step for most of the recording are judged where they rest', () => {
    const stepping: Motion = (timeS, landmark) => {
      const [x, y, z] = lifterAt(timeS, landmark);
      const isFoot = /ankle|toe|heel/.test(landmark);
      return isFoot && timeS > 1.5 ? [x, y + 0.3 + 0.2 * Math.sin(7 * timeS), z] : [x, y, z];
    };
    const { heightM, basis } = floorOf(stepping);
    expect([heightM, basis]).toEqual([0, 'world zero']);
  });

  test('no feet at all: the zero, with a note', () => {
    const { heightM, basis, notes } = floorOf(lifterAt, ['left_hip', 'right_hip']);
    expect([heightM, basis, notes.length]).toEqual([0, 'world zero', 1]);
  });
});
