import { describe, expect, test } from '@jest/globals';
import type { BodyMotion } from '../../src/body/body-motion.ts';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import { shiftForward } from '../../src/body/body-shifts.ts';
import { momentsFromAbove } from '../../src/mechanics/cut-moments.ts';
import type { JointLoads } from '../../src/mechanics/joint-loads.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { bodyEstimate, CREDIBLE_MASS_SHARE } from '../../src/mechanics/residual/body-estimate.ts';
import { framesPerIndependentValue } from '../../src/mechanics/residual/correlated-count.ts';
import { fusedMoments } from '../../src/mechanics/residual/fused-moments.ts';
import { residualAnalysis } from '../../src/mechanics/residual/residual-analysis.ts';
import { residualSeries } from '../../src/mechanics/residual/residual-series.ts';
import { centreOfPressure, copyWrench, type Wrench } from '../../src/mechanics/wrench.ts';
import { GRAVITY_M_PER_S2 } from '../../src/numerics/constants.ts';
import { type Random, seededRandom } from '../../src/numerics/random.ts';
import { mean } from '../../src/numerics/statistics.ts';
import { lifterPoints, makeRecording, makeTrajectories, squatPosture } from '../body/made-lifter.ts';
import { expectClose } from '../expect-close.ts';
import { NO_TURN } from './made-motion.ts';

const G = GRAVITY_M_PER_S2;

const motionAt = (rateHz: number, seconds: number, massKg = 80): BodyMotion =>
  bodyMotion(
    makeTrajectories(rateHz * seconds + 1, rateHz, (frame) => lifterPoints(squatPosture(frame / rateHz))),
    makeRecording({ athlete: { massKg }, load: { totalKg: 40, bar: { position: 'high back' } } }),
  );

/** The motion of another body: mass times a share, trunk centre moved. */
function otherBody(motion: BodyMotion, massShare: number, upM: number, forwardM: number): BodyMotion {
  const segments = motion.segments.map((segment) => {
    const centre = segment.centre.slice();
    if (segment.name === 'trunk') shiftForward(centre, segment.axis, forwardM, 0, upM);
    return {
      ...segment,
      centre,
      massKg: massShare * segment.massKg,
      transverseInertiaKgM2: massShare * segment.transverseInertiaKgM2,
    };
  });
  return { ...motion, segments };
}

const known = new WeakMap<BodyMotion, JointLoads>();

/** Loads of `motion` whose force plates measured `ground`. */
function measuredAs(motion: BodyMotion, ground: Wrench): JointLoads {
  const above = known.get(motion) ?? jointLoads(motion, [], NO_TURN);
  known.set(motion, above);
  return {
    ...above,
    measuredForce: ground.force,
    measuredCentreOfPressure: centreOfPressure(ground, 0, 20),
  };
}
const groundOf = (motion: BodyMotion) => copyWrench(momentsFromAbove(motion).ground.total);

/** First-order autoregressive noise of stated standard deviation and correlation time. */
function slowNoise(random: Random, n: number, sd: number, rateHz: number, timeS: number): Float64Array {
  const keep = Math.exp(-1 / (rateHz * timeS));
  const out = new Float64Array(n);
  let x = random.normal();
  for (let i = 0; i < n; i++) {
    out[i] = sd * x;
    x = keep * x + Math.sqrt(1 - keep * keep) * random.normal();
  }
  return out;
}

describe('residual', () => {
  const motion = motionAt(100, 4);

  test('force plates that read 30 N less, 12 mm further forward and 4 N sideways leave just that', () => {
    const ground = groundOf(motion);
    const above = jointLoads(motion, [], NO_TURN);
    for (let i = 0; i < ground.force.length; i += 3) {
      const fy = ground.force[i + 1];
      ground.force[i + 1] -= 30;
      ground.force[i + 2] += 4;
      ground.moment[i + 2] = (above.centreOfPressure![i] + 0.012) * (fy - 30);
      ground.moment[i] = -above.centreOfPressure![i + 2] * (fy - 30);
    }
    const { series, overall, byLean, byRepetition } = residualAnalysis(measuredAs(motion, ground), [
      { number: 1, from: 0, to: 200 },
      { number: 2, from: 200, to: 401 },
    ])!;
    expectClose(overall.forceN.up!.mean, 30, 1e-9, 'up, N');
    expectClose(overall.forceN.up!.p95, 30, 1e-9, 'up, 95 %, N');
    expectClose(overall.forcePctBodyWeight.up!.rms, (100 * 30) / (80 * G), 1e-9, 'up, % body weight');
    expectClose(overall.forceN.forward!.rms, 0, 1e-9, 'forward, N');
    expectClose(overall.forceN.right!.mean, -4, 1e-9, 'right, N');
    expectClose(overall.pressureForwardM!.mean, -0.012, 1e-12, 'centre of pressure, m');
    const hip = motion.joints.mid_hip!;
    for (const frame of [50, 130]) {
      const [i, x] = [3 * frame, above.centreOfPressure![3 * frame]];
      const measuredUp = above.groundForce![i + 1] - 30;
      const byHand = (x - hip[i]) * above.groundForce![i + 1] - (x + 0.012 - hip[i]) * measuredUp;
      expectClose(series.momentAboutMidHip[i + 2], byHand, 1e-9, `moment, frame ${frame}`);
    }
    // Neither foot was measured alone: nothing is known about the vertical.
    expect(overall.momentNm.up).toBeNull();
    expect(byRepetition.map(({ frames }) => frames)).toEqual([199, 200]);
    expect(byLean.reduce((sum, { frames }) => sum + frames, 0)).toBe(overall.frames);
    expect(byLean[0].frames).toBeGreaterThan(100);
  });

  test('the moment is the difference of the hip moments from above and from below', () => {
    const ground = groundOf(otherBody(motion, 1, 0, -0.03));
    const series = residualSeries(measuredAs(motion, ground))!;
    const apart = momentsFromAbove(motion).moments.hip.total;
    const truth = momentsFromAbove(otherBody(motion, 1, 0, -0.03)).moments.hip.total;
    for (const frame of [40, 150, 260])
      expectClose(series.momentAboutMidHip[3 * frame + 2], apart[frame] - truth[frame], 1e-9, `frame ${frame}`);
  });

  test('no force plates, or no upper body: nothing', () => {
    expect(residualAnalysis(jointLoads(motion, [], NO_TURN), [])).toBeNull();
    const loads = measuredAs(motion, groundOf(motion));
    expect(residualAnalysis({ ...loads, groundForce: null }, [])).toBeNull();
  });

  test('a perfect match is within the recommended limits; 60 N·m are not, and a note says so', () => {
    expect(residualAnalysis(measuredAs(motion, groundOf(motion)), [])!.recommended.within).toBe(true);
    const off = residualAnalysis(measuredAs(motion, groundOf(otherBody(motion, 1, 0, 0.17))), [])!;
    expect(off.recommended.within).toBe(false);
    expect(off.notes.join('\n')).toMatch(/Outside the limits/);
  });
});

describe('the body the force plates would fit', () => {
  const motion = motionAt(100, 4);

  test.each([
    [1, 0, 0],
    [1.03, -0.03, 0.015],
    [0.97, 0.05, -0.03],
  ])('mass × %d, trunk %d m up and %d m forward come back exactly', (mass, up, forward) => {
    const loads = measuredAs(motion, groundOf(otherBody(motion, mass, up, forward)));
    const { massKg, trunkUpM, trunkForwardM } = bodyEstimate(loads, residualSeries(loads)!)!;
    // Least squares stops where the scaled step is 1e-10.
    expectClose(massKg.value, 80 * mass, 1e-6, 'mass, kg');
    expectClose(trunkUpM.value, up, 1e-8, 'up, m');
    expectClose(trunkForwardM.value, forward, 1e-8, 'forward, m');
    expect(massKg.credible && trunkUpM.credible && trunkForwardM.credible).toBe(true);
  });

  test('what no lifter is, is flagged', () => {
    const loads = measuredAs(motion, groundOf(otherBody(motion, 1 + 1.2 * CREDIBLE_MASS_SHARE, -0.09, 0.05)));
    const analysis = residualAnalysis(loads, [])!;
    const { massKg, trunkUpM, trunkForwardM } = analysis.estimate!;
    expect([massKg.credible, trunkUpM.credible, trunkForwardM.credible]).toEqual([false, false, false]);
    expect(analysis.notes.join('\n')).toMatch(
      /Not credible .*body mass, trunk centre along its line, trunk centre forward/,
    );
    expect(analysis.notes.join('\n')).toMatch(/not applied/);
  });

  /** Noise of a third of a second in the measured forces and in the centre of pressure. */
  function noisy(of: BodyMotion, truth: Wrench, seed: number): JointLoads {
    const random = seededRandom(seed);
    const ground = copyWrench(truth);
    const noise = (sd: number) => slowNoise(random, of.frames, sd, of.frameRateHz, 0.3);
    const [fx, fy, x] = [noise(4), noise(6), noise(0.006)];
    for (let frame = 0, i = 0; frame < of.frames; frame++, i += 3) {
      ground.force[i] += fx[frame];
      ground.force[i + 1] += fy[frame];
      ground.moment[i + 2] += x[frame] * ground.force[i + 1];
    }
    return measuredAs(of, ground);
  }

  test('the standard uncertainty covers: residuals that last are not taken for many', () => {
    const long = motionAt(30, 16);
    const truth = groundOf(otherBody(long, 1.01, -0.02, 0.01));
    const z = { mass: [] as number[], up: [] as number[], forward: [] as number[] };
    for (let seed = 1; seed <= 60; seed++) {
      const loads = noisy(long, truth, seed);
      const { massKg, trunkUpM, trunkForwardM } = bodyEstimate(loads, residualSeries(loads)!)!;
      z.mass.push((massKg.value - 80.8) / massKg.standardUncertainty);
      z.up.push((trunkUpM.value + 0.02) / trunkUpM.standardUncertainty);
      z.forward.push((trunkForwardM.value - 0.01) / trunkForwardM.standardUncertainty);
    }
    for (const [name, values] of Object.entries(z)) {
      const covered = mean(values.map((value) => (Math.abs(value) < 2 ? 1 : 0)));
      // With some twenty independent values 94 % lie within two standard uncertainties (Student); 60 draws scatter by 3 %: two of
      // those less. The time of a channel is taken for all parameters: intervals may be too wide, and must not be too narrow.
      expect({ name, covered: covered >= 0.88 }).toEqual({ name, covered: true });
      expect({ name, wide: Math.abs(mean(values)) < 0.5 }).toEqual({ name, wide: true });
    }
    // Uncorrelated residuals would have claimed √(2 · 0.3 s · 30 Hz) ≈ 4 times less.
  });

  test('filming twice as fast does not make the uncertainty smaller', () => {
    const found = [30, 60].map((rateHz) => {
      const of = motionAt(rateHz, 16);
      const sds = Array.from({ length: 8 }, (_, seed) => {
        const loads = noisy(of, groundOf(of), 100 + seed);
        return bodyEstimate(loads, residualSeries(loads)!)!.trunkUpM.standardUncertainty;
      });
      return mean(sds);
    });
    // Eight draws of either; each knows its own standard deviation to about a fifth.
    expect(found[1] / found[0]).toBeGreaterThan(0.8);
    expect(found[1] / found[0]).toBeLessThan(1.25);
  });

  test('a prior draws the estimate towards what is believed, and makes it surer', () => {
    const loads = noisy(motion, groundOf(otherBody(motion, 1, -0.05, 0)), 7);
    const series = residualSeries(loads)!;
    const [free, held] = [bodyEstimate(loads, series)!, bodyEstimate(loads, series, { trunkUpSdM: 0.01 })!];
    expect(Math.abs(held.trunkUpM.value)).toBeLessThan(Math.abs(free.trunkUpM.value));
    expect(held.trunkUpM.standardUncertainty).toBeLessThan(0.01);
  });
});

describe('both ways as one', () => {
  const motion = motionAt(100, 2);
  const above = jointLoads(motion, [], NO_TURN);
  const truth = jointLoads(otherBody(motion, 1, -0.05, 0), [], NO_TURN);
  const loads = { ...above, fromBelow: { both: truth.fromAbove, left: null, right: null } };
  const even = { hip: 10, knee: 10, ankle: 10 };

  test('weights are the inverse variances', () => {
    const found = fusedMoments(loads, { hip: 20, knee: 10, ankle: 30 }, even)!;
    const frame = 60;
    const [x, y] = [above.fromAbove!.hip.total[frame], truth.fromAbove!.hip.total[frame]];
    // 1/400 and 1/100: a fifth and four fifths.
    expectClose(found.moments.hip[frame], 0.2 * x + 0.8 * y, 1e-10, 'hip, N·m');
    expectClose(found.doubt.hip, Math.sqrt(80), 1e-12, 'its standard deviation');
    expect(found.fromAboveShare.knee).toBe(0.5);
  });

  test('a ground that is taken as true leaves the whole residual to the trunk: all joints agree with one ground', () => {
    const found = fusedMoments(loads, even, { hip: 0, knee: 0, ankle: 0 })!;
    for (const joint of ['hip', 'knee', 'ankle'] as const)
      expect(found.moments[joint]).toEqual(truth.fromAbove![joint].total);
  });

  test('where one way is not known, the other; both exact is refused', () => {
    const gap = truth.fromAbove!.hip.total.slice();
    gap[60] = Number.NaN;
    const both = { ...truth.fromAbove!, hip: { ...truth.fromAbove!.hip, total: gap } };
    const found = fusedMoments({ ...loads, fromBelow: { both, left: null, right: null } }, even, even)!;
    expect(found.moments.hip[60]).toBe(above.fromAbove!.hip.total[60]);
    expect(() => fusedMoments(loads, { hip: 0, knee: 1, ankle: 1 }, { hip: 0, knee: 1, ankle: 1 })).toThrow(RangeError);
    expect(fusedMoments(above, even, even)).toBeNull();
  });
});

test.each([0.3, 0.8, 0.95])('frames per independent value of first-order noise, ρ = %d: (1 + ρ) / (1 − ρ)', (rho) => {
  // Closed form of the sum of ρ^|k| (Priestley 1981, Spectral Analysis and Time Series, §5.3.2, from memory).
  const random = seededRandom(11);
  const x = new Float64Array(40000);
  for (let i = 1; i < x.length; i++) x[i] = rho * x[i - 1] + random.normal();
  const expected = (1 + rho) / (1 - rho);
  // Sokal (1997): relative standard deviation √(2 (2 W + 1) / n), W = 2.5 times the sum; the window leaves out e^−5, 1 %. Three of them.
  const relative = 3 * Math.sqrt((2 * (5 * expected + 1)) / x.length) + 0.01;
  expectClose(framesPerIndependentValue(x) / expected, 1, relative, 'time');
});
