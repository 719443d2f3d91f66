import { beforeAll, expect, test } from '@jest/globals';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import { describeLift } from '../../src/lift/describe-lift.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { reconstruct } from '../../src/reconstruction/reconstruct.ts';
import { CAUSE_GROUPS } from '../../src/uncertainty/causes/cause.ts';
import { type ForeseenDoubt, foreseenDoubt } from '../../src/uncertainty/foreseen-causes.ts';
import { type LiftUncertainty, liftUncertainty } from '../../src/uncertainty/lift-uncertainty.ts';
import { measuredScene } from '../../src/uncertainty/measured-scene.ts';
import { expectClose } from '../expect-close.ts';
import { DEMO_RECORDINGS, demoFilming, liftOf } from '../synthetic/demo.ts';
import { recordingOf } from '../synthetic/in-memory.ts';

/** The plan's whole chain, told the posture that was filmed, against the analysis of that film. */
let foreseen: readonly ForeseenDoubt[];
let found: LiftUncertainty;

beforeAll(() => {
  const [first] = DEMO_RECORDINGS;
  const lift = liftOf({ ...first, plan: { ...first.plan, repetitions: 1 } }, 'inside');
  const filmed = demoFilming(first);
  const exact = {
    ...filmed,
    noise: null,
    discsHide: false,
    views: filmed.views.map((view) => ({ ...view, bias: {}, offsetS: 0, readoutS: 0 })),
  };
  const { data, rig } = recordingOf(lift, exact);
  const reconstruction = reconstruct(data, rig);
  const motion = bodyMotion(reconstruction.smoothed, data.recording);
  const record = describeLift(jointLoads(motion, [], reconstruction.turn), data.recording);
  const options = { mode: 'linear', draws: 0, seed: 1, curves: false } as const;
  const groups = ['keypoints', 'segments', 'body mass', 'load', 'clocks'] as const;
  found = liftUncertainty({ data, rig, reconstruction, skeleton: null, record }, { ...options, groups });
  const { scene } = measuredScene(data.recording, motion)!;
  const points = scene.postures.parallel.landmarks.length;
  foreseen = foreseenDoubt(scene, rig.cameras, new Float64Array(2 * points), [60, 60]);
});

const sdOf = (quantity: string, cause: string) =>
  foreseen.find((one) => one.quantity === quantity)!.parts.find((part) => part.cause === cause)!.sd;

function sdFound(measure: string, at: string, cause: (typeof CAUSE_GROUPS)[number]): number {
  const i = found.outputs.measures.findIndex(
    (m) => m.measure === measure && m.at === at && m.side !== 'left' && m.side !== 'right',
  );
  const share = found.intervals.share[i * CAUSE_GROUPS.length + CAUSE_GROUPS.indexOf(cause)];
  return found.intervals.sd[i] * Math.sqrt(share);
}

// The plan reads the frame nearest to parallel and takes derivatives there; the analysis reads between frames and has the
// event move. What differs is of second order.
test.each([
  ['trunk_lean_deg', 'trunk_lean', 'keypoints', 0.06],
  ['hip_share_gravity_both', 'hip_share_gravity', 'keypoints', 0.06],
  ['hip_share_gravity_both', 'hip_share_gravity', 'segments', 0.03],
  ['hip_share_gravity_both', 'hip_share_gravity', 'body mass', 0.05],
  ['hip_share_gravity_both', 'hip_share_gravity', 'load', 0.05],
] as const)('%s at parallel, %s by %s: as the analysis finds it', (quantity, measure, cause, relative) => {
  const expected = sdFound(measure, 'parallel descent', cause);
  expectClose(sdOf(quantity, cause) / expected, 1, relative, `${quantity}, ${cause}`);
});

test('parts add up, and a plan without noise has none', () => {
  for (const { sd, parts } of foreseen) {
    expectClose(
      parts.reduce((sum, part) => sum + part.sd ** 2, 0),
      sd ** 2,
      1e-9 * sd ** 2,
      'variance',
    );
    expect(parts.find(({ cause }) => cause === 'noise')!.sd).toBe(0);
  }
});
