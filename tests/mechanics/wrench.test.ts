import { describe, expect, test } from '@jest/globals';
import {
  addBodyInto,
  addRestingBodyInto,
  addSolidInto,
  addWrenchInto,
  centreOfPressure,
  momentAboutZ,
  secondMomentOf,
  zeroWrench,
} from '../../src/mechanics/wrench.ts';
import { GRAVITY_M_PER_S2 } from '../../src/numerics/constants.ts';
import { secondDifferenceInto } from '../../src/numerics/differences.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';

type Pair = [number, number];
interface WinterCase {
  example: string;
  massKg: number;
  inertiaKgM2: number;
  angularRadPerS2: number;
  accelerationMPerS2: Pair;
  jointM: Pair;
  distalM: Pair;
  distalForceN: Pair;
  distalMomentNm: number;
  forceN: Pair;
  momentNm: number;
}

const winter = reference<WinterCase>('mechanics-winter-chapter-5');

describe("Winter (2009) ch. 5, Examples 5.1–5.3 through the product's kernel", () => {
  test.each(winter.cases)('$example', (printed) => {
    const [ax, ay] = printed.accelerationMPerS2;
    // Winter's g is 9.8: the difference goes into the acceleration, so that a − g is his.
    const acceleration = Float64Array.of(ax, ay + (winter.gravityMPerS2 as number) - GRAVITY_M_PER_S2, 0);
    const needed = zeroWrench(1);
    const body = {
      massKg: printed.massKg,
      transverseInertiaKgM2: printed.inertiaKgM2,
      centre: Float64Array.of(0, 0, 0),
      axis: Float64Array.of(1, 0, 0),
    };
    addBodyInto(needed, body, acceleration, Float64Array.of(0, printed.angularRadPerS2, 0));
    const [dx, dy] = printed.distalM;
    const [fx, fy] = printed.distalForceN;
    const given = {
      force: Float64Array.of(fx, fy, 0),
      moment: Float64Array.of(0, 0, dx * fy - dy * fx + printed.distalMomentNm),
    };
    addWrenchInto(needed, given, -1);
    expectClose(needed.force[0], printed.forceN[0], winter.tolerance, 'horizontal force, N');
    // 5.1 prints 579.2 to a tenth.
    expectClose(needed.force[1], printed.forceN[1], 0.05, 'vertical force, N');
    const moment = momentAboutZ(needed, Float64Array.of(...printed.jointM, 0))[0];
    expectClose(moment, printed.momentNm, winter.tolerance, 'joint moment, N·m');
  });
});

describe('a slender body in three dimensions', () => {
  test('conical pendulum: a uniform rod circling at cos φ = 3g / (2 ω² L) needs no moment at its pivot (textbook result)', () => {
    const [massKg, lengthM, omega, rate, frames] = [3, 0.8, 6, 20000, 4001];
    const cosine = (3 * GRAVITY_M_PER_S2) / (2 * omega ** 2 * lengthM);
    const sine = Math.sqrt(1 - cosine ** 2);
    const pivot = [0.4, 1.7, -0.3];
    const centre = new Float64Array(3 * frames);
    const axis = new Float64Array(3 * frames);
    for (let f = 0; f < frames; f++) {
      const turn = (omega * f) / rate;
      axis.set([sine * Math.cos(turn), -cosine, sine * Math.sin(turn)], 3 * f);
      for (let k = 0; k < 3; k++) centre[3 * f + k] = pivot[k] + (lengthM / 2) * axis[3 * f + k];
    }
    const acceleration = new Float64Array(3 * frames);
    const axisAcceleration = new Float64Array(3 * frames);
    secondDifferenceInto(acceleration, centre, 3, 1 / rate);
    secondDifferenceInto(axisAcceleration, axis, 3, 1 / rate);
    const needed = zeroWrench(frames);
    addBodyInto(
      needed,
      { massKg, transverseInertiaKgM2: (massKg * lengthM ** 2) / 12, centre, axis },
      acceleration,
      axisAcceleration,
    );
    for (const f of [1, 700, 2000, 3999]) {
      const [fx, fy, fz] = needed.force.subarray(3 * f);
      const [mx, my, mz] = needed.moment.subarray(3 * f);
      // 20 kHz: truncation (ω dt)²/12 of 20 N·m is 2e-7; rounding of the second difference 1e-16 · 20 kHz² · 1 m · 3 kg is 1e-7.
      expectClose(mx - (pivot[1] * fz - pivot[2] * fy), 0, 1e-6, `frame ${f}, x`);
      expectClose(my - (pivot[2] * fx - pivot[0] * fz), 0, 1e-6, `frame ${f}, y`);
      expectClose(mz - (pivot[0] * fy - pivot[1] * fx), 0, 1e-6, `frame ${f}, z`);
    }
    // Without the angular momentum the balance fails by I ω² sin φ cos φ, 1.9 N·m here: the check can fail.
    expect((massKg * lengthM ** 2 * omega ** 2 * sine * cosine) / 12).toBeGreaterThan(1);
  });

  test('a bar turning level about its middle with angular acceleration α needs I α about the vertical, and its weight', () => {
    const [inertia, alpha, rate, frames] = [42, 1.5, 1000, 801];
    const centre = new Float64Array(3 * frames);
    const axis = new Float64Array(3 * frames);
    for (let f = 0; f < frames; f++) {
      const turn = (alpha * (f / rate) ** 2) / 2;
      centre.set([0, 1.4, 0], 3 * f);
      axis.set([Math.cos(turn), 0, -Math.sin(turn)], 3 * f);
    }
    const axisAcceleration = new Float64Array(3 * frames);
    secondDifferenceInto(axisAcceleration, axis, 3, 1 / rate);
    const needed = zeroWrench(frames);
    addBodyInto(
      needed,
      { massKg: 100, transverseInertiaKgM2: inertia, centre, axis },
      new Float64Array(3 * frames),
      axisAcceleration,
    );
    for (const f of [1, 400, 799]) {
      // sin of the steps for the steps: relative error ω² dt² / 2 ≤ 1e-6 of 63 N·m.
      expectAllClose(needed.moment.subarray(3 * f, 3 * f + 3), [0, inertia * alpha, 0], 1e-4, `frame ${f}`);
      expectAllClose(needed.force.subarray(3 * f, 3 * f + 3), [0, 980.665, 0], 1e-9, `force, frame ${f}`);
    }
  });

  test('a body at rest needs its weight through its centre, by either kernel', () => {
    const body = {
      massKg: 10,
      transverseInertiaKgM2: 0.4,
      centre: Float64Array.of(0.2, 1, -0.3),
      axis: Float64Array.of(0, 1, 0),
    };
    const moving = zeroWrench(1);
    addBodyInto(moving, body, new Float64Array(3), new Float64Array(3));
    const resting = zeroWrench(1);
    addRestingBodyInto(resting, body.massKg, body.centre);
    // Moment of (0, 98.0665, 0) at (0.2, 1, −0.3), by hand: (29.41995, 0, 19.6133).
    expectAllClose(resting.force, [0, 98.0665, 0], 1e-12, 'force');
    expectAllClose(resting.moment, [29.41995, 0, 19.6133], 1e-12, 'moment');
    expectAllClose(moving.force, resting.force, 1e-12, 'force');
    expectAllClose(moving.moment, resting.moment, 1e-12, 'moment');
  });

  test('a body that is not placed leaves nothing known', () => {
    const needed = zeroWrench(1);
    addRestingBodyInto(needed, 10, Float64Array.of(Number.NaN, 1, 0));
    expect(needed.force[1]).toBeNaN();
    expect(needed.moment[2]).toBeNaN();
  });
});

describe('centre of pressure', () => {
  test('gives back the point and free moment a force was made with, on a floor that is not at zero', () => {
    const [x, h, z] = [0.07, 0.02, -0.11];
    const [fx, fy, fz] = [35, 900, -20];
    const made = {
      force: Float64Array.of(fx, fy, fz),
      moment: Float64Array.of(h * fz - z * fy, z * fx - x * fz + 4, x * fy - h * fx),
    };
    expectAllClose(centreOfPressure(made, h, 40), [x, h, z], 1e-12, 'point');
  });

  test('is not known where hardly anything presses', () => {
    const made = { force: Float64Array.of(0, 30, 0), moment: new Float64Array(3) };
    expect(centreOfPressure(made, 0, 40)[0]).toBeNaN();
  });
});

describe('a body of any shape', () => {
  const FRAMES = 5;
  const random = seededRandom(3);
  const series = (width: number) => Float64Array.from({ length: width * FRAMES }, () => random.normal());
  const [centre, acceleration, rotation, rotationAcceleration] = [series(3), series(3), series(9), series(9)];
  const solid = (secondMoment: ArrayLike<number>) => {
    const out = zeroWrench(FRAMES);
    addSolidInto(out, 2, secondMoment, centre, acceleration, rotation, rotationAcceleration);
    return out;
  };

  test('all its mass along one axis: a slender body', () => {
    const inertia = 0.3;
    const columnOf = (m: Float64Array, k: number) =>
      Float64Array.from({ length: 3 * FRAMES }, (_, i) => m[9 * Math.floor(i / 3) + 3 * (i % 3) + k]);
    const slender = zeroWrench(FRAMES);
    const body = { massKg: 2, transverseInertiaKgM2: inertia, centre, axis: columnOf(rotation, 1) };
    addBodyInto(slender, body, acceleration, columnOf(rotationAcceleration, 1));
    const whole = solid([0, 0, 0, 0, inertia, 0, 0, 0, 0]);
    expectAllClose(whole.force, slender.force, 1e-12, 'force, N');
    expectAllClose(whole.moment, slender.moment, 1e-12, 'moment, N·m');
  });

  test('inertia and second moment of mass: a thin board of 1 kg, sides a along X and b along Y (closed form)', () => {
    const [a, b] = [0.6, 0.2];
    const inertia = [b ** 2 / 12, 0, 0, 0, a ** 2 / 12, 0, 0, 0, (a ** 2 + b ** 2) / 12];
    expectAllClose(secondMomentOf(inertia), [a ** 2 / 12, 0, 0, 0, b ** 2 / 12, 0, 0, 0, 0], 1e-15, 'kg·m²');
  });

  test('its own elements are eight masses at the corners of a box', () => {
    // ∫ ξ ξᵀ dm of masses at ± p, ± q, ± r is 8 m diag(p², q², r²); each mass alone is a point that accelerates.
    const [p, q, r] = [0.1, 0.2, 0.3];
    const one = 0.25;
    const points = zeroWrench(FRAMES);
    for (let corner = 0; corner < 8; corner++) {
      const xi = [p, q, r].map((value, k) => ((corner >> k) & 1 ? value : -value));
      const moved = (base: Float64Array, m: Float64Array) =>
        Float64Array.from(base, (value, i) => {
          const row = 9 * Math.floor(i / 3) + 3 * (i % 3);
          return value + m[row] * xi[0] + m[row + 1] * xi[1] + m[row + 2] * xi[2];
        });
      const at = { massKg: one, transverseInertiaKgM2: 0, centre: moved(centre, rotation), axis: centre };
      addBodyInto(points, at, moved(acceleration, rotationAcceleration), centre);
    }
    const whole = solid([8 * one * p ** 2, 0, 0, 0, 8 * one * q ** 2, 0, 0, 0, 8 * one * r ** 2]);
    expectAllClose(whole.force, points.force, 1e-12, 'force, N');
    expectAllClose(whole.moment, points.moment, 1e-12, 'moment, N·m');
  });
});
