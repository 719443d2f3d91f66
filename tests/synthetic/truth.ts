import { GRAVITY_M_PER_S2 } from '../../src/numerics/constants.ts';
import { ABOVE_ANKLES, ABOVE_FLOOR, ABOVE_HIPS, ABOVE_KNEES, centreOfMass, particlePlaces } from './bodies.ts';
import { landmarksOf, type VirtualLift } from './lift.ts';
import type { Posture } from './posture.ts';
import { cross, scale, subtract, type Vector } from './vector.ts';

/** Internal moment, both legs together about the mid-joint, N·m, about lab Z; extensor (ankle: plantarflexor) positive. */
export interface TrueMoment {
  readonly total: number;
  readonly gravity: number;
}

export interface TrueLoads {
  readonly hip: TrueMoment;
  readonly knee: TrueMoment;
  readonly ankle: TrueMoment;
  /** Ground reaction on the lifter, N, and its centre of pressure on the floor, metres. */
  readonly groundForce: Vector;
  readonly centreOfPressure: Vector;
}

/** Weights of the eighth-order central first difference, for steps 1 to 4 to each side. */
const EIGHTH_ORDER = [4 / 5, -1 / 5, 4 / 105, -1 / 280] as const;
const STEP_S = 2e-3;

/** Eighth-order central derivative at the middle of nine equally spaced values. */
function derivative(at: (k: number) => number, stepS: number): number {
  let sum = 0;
  for (let k = 1; k <= 4; k++) sum += EIGHTH_ORDER[k - 1] * (at(k) - at(-k));
  return sum / stepS;
}

interface Momentum {
  readonly linear: Vector;
  /** About the moving mid-joint. */
  readonly angular: Vector;
}

/**
 * Loads from momentum alone, without any formula of rigid bodies: the lifter is a cloud of particles.
 *
 * For the particles above a cut at the moving point P, with H = Σ (r − P) × m v and p = Σ m v, the moment that the part
 * below exerts on the part above is M = dH/dt + v_P × p − Σ (r − P) × m g. Derivatives are eighth-order central differences
 * of the exact motion. Signs: trunk over hip and lifter over ankle are held up by +M_z, the knee by −M_z.
 */
export function loadsAt(lift: VirtualLift, t: number, stepS = STEP_S): TrueLoads {
  const postures = Array.from({ length: 17 }, (_, i) => lift.postureAt(t + (i - 8) * stepS));
  const places = postures.map((posture) => particlePlaces(posture.bodies));
  const velocities = Array.from({ length: 9 }, (_, i) =>
    places[0].map((_unused, c) => derivative((k) => places[i + 4 + k][c], stepS)),
  );
  const cut = (level: number, pivot: (posture: Posture) => Vector) => {
    const pivots = postures.map(pivot);
    const momenta = velocities.map((v, i) => momentumOf(lift, places[i + 4], v, level, pivots[i + 4]));
    const rate = (pick: (m: Momentum) => number) => derivative((k) => pick(momenta[4 + k]), stepS);
    const pivotVelocity = axes.map((c) => derivative((k) => pivots[8 + k][c], stepS)) as unknown as Vector;
    const slip = cross(pivotVelocity, momenta[4].linear);
    const { moment, force } = weightAbout(lift, places[8], level, pivots[8]);
    const gravity = scale(moment, -1);
    const total = axes.map((c) => rate((m) => m.angular[c]) + slip[c] + gravity[c]) as unknown as Vector;
    const reaction = axes.map((c) => rate((m) => m.linear[c]) - force[c]) as unknown as Vector;
    return { total, gravity, reaction };
  };
  const hip = cut(ABOVE_HIPS, (p) => p.legs.midHip);
  const knee = cut(ABOVE_KNEES, (p) => [p.legs.knee[0], p.legs.knee[1], 0]);
  const ankle = cut(ABOVE_ANKLES, (p) => [p.legs.ankle[0], p.legs.ankle[1], 0]);
  const floor = cut(ABOVE_FLOOR, () => [0, 0, 0]);
  const up = floor.reaction[1];
  return {
    hip: { total: hip.total[2], gravity: hip.gravity[2] },
    knee: { total: -knee.total[2], gravity: -knee.gravity[2] },
    ankle: { total: ankle.total[2], gravity: ankle.gravity[2] },
    groundForce: floor.reaction,
    centreOfPressure: [floor.total[2] / up, 0, -floor.total[0] / up],
  };
}

const axes = [0, 1, 2] as const;

/** Momentum of the particles down to `level`, about the pivot. */
function momentumOf(
  lift: VirtualLift,
  places: Float64Array,
  velocities: Float64Array,
  level: number,
  pivot: Vector,
): Momentum {
  const { massKg, level: levels } = lift.particles;
  const linear = [0, 0, 0];
  const angular = [0, 0, 0];
  for (let i = 0; i < massKg.length; i++) {
    if (levels[i] > level) continue;
    const m = massKg[i];
    const [x, y, z] = [places[3 * i] - pivot[0], places[3 * i + 1] - pivot[1], places[3 * i + 2] - pivot[2]];
    const [u, v, w] = [velocities[3 * i], velocities[3 * i + 1], velocities[3 * i + 2]];
    linear[0] += m * u;
    linear[1] += m * v;
    linear[2] += m * w;
    angular[0] += m * (y * w - z * v);
    angular[1] += m * (z * u - x * w);
    angular[2] += m * (x * v - y * u);
  }
  return { linear: linear as unknown as Vector, angular: angular as unknown as Vector };
}

/** Weight of the particles down to `level` and its moment about the pivot. */
function weightAbout(lift: VirtualLift, places: Float64Array, level: number, pivot: Vector) {
  const { massKg, level: levels } = lift.particles;
  let mass = 0;
  let x = 0;
  let z = 0;
  for (let i = 0; i < massKg.length; i++) {
    if (levels[i] > level) continue;
    mass += massKg[i];
    x += massKg[i] * (places[3 * i] - pivot[0]);
    z += massKg[i] * (places[3 * i + 2] - pivot[2]);
  }
  const g = GRAVITY_M_PER_S2;
  const force: Vector = [0, -mass * g, 0];
  const moment: Vector = [z * g, 0, -x * g];
  return { force, moment };
}

/** What a coach sees of one instant. Degrees, metres, dimensionless shares. */
export interface TruePosture {
  /** Mid-hip to mid-shoulder against the vertical, forward positive. */
  readonly trunkLeanDeg: number;
  /** atan2(hip above knee, horizontal hip–knee distance), 3D. */
  readonly thighElevationDeg: number;
  readonly shankInclinationDeg: number;
  /** Knee ahead of the big toe along X, metres. */
  readonly kneeOverToeM: number;
  /** Centre of mass of lifter and bar along the foot, 0 heel, 1 big toe. */
  readonly comAlongFoot: number;
  readonly centreOfMass: Vector;
  readonly hipHeightM: number;
}

const DEG = 180 / Math.PI;

export function thighElevationDeg({ legs }: Posture): number {
  const thigh = subtract(legs.hip, legs.knee);
  return Math.atan2(thigh[1], Math.hypot(thigh[0], thigh[2])) * DEG;
}

export function trunkLeanDeg({ legs, upper }: Posture): number {
  const trunk = subtract(upper.midShoulder, legs.midHip);
  return Math.atan2(trunk[0], trunk[1]) * DEG;
}

export function trueMeasures(posture: Posture): TruePosture {
  const { legs, bodies } = posture;
  const shank = subtract(legs.knee, legs.ankle);
  const com = centreOfMass(bodies);
  return {
    trunkLeanDeg: trunkLeanDeg(posture),
    thighElevationDeg: thighElevationDeg(posture),
    shankInclinationDeg: Math.atan2(shank[0], shank[1]) * DEG,
    kneeOverToeM: legs.knee[0] - legs.bigToe[0],
    comAlongFoot: (com[0] - legs.heel[0]) / (legs.bigToe[0] - legs.heel[0]),
    centreOfMass: com,
    hipHeightM: legs.hip[1],
  };
}

export const hipShare = (loads: TrueLoads, part: 'total' | 'gravity' = 'total'): number =>
  loads.hip[part] / (loads.hip[part] + loads.knee[part]);

/** True landmarks at a time, for comparisons. */
export const trueLandmarksAt = (lift: VirtualLift, t: number) => landmarksOf(lift.postureAt(t), lift.setup.equipment);

/** What is true at one instant of a repetition. */
export interface TrueInstant extends TruePosture {
  readonly timeS: number;
  readonly loads: TrueLoads;
  readonly hipShare: number;
  readonly gravityHipShare: number;
}

/** Where a repetition is judged. */
export interface TrueInstants {
  /** Thigh elevation 0 on the way down and up; NaN throughout where it is not reached. */
  readonly parallelDescent: TrueInstant;
  readonly parallelAscent: TrueInstant;
  readonly bottom: TrueInstant;
}

/** One repetition's true events and numbers. */
export interface TrueRepetition extends TrueInstants {
  readonly start: TruePosture;
  /** Where the trunk leans most. */
  readonly largestLean: TruePosture;
  /** Forward knee travel / (forward knee + backward hip travel) in the first 15 % of the hip's drop. */
  readonly kneeShareOfStart: number;
  /** Time at which the hip has gone 1 cm backward minus that of the knee 1 cm forward, seconds; positive: knees first. */
  readonly kneeLeadS: number;
  /** Time of least upward hip speed between two peaks of the drive; NaN where the drive has one peak. */
  readonly stickingS: number;
}

/** Beginning, lowest moment and end of a repetition, seconds. */
function spanOf(lift: VirtualLift, index: number) {
  const { startS, descentS, pauseS, ascentS } = lift.course.repetitions[index];
  return {
    from: startS - Math.max(0, lift.setup.style.shankLeadS),
    lowest: startS + descentS + pauseS / 2,
    end: startS + descentS + pauseS + ascentS,
  };
}

/** Parallel and bottom of repetition `index` (0, 1 …). */
export function trueInstants(lift: VirtualLift, index: number): TrueInstants {
  const { from, lowest, end } = spanOf(lift, index);
  const thigh = (t: number) => thighElevationDeg(lift.postureAt(t));
  const instant = (timeS: number): TrueInstant => {
    const loads = loadsAt(lift, timeS);
    const measures = trueMeasures(lift.postureAt(timeS));
    return { timeS, ...measures, loads, hipShare: hipShare(loads), gravityHipShare: hipShare(loads, 'gravity') };
  };
  return {
    parallelDescent: instant(crossing(thigh, from, lowest)),
    parallelAscent: instant(crossing((t) => -thigh(t), lowest, end)),
    bottom: instant(lowest),
  };
}

/** True events of repetition `index` (0, 1 …). */
export function trueRepetition(lift: VirtualLift, index: number): TrueRepetition {
  const { from, lowest, end } = spanOf(lift, index);
  const { ascentS } = lift.course.repetitions[index];
  const legsAt = (t: number) => lift.postureAt(t).legs;
  const hipHeight = (t: number) => legsAt(t).hip[1];
  const first = legsAt(from);
  const whole = first.hip[1] - hipHeight(lowest);
  const early = legsAt(crossing((t) => hipHeight(t) - (first.hip[1] - 0.15 * whole), from, lowest));
  const kneeForward = Math.max(0, early.knee[0] - first.knee[0]);
  const hipBack = Math.max(0, first.hip[0] - early.hip[0]);
  const kneeS = crossing((t) => 0.01 - (legsAt(t).knee[0] - first.knee[0]), from, lowest);
  const hipS = crossing((t) => 0.01 - (first.hip[0] - legsAt(t).hip[0]), from, lowest);
  let largestLeanS = from;
  let largestLean = trunkLeanDeg(lift.postureAt(from));
  for (let t = from; t <= end; t += 0.02) {
    const here = trunkLeanDeg(lift.postureAt(t));
    if (here > largestLean) [largestLean, largestLeanS] = [here, t];
  }
  return {
    start: trueMeasures(lift.postureAt(from)),
    ...trueInstants(lift, index),
    largestLean: trueMeasures(lift.postureAt(largestLeanS)),
    kneeShareOfStart: kneeForward / (kneeForward + hipBack),
    kneeLeadS: hipS - kneeS,
    stickingS: slowestOfDrive(hipHeight, end - ascentS, end),
  };
}

/** Where the speed of `height` has its least value between two peaks, from `from` to `to`; NaN where it has one peak. */
function slowestOfDrive(height: (t: number) => number, from: number, to: number): number {
  const stepS = 0.01;
  const count = Math.floor((to - from) / stepS);
  const speed = Array.from({ length: count }, (_, i) => height(from + (i + 1) * stepS) - height(from + i * stepS));
  for (let i = 1; i + 1 < count; i++) {
    if (speed[i] < speed[i - 1] && speed[i] <= speed[i + 1]) return from + (i + 0.5) * stepS;
  }
  return Number.NaN;
}

/** Time at which `f` first falls to 0 between `from` and `to`, to 1e-9 s by bisection; NaN where it does not. */
function crossing(f: (t: number) => number, from: number, to: number): number {
  const stepS = 0.04;
  for (let low = from; low < to; low += stepS) {
    let high = Math.min(low + stepS, to);
    if (f(high) > 0) continue;
    let left = low;
    while (high - left > 1e-9) {
      const middle = (left + high) / 2;
      if (f(middle) > 0) left = middle;
      else high = middle;
    }
    return high;
  }
  return Number.NaN;
}
