import { expect, test } from '@jest/globals';
import { expectClose } from '../../expect-close.ts';
import { DEEP, hold, makeLoads, mirrored, moveEvenly, STANDING } from '../make-loads.ts';
import { barAt, described, measure, shoulderOf, withPoints } from './with-points.ts';

const POSTURES = [
  ...hold(STANDING, 150),
  ...moveEvenly(STANDING, DEEP, 150),
  ...moveEvenly(DEEP, STANDING, 150),
  ...hold(STANDING, 150),
];
const DEGREES = 180 / Math.PI;

/** The bar goes 30 mm forward on the way down, 50 mm back on the way up. */
const forward = (f: number) => (f < 150 ? 0 : f < 300 ? 0.0002 * (f - 150) : f < 450 ? 0.03 - (f - 299) / 3000 : -0.02);

test('width and drift of the bar path', () => {
  const found = described(
    withPoints(
      makeLoads(POSTURES),
      barAt((f) => [forward(f), shoulderOf(POSTURES[f])[1]]),
    ),
  );
  const [{ topFrame, bottomFrame, descent, ascent }] = found.repetitions;
  const inside = Array.from({ length: ascent!.to - descent!.from }, (_, i) => forward(descent!.from + i));
  expectClose(measure(found, 'bar_path_width', 'largest').value, Math.max(...inside) - Math.min(...inside), 1e-12);
  expectClose(measure(found, 'bar_drift', 'bottom').value, forward(bottomFrame) - forward(topFrame), 1e-12);
  expectClose(measure(found, 'bar_drift', 'end').value, forward(ascent!.to - 1) - forward(topFrame), 1e-12);
  expect(measure(found, 'bar_drift', 'end').value).toBeLessThan(0);
  expect(measure(found, 'bar_path_width', 'largest').frameFirst).toBe(bottomFrame);
});

test('tilt and turn have the angle they were given; a mirror turns their sign', () => {
  const loads = withPoints(
    makeLoads(POSTURES),
    barAt((f) => [0, shoulderOf(POSTURES[f])[1]], 0.04, -0.06),
  );
  const [here, there] = [described(loads), described(mirrored(loads))];
  const tilt = DEGREES * Math.atan2(0.04, 2);
  const turn = DEGREES * Math.atan2(-0.06, 2);
  for (const at of ['start', 'bottom', 'largest']) {
    expectClose(measure(here, 'bar_tilt', at).value, tilt, 1e-9, at);
    expectClose(measure(there, 'bar_tilt', at).value, -tilt, 1e-9, at);
  }
  for (const at of ['start', 'bottom']) {
    expectClose(measure(here, 'bar_turn', at).value, turn, 1e-9, at);
    expectClose(measure(there, 'bar_turn', at).value, -turn, 1e-9, at);
  }
});

test('the largest tilt keeps its sign and names its frame', () => {
  const higher = (f: number) => (f === 260 ? -0.09 : f === 350 ? 0.05 : 0.01);
  const end = (share: number) => (f: number) => [0, 1.2 + share * higher(f), 2 * share] as const;
  const found = described(withPoints(makeLoads(POSTURES), { bar_left_end: end(-0.5), bar_right_end: end(0.5) }));
  const { value, frameFirst } = measure(found, 'bar_tilt', 'largest');
  expectClose(value, DEGREES * Math.atan2(-0.09, 2), 1e-9);
  expect(frameFirst).toBe(260);
});
