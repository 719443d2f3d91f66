import { describe, expect, test } from '@jest/globals';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import type { ForcePlateTrack } from '../../src/capture/recording.ts';
import { DataError } from '../../src/errors.ts';
import { groundReaction } from '../../src/mechanics/ground-wrench.ts';
import { LOADED_JOINTS } from '../../src/mechanics/joint-loads.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { rotationAboutY } from '../../src/numerics/rotation.ts';
import { lifterPoints, makeRecording, makeTrajectories, squatPosture } from '../body/made-lifter.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { NO_TURN } from './made-motion.ts';

const RATE = 100;
const FRAMES = 201;
const recording = makeRecording({ load: { totalKg: 60, bar: { position: 'high back' } } });
const squat = (frame: number) => lifterPoints(squatPosture(frame / RATE));
const trajectories = makeTrajectories(FRAMES, RATE, squat);
const motion = bodyMotion(trajectories, recording);
const above = jointLoads(motion, [], NO_TURN);

type Triple = readonly [number, number, number];

/** A force plate at `rateHz` with the force and centre of pressure of a time; NaN force where the source has none. */
function forcePlate(
  foot: ForcePlateTrack['foot'],
  at: (timeS: number) => { force: Triple; centre: Triple },
  samples = FRAMES,
  rateHz = RATE,
  startS = 0,
): ForcePlateTrack {
  const track = {
    file: 'made/force.csv',
    foot,
    frameRateHz: rateHz,
    samples,
    timeS: Float64Array.from({ length: samples }, (_, i) => startS + i / rateHz),
    force: new Float64Array(3 * samples),
    centreOfPressure: new Float64Array(3 * samples),
    freeMoment: new Float64Array(samples),
    hasFreeMoment: false,
  };
  for (let i = 0; i < samples; i++) {
    const { force, centre } = at(track.timeS[i]);
    track.force.set(force, 3 * i);
    track.centreOfPressure.set(centre, 3 * i);
  }
  return track;
}

const triple = (x: ArrayLike<number>, i: number): Triple => [x[3 * i], x[3 * i + 1], x[3 * i + 2]];
/** The force plate that would measure exactly what is predicted from above, times a share, set aside by z. */
const predicted = (foot: ForcePlateTrack['foot'], share = 1, aside = 0) =>
  forcePlate(foot, (timeS) => {
    const i = Math.round(timeS * RATE);
    const [fx, fy, fz] = triple(above.groundForce!, i);
    const [x, y, z] = triple(above.centreOfPressure!, i);
    return { force: [share * fx, share * fy, share * fz], centre: [x, y, z + aside] };
  });
test('the moment about the origin is centre of pressure × force plus the free moment, upward positive', () => {
  const track = forcePlate('both', () => ({ force: [10, 700, -20], centre: [0.1, 0, 0.2] }));
  track.freeMoment.fill(3);
  const { both } = groundReaction([track], NO_TURN, { frames: 5, frameRateHz: RATE, startS: 0 }, Number.NaN);
  // (0.1, 0, 0.2) × (10, 700, −20) = (−140, 4, 70) by hand.
  expectAllClose(triple(both!.moment, 2), [-140, 4 + 3, 70], 1e-9, 'moment');
});

const innerFrames = Array.from({ length: FRAMES - 2 }, (_, k) => k + 1);
const caught = (act: () => unknown): DataError => {
  try {
    act();
  } catch (error) {
    if (error instanceof DataError) return error;
    throw error;
  }
  throw new Error('nothing was thrown');
};

describe('from below', () => {
  test('under the force that is predicted from above, both ways give the same moments', () => {
    const loads = jointLoads(motion, [predicted('both')], NO_TURN);
    for (const joint of LOADED_JOINTS)
      for (const f of innerFrames)
        expectClose(
          loads.fromBelow!.both![joint].total[f],
          above.fromAbove![joint].total[f],
          1e-8,
          `${joint}, frame ${f}`,
        );
    expect(loads.fromBelow!.left).toBeNull();
    expect(loads.primary).toBe('above');
    const mismatch = loads.quality.mismatch!;
    expectClose(mismatch.verticalRmsN, 0, 1e-8, 'rms, N');
    expectClose(mismatch.verticalR, 1, 1e-12, 'r');
    expectClose(mismatch.copForwardRmsM, 0, 1e-10, 'fore–aft, m');
    expectClose(mismatch.hipMomentRmsNm!, 0, 1e-8, 'hip, N·m');
    expect(mismatch.framesCompared).toBe(FRAMES - 2);
  });

  test('half under each foot of a symmetric lifter: each leg half, together the whole', () => {
    const loads = jointLoads(motion, [predicted('left', 0.5, -0.16), predicted('right', 0.5, 0.16)], NO_TURN);
    const { left, right, both } = loads.fromBelow!;
    for (const joint of LOADED_JOINTS)
      for (const f of innerFrames) {
        const whole = above.fromAbove![joint].total[f];
        expectClose(both![joint].total[f], whole, 1e-8, `both, ${joint}, frame ${f}`);
        expectClose(left![joint].total[f], whole / 2, 1e-8, `left, ${joint}, frame ${f}`);
        expectClose(right![joint].total[f], whole / 2, 1e-8, `right, ${joint}, frame ${f}`);
      }
  });

  test('a known error of the measured force is found: 50 N more, 2 cm further forward', () => {
    const off = forcePlate('both', (timeS) => {
      const i = Math.round(timeS * RATE);
      const [fx, fy, fz] = triple(above.groundForce!, i);
      const [x, y, z] = triple(above.centreOfPressure!, i);
      return { force: [fx, fy + 50, fz], centre: [x + 0.02, y, z] };
    });
    const { mismatch } = jointLoads(motion, [off], NO_TURN).quality;
    expectClose(mismatch!.verticalRmsN, 50, 1e-8, 'rms, N');
    expectClose(mismatch!.verticalRmsPctBodyWeight, 5000 / (80 * 9.80665), 1e-8, '% body weight');
    expectClose(mismatch!.copForwardMeanM, -0.02, 1e-8, 'above minus measured, m');
    expectClose(mismatch!.copSidewaysRmsM, 0, 1e-8, 'sideways, m');
  });

  test('without an upper body: from below only, its gravity part not known', () => {
    const legs = makeTrajectories(FRAMES, RATE, (frame) =>
      Object.fromEntries(Object.entries(squat(frame)).filter(([name]) => /hip|knee|ankle|heel|toe/.test(name))),
    );
    const loads = jointLoads(bodyMotion(legs, recording), [predicted('both')], NO_TURN);
    expect(loads.primary).toBe('below');
    expect(loads.fromAbove).toBeNull();
    expect(loads.quality.mismatch).toBeNull();
    for (const joint of LOADED_JOINTS) {
      expectClose(loads.fromBelow!.both![joint].total[100], above.fromAbove![joint].total[100], 1e-8, joint);
      expect(loads.fromBelow!.both![joint].gravity[100]).toBeNaN();
    }
  });

  test('one foot measured: its leg only, no total', () => {
    const loads = jointLoads(motion, [predicted('left', 0.5, -0.16)], NO_TURN);
    expect(loads.fromBelow!.both).toBeNull();
    expect(loads.fromBelow!.right).toBeNull();
    expect(loads.fromBelow!.left!.hip.total[100]).toBeGreaterThan(0);
    expect(loads.measuredForce).toBeNull();
    expect(loads.quality.mismatch).toBeNull();
  });

  test('force plates in the axes before the points were turned: turned alike', () => {
    const turn = rotationAboutY(0.4);
    const [c, s] = [Math.cos(0.4), Math.sin(0.4)];
    // The inverse of the rotation about Y, written out: x' = c x − s z, z' = s x + c z.
    const back = ([x, y, z]: Triple): Triple => [c * x - s * z, y, s * x + c * z];
    const turned = forcePlate('both', (timeS) => {
      const i = Math.round(timeS * RATE);
      const [x, y, z] = triple(above.centreOfPressure!, i);
      return { force: back(triple(above.groundForce!, i)), centre: back([x, y, z + 0.05]) };
    });
    const loads = jointLoads(motion, [turned], turn);
    // Set 5 cm aside, so that left and right are told apart; the moment about Z does not see it.
    expectClose(loads.fromBelow!.both!.hip.total[100], above.fromAbove!.hip.total[100], 1e-8, 'hip');
    const [x, y] = triple(above.centreOfPressure!, 100);
    expectAllClose(triple(loads.measuredCentreOfPressure!, 100), [x, y, 0.05], 1e-9, 'centre');
  });
});

describe('force plates at the frame times', () => {
  const clock = { frames: 241, frameRateHz: 60, startS: 0.5 };
  const omega = 2 * Math.PI;
  const force = (timeS: number) => 700 + 100 * Math.sin(omega * timeS);

  test('1000 Hz with 50 Hz hum, low-passed at 3 Hz and taken at 60 Hz: the 1 Hz signal with the gain of the filter', () => {
    const noisy = forcePlate(
      'both',
      (timeS) => ({ force: [0, force(timeS) + 40 * Math.sin(50 * omega * timeS), 0], centre: [0.1, 0, 0] }),
      6000,
      1000,
    );
    const { both, edge } = groundReaction([noisy], NO_TURN, clock, 3);
    // Forward and backward Butterworth of second order, −3 dB at 3 Hz: gain 1 / (1 + (√2 − 1)(f/fc)⁴) at 1 Hz.
    const gain = 1 / (1 + (Math.SQRT2 - 1) / 81);
    for (let f = 0; f < clock.frames; f++) {
      if (edge[f]) continue;
      const expected = 700 + 100 * gain * Math.sin(omega * (0.5 + f / 60));
      expectClose(both!.force[3 * f + 1], expected, 0.05, `force, frame ${f}`);
      expectClose(both!.moment[3 * f + 2], 0.1 * expected, 0.005, `moment, frame ${f}`);
    }
    expect(edge.reduce((sum, each) => sum + each, 0)).toBe(0);
  });

  test('frames outside the recording of the force plate are not known, those within a filter memory of its ends are edges', () => {
    const short = forcePlate('both', (timeS) => ({ force: [0, force(timeS), 0], centre: [0, 0, 0] }), 2000, 1000, 1);
    const { both, edge } = groundReaction([short], NO_TURN, clock, 3);
    const frameAt = (timeS: number) => Math.round((timeS - clock.startS) * 60);
    expect(both!.force[3 * frameAt(0.9) + 1]).toBeNaN();
    expect(both!.force[3 * frameAt(1.1) + 1]).toBeGreaterThan(600);
    expect([0.9, 1.2, 1.5, 2.5, 2.8].map((timeS) => edge[frameAt(timeS)])).toEqual([1, 1, 0, 0, 1]);
  });

  test('a force plate that carries nothing gives zero, not its offset', () => {
    const empty = forcePlate('left', () => ({ force: [0, 4, 0], centre: [Number.NaN, 0, 0] }), 6000, 1000);
    const full = forcePlate('right', (timeS) => ({ force: [0, force(timeS), 0], centre: [0, 0, 0] }), 6000, 1000);
    const { left, both, right } = groundReaction([empty, full], NO_TURN, clock, Number.NaN);
    expectAllClose(left!.force, new Float64Array(3 * clock.frames), 0, 'left');
    expectAllClose(both!.force, right!.force, 0, 'both');
  });

  test('a force without a centre of pressure, a force plate at another time, one too slow: refused', () => {
    const lost = forcePlate('both', () => ({ force: [0, 700, 0], centre: [Number.NaN, 0, 0] }));
    expect(caught(() => jointLoads(motion, [lost], NO_TURN)).code).toBe('force-without-centre');
    const later = forcePlate('both', () => ({ force: [0, 700, 0], centre: [0, 0, 0] }), FRAMES, RATE, 60);
    const apart = caught(() => jointLoads(motion, [later], NO_TURN));
    expect(apart.code).toBe('force-plate-apart');
    expect(apart.facts.firstS).toBe(60);
    const slow = forcePlate('both', () => ({ force: [0, 700, 0], centre: [0, 0, 0] }), 60, 7);
    expect(caught(() => groundReaction([slow], NO_TURN, clock, 3)).code).toBe('force-plate-too-slow');
  });

  test('feet exchanged: refused where both force plates lie under the other foot', () => {
    const exchanged = caught(() =>
      jointLoads(motion, [predicted('left', 0.5, 0.1), predicted('right', 0.5, -0.1)], NO_TURN),
    );
    expect(exchanged.code).toBe('force-plates-exchanged');
    expectClose(exchanged.facts.leftZM as number, 0.1, 1e-6, 'left');
    expectClose(exchanged.facts.rightZM as number, -0.1, 1e-6, 'right');
    for (const [left, right] of [
      [-0.1, 0.1],
      [0.1, 0.2],
    ]) {
      const loads = jointLoads(motion, [predicted('left', 0.5, left), predicted('right', 0.5, right)], NO_TURN);
      expect(loads.fromBelow!.left).not.toBeNull();
    }
  });
});
