import { lengthLimits } from '../body/length-limits.ts';
import type { FilmingPlan } from '../capture/plan-file.ts';
import { planLimbLength } from '../messages/plan.ts';
import { limbLengths } from '../predict/build.ts';
import type { LoadedLifter, Posture } from '../predict/posture.ts';
import {
  BOTTOM_THIGH_DEG,
  barOf,
  type ForeseenLifter,
  loadedLifter,
  STANDING_THIGH_DEG,
  squatPosture,
} from '../predict/squat-posture.ts';
import {
  POSTURE_QUANTITIES,
  type PostureQuantity,
  type PostureSensitivity,
  postureSensitivity,
} from './posture-sensitivity.ts';
import { gradientAtElevation } from './posture-uncertainty.ts';
import { type DiscPack, topOf, type Watched, watch } from './view-checks.ts';

/** Names of the postures that are reported. */
export const PLANNED_POSTURES = ['standing', 'parallel', 'bottom'] as const;
export type PlannedPosture = (typeof PLANNED_POSTURES)[number];

/** What stands before the cameras: the lifter in the postures of a squat, with all that does not depend on the cameras. */
export interface Scene {
  readonly lifter: LoadedLifter;
  readonly postures: Readonly<Record<PlannedPosture, Posture>>;
  readonly sensitivity: Readonly<Record<PlannedPosture, PostureSensitivity>>;
  /** Change of each quantity along the movement at parallel, per degree of thigh elevation. */
  readonly perDegreeAtParallel: Readonly<Record<PostureQuantity, number>>;
  /** Way of each point along the movement at parallel, `3 * landmark`, metres per degree of thigh elevation. */
  readonly pathAtParallel: Float64Array;
  /** Of the gravity-only hip share as it is read at parallel, by the points, `3 * landmark`, per metre. */
  readonly hipShareGradient: Float64Array;
  /** Postures that must fit into the picture and be seen past the discs: those above and two on the way. */
  readonly watched: readonly Watched[];
  /** Highest point that must be seen, metres. */
  readonly topM: number;
  /** The lifter's middle on the floor: below mid-hip and mid-foot on average, lab axes, metres. */
  readonly middle: readonly [x: number, z: number];
}

/** Step of the difference along the movement, degrees of thigh elevation. */
const ALONG_DEG = 2;
/** Postures on the way that are watched for hiding, degrees of thigh elevation. */
const ON_THE_WAY_DEG = [50, 20] as const;

/** The planned lifter by the model of src/predict. Errors: plan-limb-length, posture-unbalanced. */
export function foreseenScene(plan: FilmingPlan): Scene {
  const lifter = foreseenLifter(plan);
  const at = (deg: number) => squatPosture(lifter, deg);
  const postures = { standing: at(STANDING_THIGH_DEG), parallel: at(0), bottom: at(BOTTOM_THIGH_DEG) };
  const discs = plan.load.totalKg > 0 ? { loadKg: plan.load.totalKg, barKg: barOf(lifter).massKg } : null;
  const onTheWay = ON_THE_WAY_DEG.map((deg): [string, Posture] => [`thighs at ${deg}°`, at(deg)]);
  return sceneOf(loadedLifter(lifter), postures, [at(ALONG_DEG), at(-ALONG_DEG)], onTheWay, discs, [0, 0]);
}

/**
 * A scene from given postures: those of a lifter who was measured, or simulated.
 * beside: postures a little before and after parallel on one way, for the change along the movement.
 * onTheWay: further postures that must be in the picture and seen past the discs.
 */
export function sceneOf(
  lifter: LoadedLifter,
  postures: Scene['postures'],
  beside: readonly [Posture, Posture],
  onTheWay: readonly (readonly [name: string, posture: Posture])[],
  discs: DiscPack | null,
  middle: readonly [number, number],
): Scene {
  const [before, after] = beside.map((posture) => postureSensitivity(lifter, posture).values);
  const elevation = before.thigh_elevation_both_deg - after.thigh_elevation_both_deg;
  const perDegreeAtParallel = Object.fromEntries(
    POSTURE_QUANTITIES.map((name) => [name, (before[name] - after[name]) / elevation]),
  ) as Record<PostureQuantity, number>;
  const sensitivity = Object.fromEntries(
    PLANNED_POSTURES.map((name) => [name, postureSensitivity(lifter, postures[name])]),
  ) as Record<PlannedPosture, PostureSensitivity>;
  const { standing, parallel, bottom } = postures;
  const inOrder = [['standing', standing], ...onTheWay, ['parallel', parallel], ['bottom', bottom]] as const;
  const watched = inOrder.map(([name, posture]) => watch(name, posture, discs));
  const share = 'hip_share_gravity_both';
  const hipShareGradient = gradientAtElevation(sensitivity.parallel, share, perDegreeAtParallel[share]);
  return {
    lifter,
    postures,
    sensitivity,
    perDegreeAtParallel,
    pathAtParallel: beside[0].position.map((value, i) => (value - beside[1].position[i]) / elevation),
    hipShareGradient,
    watched,
    topM: topOf(watched),
    middle,
  };
}

function foreseenLifter({ file, lifter, load }: FilmingPlan): ForeseenLifter {
  const { lengthsM: given } = lifter;
  const measured = {
    thigh: given.thigh,
    shank: given.shank,
    trunk: given.trunk,
    upperArm: given.upper_arm,
    forearm: given.forearm,
    foot: given.foot,
    hipWidth: given.hip_width,
    shoulderWidth: given.shoulder_width,
  };
  const stated = Object.fromEntries(Object.entries(measured).filter(([, value]) => value !== undefined));
  const lengths = limbLengths(lifter.sex, lifter.statureM, stated);
  for (const part of ['trunk', 'thigh', 'shank'] as const) {
    const { shortestM, longestM } = lengthLimits(part);
    if (!(lengths[part] > shortestM && lengths[part] < longestM)) {
      throw planLimbLength(file, part, lengths[part], shortestM, longestM);
    }
  }
  return {
    sex: lifter.sex,
    massKg: lifter.massKg,
    lengths,
    stance: {
      ankleDistanceM: lifter.ankleDistanceM ?? lengths.shoulderWidth,
      toeOutRad: (lifter.toeOutDeg * Math.PI) / 180,
    },
    load,
    segments: 'de-leva-1996',
  };
}
