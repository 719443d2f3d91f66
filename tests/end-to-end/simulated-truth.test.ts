import { describe, expect, test } from '@jest/globals';
import type { Landmark } from '../../src/capture/landmarks.ts';
import { DEFAULT_SETTINGS } from '../../src/capture/recording.ts';
import { LOADED_JOINTS } from '../../src/mechanics/joint-loads.ts';
import { rms } from '../../src/numerics/statistics.ts';
import { expectClose } from '../expect-close.ts';
import {
  AS_DELIVERED,
  analysed,
  measured,
  momentError,
  pointErrors,
  trueLoads,
  UNSMOOTHED,
} from '../synthetic/analysed.ts';
import { DEMO_RECORDINGS, demoFilming, liftOf } from '../synthetic/demo.ts';
import { type Filming, labFromWorld } from '../synthetic/film.ts';
import { whiteNoise } from '../synthetic/noise.ts';
import { filteredVariances, pointSd, propagatedMoments } from '../synthetic/noise-propagation.ts';
import { trueRepetition } from '../synthetic/truth.ts';

/**
 * The whole chain, files to moments, against a virtual lifter whose motion and loads are known. Truth: momentum of a cloud of
 * particles (tests/synthetic/truth.ts), no formula shared with the analyser.
 */
const recorded = DEMO_RECORDINGS[0];
const filmed = demoFilming(recorded);
const exact: Filming = {
  ...filmed,
  noise: null,
  discsHide: false,
  views: filmed.views.map((view) => ({ ...view, offsetS: 0, readoutS: 0, bias: {} })),
};
const JOINT_CENTRES: readonly Landmark[] = [
  'left_hip',
  'right_hip',
  'left_knee',
  'right_knee',
  'left_ankle',
  'right_ankle',
  'left_shoulder',
  'right_shoulder',
];

describe('noise-free, within the analyser’s assumptions, unsmoothed', () => {
  const lift = liftOf(recorded, 'inside');
  const run = analysed(lift, exact, UNSMOOTHED);
  const truth = trueLoads(run);

  test.each(JOINT_CENTRES)('%s: within 0.1 mm in every frame', (landmark) => {
    const errors = pointErrors(run, landmark, 'smoothed');
    expect(errors).toHaveLength(run.loads.frames);
    // The bound. Exact pixels leave only the iterations of undistortion and refinement.
    for (const error of errors) expect(error).toBeLessThan(1e-4);
  });

  test.each(LOADED_JOINTS)('%s: moment within 0.5 %% of its peak in every frame', (joint) => {
    const { peak, largest, frames } = momentError(run, truth, joint, 'total');
    expect(frames).toBe(run.loads.frames - 2); // no second difference at the two ends
    expect(largest / peak).toBeLessThan(0.005);
  });

  test.each(LOADED_JOINTS)('%s: gravity part within 0.01 %% of its peak', (joint) => {
    const { peak, largest } = momentError(run, truth, joint, 'gravity');
    expect(largest / peak).toBeLessThan(1e-4);
  });

  test('ground force and centre of pressure', () => {
    const { groundForce, centreOfPressure } = run.loads;
    const lab = labFromWorld(filmed.placement, [0, 0, 0]);
    for (let k = 2; k < run.loads.frames - 2; k++) {
      // The three-point second difference at 60 Hz is off by h²/12 of the fourth derivative: with 50 m/s⁴ and 123 kg, 0.14 N;
      // at the knots of the course, where that derivative jumps to some 200 m/s⁴ and more, below 1 N.
      expectClose(groundForce![3 * k + 1], truth[k].groundForce[1], 1, `vertical force, frame ${k}`);
      expectClose(centreOfPressure![3 * k] + lab[0], truth[k].centreOfPressure[0], 0.001, `pressure, frame ${k}`);
    }
  });

  test.each([1, 2, 3])('repetition %i: share and lean at parallel and bottom, largest lean', (repetition) => {
    const { parallelDescent, parallelAscent, bottom, largestLean, stickingS } = trueRepetition(lift, repetition - 1);
    expectClose(
      measured(run, 'trunk_lean', 'parallel descent', repetition),
      parallelDescent.trunkLeanDeg,
      0.05,
      'lean down',
    );
    expectClose(
      measured(run, 'trunk_lean', 'parallel ascent', repetition),
      parallelAscent.trunkLeanDeg,
      0.05,
      'lean up',
    );
    expectClose(measured(run, 'trunk_lean', 'largest', repetition), largestLean.trunkLeanDeg, 0.05, 'largest lean');
    // Read between two frames: half of what the share changes in a frame, about 0.004.
    expectClose(
      measured(run, 'hip_share', 'parallel descent', repetition),
      parallelDescent.hipShare,
      0.002,
      'share down',
    );
    expectClose(measured(run, 'hip_share', 'parallel ascent', repetition), parallelAscent.hipShare, 0.002, 'share up');
    // The bottom is flat for 0.2 s: its frame is chosen by less than sway.
    expectClose(measured(run, 'hip_share', 'bottom', repetition), bottom.hipShare, 0.02, 'share at the bottom');
    const found = run.record.repetitions[repetition - 1];
    expectClose(run.loads.startS + found.stickingFrame / 60, stickingS, 0.05, 'sticking point');
  });

  test('three full repetitions', () => {
    expect(run.record.repetitions.map(({ completeness }) => completeness)).toEqual(['full', 'full', 'full']);
  });
});

describe('white noise of 1 px, within the assumptions, default filter', () => {
  const lift = liftOf(recorded, 'inside');
  // Every point by itself: the propagation by hand knows nothing of constant lengths and resting feet.
  const run = analysed(lift, { ...exact, noise: whiteNoise(1) }, { ...AS_DELIVERED, settings: ['points: free'] });
  const truth = trueLoads(run);
  const cutoffOf = (landmark: Landmark) => {
    const { cutoffHz, landmarks } = run.reconstruction.smoothed;
    return cutoffHz[landmarks.indexOf(landmark)];
  };
  const marginFrames = 25;
  const inner = (errors: Float64Array) => errors.subarray(marginFrames, errors.length - marginFrames);
  const cameras = filmed.views.map(({ camera }) => camera);
  const sds = pointSd(cameras, [0, 0.8, 0]);

  test.each(JOINT_CENTRES)('%s: error as propagated from the pixels, before and after the filter', (landmark) => {
    const expected = Math.hypot(...sds);
    // 840 frames of white noise: 2 %; places up to 0.4 m nearer or further than the middle of the lift: 10 %.
    expectClose(rms(inner(pointErrors(run, landmark, 'raw'))) / expected, 1, 0.13, 'measured');
    const filtered = expected * Math.sqrt(filteredVariances(cutoffOf(landmark), 60).position);
    // Some 2 · 14 s · 3 Hz = 80 independent values a coordinate: 5 % (1 SD); and the filter's own lag-free error in fast phases.
    expectClose(rms(inner(pointErrors(run, landmark, 'smoothed'))) / filtered, 1, 0.25, 'smoothed');
  });

  test.each(LOADED_JOINTS)('%s: moment errors as propagated', (joint) => {
    const { legsHz, trunkHz, barHz } = DEFAULT_SETTINGS.smoothing as Extract<
      typeof DEFAULT_SETTINGS.smoothing,
      { kind: 'fixed' }
    >;
    const cutoffs = { legsHz, trunkHz, barHz, hipsHz: cutoffOf('left_hip') };
    const expected = propagatedMoments(lift, cameras, cutoffs, 60)[joint];
    const marginS = marginFrames / 60;
    // Six seeds scattered by 6–8 % (1 SD; 14 s at 3 Hz hold some 80 independent errors), all joints together since the bar is
    // in each; lumping the masses adds some 5 %. Three SD and that.
    expectClose(momentError(run, truth, joint, 'gravity', marginS).rms / expected.gravity, 1, 0.3, 'gravity part');
    expectClose(momentError(run, truth, joint, 'total', marginS).rms / expected.total, 1, 0.3, 'total');
  });

  test.each([1, 2, 3])('repetition %i: lean and share at parallel', (repetition) => {
    const { parallelDescent } = trueRepetition(lift, repetition - 1);
    // Lean: 1.05 mm forward noise of mid-hip and mid-shoulder (each /√2) over 0.46 m: 0.13°; depth adds as much. Three SD.
    expectClose(measured(run, 'trunk_lean', 'parallel descent', repetition), parallelDescent.trunkLeanDeg, 0.7, 'lean');
    // Share: 2 % of the hip and 5 % of the knee moment's peak, shares near 0.6: 0.02. Three SD.
    expectClose(measured(run, 'hip_share', 'parallel descent', repetition), parallelDescent.hipShare, 0.06, 'share');
  });
});

test('force plates under the virtual lifter agree with the moments from above', () => {
  const short = { ...recorded, plan: { ...recorded.plan, repetitions: 1 } };
  const placement = { headingRad: 0, placeM: [0, 0] as const };
  const run = analysed(liftOf(short, 'inside'), { ...exact, placement }, { ...UNSMOOTHED, forcePlates: true });
  const { fromBelow, fromAbove, quality } = run.loads;
  expect(quality.mismatch!.verticalRmsPctBodyWeight).toBeLessThan(0.3);
  for (const joint of LOADED_JOINTS) {
    const below = fromBelow!.both![joint].total;
    const above = fromAbove![joint].total;
    for (let k = 5; k < run.loads.frames - 5; k++) {
      // N·m; the forces are exact (200 Hz, brought to 60 Hz), the moments from above differ by the 60 Hz second difference.
      if (!Number.isNaN(below[k])) expectClose(below[k], above[k], 3, `${joint}, frame ${k}`);
    }
  }
});
