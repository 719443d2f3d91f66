import { describe, expect, test } from '@jest/globals';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import { forcePlateSurface } from '../../src/capture/force-plate-geometry.ts';
import type { ForcePlateTrack } from '../../src/capture/recording.ts';
import { DataError } from '../../src/errors.ts';
import { forceClock } from '../../src/mechanics/force-plates/force-clock.ts';
import { settleForcePlates } from '../../src/mechanics/force-plates/settle-force-plates.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { cubicSpline } from '../../src/numerics/interpolation.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { lifterPoints, makeRecording, makeTrajectories, squatPosture } from '../body/made-lifter.ts';
import { expectClose } from '../expect-close.ts';
import { NO_TURN } from './made-motion.ts';

const RATE = 100;
const FRAMES = 801;
const recording = makeRecording({ load: { totalKg: 60, bar: { position: 'high back' } } });
const trajectories = makeTrajectories(FRAMES, RATE, (frame) => lifterPoints(squatPosture(frame / RATE)));
const motion = bodyMotion(trajectories, recording);
const above = jointLoads(motion, [], NO_TURN);
const WEIGHT_N = 140 * 9.80665;

const codeOf = (act: () => unknown): string => {
  try {
    act();
  } catch (error) {
    if (error instanceof DataError) return error.code;
    throw error;
  }
  return 'nothing thrown';
};

interface Making {
  readonly share?: number;
  readonly aside?: number;
  /** The force plate's clock is behind by so much: what happens at t is written at t − late. */
  readonly lateS?: number;
  readonly noiseN?: number;
  readonly gain?: number;
  readonly offsetN?: number;
  readonly corners?: readonly number[];
  readonly seed?: number;
}

/** A force plate under the predicted force. */
function forcePlate(foot: ForcePlateTrack['foot'], making: Making = {}): ForcePlateTrack {
  const { share = 1, aside = 0, lateS = 0, noiseN = 0, gain = 1, offsetN = 0, corners, seed = 1 } = making;
  const random = seededRandom(seed);
  const times = Float64Array.from({ length: FRAMES - 2 }, (_, k) => (k + 1) / RATE);
  const series = (of: Float64Array, axis: number) =>
    cubicSpline(
      times,
      Float64Array.from({ length: FRAMES - 2 }, (_, k) => of[3 * (k + 1) + axis]),
    );
  const force = [0, 1, 2].map((axis) => series(above.groundForce!, axis));
  const place = [0, 2].map((axis) => series(above.centreOfPressure!, axis));
  const samples = FRAMES - 60;
  const track = {
    file: `made/${foot}.csv`,
    foot,
    frameRateHz: RATE,
    samples,
    timeS: Float64Array.from({ length: samples }, (_, k) => 0.3 + k / RATE),
    force: new Float64Array(3 * samples),
    centreOfPressure: new Float64Array(3 * samples),
    freeMoment: new Float64Array(samples),
    hasFreeMoment: false,
  };
  for (let k = 0; k < samples; k++) {
    const at = track.timeS[k] + lateS;
    track.force.set(
      [0, 1, 2].map((axis) => gain * share * force[axis](at) + (axis === 1 ? offsetN + noiseN * random.normal() : 0)),
      3 * k,
    );
    track.centreOfPressure.set([place[0](at), 0, place[1](at) + aside], 3 * k);
  }
  if (!corners) return track;
  const surface = forcePlateSurface(corners);
  if (typeof surface === 'string') throw new Error(surface);
  return { ...track, surface };
}

describe('clock of the force plates', () => {
  test.each([0.0037, -0.0164, 0.25, -0.733])(
    'off by %s s without noise: found to a tenth of a millisecond',
    (lateS) => {
      const clock = forceClock(jointLoads(motion, [forcePlate('both', { lateS })], NO_TURN));
      expect(clock.reason).toBe('');
      expectClose(clock.offsetS, lateS, 1e-4, 'offset, s');
    },
  );

  test('a wrong gain and a constant force do not move it', () => {
    const clock = forceClock(
      jointLoads(motion, [forcePlate('both', { lateS: 0.0123, gain: 0.93, offsetN: 25 })], NO_TURN),
    );
    expectClose(clock.offsetS, 0.0123, 1e-4, 'offset, s');
  });

  test('force noise of 20 N: within 3 ms, and its standard error is that of the scatter (40 made recordings)', () => {
    const found = Array.from({ length: 40 }, (_, seed) =>
      forceClock(jointLoads(motion, [forcePlate('both', { lateS: 0.0123, noiseN: 20, seed: seed + 1 })], NO_TURN)),
    );
    const errors = found.map(({ offsetS }) => offsetS - 0.0123);
    const scatter = Math.sqrt(errors.reduce((sum, error) => sum + error * error, 0) / errors.length);
    for (const error of errors) expect(Math.abs(error)).toBeLessThan(0.003);
    const stated = Math.sqrt(found.reduce((sum, { sdS }) => sum + sdS * sdS, 0) / found.length);
    // A standard deviation from 40 runs is known to 11 %; three of those, and the standard error's own scatter.
    expect(stated / scatter).toBeGreaterThan(0.6);
    expect(stated / scatter).toBeLessThan(1.5);
  });

  test('told when it is off and not asked for; taken when asked; silent when right', () => {
    const late = [forcePlate('both', { lateS: 0.02 })];
    const told = settleForcePlates(motion, late, NO_TURN);
    expect(told.forcePlates).toBe(late);
    expect(told.loads.quality.forcePlates!.clockApplied).toBe(false);
    expect(told.loads.quality.notes.join()).toContain('20.0 ms');
    const taken = settleForcePlates(motion, late, NO_TURN, 'estimate');
    expectClose(taken.forcePlates[0].timeS[0], 0.32, 1e-4, 'first sample, s');
    expect(taken.loads.quality.mismatch!.verticalRmsN).toBeLessThan(0.1 * told.loads.quality.mismatch!.verticalRmsN);
    const right = settleForcePlates(motion, [forcePlate('both')], NO_TURN);
    expect(right.loads.quality.notes.some((note) => note.includes('clock'))).toBe(false);
  });

  test('asked for and not to be known: refused with the reason', () => {
    const still = makeTrajectories(FRAMES, RATE, () => lifterPoints(squatPosture(0)));
    const standing = bodyMotion(still, recording);
    expect(codeOf(() => settleForcePlates(standing, [forcePlate('both')], NO_TURN, 'estimate'))).toBe(
      'force-clock-unknown',
    );
    expect(
      codeOf(() => settleForcePlates(motion, [forcePlate('left', { share: 0.5, aside: -0.15 })], NO_TURN, 'estimate')),
    ).toBe('force-clock-unknown');
    expect(codeOf(() => settleForcePlates(motion, [], NO_TURN, 'estimate'))).toBe('force-clock-unknown');
  });
});

describe('feet on force plates', () => {
  // The lifter's feet: ankles at z ∓0.15, heels x −0.05, toes to x 0.19, z out to ∓0.22.
  const LEFT = [-0.15, 0, -0.35, 0.3, 0, -0.35, 0.3, 0, -0.02, -0.15, 0, -0.02];
  const RIGHT = LEFT.map((value, i) => (i % 3 === 2 ? -value : value));
  const WIDE = [-0.3, 0, -0.4, 0.4, 0, -0.4, 0.4, 0, 0.4, -0.3, 0, 0.4];
  const half = (foot: 'left' | 'right', corners: readonly number[]) =>
    forcePlate(foot, { share: 0.5, aside: foot === 'left' ? -0.15 : 0.15, corners });
  const notesOf = (forcePlates: readonly ForcePlateTrack[]) =>
    settleForcePlates(motion, forcePlates, NO_TURN).loads.quality.notes.filter((note) =>
      /^(left|right|both)\.csv:/.test(note),
    );

  test('each foot on its own: nothing to tell', () => {
    expect(notesOf([half('left', LEFT), half('right', RIGHT)])).toEqual([]);
  });

  test('both feet on one that is called left: refused, by corners and by the pressure between the ankles', () => {
    expect(codeOf(() => notesOf([forcePlate('left', { corners: WIDE })]))).toBe('two-feet-on-force-plate');
    expect(codeOf(() => notesOf([forcePlate('left')]))).toBe('two-feet-on-force-plate');
    expect(codeOf(() => notesOf([forcePlate('both', { corners: WIDE })]))).toBe('nothing thrown');
  });

  test('heel 80 mm behind the edge: told with the point and the distance', () => {
    const short = LEFT.map((value) => (value === -0.15 ? 0.03 : value));
    const notes = notesOf([half('left', short), half('right', RIGHT)]);
    expect(notes.length).toBe(1);
    expect(notes[0]).toMatch(/left heel lies 80 mm/);
  });

  test('a foot that stands partly on the other one’s: told', () => {
    const narrow = LEFT.map((value) => (value === -0.02 ? -0.2 : value === -0.35 ? -0.6 : value));
    const reaching = RIGHT.map((value, i) => (i % 3 === 2 && value < 0.1 ? -0.16 : value));
    const notes = notesOf([half('left', narrow), half('right', reaching)]);
    expect(notes.some((note) => /left heel stands on right\.csv/.test(note))).toBe(true);
  });

  test('both stated as one foot: refused, with the foot to write', () => {
    const plates = [forcePlate('left', { share: 0.5, aside: -0.15 }), forcePlate('left', { share: 0.5, aside: 0.15 })];
    expect(codeOf(() => settleForcePlates(motion, plates, NO_TURN))).toBe('same-foot-twice');
  });

  test('one alone whose pressure lies under the other foot: told', () => {
    const notes = notesOf([forcePlate('left', { share: 0.5, aside: 0.15 })]);
    expect(notes[0]).toMatch(/under the other foot/);
  });
});

test('at the sole: the centre of pressure moves by horizontal over vertical force times the thickness, moments do not', () => {
  const bare = forcePlate('both');
  const plain = settleForcePlates(motion, [bare], NO_TURN).loads;
  const shod = settleForcePlates(motion, [{ ...bare, soleThicknessM: 0.03 }], NO_TURN).loads;
  for (const frame of [150, 220, 400]) {
    const [fx, fy] = [plain.measuredForce![3 * frame], plain.measuredForce![3 * frame + 1]];
    const moved = shod.measuredCentreOfPressure![3 * frame] - plain.measuredCentreOfPressure![3 * frame];
    // The line of action through (x, 0) at height h: x + h Fx/Fy.
    expectClose(moved, (0.03 * fx) / fy, 1e-12, `frame ${frame}`);
    expectClose(shod.measuredCentreOfPressure![3 * frame + 1], 0.03, 1e-12, 'height');
    expectClose(shod.fromBelow!.both!.knee.total[frame], plain.fromBelow!.both!.knee.total[frame], 1e-12, 'knee');
  }
  expect(shod.quality.notes.some((note) => note.includes('at the sole'))).toBe(true);
  expect(Math.max(...plain.measuredForce!.filter((_, i) => i % 3 === 1).filter(Number.isFinite))).toBeGreaterThan(
    WEIGHT_N,
  );
});

test('what was matched is said: the trunk’s cut-off, and the legs’ where it is another', () => {
  const withCutoffs = (legsHz: number) => {
    const cutoffHz = Float64Array.from(trajectories.landmarks, (name) =>
      /knee|ankle|heel|toe/.test(name) ? legsHz : 3,
    );
    const filtered = bodyMotion({ ...trajectories, cutoffHz }, recording);
    return jointLoads(filtered, [forcePlate('both')], NO_TURN).quality.notes.find((note) =>
      note.startsWith('Force plates:'),
    )!;
  };
  expect(withCutoffs(6)).toMatch(/3\.00 Hz.*6\.00 Hz/s);
  expect(withCutoffs(3)).not.toMatch(/legs/);
});
