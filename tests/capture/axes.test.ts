import { describe, expect, test } from '@jest/globals';
import { axisIndex, labFromFile, metresPer, SIGNED_AXES, turnTriplesInPlace } from '../../src/capture/axes.ts';
import { expectAllClose } from '../expect-close.ts';

const pairs = SIGNED_AXES.flatMap((forward) => SIGNED_AXES.map((up) => ({ forward, up }))).filter(
  ({ forward, up }) => axisIndex(forward) !== axisIndex(up),
);

// Lab axes after ISB: X forward, Y up, Z to the right, right-handed (Wu & Cavanagh 1995, J Biomech 28:1257).
describe('file axes to lab axes', () => {
  test('24 pairs are possible', () => expect(pairs).toHaveLength(24));

  test.each(pairs)('forward $forward, up $up: a rotation that sends them to X and Y', ({ forward, up }) => {
    const turn = labFromFile({ forward, up });
    const determinant =
      turn[0] * (turn[4] * turn[8] - turn[5] * turn[7]) -
      turn[1] * (turn[3] * turn[8] - turn[5] * turn[6]) +
      turn[2] * (turn[3] * turn[7] - turn[4] * turn[6]);
    expect(determinant).toBe(1);
    const points = new Float64Array(6);
    points[axisIndex(forward)] = forward[0] === '-' ? -1 : 1;
    points[3 + axisIndex(up)] = up[0] === '-' ? -1 : 1;
    turnTriplesInPlace(points, turn, 1);
    expectAllClose(points, [1, 0, 0, 0, 1, 0], 0);
  });

  test('a lifter who faces −y with z up has the right side at −x, as in a published deadlift data set', () => {
    const points = Float64Array.of(-120, 30, 900);
    turnTriplesInPlace(points, labFromFile({ forward: '-y', up: '+z' }), metresPer('mm'));
    expectAllClose(points, [-0.03, 0.9, 0.12], 1e-15);
  });

  test('units', () => expect([metresPer('m'), metresPer('cm'), metresPer('mm')]).toEqual([1, 0.01, 0.001]));
});
