import { describe, expect, test } from '@jest/globals';
import { SharingStatus } from '../../src/mechanics/leg-sharing/pressed-places.ts';
import { causesOf } from '../../src/uncertainty/causes/all-causes.ts';
import { sharingCauses } from '../../src/uncertainty/causes/sharing-causes.ts';
import { chainOf } from '../../src/uncertainty/chain.ts';
import { LEG_SHARING_SD } from '../../src/uncertainty/priors.ts';
import { expectClose } from '../expect-close.ts';
import { drawnWorld } from '../synthetic/drawn-world.ts';
import { drawnStyle } from '../synthetic/styles.ts';
import { analysedWorld } from '../validation/coverage-runs.ts';
import { sharedCoverage } from '../validation/leg-sharing-runs.ts';

/** Exact pixels, nothing smoothed: a lifter alike on both sides. */
const run = analysedWorld(drawnWorld(drawnStyle(0), 1, new Set()), { smoothing: { kind: 'none' } });
const { record } = run;
const frame = record.repetitions[0].bottomFrame;
const causes = causesOf(run, ['leg sharing'])[0].causes;

const readAtBottom = (of: typeof record, quantity: string, side: string) =>
  of.quantities.find((one) => one.quantity === quantity && one.side === side)!.values[frame];
/** What one standard deviation of a cause does to a quantity at the bottom. */
function effect(name: string, quantity: string, side: string): number {
  const z = causes.map(({ key }) => (key.endsWith(` ${name}`) ? 1 : 0));
  expect(z.filter((one) => one === 1)).toHaveLength(1);
  return readAtBottom(chainOf(run)(causes, z, null), quantity, side) - readAtBottom(record, quantity, side);
}

describe('causes do what a hand calculation says', () => {
  const forceN = record.loads.groundForce![3 * frame + 1];
  const shared = record.legSharing!;
  const placeOf = (side: 'left' | 'right', axis: number) => shared[side].centreOfPressure[3 * frame + axis];
  const apartM = placeOf('right', 2) - placeOf('left', 2);

  test('the lifter is alike on both sides', () => {
    expect(shared.status[frame]).toBe(SharingStatus.shared);
    // Pixels are exact to ten digits; the points to a few micrometres.
    expectClose(readAtBottom(record, 'vertical_share', 'left'), 0.5, 1e-4, 'share');
  });

  test('the centre of mass to the right takes load off the left foot by the lever between the feet', () => {
    expectClose(effect('sidewaysM', 'vertical_share', 'left'), -LEG_SHARING_SD.sidewaysM / apartM, 2e-5, 'share');
  });

  test('the left pressure further outward: 0.5 / (1 + shift / distance) of the load', () => {
    const outM = LEG_SHARING_SD.outwardLeftM;
    // With feet turned out the shift is square to the foot, a little less than sideways; and moves the line forward or back.
    const found = effect('outwardLeftM', 'vertical_share', 'left');
    expect(found).toBeLessThan(0);
    expectClose(found, -0.5 * (outM / apartM), 0.15 * 0.5 * (outM / apartM), 'share');
  });

  test('one foot further forward, one backward: force × half the way, at knee and hip, opposite on the other side', () => {
    const name = 'twistShare';
    const pushN = (LEG_SHARING_SD[name] * forceN) / 2;
    for (const joint of ['hip', 'knee'] as const) {
      const heightM =
        record.loads.motion.joints[`left_${joint}`]![3 * frame + 1] - record.loads.motion.trajectories.floorHeightM;
      const sign = joint === 'knee' ? -1 : 1;
      expectClose(effect(name, `${joint}_moment_shared`, 'left'), sign * heightM * pushN, 0.01, `left ${joint}, N·m`);
      expectClose(
        effect(name, `${joint}_moment_shared`, 'right'),
        -sign * heightM * pushN,
        0.01,
        `right ${joint}, N·m`,
      );
    }
  });

  test('left and right together stay what they were, whatever is assumed', () => {
    const sum = (of: typeof record) =>
      readAtBottom(of, 'knee_moment_shared', 'left') + readAtBottom(of, 'knee_moment_shared', 'right');
    const z = causes.map(({ key }) => (/sidewaysM|sumOfLegs/.test(key) ? 0 : 0.7));
    // The knees of a lifter alike on both sides lie at one place fore and aft: shares do not move their sum.
    expectClose(sum(chainOf(run)(causes, z, null)), sum(record), 0.02, 'N·m');
  });

  test('nothing is in doubt where nothing is shared', () => {
    expect(sharingCauses(null, { recordingId: 'r', athleteId: 'a' }).causes).toHaveLength(0);
    const none = { ...shared, quality: { ...shared.quality, framesShared: 0 } };
    expect(sharingCauses(none, { recordingId: 'r', athleteId: 'a' }).causes).toHaveLength(0);
  });
});

test('intervals hold the truth of legs that press as no camera sees', () => {
  for (const { name, runs, unknown, covered, sdZ } of sharedCoverage(
    { worlds: 1, pressings: 200, groups: ['leg sharing'], noiseDraws: 0, exact: true },
    () => {},
  )) {
    expect([name, unknown, runs]).toEqual([name, 0, 200]);
    // 200 runs know a share of 95 % to 1.5 %, a standard deviation to 5 %: three of those.
    expect(covered).toBeGreaterThan(0.904);
    expect(sdZ).toBeGreaterThan(0.85);
    expect(sdZ).toBeLessThan(1.15);
  }
});
