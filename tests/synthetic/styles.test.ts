import { expect, test } from '@jest/globals';
import { DRAWN_CAUSES, drawnWorld } from './drawn-world.ts';
import { drawnStyle, liftOfStyle, reasonAgainst } from './styles.ts';
import { trueInstants } from './truth.ts';

const styles = Array.from({ length: 12 }, (_, number) => drawnStyle(number));

test('a style is the same each time it is drawn', () => {
  expect(drawnStyle(3)).toEqual(styles[3]);
});

test('styles differ in build, load, posture and tempo, and all are within what was asked for', () => {
  const spread = (values: readonly number[]) => Math.max(...values) - Math.min(...values);
  const instants = styles.map((style) => trueInstants(liftOfStyle(style), 0));
  for (const [i, { setup, plan, cameras }] of styles.entries()) {
    const { massKg } = setup.lifter.build;
    expect(massKg).toBeGreaterThanOrEqual(50);
    expect(massKg).toBeLessThanOrEqual(110);
    // Half a kilogram of rounding.
    expect(setup.equipment.loadKg).toBeGreaterThanOrEqual(0.5 * massKg - 0.5);
    expect(setup.equipment.loadKg).toBeLessThanOrEqual(1.5 * massKg + 0.5);
    expect(plan.descentS).toBeGreaterThanOrEqual(1);
    expect(plan.descentS).toBeLessThanOrEqual(2.5);
    for (const { centre } of cameras) {
      const distance = Math.hypot(centre[0], centre[2]);
      const offSide = (Math.atan2(centre[0], Math.abs(centre[2])) * 180) / Math.PI;
      expect(distance).toBeGreaterThanOrEqual(3);
      expect(distance).toBeLessThanOrEqual(5);
      expect(offSide).toBeGreaterThanOrEqual(35);
      expect(offSide).toBeLessThanOrEqual(55);
    }
    expect(Number.isFinite(instants[i].parallelDescent.timeS + instants[i].parallelAscent.timeS)).toBe(true);
    expect(instants[i].bottom.thighElevationDeg).toBeLessThan(-4);
  }
  expect(spread(styles.map(({ setup }) => setup.lifter.build.massKg))).toBeGreaterThan(30);
  expect(spread(instants.map(({ parallelDescent }) => parallelDescent.hipShare))).toBeGreaterThan(0.2);
  expect(spread(instants.map(({ parallelDescent }) => parallelDescent.trunkLeanDeg))).toBeGreaterThan(12);
  expect(spread(instants.map(({ bottom }) => bottom.thighElevationDeg))).toBeGreaterThan(12);
});

test('a squat that stays high, or a lifter out of the picture, is thrown away with its reason', () => {
  const [style] = styles;
  const high = { ...style.setup.style, deepestThighRad: 0.1 };
  expect(reasonAgainst({ ...style, setup: { ...style.setup, style: high } })).toBe('depth');
  const [left, right] = style.cameras;
  const near = { ...left, focalPx: 3 * left.focalPx };
  expect(reasonAgainst({ ...style, cameras: [near, right] })).toBe('out of the picture');
});

test('drawn bodies and loads still squat to parallel', () => {
  const all = new Set(DRAWN_CAUSES);
  for (const style of styles.slice(0, 4)) {
    for (let seed = 1; seed <= 3; seed++) {
      const { parallelDescent, parallelAscent } = trueInstants(drawnWorld(style, seed, all).lift, 0);
      expect(parallelDescent.hipShare + parallelAscent.hipShare).toBeGreaterThan(0);
    }
  }
});
