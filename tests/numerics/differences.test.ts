import { describe, expect, test } from '@jest/globals';
import {
  firstDifference,
  firstDifferenceInto,
  fivePointDifference,
  fivePointDifferenceInto,
  secondDifference,
  secondDifferenceInto,
} from '../../src/numerics/differences.ts';
import { expectClose } from '../expect-close.ts';

const dt = 0.02;
const frames = 40;
const interior = Array.from({ length: frames - 2 }, (_, i) => i + 1);
/** Two interleaved series: a parabola and a sine. */
const parabola = (t: number) => 1 - 3 * t + 2.5 * t * t;
const sine = (t: number) => Math.sin(5 * t);
const x = Float64Array.from({ length: 2 * frames }, (_, i) => (i % 2 ? sine : parabola)((i >> 1) * dt));

describe('central differences', () => {
  test('exact on a parabola (closed form)', () => {
    const first = firstDifference(x, 2, dt);
    const second = secondDifference(x, 2, dt);
    for (const f of interior) {
      expectClose(first[2 * f], -3 + 5 * f * dt, 1e-12, `velocity, frame ${f}`);
      expectClose(second[2 * f], 5, 1e-10, `acceleration, frame ${f}`);
    }
  });

  test('on a sine the gain is that of the stencil: sin(ωdt)/ωdt and (2 sin(ωdt/2)/ωdt)² (closed form)', () => {
    const first = firstDifference(x, 2, dt);
    const second = secondDifference(x, 2, dt);
    for (const f of interior) {
      expectClose(first[2 * f + 1], (Math.sin(5 * dt) / dt) * Math.cos(5 * f * dt), 1e-12, `velocity, frame ${f}`);
      expectClose(second[2 * f + 1], -(((2 * Math.sin(2.5 * dt)) / dt) ** 2) * sine(f * dt), 1e-11, `frame ${f}`);
    }
  });

  test('by five points: exact on a quartic, three points at the ends and beside gaps', () => {
    const quartic = (t: number) => 2 - t + 3 * t ** 2 - 4 * t ** 3 + 1.5 * t ** 4;
    const y = Float64Array.from({ length: 12 }, (_, f) => quartic(f * dt));
    y[11] = Number.NaN;
    const found = fivePointDifference(y, 1, dt);
    const three = firstDifference(y, 1, dt);
    for (let f = 2; f < 9; f++) {
      const t = f * dt;
      expectClose(found[f], -1 + 6 * t - 12 * t ** 2 + 6 * t ** 3, 1e-11, `frame ${f}`);
    }
    expect([found[1], found[9]]).toEqual([three[1], three[9]]);
    for (const f of [0, 10, 11]) expect(found[f]).toBeNaN();
  });

  test('by five points a sine loses (ωdt)⁴/30 where three take (ωdt)²/6 (closed form of the stencil)', () => {
    const [w, step] = [2 * Math.PI * 1.5, 1 / 60];
    const wave = Float64Array.from({ length: 90 }, (_, f) => Math.sin(w * f * step));
    const gain = fivePointDifference(wave, 1, step)[40] / (w * Math.cos(w * 40 * step));
    expectClose(1 - gain, (w * step) ** 4 / 30, 2e-6);
    const three = firstDifference(wave, 1, step)[40] / (w * Math.cos(w * 40 * step));
    expectClose(1 - three, (w * step) ** 2 / 6, 1e-5);
  });

  test('by five points: interleaved series are as each alone; not over their own samples', () => {
    const both = fivePointDifference(x, 2, dt);
    for (const series of [0, 1]) {
      const alone = x.filter((_, i) => i % 2 === series);
      expect(both.filter((_, i) => i % 2 === series)).toEqual(fivePointDifference(alone, 1, dt));
    }
    expect(() => fivePointDifferenceInto(x, x, 2, dt)).toThrow(RangeError);
  });

  test.each([
    ['first', firstDifferenceInto, firstDifference],
    ['second', secondDifferenceInto, secondDifference],
  ] as const)('%s: in place gives the same; the ends are NaN', (_, into, allocating) => {
    const wanted = allocating(x, 2, dt);
    const inPlace = x.slice();
    into(inPlace, inPlace, 2, dt);
    expect(inPlace).toEqual(wanted);
    for (const end of [0, 1, 2 * frames - 2, 2 * frames - 1]) expect(wanted[end]).toBeNaN();
  });

  test.each([firstDifference, secondDifference])(
    'a missing sample spoils itself and its neighbours, and no other series',
    (take) => {
      const gappy = x.slice();
      gappy[2 * 10] = Number.NaN;
      const found = take(gappy, 2, dt);
      const whole = take(x, 2, dt);
      for (const f of interior) {
        if (f >= 9 && f <= 11) expect(found[2 * f]).toBeNaN();
        else expect(found[2 * f]).toBe(whole[2 * f]);
        expect(found[2 * f + 1]).toBe(whole[2 * f + 1]);
      }
    },
  );

  test('one or two frames have no difference; none give none', () => {
    expect([...secondDifference(Float64Array.of(1, 2), 1, dt)].every(Number.isNaN)).toBe(true);
    expect([...firstDifference(Float64Array.of(1), 1, dt)].every(Number.isNaN)).toBe(true);
    expect(firstDifference(new Float64Array(0), 3, dt)).toHaveLength(0);
  });

  test('shapes that do not fit are refused', () => {
    expect(() => firstDifference(x, 3, dt)).toThrow(RangeError);
    expect(() => secondDifference(x, 2, 0)).toThrow(RangeError);
    expect(() => firstDifferenceInto(new Float64Array(2), x, 2, dt)).toThrow(RangeError);
  });
});
