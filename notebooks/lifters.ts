import { GRAVITY_M_PER_S2 } from '../src/numerics/constants.ts';
import { hashSeed, seededRandom } from '../src/numerics/random.ts';
import { ABOVE_HIPS, ABOVE_KNEES, type Level } from '../tests/synthetic/bodies.ts';
import { type Course, courseOf } from '../tests/synthetic/course.ts';
import { KNEE_LED } from '../tests/synthetic/demo.ts';
import type { Build } from '../tests/synthetic/lifter.ts';
import type { Posture, Style } from '../tests/synthetic/posture.ts';

/** Invented people for the notebooks, and the statics of their postures. Nobody was measured. */
export const DEG = Math.PI / 180;

/**
 * Invented person `number`: 1.62–1.90 m, 65–100 kg, limb ratios scattered as in tests/synthetic/styles.ts; ankles that do not
 * limit, so that an experiment may say where the shin stands.
 */
export function person(number: number, changes: Partial<Build> = {}): Build {
  const random = seededRandom(hashSeed('notebook person', number));
  const within = (from: number, to: number) => from + (to - from) * random.uniform();
  const [statureM, massKg] = [within(1.62, 1.9), within(65, 100)];
  return {
    id: `N${number}`,
    sex: 'male',
    massKg,
    statureM,
    femurPerTibia: within(0.9, 1.06),
    trunkPerFemur: within(1.1, 1.35),
    footPerStature: within(0.148, 0.156),
    hipWidthPerStature: within(0.096, 0.103),
    shoulderWidthPerStature: within(0.2, 0.215),
    dorsiflexionLimitRad: 60 * DEG,
    seed: number,
    ...changes,
  };
}

/** A squat to the middle of the thigh at the height of the knee, weight over 45 % of the foot throughout. */
export const PARALLEL: Style = {
  ...KNEE_LED,
  name: 'parallel',
  shankShape: 0.3,
  shankLeadS: 0,
  wantedShankRad: 30 * DEG,
  deepestThighRad: 0,
  standingFootPoint: 0.45,
  deepFootPoint: 0.45,
};

const PLANNED = courseOf(
  { repetitions: 1, descentS: 1.8, pauseS: 0.4, ascentS: 1.8, leadInS: 0.5, restS: 0, leadOutS: 0.5, sticking: 0.2 },
  1,
);
/** One repetition down to the style's deepest posture, and a moment in the middle of its pause, seconds. */
export const ONE_SQUAT: Course = {
  ...PLANNED,
  repetitions: PLANNED.repetitions.map((plan) => ({ ...plan, depth: 1 })),
};
const [{ startS, descentS, pauseS }] = ONE_SQUAT.repetitions;
export const AT_THE_BOTTOM_S = startS + descentS + pauseS / 2;

/** Mass, kg, and Σ m x, kg·m, of what lies above a cut (both sides). */
function above({ bodies }: Posture, level: Level): { massKg: number; momentKgM: number } {
  let massKg = 0;
  let momentKgM = 0;
  for (const body of bodies) {
    if (body.level > level) continue;
    const mass = body.massKg * (body.paired ? 2 : 1);
    massKg += mass;
    momentKgM += mass * body.centre[0];
  }
  return { massKg, momentKgM };
}

/** Moments that hold the posture still, N·m, both legs together, extensor positive: weight above the cut times its lever. */
export function staticMoments(posture: Posture): { hip: number; knee: number } {
  const g = GRAVITY_M_PER_S2;
  const [overHips, overKnees] = [above(posture, ABOVE_HIPS), above(posture, ABOVE_KNEES)];
  const { hip, knee } = posture.legs;
  return {
    hip: g * (overHips.momentKgM - overHips.massKg * hip[0]),
    knee: -g * (overKnees.momentKgM - overKnees.massKg * knee[0]),
  };
}
