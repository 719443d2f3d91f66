import { type Body, legBodies, upperBodies, upperForwardMoment } from './bodies.ts';
import type { BothSides } from './both-sides.ts';
import type { Lifter } from './lifter.ts';
import { add, inLeaning, leaning, scale, subtract, unit, type Vector } from './vector.ts';

/** Taken out of the global object once: where globals are intercepted, each look-up costs more than the arithmetic. */
const { PI, abs, asin, cos, hypot, min, sin, sqrt } = Math;

/** How a lifter squats: habits that balance alone does not fix. Angles in radians. */
export interface Style {
  readonly name: string;
  /**
   * Shape of shank inclination over depth d (0 standing, 1 deepest): share g(d) = d + a·d·(1 − d), a within ±1.
   * Above 0 the knees do most of the start ('knee-led'), below 0 the hips ('hip-led').
   */
  readonly shankShape: number;
  /** How much sooner the shank moves than the thigh at the start of the descent, seconds; negative: later. */
  readonly shankLeadS: number;
  /** Shank inclination wanted at the deepest point; the ankle may allow less. */
  readonly wantedShankRad: number;
  /** Thigh elevation in the sagittal plane at the deepest point (negative: hips below knees). */
  readonly deepestThighRad: number;
  /** Where over the foot the centre of mass of lifter and bar lies, 0 heel, 1 toe: standing, and once down. */
  readonly standingFootPoint: number;
  readonly deepFootPoint: number;
  readonly standingLeanRad: number;
  readonly standingKneeFlexionRad: number;
  /** Distance of the ankle centres, metres, and the angle of each foot outward. */
  readonly ankleDistanceM: number;
  readonly toeOutRad: number;
}

export interface Equipment {
  /** Heel of the shoe above its forefoot, and the sole under the forefoot, metres. */
  readonly heelHeightM: number;
  readonly soleM: number;
  /** Bar, discs and collars; half of everything beyond the bar hangs at each disc. 0 = no bar. */
  readonly loadKg: number;
  readonly barMassKg: number;
  readonly barLengthM: number;
  /** Middle of the discs of one side from the middle of the bar, and their radius and thickness, metres. */
  readonly discAtM: number;
  readonly discRadiusM: number;
  readonly discThicknessM: number;
}

/** Right-hand half of the lower body (the left is its mirror image), and the height of the sole. */
export interface Legs {
  readonly heel: Vector;
  readonly bigToe: Vector;
  readonly smallToe: Vector;
  readonly ankle: Vector;
  readonly knee: Vector;
  readonly hip: Vector;
  readonly midHip: Vector;
  /** Tilt of the foot by the heel of the shoe: toes down, radians. */
  readonly footTiltRad: number;
}

/** Midline and right-hand half of the upper body. */
export interface Upper {
  /** Mid-hip, the two bends of a bending trunk, and its top; a straight trunk has its bends on the line. */
  readonly spine: readonly [Vector, Vector, Vector, Vector];
  /** Forward lean of the lower, middle and upper trunk piece. */
  readonly pieceLeanRad: readonly [number, number, number];
  readonly midShoulder: Vector;
  readonly shoulder: Vector;
  readonly elbow: Vector;
  readonly wrist: Vector;
  /** Third knuckle. */
  readonly knuckle: Vector;
  readonly neckBase: Vector;
  readonly midBack: Vector;
  readonly vertex: Vector;
  readonly ear: Vector;
  readonly eye: Vector;
  readonly nose: Vector;
  readonly bar: Vector;
}

export interface Posture {
  readonly legs: Legs;
  readonly upper: Upper;
  /** Forward lean of the trunk's middle piece: the unknown that balance solves. */
  readonly leanRad: number;
  readonly bodies: readonly Body[];
  /** Absent: the left side is the mirror image of the right. */
  readonly sides?: BothSides;
}

/** A lifter with shoes, bar and habits: all that a posture depends on besides the two leg angles and the foot point. */
export interface Setup {
  readonly lifter: Lifter;
  readonly style: Style;
  readonly equipment: Equipment;
}

/** Places along the foot, as shares of its length, and heights above the sole, metres: invented, human-like. */
const ANKLE_ALONG_FOOT = 0.25;
const BALL_ALONG_FOOT = 0.72;
const SMALL_TOE_ALONG_FOOT = 0.83;
const HEEL_POINT_HEIGHT = 0.03;
const TOE_POINT_HEIGHT = 0.02;

/** Tilt of the foot on a heel that is higher than the forefoot. */
export function footTilt({ lifter, equipment }: Setup): number {
  return asin(equipment.heelHeightM / (BALL_ALONG_FOOT * lifter.lengths.foot));
}

/** Most the shank can lean: the ankle's own range plus the tilt of the foot. */
export function shankLimit(setup: Setup): number {
  return setup.lifter.build.dorsiflexionLimitRad + footTilt(setup);
}

/** Shank inclination at the deepest point: what the lifter wants, or what the ankle allows. */
export function deepestShank(setup: Setup): number {
  return min(setup.style.wantedShankRad, shankLimit(setup));
}

/** Foot flat on its shoe, shank leaning by `shankRad` towards the toes, thigh at `thighRad` in the sagittal plane. */
export function placeLegs(setup: Setup, shankRad: number, thighRad: number): Legs {
  const { lengths } = setup.lifter;
  const { ankleDistanceM, toeOutRad } = setup.style;
  const tilt = footTilt(setup);
  const ball = BALL_ALONG_FOOT * lengths.foot;
  const alongFoot: Vector = [cos(toeOutRad), 0, sin(toeOutRad)];
  const outward: Vector = [-sin(toeOutRad), 0, cos(toeOutRad)];
  const ankleAt = pitched(ANKLE_ALONG_FOOT * lengths.foot - ball, lengths.ankleHeight, tilt);
  const origin: Vector = [0, 0, ankleDistanceM / 2];
  const onFoot = (along: number, up: number, out: number): Vector =>
    add(
      add(origin, scale(alongFoot, along - ANKLE_ALONG_FOOT * lengths.foot)),
      add(scale(outward, out), [0, up + setup.equipment.soleM, 0]),
    );
  const behindBall = (along: number, up: number): Vector => {
    const [a, u] = pitched(along - ball, up, tilt);
    return onFoot(ball + a, u, 0);
  };
  const ankle = onFoot(ball + ankleAt[0], ankleAt[1], 0);
  const knee = add(ankle, scale(add(scale(alongFoot, sin(shankRad)), [0, cos(shankRad), 0]), lengths.tibia));
  const across = lengths.hipWidth / 2 - knee[2];
  const sagittal = sqrt(lengths.femur ** 2 - across ** 2);
  const hip = add(knee, [-sagittal * cos(thighRad), sagittal * sin(thighRad), across]);
  return {
    heel: behindBall(0, HEEL_POINT_HEIGHT),
    bigToe: onFoot(lengths.foot, TOE_POINT_HEIGHT, -0.02),
    smallToe: onFoot(SMALL_TOE_ALONG_FOOT * lengths.foot, TOE_POINT_HEIGHT, 0.05),
    ankle,
    knee,
    hip,
    midHip: [hip[0], hip[1], 0],
    footTiltRad: tilt,
  };
}

/** A point of the foot (along from the ball, up from the sole) once the heel stands `tilt` higher. */
function pitched(along: number, up: number, tilt: number): [number, number] {
  return [along * cos(tilt) + up * sin(tilt), -along * sin(tilt) + up * cos(tilt)];
}

/** Pieces of a bending trunk as shares of its length: lower, middle, upper. Sizes of the bend are invented. */
const PIECES = [0.3, 0.36, 0.34] as const;
const BEND_UPRIGHT_RAD = 0.03;
const BEND_PER_LEAN = 0.3;
const PROTRACTION_UPRIGHT_M = 0.015;
const PROTRACTION_PER_LEAN_M = 0.03;

/** Everything above the hips for a trunk that leans forward by `leanRad`. */
export function placeUpper(setup: Setup, midHip: Vector, leanRad: number): Upper {
  const { lengths, trunk, build } = setup.lifter;
  const h = build.statureM;
  const bending = trunk === 'bending';
  const bend = bending ? BEND_UPRIGHT_RAD + BEND_PER_LEAN * leanRad : 0;
  const pieceLeanRad = [leanRad - bend / 2, leanRad, leanRad + bend / 2] as const;
  const first = add(midHip, scale(leaning(pieceLeanRad[0]), PIECES[0] * lengths.trunk));
  const second = add(first, scale(leaning(pieceLeanRad[1]), PIECES[1] * lengths.trunk));
  const top = add(second, scale(leaning(pieceLeanRad[2]), PIECES[2] * lengths.trunk));
  const thorax = pieceLeanRad[2];
  const protraction = bending ? PROTRACTION_UPRIGHT_M + PROTRACTION_PER_LEAN_M * leanRad : 0;
  const midShoulder = add(top, inLeaning(thorax, protraction, 0));
  const shoulder = add(midShoulder, [0, 0, lengths.shoulderWidth / 2]);

  // Front rack: the bar lies on the front of the shoulders, the elbows are up, the hands hold it outside the shoulders.
  const bar = add(midShoulder, inLeaning(thorax, 0.046 * h, 0.02 * h));
  const wrist = add(bar, [0.005, 0.025, lengths.shoulderWidth / 2 + 0.09]);
  const elbow = elbowOf(shoulder, wrist, lengths.upperArm, lengths.forearm, inLeaning(0.6 * thorax, 1, -0.4, 0.35));
  const knuckle = add(wrist, scale(unit(subtract(wrist, elbow)), lengths.hand));

  const neckBase = add(top, inLeaning(thorax, -0.035, 0.05));
  const headLean = 0.3 * leanRad + 0.05;
  const vertex = add(neckBase, inLeaning(headLean, 0.045, 0.137 * h));
  const ears = add(neckBase, inLeaning(headLean, 0.055, 0.066 * h));
  return {
    spine: [midHip, first, second, top],
    pieceLeanRad,
    midShoulder,
    shoulder,
    elbow,
    wrist,
    knuckle,
    neckBase,
    midBack: add(second, inLeaning(thorax, -0.11, 0.03)),
    vertex,
    ear: add(ears, [0, 0, 0.072]),
    eye: add(ears, inLeaning(headLean, 0.075, 0.03, 0.032)),
    nose: add(ears, inLeaning(headLean, 0.105, -0.012)),
    bar,
  };
}

/** Elbow of an arm with fixed ends: on the circle both bones allow, nearest to the direction `towards`. */
function elbowOf(shoulder: Vector, wrist: Vector, upperArm: number, forearm: number, towards: Vector): Vector {
  const reach = subtract(wrist, shoulder);
  const distance = hypot(reach[0], reach[1], reach[2]);
  const axis = scale(reach, 1 / distance);
  const along = (upperArm ** 2 - forearm ** 2 + distance ** 2) / (2 * distance);
  const radius = sqrt(upperArm ** 2 - along ** 2);
  const onAxis = axis[0] * towards[0] + axis[1] * towards[1] + axis[2] * towards[2];
  const out = unit(subtract(towards, scale(axis, onAxis)));
  return add(shoulder, add(scale(axis, along), scale(out, radius)));
}

/**
 * The posture in which the centre of mass of lifter and bar stands over `footPoint` (0 heel, 1 toe), for given leg angles.
 *
 * One equation, one unknown: the lean. Secant iteration down to rounding, so that the motion can be differenced with tiny
 * steps. Static balance: accelerations are left out of the posture (they are kept in the moments), as for slow lifts.
 */
export function balancedPosture(setup: Setup, shankRad: number, thighRad: number, footPoint: number): Posture {
  const legs = placeLegs(setup, shankRad, thighRad);
  const below = legBodies(setup, legs);
  const target = legs.heel[0] + footPoint * (legs.bigToe[0] - legs.heel[0]);
  const upperKg = bodyKgAbove(setup);
  const legMoment = forwardMoment(below, target);
  const offset = (upper: Upper) => upperForwardMoment(setup, upper) - upperKg * target + legMoment;

  let previousOffset = offset(placeUpper(setup, legs.midHip, 0.2));
  let previous = 0.2;
  let lean = 0.45;
  let upper = placeUpper(setup, legs.midHip, lean);
  for (let iteration = 0; iteration < 40; iteration++) {
    const hereOffset = offset(upper);
    const step = (hereOffset * (lean - previous)) / (hereOffset - previousOffset);
    if (!Number.isFinite(step)) break;
    previous = lean;
    previousOffset = hereOffset;
    lean -= step;
    if (abs(lean) > 1.4) {
      throw new Error(
        `${setup.lifter.build.id}, ${setup.style.name}: no lean within ±80° balances a shank at ${shankRad} rad and a thigh at ${thighRad} rad`,
      );
    }
    upper = placeUpper(setup, legs.midHip, lean);
    // The secant's next error is about the product of the last two: far below rounding.
    if (abs(step) < 1e-11) break;
  }
  let bodies: readonly Body[] | null = null;
  return {
    legs,
    upper,
    leanRad: lean,
    // A film asks for points only.
    get bodies() {
      bodies ??= [...upperBodies(setup, upper), ...below];
      return bodies;
    },
  };
}

/** Σ m (x − target) of the legs, kg·m. */
function forwardMoment(bodies: readonly Body[], target: number): number {
  return bodies.reduce((sum, body) => sum + 2 * body.massKg * (body.centre[0] - target), 0);
}

/** Mass of everything above the hips, kg. */
function bodyKgAbove({ lifter: { massKg: m }, equipment }: Setup): number {
  const trunk = m.trunk + m.upperTrunk + m.middleTrunk + m.lowerTrunk;
  return trunk + m.head + 2 * (m.upperArm + m.forearm + m.hand) + equipment.loadKg;
}

/**
 * Leg angles when standing: knees nearly straight, the trunk at the style's standing lean, balanced over the foot. The
 * shank inclination is solved by bisection.
 */
export function standingAngles(setup: Setup): { shankRad: number; thighRad: number } {
  const { standingKneeFlexionRad, standingLeanRad, standingFootPoint } = setup.style;
  const thighOf = (shank: number) => PI / 2 + shank - standingKneeFlexionRad;
  let low = -0.1;
  let high = 0.25;
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    const { leanRad } = balancedPosture(setup, middle, thighOf(middle), standingFootPoint);
    if (leanRad > standingLeanRad) low = middle;
    else high = middle;
  }
  const shankRad = (low + high) / 2;
  return { shankRad, thighRad: thighOf(shankRad) };
}

/** Share of the way from standing to deepest shank inclination at depth `d`. */
export function shankShare(style: Style, d: number): number {
  return d + style.shankShape * d * (1 - d);
}
