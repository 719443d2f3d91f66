import { describe, expect, test } from '@jest/globals';
import { expectClose } from '../expect-close.ts';
import { centreOfMass, particlePlaces, particleSet } from './bodies.ts';
import { DEMO_BUILDS, DEMO_RECORDINGS, demoLift, equipmentOf, HIP_LED, KNEE_LED, liftOf } from './demo.ts';
import { type Build, lengthsOf, lifterOf, type World } from './lifter.ts';
import {
  balancedPosture,
  deepestShank,
  type Posture,
  type Setup,
  type Style,
  shankLimit,
  shankShare,
  standingAngles,
} from './posture.ts';
import { trueMeasures, trueRepetition } from './truth.ts';
import { norm, subtract } from './vector.ts';

const WORLDS: readonly World[] = ['inside', 'outside'];
const DEG = Math.PI / 180;
const [A01, A02] = DEMO_BUILDS;

function setupOf(build: Build, style: Style, heel: 'flat' | 'raised', loadKg = 60, world: World = 'inside'): Setup {
  return { lifter: lifterOf(build, world), style, equipment: equipmentOf(build.sex, loadKg, heel) };
}

/** Held posture with the thigh at a sagittal elevation, on the style's own path. */
function heldAt(setup: Setup, thighRad: number): Posture {
  const standing = standingAngles(setup);
  const depth = (standing.thighRad - thighRad) / (standing.thighRad - setup.style.deepestThighRad);
  const shank = standing.shankRad + (deepestShank(setup) - standing.shankRad) * shankShare(setup.style, depth);
  return balancedPosture(setup, shank, thighRad, setup.style.deepFootPoint);
}

describe('a lifter', () => {
  test.each(DEMO_BUILDS)('$id: segments add up to the stature and the body mass', (build) => {
    const { femur, tibia, trunk, ankleHeight } = lengthsOf(build);
    expectClose(ankleHeight + tibia + femur + trunk + 0.17 * build.statureM, build.statureM, 1e-12, 'stature');
    expectClose(femur / tibia, build.femurPerTibia, 1e-12, 'femur per tibia');
    const posture = heldAt(setupOf(build, KNEE_LED, 'flat', 60, 'outside'), 0);
    const bodyKg = posture.bodies
      .filter(({ name }) => name !== 'bar' && name !== 'discs')
      .reduce((sum, body) => sum + body.massKg * (body.paired ? 2 : 1), 0);
    expectClose(bodyKg, build.massKg, 1e-9, 'mass');
  });

  // ANSUR II survey (summary of adults): thigh 409 ± 28 mm (men), 379 ± 24 (women), trochanter–epicondyle; shank 419 ± 25,
  // 403 ± 26; thigh/shank 0.978 ± 0.057, 0.943 ± 0.062. Read from the public release; the end points are skin points about
  // the joint centres, and the lifters are meant to differ, so three standard deviations and 1 cm are allowed.
  test.each(DEMO_BUILDS)('$id: thigh and shank are of human length', (build) => {
    const { femur, tibia } = lengthsOf(build);
    const [thigh, thighSd, shank, shankSd] =
      build.sex === 'male' ? [0.409, 0.028, 0.419, 0.025] : [0.379, 0.024, 0.403, 0.026];
    expectClose(femur, thigh, 3 * thighSd + 0.01, 'femur');
    expectClose(tibia, shank, 3 * shankSd + 0.01, 'tibia');
  });
});

describe('a posture', () => {
  test.each(WORLDS)('%s: bones keep their lengths and feet stay where they are through the whole lift', (world) => {
    const lift = liftOf(DEMO_RECORDINGS[0], world);
    const { lengths } = lift.setup.lifter;
    const first = lift.postureAt(0);
    for (let t = 0; t < lift.course.durationS; t += 0.21) {
      const { legs, upper } = lift.postureAt(t);
      expectClose(norm(subtract(legs.hip, legs.knee)), lengths.femur, 1e-12, 'femur');
      expectClose(norm(subtract(legs.knee, legs.ankle)), lengths.tibia, 1e-12, 'tibia');
      expectClose(norm(subtract(upper.shoulder, upper.elbow)), lengths.upperArm, 1e-12, 'upper arm');
      expectClose(norm(subtract(upper.elbow, upper.wrist)), lengths.forearm, 1e-12, 'forearm');
      expectClose(legs.hip[2], lengths.hipWidth / 2, 1e-12, 'half hip width');
      expectClose(norm(subtract(legs.heel, first.legs.heel)), 0, 1e-15, 'heel');
      if (world === 'inside')
        expectClose(norm(subtract(upper.midShoulder, legs.midHip)), lengths.trunk, 1e-12, 'trunk');
    }
  });

  test.each(WORLDS)('%s: the particles’ centre of mass stands over the stated foot point', (world) => {
    const setup = setupOf(A01, HIP_LED, 'raised', 80, world);
    const posture = heldAt(setup, 10 * DEG);
    const { massKg } = particleSet(posture.bodies);
    const places = particlePlaces(posture.bodies);
    let moment = 0;
    let mass = 0;
    massKg.forEach((m, i) => {
      moment += m * places[3 * i];
      mass += m;
    });
    const { heel, bigToe } = posture.legs;
    expectClose((moment / mass - heel[0]) / (bigToe[0] - heel[0]), HIP_LED.deepFootPoint, 1e-12, 'along the foot');
    expectClose(centreOfMass(posture.bodies)[0], moment / mass, 1e-12, 'centre of mass');
  });

  test('knees go where the toes point', () => {
    const { knee, ankle, heel, bigToe, smallToe } = heldAt(setupOf(A01, KNEE_LED, 'flat'), 0).legs;
    const shankDirection = Math.atan2(knee[2] - ankle[2], knee[0] - ankle[0]);
    expectClose(shankDirection, KNEE_LED.toeOutRad, 1e-12, 'knee direction');
    const toes = Math.atan2((bigToe[2] + smallToe[2]) / 2 - heel[2], (bigToe[0] + smallToe[0]) / 2 - heel[0]);
    expectClose(toes, KNEE_LED.toeOutRad, 5 * DEG, 'toe direction');
  });

  test('the ankle’s range bounds the shank, and a raised heel adds its tilt', () => {
    const stiff: Build = { ...A01, dorsiflexionLimitRad: 22 * DEG };
    const flat = setupOf(stiff, KNEE_LED, 'flat');
    const raised = setupOf(stiff, KNEE_LED, 'raised');
    expect(deepestShank(flat)).toBe(22 * DEG);
    expectClose(shankLimit(raised) - shankLimit(flat), Math.asin(0.02 / (0.72 * 0.15 * 1.68)), 1e-12, 'tilt');
    expect(heldAt(raised, 0).legs.ankle[1]).toBeGreaterThan(heldAt(flat, 0).legs.ankle[1]);
  });

  test('no balance is an error that names lifter, style and angles', () => {
    expect(() => balancedPosture(setupOf(A01, KNEE_LED, 'flat', 0), -1.2, 0, 0.9)).toThrow(/A01, knee-led: no lean/);
  });
});

describe('facts of the trade (common practice, no source)', () => {
  const lean = (setup: Setup, thighRad = 0) => trueMeasures(heldAt(setup, thighRad)).trunkLeanDeg;

  test.each(WORLDS)('%s: long thighs lean more at parallel than short ones, all else equal', (world) => {
    const short: Build = { ...A01, femurPerTibia: 0.92, trunkPerFemur: 1.35 };
    const difference =
      lean(setupOf(A01, KNEE_LED, 'flat', 60, world)) - lean(setupOf(short, KNEE_LED, 'flat', 60, world));
    expect(difference).toBeGreaterThan(4);
  });

  test.each(WORLDS)('%s: a raised heel straightens a lifter whose ankles are at their limit', (world) => {
    const stiff: Build = { ...A01, dorsiflexionLimitRad: 26 * DEG };
    const gain =
      lean(setupOf(stiff, KNEE_LED, 'flat', 60, world)) - lean(setupOf(stiff, KNEE_LED, 'raised', 60, world));
    expect(gain).toBeGreaterThan(4);
  });

  test('a raised heel does little for a lifter whose ankles have range to spare', () => {
    const gain = lean(setupOf(A02, HIP_LED, 'flat')) - lean(setupOf(A02, HIP_LED, 'raised'));
    expect(Math.abs(gain)).toBeLessThan(2);
  });

  test('a hip-led start: more lean on the way down, mass to the rear, less knee travel', () => {
    const knees = trueRepetition(liftOf(DEMO_RECORDINGS[0], 'outside'), 0);
    const hips = trueRepetition(liftOf(DEMO_RECORDINGS[2], 'outside'), 0);
    expect(DEMO_RECORDINGS[0].id).toBe('A01-knees-flat');
    expect(DEMO_RECORDINGS[2].id).toBe('A01-hips-flat');
    expect(hips.largestLean.trunkLeanDeg).toBeGreaterThan(knees.largestLean.trunkLeanDeg + 5);
    expect(hips.parallelDescent.comAlongFoot).toBeLessThan(knees.parallelDescent.comAlongFoot - 0.04);
    expect(hips.kneeShareOfStart).toBeLessThan(0.35);
    expect(knees.kneeShareOfStart).toBeGreaterThan(0.45);
    expect(hips.kneeLeadS).toBeLessThan(-0.05);
    expect(knees.kneeLeadS).toBeGreaterThan(0.05);
    expect(hips.parallelDescent.hipShare).toBeGreaterThan(knees.parallelDescent.hipShare);
  });

  test.each(DEMO_RECORDINGS)('$id: the lean is largest around parallel, less at the bottom', (recorded) => {
    const found = trueRepetition(liftOf(recorded, 'outside'), 0);
    expect(found.largestLean.thighElevationDeg).toBeGreaterThan(-5);
    expect(found.largestLean.thighElevationDeg).toBeLessThan(30);
    expect(found.bottom.trunkLeanDeg).toBeLessThan(found.parallelDescent.trunkLeanDeg - 3);
    expect(found.bottom.thighElevationDeg).toBeLessThan(-5);
    expect(found.largestLean.trunkLeanDeg).toBeLessThan(50);
  });

  test('a heavy drive slows half-way up, above parallel; a light one does not', () => {
    const grind = trueRepetition(demoLift('A04-hips-flat'), 0);
    expect(grind.stickingS).toBeGreaterThan(grind.parallelAscent.timeS - 0.2);
    expect(trueRepetition(demoLift('A03-knees-flat'), 0).stickingS).toBeNaN();
  });
});
