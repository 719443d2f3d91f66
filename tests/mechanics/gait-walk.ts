import type { BodyMotion } from '../../src/body/body-motion.ts';
import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import { markerCentres } from '../../src/body/marker-centres/marker-centres.ts';
import type { Landmark } from '../../src/capture/landmarks.ts';
import type { Recording, Smoothing } from '../../src/capture/recording.ts';
import { type Cuts, cutsFromBelow, legDemands, momentsFromAbove } from '../../src/mechanics/cut-moments.ts';
import { centreOfPressure, type Wrench, zeroWrench } from '../../src/mechanics/wrench.ts';
import { zeroLagLowPass } from '../../src/numerics/butterworth.ts';
import { GRAVITY_M_PER_S2 } from '../../src/numerics/constants.ts';
import { cubicSpline } from '../../src/numerics/interpolation.ts';
import { correlation, mean, rms } from '../../src/numerics/statistics.ts';
import { smooth } from '../../src/reconstruction/smooth.ts';
import type { Trajectories } from '../../src/reconstruction/trajectories.ts';
import { makeRecording, makeTrajectories } from '../body/made-lifter.ts';

/**
 * The markers each landmark is the mean of. A shoulder: the acromion and the marks before and behind it, 4.5 cm below the
 * first. Ears stand for the marks on the head above them; `big_toe` and `small_toe` are the joints of the toes, not their tips.
 */
const MARKERS: Readonly<Partial<Record<Landmark, readonly string[]>>> = {
  left_ear: ['HEADL'],
  right_ear: ['HEADR'],
  neck_base: ['C7'],
  left_asis: ['LASI'],
  right_asis: ['RASI'],
  left_psis: ['LPSI'],
  right_psis: ['RPSI'],
  ...Object.fromEntries(
    (['left', 'right'] as const).flatMap((side) => {
      const s = side === 'left' ? 'L' : 'R';
      return Object.entries({
        shoulder: ['SHO', 'SHOA', 'SHOP'],
        elbow_medial: ['ELM'],
        elbow_lateral: ['ELL'],
        wrist: ['WRR', 'WRU'],
        hand: ['DMC2', 'DMC5'],
        knee_medial: ['FME'],
        knee_lateral: ['FLE'],
        ankle_medial: ['MMAL'],
        ankle_lateral: ['LMAL'],
        heel: ['CAL2'],
        big_toe: ['DMT1'],
        small_toe: ['DMT5'],
      }).map(([name, markers]) => [`${side}_${name}`, markers.map((marker) => s + marker)]);
    }),
  ),
};

/** Every marker that is read. */
export const WALK_MARKERS: readonly string[] = Object.values(MARKERS).flat();

/** A table of numbers: names of its columns and their values. */
export interface Table {
  readonly rows: number;
  has(name: string): boolean;
  column(name: string): Float64Array;
}

/** A CSV without quotes. `unit`: metres (newtons) per unit of the file. */
export function tableOf(text: string, unit = 1): Table {
  const [header, ...lines] = text.trim().split(/\r?\n/);
  const names = header.split(',');
  const rows = lines.map((line) => line.split(',').map(Number));
  return {
    rows: rows.length,
    has: (name) => names.includes(name),
    column: (name) => {
      const k = names.indexOf(name);
      if (k < 0) throw new RangeError(`no column ${name}`);
      const scale = name === 't_s' ? 1 : unit;
      return Float64Array.from(rows, (row) => scale * row[k]);
    },
  };
}

export interface WalkOptions {
  readonly smoothing?: Smoothing;
  readonly recording?: Parameters<typeof makeRecording>[0];
}

/** Legs and trunk alike: a step has its own rhythm in both, and the force follows the trunk. */
const CUTOFF_HZ = 6;
export const AT_6_HZ: Smoothing = { kind: 'fixed', legsHz: CUTOFF_HZ, trunkHz: CUTOFF_HZ, barHz: CUTOFF_HZ };

/**
 * The walker as the product sees a lifter: markers (walking along −x, up +z, so that right is +y), turned to lab axes, smoothed, joint
 * centres from markers, body of the mass given.
 */
export function walkerMotion(
  markers: Table,
  frameRateHz: number,
  massKg: number,
  { smoothing = AT_6_HZ, recording: changes = {} }: WalkOptions = {},
): BodyMotion {
  const landmarks = Object.keys(MARKERS) as Landmark[];
  const columns = landmarks.map((landmark) => {
    const of = (axis: string) => MARKERS[landmark]!.map((marker) => markers.column(`${marker}_${axis}`));
    const middle = (all: readonly Float64Array[], f: number) => mean(all.map((one) => one[f]));
    const [x, y, z] = [of('x'), of('y'), of('z')];
    return (f: number) => [-middle(x, f), middle(z, f), middle(y, f)] as const;
  });
  const raw = makeTrajectories(
    markers.rows,
    frameRateHz,
    (f) => Object.fromEntries(landmarks.map((name, l) => [name, columns[l](f)])),
    landmarks,
  );
  const { position, status, cutoffHz } = smooth(
    'walk',
    landmarks,
    raw.position,
    raw.status,
    raw.frames,
    frameRateHz,
    smoothing,
    [],
  );
  const startS = markers.column('t_s')[0];
  const tracked: Trajectories = { ...raw, position, status, cutoffHz, startS };
  const { trajectories } = markerCentres(tracked)!;
  return bodyMotion(trajectories, walkRecording(massKg, changes));
}

function walkRecording(massKg: number, changes: Parameters<typeof makeRecording>[0] = {}): Recording {
  const made = makeRecording({
    ...changes,
    athlete: { sex: 'unknown', ...changes.athlete, massKg },
  });
  return { ...made, lift: { ...made.lift, kind: 'walking' } };
}

/** Frames at which a heel meets the floor and toes leave it. */
export interface Steps {
  readonly strikes: readonly number[];
  readonly offs: readonly number[];
}

/**
 * Heel strike where the heel is farthest ahead of the pelvis (midway between both PSIS), toe-off where the big toe is farthest
 * behind it: Zeni JA, Richards JG, Higginson JS (2008) Gait Posture 27:710–714. Turning points whose neighbours within `halfWidth` frames all lie lower.
 */
export function stepsOf(motion: BodyMotion, side: 'left' | 'right', halfWidth: number): Steps {
  const ahead = (name: Landmark) => {
    const { position, landmarks, frames } = motion.trajectories;
    const at = (landmark: Landmark, f: number) => position[3 * (f * landmarks.length + landmarks.indexOf(landmark))];
    return Float64Array.from(
      { length: frames },
      (_, f) => at(name, f) - (at('left_psis', f) + at('right_psis', f)) / 2,
    );
  };
  const heel = ahead(`${side}_heel`);
  const toe = ahead(`${side}_big_toe`).map((x) => -x);
  return { strikes: peaksOf(heel, halfWidth), offs: peaksOf(toe, halfWidth) };
}

function peaksOf(x: Float64Array, halfWidth: number): number[] {
  const out: number[] = [];
  for (let f = halfWidth; f < x.length - halfWidth; f++) {
    let highest = true;
    for (let k = f - halfWidth; k <= f + halfWidth; k++) if (x[k] > x[f] || (x[k] === x[f] && k < f)) highest = false;
    if (highest) out.push(f);
  }
  return out;
}

/** Which feet are on the floor, one a frame. */
export const SUPPORT = { unknown: 0, left: 1, right: 2, both: 3 } as const;

/** From strikes and offs: a foot is in the air from its toe-off to its next strike. */
export function supportOf(frames: number, left: Steps, right: Steps): Uint8Array {
  const out = new Uint8Array(frames).fill(SUPPORT.both);
  const lift = ({ strikes, offs }: Steps, other: number) => {
    for (const off of offs) {
      const strike = strikes.find((s) => s > off);
      for (let f = off; f < (strike ?? frames); f++) out[f] = strike === undefined ? SUPPORT.unknown : other;
    }
  };
  lift(left, SUPPORT.right);
  lift(right, SUPPORT.left);
  return out;
}

/** The whole ground reaction from above, and its centre of pressure on the floor. */
export function groundOf(motion: BodyMotion): { readonly wrench: Wrench; readonly centre: Float64Array } {
  const wrench = momentsFromAbove(motion).ground.total;
  return { wrench, centre: centreOfPressure(wrench, motion.trajectories.floorHeightM, 100) };
}

/** The force given instead of the wrench's own, at its centre of pressure and with its free moment. */
export function withForce(wrench: Wrench, centre: Float64Array, force: Float64Array): Wrench {
  const out = zeroWrench(force.length / 3);
  out.force.set(force);
  for (let i = 0; i < force.length; i += 3) {
    const [x, y, z] = [centre[i], centre[i + 1], centre[i + 2]];
    const own = wrench.moment[i + 1] - (z * wrench.force[i] - x * wrench.force[i + 2]);
    out.moment[i] = y * force[i + 2] - z * force[i + 1];
    out.moment[i + 1] = z * force[i] - x * force[i + 2] + own;
    out.moment[i + 2] = x * force[i + 1] - y * force[i];
  }
  return out;
}

/** Cuts of both legs: the whole ground reaction under the only foot on the floor, nothing under the other; NaN while both are on it. */
export function legCuts(motion: BodyMotion, ground: Wrench, support: Uint8Array): Record<'left' | 'right', Cuts> {
  const demands = legDemands(motion);
  const under = (side: 'left' | 'right') => {
    const out = zeroWrench(motion.frames);
    support.forEach((code, f) => {
      for (let k = 3 * f; k < 3 * f + 3; k++) {
        const carries = code === SUPPORT[side] ? 1 : code === SUPPORT.both || code === SUPPORT.unknown ? Number.NaN : 0;
        out.force[k] = carries === 0 ? 0 : carries * ground.force[k];
        out.moment[k] = carries === 0 ? 0 : carries * ground.moment[k];
      }
    });
    return cutsFromBelow(motion, demands, out, side);
  };
  return { left: under('left'), right: under('right') };
}

/**
 * Frames at either end of a single support in which the smoothed force still holds much of the other foot's: half of the
 * filter's rise time, 0.35 / 6 Hz / 2.
 */
export function marginFrames(frameRateHz: number): number {
  return Math.round((frameRateHz * 0.35) / CUTOFF_HZ / 2);
}

/** Centre of mass of the body, `3 * frame`, metres. */
export function centresOfMass({ segments, frames }: BodyMotion): Float64Array {
  const out = new Float64Array(3 * frames);
  const massKg = segments.reduce((sum, segment) => sum + segment.massKg, 0);
  for (const segment of segments)
    for (let i = 0; i < out.length; i++) out[i] += (segment.massKg / massKg) * segment.centre[i];
  return out;
}

/**
 * The force given instead of the wrench's own, with the same moment about the body's centre of mass: acceleration as
 * measured, rotation as seen.
 */
export function forceAtMass(wrench: Wrench, centre: Float64Array, force: Float64Array): Wrench {
  const out: Wrench = { force: force.slice(), moment: wrench.moment.slice() };
  for (let i = 0; i < force.length; i += 3) {
    const [x, y, z] = [centre[i], centre[i + 1], centre[i + 2]];
    const [fx, fy, fz] = [0, 1, 2].map((k) => force[i + k] - wrench.force[i + k]);
    out.moment[i] += y * fz - z * fy;
    out.moment[i + 1] += z * fx - x * fz;
    out.moment[i + 2] += x * fy - y * fx;
  }
  return out;
}

/** Measured force at the frames, lab axes, `3 * frame`, N, low-passed like the points; columns Fx Fy Fz (or fx fy fz) and t_s. */
export function forceAtFrames(force: Table, rateHz: number, motion: BodyMotion, cutoffHz: number): Float64Array {
  const name = (axis: string) => (force.has(`F${axis}`) ? `F${axis}` : `f${axis}`);
  const time = force.column('t_s');
  const [x, y, z] = ['x', 'y', 'z'].map((axis) =>
    cubicSpline(time, zeroLagLowPass(force.column(name(axis)), rateHz, cutoffHz)),
  );
  const out = new Float64Array(3 * motion.frames);
  for (let f = 0; f < motion.frames; f++) {
    const at = Math.min(motion.startS + f / motion.frameRateHz, time[time.length - 1]);
    out.set([-x(at), z(at), y(at)], 3 * f);
  }
  return out;
}

/** Agreement of one axis of two forces. */
export interface Agreement {
  readonly axis: 'forward' | 'up' | 'right';
  readonly r: number;
  readonly rmsPct: number;
  readonly meanN: number;
}

/** Force from above against measured, from `fromS` on and away from the filter's edges (1 / cut-off). */
export function agreement(
  motion: BodyMotion,
  above: Float64Array,
  measured: Float64Array,
  cutoffHz: number,
  fromS: number,
): Agreement[] {
  const edge = Math.ceil(motion.frameRateHz / cutoffHz);
  const first = Math.max(edge, Math.round((fromS - motion.startS) * motion.frameRateHz));
  return (['forward', 'up', 'right'] as const).map((axis, k) => {
    const frames = Array.from({ length: motion.frames - edge - first }, (_, f) => 3 * (first + f) + k);
    const [a, b] = [frames.map((i) => above[i]), frames.map((i) => measured[i])];
    const apart = a.map((value, f) => value - b[f]);
    const weightN = motion.bodyMassKg * GRAVITY_M_PER_S2;
    return { axis, r: correlation(a, b), rmsPct: (100 * rms(apart)) / weightN, meanN: mean(apart) };
  });
}
