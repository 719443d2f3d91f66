import { describe, expect, test } from '@jest/globals';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import type { ForcePlateTrack, MomentSource } from '../../src/capture/recording.ts';
import { describeLift } from '../../src/lift/describe-lift.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { momentsFromForcePlates, momentsNotFromForcePlates } from '../../src/messages.ts';
import { lifterPoints, makeRecording, makeTrajectories, squatPosture } from '../body/made-lifter.ts';
import { expectAllClose } from '../expect-close.ts';
import { NO_TURN } from '../mechanics/made-motion.ts';

/* Where moments of both legs come from is the user's choice where force plates stand under both feet. */

const RATE = 100;
const FRAMES = 401;
const recording = makeRecording({ load: { totalKg: 60, bar: { position: 'high back' } } });
const motion = bodyMotion(
  makeTrajectories(FRAMES, RATE, (f) => lifterPoints(squatPosture(f / RATE))),
  recording,
);
const above = jointLoads(motion, [], NO_TURN);

/** One force plate under both feet that measures the predicted force, 2 cm further back: the two ways then differ. */
const forcePlate: ForcePlateTrack = {
  file: 'made/force.csv',
  foot: 'both',
  frameRateHz: RATE,
  samples: FRAMES,
  timeS: Float64Array.from({ length: FRAMES }, (_, i) => i / RATE),
  force: above.groundForce!.map((value) => (Number.isNaN(value) ? 0 : value)),
  centreOfPressure: above.centreOfPressure!.map((value, i) => value - (i % 3 === 0 ? 0.02 : 0)),
  freeMoment: new Float64Array(FRAMES),
  hasFreeMoment: false,
};

const lift = (from: MomentSource, forcePlates: readonly ForcePlateTrack[]) =>
  describeLift(jointLoads(motion, forcePlates, NO_TURN), {
    ...recording,
    settings: { ...recording.settings, momentsFrom: from },
  });
const column = (record: ReturnType<typeof lift>, quantity: string) =>
  record.quantities.find((found) => found.quantity === quantity && found.side === 'both')!;
const middle = (values: Float64Array) => values.subarray(50, 150);

describe('moments of both legs', () => {
  test('from the movement, unless asked', () => {
    const record = lift('movement', [forcePlate]);
    expectAllClose(middle(column(record, 'hip_moment').values), middle(above.fromAbove!.hip.total), 1e-12, 'N·m');
    expect(record.quality.notes).not.toContain(momentsFromForcePlates());
  });

  test('from force plates when asked: hips, share and measures follow, the other way stands beside', () => {
    const record = lift('force plates', [forcePlate]);
    const { fromBelow } = record.loads;
    expectAllClose(middle(column(record, 'hip_moment').values), middle(fromBelow!.both!.hip.total), 1e-12, 'N·m');
    expectAllClose(middle(column(record, 'hip_moment_from_above').values), middle(above.fromAbove!.hip.total), 1e-12);
    // 2 cm further back under about 140 kg: some 27 N·m less at the hips, as much more at the knees.
    const change = above.fromAbove!.hip.total[100] - fromBelow!.both!.hip.total[100];
    expect(change).toBeGreaterThan(20);
    expect(change).toBeLessThan(40);
    expect(column(record, 'hip_moment_gravity').values.every(Number.isNaN)).toBe(true);
    expect(column(record, 'hip_moment_gravity').reason).toMatch(/force plates/);
    const share = (one: typeof record) =>
      one.measures.find(
        ({ measure, at, repetition }) => measure === 'hip_share' && at === 'bottom' && repetition === 1,
      )!;
    expect(share(record).value).toBeLessThan(share(lift('movement', [forcePlate])).value - 0.02);
    expect(record.quality.notes).toContain(momentsFromForcePlates());
  });

  test('their powers follow: the same turning under the other moment', () => {
    const [below, moved] = [lift('force plates', [forcePlate]), lift('movement', [forcePlate])];
    for (const joint of ['hip', 'knee', 'ankle']) {
      const of = (record: typeof below, quantity: string) => middle(column(record, `${joint}_${quantity}`).values);
      const [power, momentOf] = [of(below, 'power'), of(below, 'moment')];
      const [otherPower, otherMoment] = [of(moved, 'power'), of(moved, 'moment')];
      // Each is moment times one and the same rate: crosswise products are equal. Up to some 3e5 W·N·m, so rounding is 1e-10.
      expectAllClose(
        power.map((value, i) => value * otherMoment[i]),
        otherPower.map((value, i) => value * momentOf[i]),
        1e-6,
        joint,
      );
      expect(Math.max(...power.map((value, i) => Math.abs(value - otherPower[i])))).toBeGreaterThan(5);
    }
  });

  test('asked without force plates: from the movement, and said', () => {
    const record = lift('force plates', []);
    expect(record.loads.primary).toBe('above');
    expect(record.quality.notes).toContain(momentsNotFromForcePlates());
  });
});
