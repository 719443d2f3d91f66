import type { BodyMotion, SegmentMotion } from '../../src/body/body-motion.ts';
import type { Landmark } from '../../src/capture/landmarks.ts';
import { DEFAULT_SETTINGS, type Recording } from '../../src/capture/recording.ts';
import { SampleStatus } from '../../src/capture/sample-status.ts';
import type { JointLoads, LoadedJoint, MomentSeries } from '../../src/mechanics/joint-loads.ts';
import { GRAVITY_M_PER_S2 } from '../../src/numerics/constants.ts';
import { seededRandom } from '../../src/numerics/random.ts';

/*
 * A lifter of points, put together from known angles, with statics in closed form. Nothing here is shared with the code
 * under test: positions follow from the angles, moments from lumped weights and their levers.
 */

export const RATE = 100;
export const LENGTH = { shank: 0.4, thigh: 0.42, trunk: 0.5, foot: 0.25 } as const;
export const ANKLE = { x: 0, y: 0.08 } as const;
/** Heel 0.05 m behind the ankle, tip of the toe 0.20 m ahead of it, both on the floor. */
export const HEEL_X = -0.05;
export const TOE_X = HEEL_X + LENGTH.foot;
const RAD = Math.PI / 180;

/** Degrees: shank from vertical (knee forward +), thigh elevation, trunk from vertical (forward +). */
export interface Posture {
  readonly shank: number;
  readonly thigh: number;
  readonly trunk: number;
  /** The whole lifter moved forward or to the right, m. */
  readonly x?: number;
  readonly z?: number;
  /** The hips lifted by this much with the legs as they are (a bob of a walk), m. */
  readonly bob?: number;
}

export interface LoadsOptions {
  readonly bodyMassKg?: number;
  readonly barMassKg?: number;
  readonly barPlacedBy?: string | null;
  /** Half the distance between the hip points; and between the ankles, m. */
  readonly hipHalfM?: number;
  readonly ankleHalfM?: number;
  readonly toeOutDeg?: { readonly left: number; readonly right: number };
  /** Left leg's knee this much ahead of the right one's, m. */
  readonly leftKneeAheadM?: number;
  readonly noiseM?: number;
  readonly seed?: number;
  /** Frames [from, to) at which hips and knees are missing. */
  readonly gap?: readonly [number, number];
  readonly edgeFrames?: number;
  readonly without?: readonly Landmark[];
  readonly rateHz?: number;
  /** Puts points elsewhere than the posture has them; joints and mid-joints follow. */
  readonly moved?: (name: Landmark, place: Point, frame: number) => Point;
}

export type Point = readonly [x: number, y: number, z: number];

/** Lumped weights as shares of body mass, placed on the line of their segment: a closed form, not a segment table. */
const UPPER = { share: 0.68, along: 0.6 } as const;
const THIGHS = { share: 0.2, along: 0.43 } as const;
const SHANKS = { share: 0.09, along: 0.43 } as const;
const FEET = { share: 0.03 } as const;

export interface Statics {
  readonly hip: number;
  readonly knee: number;
  readonly ankle: number;
  readonly comX: number;
  readonly hipX: number;
  readonly hipY: number;
  readonly kneeX: number;
}

/** Moments of both legs together at rest, N·m, extensor positive, and where things are, m. */
export function statics(p: Posture, { bodyMassKg = 70, barMassKg = 60 }: LoadsOptions = {}): Statics {
  const dx = p.x ?? 0;
  const kneeX = ANKLE.x + dx + LENGTH.shank * Math.sin(p.shank * RAD);
  const kneeY = ANKLE.y + LENGTH.shank * Math.cos(p.shank * RAD);
  const hipX = kneeX - LENGTH.thigh * Math.cos(p.thigh * RAD);
  const hipY = kneeY + LENGTH.thigh * Math.sin(p.thigh * RAD) + (p.bob ?? 0);
  const shoulderX = hipX + LENGTH.trunk * Math.sin(p.trunk * RAD);
  const ankleX = ANKLE.x + dx;
  const parts: readonly (readonly [number, number])[] = [
    [UPPER.share * bodyMassKg, hipX + UPPER.along * (shoulderX - hipX)],
    [barMassKg, shoulderX],
    [THIGHS.share * bodyMassKg, hipX + THIGHS.along * (kneeX - hipX)],
    [SHANKS.share * bodyMassKg, kneeX + SHANKS.along * (ankleX - kneeX)],
    [FEET.share * bodyMassKg, ankleX + 0.05],
  ];
  const lever = (n: number, about: number) =>
    GRAVITY_M_PER_S2 * parts.slice(0, n).reduce((sum, [mass, x]) => sum + mass * (x - about), 0);
  const mass = parts.reduce((sum, [m]) => sum + m, 0);
  return {
    hip: lever(2, hipX),
    knee: -lever(3, kneeX),
    ankle: lever(4, ankleX),
    comX: parts.reduce((sum, [m, x]) => sum + m * x, 0) / mass,
    hipX,
    hipY,
    kneeX,
  };
}

function points(p: Posture, o: LoadsOptions): Map<Landmark, Point> {
  const { hipX, hipY, kneeX } = statics(p);
  const kneeY = ANKLE.y + LENGTH.shank * Math.cos(p.shank * RAD);
  const shoulder = [hipX + LENGTH.trunk * Math.sin(p.trunk * RAD), hipY + LENGTH.trunk * Math.cos(p.trunk * RAD)];
  const dx = p.x ?? 0;
  const dz = p.z ?? 0;
  const hipHalf = o.hipHalfM ?? 0.085;
  const ankleHalf = o.ankleHalfM ?? hipHalf;
  const found = new Map<Landmark, Point>();
  for (const [side, sign] of [
    ['left', -1],
    ['right', 1],
  ] as const) {
    const out = (o.toeOutDeg?.[side] ?? 0) * RAD;
    const ahead = side === 'left' ? (o.leftKneeAheadM ?? 0) : 0;
    found.set(`${side}_shoulder`, [shoulder[0], shoulder[1], dz + sign * 0.18]);
    found.set(`${side}_elbow`, [shoulder[0], shoulder[1] - 0.3, dz + sign * 0.18]);
    found.set(`${side}_wrist`, [shoulder[0] + 0.27, shoulder[1] - 0.3, dz + sign * 0.18]);
    found.set(`${side}_hip`, [hipX, hipY, dz + sign * hipHalf]);
    found.set(`${side}_knee`, [kneeX + ahead, kneeY, dz + sign * ((hipHalf + ankleHalf) / 2)]);
    found.set(`${side}_ankle`, [ANKLE.x + dx, ANKLE.y, dz + sign * ankleHalf]);
    found.set(`${side}_heel`, [HEEL_X + dx, 0, dz + sign * ankleHalf]);
    const toe: Point = [
      HEEL_X + dx + LENGTH.foot * Math.cos(out),
      0,
      dz + sign * (ankleHalf + LENGTH.foot * Math.sin(out)),
    ];
    found.set(`${side}_big_toe`, toe);
  }
  return found;
}

export function makeLoads(postures: readonly Posture[], options: LoadsOptions = {}): JointLoads {
  const { bodyMassKg = 70, barMassKg = 60, without = [], rateHz = RATE, noiseM = 0 } = options;
  const frames = postures.length;
  const landmarks = [...points(postures[0], options).keys()].filter((name) => !without.includes(name));
  const count = landmarks.length;
  const position = new Float64Array(3 * frames * count);
  const status = new Uint8Array(frames * count);
  const random = seededRandom(options.seed ?? 1);
  postures.forEach((p, f) => {
    const at = points(p, options);
    landmarks.forEach((name, k) => {
      const lost = options.gap && f >= options.gap[0] && f < options.gap[1] && /hip|knee/.test(name);
      const edge = f < (options.edgeFrames ?? 0) || f >= frames - (options.edgeFrames ?? 0);
      status[f * count + k] = lost ? SampleStatus.occluded : edge ? SampleStatus.edge : SampleStatus.seen;
      const place = options.moved?.(name, at.get(name)!, f) ?? at.get(name)!;
      place.forEach((value, axis) => {
        position[3 * (f * count + k) + axis] = lost ? Number.NaN : value + noiseM * random.normal();
      });
    });
  });
  const series = (name: Landmark) => {
    const k = landmarks.indexOf(name);
    if (k < 0) return undefined;
    return Float64Array.from({ length: 3 * frames }, (_, i) => position[3 * (Math.floor(i / 3) * count + k) + (i % 3)]);
  };
  const mid = (part: 'hip' | 'knee' | 'ankle' | 'shoulder') => {
    const [left, right] = [series(`left_${part}`), series(`right_${part}`)];
    return left && right ? left.map((x, i) => (x + right[i]) / 2) : undefined;
  };
  const joints: BodyMotion['joints'] = {
    left_hip: series('left_hip'),
    right_hip: series('right_hip'),
    left_knee: series('left_knee'),
    right_knee: series('right_knee'),
    left_ankle: series('left_ankle'),
    right_ankle: series('right_ankle'),
    mid_hip: mid('hip'),
    mid_knee: mid('knee'),
    mid_ankle: mid('ankle'),
    mid_shoulder: mid('shoulder'),
  };
  const at = postures.map((p) => statics(p, options));
  const lost = (f: number) => options.gap !== undefined && f >= options.gap[0] && f < options.gap[1];
  const moment = (joint: LoadedJoint): MomentSeries => {
    const total = Float64Array.from(at, (s, f) => (lost(f) ? Number.NaN : s[joint]));
    return { total, gravity: total.slice(), inertial: total.map((x) => 0 * x) };
  };
  const com = Float64Array.from({ length: 3 * frames }, (_, i) =>
    i % 3 === 0 ? at[Math.floor(i / 3)].comX : i % 3 === 1 ? 1 : (postures[Math.floor(i / 3)].z ?? 0),
  );
  const shoulder = joints.mid_shoulder;
  const barbell: SegmentMotion | null =
    barMassKg > 0 && shoulder
      ? {
          name: 'barbell',
          massKg: barMassKg,
          centre: shoulder,
          axis: new Float64Array(3 * frames).fill(Number.NaN),
          transverseInertiaKgM2: 0,
          lengthM: 2.01,
          lengthVariation: 0,
          placedBy: options.barPlacedBy === undefined ? null : options.barPlacedBy,
        }
      : null;
  return {
    frameRateHz: rateHz,
    frames,
    startS: 0,
    motion: {
      frameRateHz: rateHz,
      frames,
      startS: 0,
      trajectories: {
        frameRateHz: rateHz,
        frames,
        startS: 0,
        landmarks,
        position,
        covariance: new Float64Array(6 * frames * count).fill(Number.NaN),
        status,
        floorHeightM: 0,
        cutoffHz: new Float64Array(count).fill(Number.NaN),
        quality: {
          views: 2,
          reprojectionRmsPx: 1.5,
          perCamera: [],
          perLandmark: landmarks.map((landmark) => ({
            landmark,
            seen: frames,
            filled: 0,
            missing: 0,
            reprojectionRmsPx: 1.5,
            sdM: 0.005,
            cutoffHz: null,
          })),
          missingShare: 0,
          counts: {},
          headingDeg: 0,
          floor: 'world zero',
          notes: [],
        },
      },
      sex: 'unknown',
      table: 'de-leva-1996',
      bodyMassKg,
      barMassKg,
      segments: [],
      barbell,
      joints,
      upperBodyKnown: shoulder !== undefined,
      quality: { segments: [], notes: [] },
    },
    primary: 'above',
    fromAbove: { hip: moment('hip'), knee: moment('knee'), ankle: moment('ankle') },
    fromBelow: null,
    cuts: { above: null, left: null, right: null },
    lumbosacral: null,
    arms: [],
    powers: { both: null, bothFromBelow: null, left: null, right: null },
    centreOfMass: com,
    bodyCentreOfMass: com.slice(),
    groundForce: Float64Array.from({ length: 3 * frames }, (_, i) =>
      i % 3 === 1 ? (bodyMassKg + barMassKg) * GRAVITY_M_PER_S2 : 0,
    ),
    centreOfPressure: com.map((x, i) => (i % 3 === 1 ? 0 : x)),
    measuredForce: null,
    measuredCentreOfPressure: null,
    quality: { powerBalance: null, mismatch: null, meanVerticalShare: 1, notes: [] },
  };
}

export function makeRecording(
  change: Partial<Recording['lift']> & { bar?: Recording['load']['bar']['position'] } = {},
): Recording {
  const { bar = 'front rack', ...lift } = change;
  return {
    file: 'made/recording.yaml',
    id: 'made-1',
    date: null,
    athlete: { id: 'A', sex: 'unknown', massKg: 70, statureM: null },
    lift: {
      kind: 'front squat',
      set: 1,
      plannedRepetitions: null,
      outcome: null,
      grip: null,
      effortRpe: null,
      ...lift,
    },
    load: { totalKg: 60, bar: { position: bar, lengthM: 2.01, massKg: 15 } },
    shoes: { heelHeightM: null },
    condition: {},
    source: {
      kind: 'landmarks_3d',
      file: 'made.csv',
      frameRateHz: RATE,
      unit: 'm',
      axes: { forward: '+x', up: '+y' },
      sdM: null,
    },
    forcePlates: [],
    segments: 'de-leva-1996',
    settings: DEFAULT_SETTINGS,
    synthetic: true,
  };
}

/** Standing upright: legs and trunk vertical. */
export const STANDING: Posture = { shank: 0, thigh: 90, trunk: 0 };
export const DEEP: Posture = { shank: 35, thigh: -20, trunk: 30 };

/** Posture a share of the way from one to another, angle by angle. */
export function blend(a: Posture, b: Posture, share: number): Posture {
  const mix = (x: number, y: number) => x + share * (y - x);
  return { shank: mix(a.shank, b.shank), thigh: mix(a.thigh, b.thigh), trunk: mix(a.trunk, b.trunk) };
}

/** `n` frames from a to b: slow start, slow end; the last frame is b. */
export function move(a: Posture, b: Posture, n: number): Posture[] {
  return Array.from({ length: n }, (_, i) => blend(a, b, (1 - Math.cos((Math.PI * (i + 1)) / n)) / 2));
}

/** `n` frames from a to b at constant angular velocity. */
export function moveEvenly(a: Posture, b: Posture, n: number): Posture[] {
  return Array.from({ length: n }, (_, i) => blend(a, b, (i + 1) / n));
}

export function hold(p: Posture, n: number): Posture[] {
  return Array.from({ length: n }, () => p);
}

/** A set of squats with a stand of 1.5 s before, between and after. */
export function squats(n: number, deep: Posture = DEEP, standing: Posture = STANDING): Posture[] {
  const one = [...move(standing, deep, 150), ...hold(deep, 10), ...move(deep, standing, 120), ...hold(standing, 150)];
  return [...hold(standing, 150), ...Array.from({ length: n }, () => one).flat()];
}

/** The same lift seen in a mirror: left is right, z is −z. */
export function mirrored(loads: JointLoads): JointLoads {
  const { motion } = loads;
  const { trajectories } = motion;
  const flip = (v: Float64Array) => v.map((x, i) => (i % 3 === 2 ? -x : x));
  const other = <T extends string>(name: T) =>
    (name.includes('left_') ? name.replace('left_', 'right_') : name.replace('right_', 'left_')) as T;
  const joints = Object.fromEntries(
    Object.entries(motion.joints).map(([name, series]) => [other(name), series && flip(series)]),
  ) as BodyMotion['joints'];
  return {
    ...loads,
    motion: {
      ...motion,
      joints,
      trajectories: {
        ...trajectories,
        landmarks: trajectories.landmarks.map(other),
        position: flip(trajectories.position),
      },
    },
    centreOfMass: loads.centreOfMass && flip(loads.centreOfMass),
    bodyCentreOfMass: loads.bodyCentreOfMass && flip(loads.bodyCentreOfMass),
    centreOfPressure: loads.centreOfPressure && flip(loads.centreOfPressure),
    groundForce: loads.groundForce && flip(loads.groundForce),
  };
}
