import { expect, test } from '@jest/globals';
import fc from 'fast-check';
import { forcePlateSurface, moveMomentsInPlace, pressurePointInto } from '../../src/capture/force-plate-geometry.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';

const cross = (a: readonly number[], b: readonly number[]) => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
const number = (size: number) => fc.double({ min: -size, max: size, noNaN: true });
const vector = (size: number) => fc.tuple(number(size), number(size), number(size));

test('corners of a plate turned by 90°: centre, axes, half sides', () => {
  // Plate x along +y of the file, plate y along +x, so that z = x × y points down.
  const surface = forcePlateSurface([2.2, 3.3, 0.1, 2.2, 2.7, 0.1, 1.8, 2.7, 0.1, 1.8, 3.3, 0.1]);
  if (typeof surface === 'string') throw new Error(surface);
  expectAllClose(surface.centre, [2, 3, 0.1], 1e-12, 'centre');
  expectAllClose(surface.axes, [0, 1, 0, 1, 0, 0, 0, 0, -1], 1e-12, 'axes, columns x y z');
  expectClose(surface.halfX, 0.3, 1e-12, 'half x');
  expectClose(surface.halfY, 0.2, 1e-12, 'half y');
});

test.each([
  ['one place four times', new Array(12).fill(1)],
  ['out of order', [1, 1, 0, -1, -1, 0, -1, 1, 0, 1, -1, 0]],
  ['a parallelogram 20° off', [1.34, 1, 0, -0.66, 1, 0, -1.34, -1, 0, 0.66, -1, 0]],
  ['no number', [Number.NaN, 1, 0, -1, 1, 0, -1, -1, 0, 1, -1, 0]],
])('corners that are no rectangle are refused: %s', (_, corners) => {
  expect(typeof forcePlateSurface(corners)).toBe('string');
});

test('centre of pressure and free moment give back the whole wrench, for any normal', () => {
  fc.assert(
    fc.property(vector(1000), vector(300), vector(1), ([fx, fy, fz], moment, raw) => {
      const size = Math.hypot(...raw);
      fc.pre(size > 0.1);
      const normal = raw.map((value) => value / size);
      const force = [fx, fy, fz];
      const across = force.reduce((sum, value, k) => sum + value * normal[k], 0);
      fc.pre(Math.abs(across) > 20);
      const place = new Float64Array(3);
      const free = pressurePointInto(place, 0, force, moment, 0, normal, 20);
      const back = cross([...place], force).map((value, k) => value + free * normal[k]);
      const slack = 1e-9 * (1 + Math.hypot(...moment)) * (1 + Math.hypot(...force) / Math.abs(across));
      expectAllClose(back, moment, slack, 'r × F + T n');
      expectClose(
        place.reduce((sum, value, k) => sum + value * normal[k], 0),
        0,
        slack,
        'r · n',
      );
    }),
    { numRuns: 300, seed: 31 },
  );
});

test('moved to the centre of pressure, a moment keeps only its part along the normal', () => {
  const force = Float64Array.of(30, 700, -20);
  const moment = Float64Array.of(140, 5, -90);
  const place = new Float64Array(3);
  const free = pressurePointInto(place, 0, force, moment, 0, [0, 1, 0], 20);
  moveMomentsInPlace(moment, force, place);
  expectAllClose(moment, [0, free, 0], 1e-12, 'moment at the centre of pressure');
});

test('below the least force there is no centre of pressure', () => {
  const place = new Float64Array(3);
  expect(pressurePointInto(place, 0, [0, 19.9, 0], [1, 1, 1], 0, [0, 1, 0], 20)).toBeNaN();
  expect([...place]).toEqual([NaN, NaN, NaN]);
});
