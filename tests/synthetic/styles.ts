import { hashSeed, type Random, seededRandom } from '../../src/numerics/random.ts';
import { cameraOn, imageOf, type SyntheticCamera } from './camera.ts';
import { type CoursePlan, courseOf } from './course.ts';
import { equipmentOf } from './demo.ts';
import { type Placement, worldFromLab } from './film.ts';
import { landmarksOf, type VirtualLift, virtualLift } from './lift.ts';
import { type Build, type Lifter, lifterOf } from './lifter.ts';
import type { Equipment, Posture, Setup, Style } from './posture.ts';
import { loadsAt, thighElevationDeg, trunkLeanDeg } from './truth.ts';

/** One invented person, their way of squatting, and how they are filmed: drawn by number, the same each time. */
export interface DrawnStyle {
  readonly number: number;
  readonly setup: Setup;
  readonly plan: CoursePlan;
  readonly courseSeed: number;
  readonly cameras: readonly SyntheticCamera[];
  readonly placement: Placement;
  /** Draws thrown away before this one. */
  readonly rejected: number;
}

const deg = Math.PI / 180;
const MOST_DRAWS = 200;

/**
 * Style `number` (0, 1 …): drawn again until `reasonAgainst` finds nothing.
 *
 * Ratios of the limbs lie around the means of de Leva (1996, Table 4: thigh/shank 0.97 men, 0.85 women; trunk/thigh 1.22 and
 * 1.35) and Drillis & Contini (1966: 1.00 and 1.18), and as far beyond them as people scatter, about ± 2 SD of 4 to 5 %
 * (spread from memory). Everything else is our own choice of what front squats look like; no source.
 */
export function drawnStyle(number: number): DrawnStyle {
  for (let rejected = 0; rejected < MOST_DRAWS; rejected++) {
    const drawn = drawOnce(number, rejected);
    if (reasonAgainst(drawn) === '') return drawn;
  }
  throw new Error(`style ${number}: none of ${MOST_DRAWS} draws can be lifted and filmed`);
}

/** The motion of a style; `lifter` and `loadKg` other than its own for draws of what the analyser cannot know. */
export function liftOfStyle(
  { setup, plan, courseSeed }: DrawnStyle,
  lifter: Lifter = setup.lifter,
  loadKg: number = setup.equipment.loadKg,
): VirtualLift {
  const equipment: Equipment = { ...setup.equipment, loadKg };
  return virtualLift({ lifter, style: setup.style, equipment }, courseOf(plan, courseSeed));
}

function drawOnce(number: number, attempt: number): DrawnStyle {
  const random = seededRandom(hashSeed('synthetic style', number, attempt));
  const within = (from: number, to: number) => from + (to - from) * random.uniform();
  const build = drawnBuild(number, random, within);
  const repetitions = random.uniform() < 0.3 ? 2 : 1;
  const plan: CoursePlan = {
    repetitions,
    descentS: within(1, 2.5),
    pauseS: Math.max(0, within(-0.4, 1)),
    ascentS: within(0.8, 2.5),
    leadInS: 0.9,
    restS: 0.7,
    leadOutS: 0.9,
    sticking: within(0.1, 0.42),
  };
  const loadKg = Math.max(25, Math.round(build.massKg * within(0.5, 1.5)));
  return {
    number,
    setup: {
      lifter: lifterOf(build, 'inside'),
      style: drawnHabit(number, within),
      equipment: equipmentOf(build.sex, loadKg, random.uniform() < 0.5 ? 'raised' : 'flat'),
    },
    plan,
    courseSeed: hashSeed('synthetic style course', number, attempt),
    cameras: (['left', 'right'] as const).map((side) => drawnCamera(side, within)),
    placement: {
      headingRad: within(-5, 5) * deg,
      placeM: [within(-0.1, 0.1), within(-0.1, 0.1)],
    },
    rejected: attempt,
  };
}

type Within = (from: number, to: number) => number;

function drawnBuild(number: number, random: Random, within: Within): Build {
  const sex = random.uniform() < 0.5 ? 'female' : 'male';
  const massKg = Math.round(within(50, 110));
  return {
    id: `S${number}`,
    sex,
    massKg,
    // Body mass index 20–33 kg/m².
    statureM: Math.sqrt(massKg / within(20, 33)),
    femurPerTibia: within(0.88, 1.06),
    trunkPerFemur: within(1.1, 1.38),
    footPerStature: within(0.147, 0.156),
    hipWidthPerStature: within(0.095, 0.106),
    shoulderWidthPerStature: within(0.192, 0.218),
    dorsiflexionLimitRad: within(25, 42) * deg,
    seed: number,
  };
}

function drawnHabit(number: number, within: Within): Style {
  const standing = within(0.38, 0.5);
  return {
    name: `style ${number}`,
    shankShape: within(-0.6, 0.9),
    shankLeadS: within(-0.07, 0.07),
    wantedShankRad: within(25, 42) * deg,
    deepestThighRad: within(-30, -5) * deg,
    standingFootPoint: standing,
    deepFootPoint: standing + within(-0.06, 0.06),
    standingLeanRad: within(0, 4) * deg,
    standingKneeFlexionRad: within(3, 8) * deg,
    ankleDistanceM: within(0.24, 0.42),
    toeOutRad: within(5, 28) * deg,
  };
}

function drawnCamera(side: 'left' | 'right', within: Within): SyntheticCamera {
  const offSide = within(35, 55) * deg;
  const distance = within(3, 5);
  const right = side === 'right' ? 1 : -1;
  return cameraOn(
    {
      name: side,
      centre: [distance * Math.sin(offSide), within(0.8, 1.6), right * distance * Math.cos(offSide)],
      lookAt: [within(-0.05, 0.1), within(0.8, 1), 0],
      rollRad: within(-1.5, 1.5) * deg,
    },
    {
      imageSizePx: [1080, 1920],
      focalPx: within(1200, 1700),
      principalPointPx: [within(530, 550), within(950, 970)],
      lens: {
        k1: within(-0.02, 0.07),
        k2: within(-0.1, 0.02),
        p1: within(-5e-4, 5e-4),
        p2: within(-5e-4, 5e-4),
        k3: 0,
      },
    },
  );
}

/** Heights of people, metres: about the 1st to the 99th per cent (from memory). */
const STATURES = { female: [1.5, 1.8], male: [1.6, 1.97] } as const;

/** Why a draw is not a squat to parallel that two cameras see; '' where it is. */
export function reasonAgainst(drawn: DrawnStyle): string {
  const { build } = drawn.setup.lifter;
  const [shortest, tallest] = STATURES[build.sex];
  if (build.statureM < shortest || build.statureM > tallest) return 'stature';
  let lift: VirtualLift;
  try {
    lift = liftOfStyle(drawn);
    for (let t = 0; t <= lift.course.durationS; t += 0.1) {
      const reason = impossible(lift.postureAt(t)) || unseen(drawn, lift, t);
      if (reason !== '') return reason;
    }
  } catch {
    return 'out of balance';
  }
  for (const { startS, descentS, pauseS } of lift.course.repetitions) {
    const lowest = startS + descentS + pauseS / 2;
    const depthDeg = thighElevationDeg(lift.postureAt(lowest));
    if (depthDeg > -4 || depthDeg < -32) return 'depth';
    const { hip, knee } = loadsAt(lift, lowest);
    const perKg = build.massKg + drawn.setup.equipment.loadKg;
    // Both joints work: shares of nearly nothing are no squat.
    if (hip.total < 0.4 * perKg || knee.total < 0.4 * perKg) return 'one joint alone';
  }
  return '';
}

const LEAST_LEAN_DEG = -6;
const MOST_LEAN_DEG = 55;

function impossible(posture: Posture): string {
  const leanDeg = trunkLeanDeg(posture);
  if (!(leanDeg > LEAST_LEAN_DEG && leanDeg < MOST_LEAN_DEG)) return 'lean';
  return posture.upper.elbow.every(Number.isFinite) ? '' : 'arms too short for the rack';
}

const BORDER_PX = 15;

function unseen({ cameras, placement }: DrawnStyle, lift: VirtualLift, t: number): string {
  for (const place of landmarksOf(lift.postureAt(t), lift.setup.equipment).values()) {
    for (const camera of cameras) {
      const pixel = imageOf(camera, worldFromLab(placement, place));
      const [width, height] = camera.imageSizePx;
      if (!pixel || pixel[0] < BORDER_PX || pixel[1] < BORDER_PX) return 'out of the picture';
      if (pixel[0] > width - BORDER_PX || pixel[1] > height - BORDER_PX) return 'out of the picture';
    }
  }
  return '';
}
