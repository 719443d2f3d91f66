import { beforeAll, describe, expect, test } from '@jest/globals';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import { offsetTable } from '../../src/body/keypoint-offsets.ts';
import type { CameraRig, MeasuredQuality } from '../../src/cameras/rig.ts';
import { describeLift } from '../../src/lift/describe-lift.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { GRAVITY_M_PER_S2 } from '../../src/numerics/constants.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { reconstruct } from '../../src/reconstruction/reconstruct.ts';
import { causesOf } from '../../src/uncertainty/causes/all-causes.ts';
import { CAUSE_GROUPS, type CauseGroup } from '../../src/uncertainty/causes/cause.ts';
import { type AnalysedRecording, chainOf } from '../../src/uncertainty/chain.ts';
import { liftUncertainty } from '../../src/uncertainty/lift-uncertainty.ts';
import { noiseDraws } from '../../src/uncertainty/noise-draws.ts';
import { TRUNK_FORWARD_SD_M } from '../../src/uncertainty/priors.ts';
import { expectClose } from '../expect-close.ts';
import { DEMO_RECORDINGS, demoFilming, liftOf } from '../synthetic/demo.ts';
import { recordingOf } from '../synthetic/in-memory.ts';
import { whiteNoise } from '../synthetic/noise.ts';

/** One repetition, 1 px of white noise; what the rig states is set by the test. */
function analysedWith(measured: Partial<MeasuredQuality> | null, onOneClock = false): AnalysedRecording {
  const [first] = DEMO_RECORDINGS;
  const lift = liftOf({ ...first, plan: { ...first.plan, repetitions: 1 } }, 'inside');
  const filmed = demoFilming(first);
  const clock = onOneClock ? { offsetS: 0, readoutS: 0 } : {};
  const views = filmed.views.map((view) => ({ ...view, bias: {}, ...clock }));
  const made = recordingOf(lift, { ...filmed, views, noise: whiteNoise(1), discsHide: false });
  const none = { cameras: [], heldOutLength: null, vertical: null, scale: null, volumeM: null, covariance: null };
  const rig: CameraRig =
    measured === null
      ? made.rig
      : { ...made.rig, quality: { ...made.rig.quality, measured: { ...none, ...measured } } };
  const data = made.data;
  const reconstruction = reconstruct(data, rig);
  const motion = bodyMotion(reconstruction.smoothed, data.recording);
  const record = describeLift(jointLoads(motion, data.forcePlates, reconstruction.turn), data.recording);
  return { data, rig, reconstruction, skeleton: null, record };
}

let plain: AnalysedRecording;
beforeAll(() => {
  plain = analysedWith(null);
});

const linear = (groups?: readonly CauseGroup[]) =>
  ({ mode: 'linear', draws: 0, seed: 7, groups, noiseDraws: 12 }) as const;

/** Value of a frame quantity in the middle of the bottom. */
function atBottom({ record }: { record: AnalysedRecording['record'] }, quantity: string, side: string | null): number {
  const found = record.quantities.find((q) => q.quantity === quantity && q.side === side)!;
  return found.values[record.repetitions[0].bottomFrame];
}

describe('causes do what a hand calculation says', () => {
  const effect = (
    analysed: AnalysedRecording,
    group: CauseGroup,
    key: RegExp,
    quantity: string,
    side: string | null,
  ) => {
    const causes = causesOf(analysed, [group]).flatMap((one) => one.causes);
    const at = causes.findIndex((cause) => key.test(cause.key));
    expect(at).toBeGreaterThanOrEqual(0);
    const z = new Float64Array(causes.length);
    z[at] = 1;
    const drawn = chainOf(analysed)(causes, z, null);
    const frame = analysed.record.repetitions[0].bottomFrame;
    const value = drawn.quantities.find((q) => q.quantity === quantity && q.side === side)!.values[frame];
    return value - atBottom(analysed, quantity, side);
  };

  test('nothing drawn is the record itself', () => {
    const again = chainOf(plain)([], [], null);
    expect(again.measures.map(({ value }) => value)).toEqual(plain.record.measures.map(({ value }) => value));
  });

  test('both hips forward: the weight above comes nearer to them by the shift', () => {
    const { motion } = plain.record.loads;
    const shiftM = Math.sqrt(0.8) * offsetTable(null, 'views').offsets.hip.sdM[0];
    const above = motion.segments.filter(({ name }) => !/thigh|shank|foot/.test(name));
    const aboveKg = above.reduce((sum, { massKg }) => sum + massKg, 0) + motion.barMassKg;
    const trunkKg = motion.segments.find(({ name }) => name === 'trunk')!.massKg;
    const found = effect(plain, 'keypoints', /hip forward both/, 'hip_moment_gravity', 'both');
    // The trunk's centre (de Leva: 37.8 % of the length above the hips in women, within 1 % here) goes with the hips in part.
    const trunk = motion.segments.find(({ name }) => name === 'trunk')!;
    const hips = motion.joints.mid_hip!;
    const shoulders = motion.joints.mid_shoulder!;
    const f = 3 * plain.record.repetitions[0].bottomFrame + 1;
    const share = (trunk.centre[f] - hips[f]) / (shoulders[f] - hips[f]);
    const byHand = -GRAVITY_M_PER_S2 * shiftM * (aboveKg - trunkKg * (1 - share));
    expectClose(found, byHand, 0.002 * Math.abs(byHand), 'hip moment');
  });

  test('the vertical turned forward leans the trunk by as much', () => {
    const analysed = analysedWith({ vertical: { from: 'a plumb line', halfWidth95Deg: 1 } });
    // 95 % of errors alike to all sides within 1°: 1/2.4477 a side.
    const found = effect(analysed, 'vertical', /vertical forward/, 'trunk_lean', null);
    expectClose(found, 1 / 2.447746830680816, 0.002, 'lean');
  });

  test('a heavier load adds its weight to the force on the floor', () => {
    const force = effect(plain, 'load', /load/, 'ground_force_y', null);
    const loadKg = 0.01 * plain.data.recording.load.totalKg;
    expectClose(force, loadKg * GRAVITY_M_PER_S2, 0.03 * loadKg * GRAVITY_M_PER_S2, 'force');
  });

  test('a trunk centre further forward raises the hip moment by its weight times the shift', () => {
    const trunk = plain.record.loads.motion.segments.find(({ name }) => name === 'trunk')!;
    const lean = (atBottom(plain, 'trunk_lean', null) * Math.PI) / 180;
    const found = effect(plain, 'segments', /trunk forward/, 'hip_moment_gravity', 'both');
    const byHand = trunk.massKg * GRAVITY_M_PER_S2 * TRUNK_FORWARD_SD_M * Math.cos(lean);
    expectClose(found, byHand, 1e-9, 'hip moment');
  });

  test('masses of segments keep the body mass', () => {
    const causes = causesOf(plain, ['segments']).flatMap((one) => one.causes);
    const drawn = chainOf(plain)(causes, new Float64Array(causes.length).fill(1), null);
    const sum = (record: AnalysedRecording['record']) =>
      record.loads.motion.segments.reduce((total, { massKg }) => total + massKg, 0);
    expectClose(sum(drawn), sum(plain.record), 1e-9, 'mass of all segments');
  });

  test('a clock that is late moves what moves, and nothing at rest', () => {
    const causes = causesOf(plain, ['clocks']).flatMap((one) => one.causes);
    const clock = causes.find(({ key }) => key.includes('/clock '))!;
    const { smoothed } = plain.reconstruction;
    const moved = new Float64Array(smoothed.position.length);
    clock.movePoints!(moved, 1);
    const knee = smoothed.landmarks.indexOf('left_knee');
    const at = (frame: number) =>
      Math.hypot(...[0, 1, 2].map((a) => moved[3 * (frame * smoothed.landmarks.length + knee) + a]));
    const { bottomFrame, topFrame } = plain.record.repetitions[0];
    const onTheWay = Array.from({ length: bottomFrame - topFrame }, (_, i) => at(topFrame + i));
    expect(Math.max(...onTheWay)).toBeGreaterThan(5 * at(bottomFrame));
  });
});

describe('noise', () => {
  test('drawn points scatter as the covariance of the points says', () => {
    // Views on one clock: no pixel is a mean of its neighbours, so that drawn noise and covariance speak of the same thing.
    const { reconstruction } = analysedWith(null, true);
    const { raw } = reconstruction;
    const draw = noiseDraws(reconstruction);
    const random = seededRandom(3);
    const knee = raw.landmarks.indexOf('right_knee');
    let [drawn, stated] = [0, 0];
    for (let d = 0; d < 3; d++) {
      const field = draw(random);
      for (let f = 0; f < raw.frames; f++) {
        const s = f * raw.landmarks.length + knee;
        if (Number.isNaN(raw.covariance[6 * s])) continue;
        drawn += field[3 * s] ** 2 + field[3 * s + 1] ** 2 + field[3 * s + 2] ** 2;
        stated += raw.covariance[6 * s] + raw.covariance[6 * s + 3] + raw.covariance[6 * s + 5];
      }
    }
    // Some 1,000 samples of 3 axes, one of which holds most: standard error of the ratio about 4 %.
    expectClose(drawn / stated, 1, 0.15, 'variance');
  });

  test('a missing point has no displacement', () => {
    const { raw } = plain.reconstruction;
    const field = noiseDraws(plain.reconstruction)(seededRandom(1));
    for (let s = 0; s < raw.status.length; s++) if (raw.status[s] !== 0) expect(field[3 * s]).toBe(0);
  });
});

describe('intervals of a lift', () => {
  test('equal seeds give equal results, another seed others', () => {
    const of = (seed: number) => liftUncertainty(plain, { ...linear(['noise']), seed });
    expect(of(7).record.measures).toEqual(of(7).record.measures);
    expect(of(7).intervals.sd).not.toEqual(of(8).intervals.sd);
  });

  test('every known measure and curve point has an interval around it, unknown ones have none', () => {
    const { record } = liftUncertainty(plain, linear());
    for (const { value, lower, upper, measure, at } of [...record.measures]) {
      if (Number.isNaN(value)) expect([lower, upper]).toEqual([Number.NaN, Number.NaN]);
      else if (!Number.isNaN(lower)) expect(`${measure} ${at} ${lower <= upper}`).toBe(`${measure} ${at} true`);
    }
    const known = record.curves.filter(({ value }) => !Number.isNaN(value));
    const without = known.filter(({ lower }) => Number.isNaN(lower));
    expect(without.length / known.length).toBeLessThan(0.03);
  });

  test('shares add up to one', () => {
    const { intervals, outputs } = liftUncertainty(plain, linear());
    let judged = 0;
    for (let i = 0; i < outputs.count; i++) {
      if (!(intervals.sd[i] > 0)) continue;
      judged++;
      const parts = intervals.share.subarray(i * CAUSE_GROUPS.length, (i + 1) * CAUSE_GROUPS.length);
      expectClose(
        parts.reduce((sum, part) => sum + part, 0),
        1,
        1e-9,
        `output ${i}`,
      );
    }
    expect(judged).toBeGreaterThan(1000);
  });

  test('first order and joint draws agree where the chain is nearly linear', () => {
    const first = liftUncertainty(plain, { ...linear(), noiseDraws: 40 });
    const joint = liftUncertainty(plain, { mode: 'draws', draws: 160, seed: 7, noiseDraws: 2 });
    for (const [measure, at] of [
      ['trunk_lean', 'parallel'],
      ['hip_share', 'parallel'],
      ['knee_over_toe', 'largest'],
    ]) {
      const i = first.outputs.measures.findIndex(
        (m) => m.measure === measure && m.at === at && (m.side === 'both' || m.side === ''),
      );
      // 160 draws: standard error of a standard deviation 5.6 %.
      expectClose(joint.intervals.sd[i] / first.intervals.sd[i], 1, 0.2, `${measure} ${at}`);
    }
  });

  test('what the rig does not state is said, not taken as nothing', () => {
    const groups = causesOf(plain);
    const said = Object.fromEntries(groups.map(({ group, notIncluded }) => [group, notIncluded !== '']));
    expect(said).toMatchObject({ calibration: true, vertical: true, clocks: false, keypoints: false, segments: false });
  });
});
