import { expect, test } from '@jest/globals';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import { describeLift } from '../../src/lift/describe-lift.ts';
import type { MeasureValue } from '../../src/lift/lift-record.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { lifterPoints, makeRecording, makeTrajectories, squatPosture } from '../body/made-lifter.ts';
import { expectClose } from '../expect-close.ts';
import { NO_TURN } from '../mechanics/made-motion.ts';
import { overPhase } from './over-phase.ts';

/*
 * Work and energy: over a repetition that ends as it began, what the muscles take up going down they give back going up, and
 * the work on the bar is the weight times the height it gains (textbook mechanics).
 */

const RATE = 100;
const recording = makeRecording({ load: { totalKg: 100, bar: { position: 'front rack' } } });
// Standing for half a second at either end, two repetitions between.
const trajectories = makeTrajectories(501, RATE, (f) =>
  lifterPoints(squatPosture(Math.min(4, Math.max(0, f / RATE - 0.5)), 2)),
);
const loads = jointLoads(bodyMotion(trajectories, recording), [], NO_TURN);
const record = describeLift(loads, recording);
const of = (measure: string, at: string, repetition = 1): MeasureValue =>
  record.measures.find((value) => value.measure === measure && value.at === at && value.repetition === repetition)!;

test('the joints give in the ascent what lifter and bar gain: weight × height of the centre of mass', () => {
  expect(record.repetitions.length).toBeGreaterThan(0);
  const { ascent } = record.repetitions[0];
  const height = (frame: number) => loads.centreOfMass![3 * frame + 1];
  const gain = 180 * 9.80665 * (height(ascent!.to - 1) - height(ascent!.from));
  const given = ['hip', 'knee', 'ankle'].reduce((sum, joint) => sum + of(`${joint}_work`, 'ascent').value, 0);
  // Speed at the ends of the phase, the upper body's own part and a frame at either end are left out: 3 %.
  expect(gain).toBeGreaterThan(300);
  expectClose(given, gain, 0.03 * gain, 'work of hips, knees and ankles, J');
});

test('work on the bar', () => {
  const { ascent } = record.repetitions[0];
  const bar = loads.motion.barbell!.centre;
  const gain = 100 * 9.80665 * (bar[3 * (ascent!.to - 1) + 1] - bar[3 * ascent!.from + 1]);
  expectClose(of('bar_work', 'ascent').value, gain, 0.03 * gain, 'J');
  expect(of('bar_work', 'descent').value).toBeLessThan(-0.9 * gain);
});

test('impulse: the moment summed over the phase', () => {
  const hipHeight = record.quantities.find(({ quantity }) => quantity === 'hip_height')!.values;
  const sums = overPhase(loads.fromAbove!.knee.total, hipHeight, record.repetitions[0]);
  for (const phase of ['descent', 'ascent'] as const) {
    const sum = sums[phase] / RATE;
    expectClose(of('knee_impulse', phase).value, sum, 1e-4 * Math.abs(sum), `N·m·s, ${phase}`);
  }
});

test('largest powers, with the frame that shows them', () => {
  for (const measure of ['hip_power_peak', 'knee_power_peak', 'bar_power_peak']) {
    const { value, frameFirst } = of(measure, 'largest');
    const quantity = measure.replace('_peak', '');
    const series = record.quantities.find(
      (found) => found.quantity === quantity && found.side !== 'left' && found.side !== 'right',
    )!;
    expectClose(series.values[frameFirst], value, 0, measure);
    expect(value).toBeGreaterThan(100);
  }
});
