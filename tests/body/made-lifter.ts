import type { Landmark } from '../../src/capture/landmarks.ts';
import { DEFAULT_SETTINGS, type Recording } from '../../src/capture/recording.ts';
import { SampleStatus } from '../../src/capture/sample-status.ts';
import type { Trajectories } from '../../src/reconstruction/trajectories.ts';

export type Point = readonly [number, number, number];

/** Joint angles of a symmetric lifter, radians: each segment's lean from the vertical; shank and trunk forward, thigh backward (knee to hip). */
export interface Posture {
  readonly shankLean: number;
  readonly thighLean: number;
  readonly trunkLean: number;
}

export const LENGTHS = { shank: 0.43, thigh: 0.42, trunk: 0.5, upperArm: 0.28, forearm: 0.26, hand: 0.08 };

/** All landmarks of a lifter in a posture, ankles at x = 0, 0.08 m above the floor; arms hang with the elbows a little bent. */
export function lifterPoints(posture: Posture): Record<string, Point> {
  const ankle: Point = [0, 0.08, 0];
  const knee = step(ankle, posture.shankLean, LENGTHS.shank);
  const hip = step(knee, -posture.thighLean, LENGTHS.thigh);
  const shoulder = step(hip, posture.trunkLean, LENGTHS.trunk);
  const elbow = step(shoulder, Math.PI + 0.1, LENGTHS.upperArm);
  const wrist = step(elbow, Math.PI - 0.2, LENGTHS.forearm);
  const hand = step(wrist, Math.PI - 0.2, LENGTHS.hand);
  const ear = step(shoulder, posture.trunkLean * 0.7, 0.21);
  const points: Record<string, Point> = {};
  for (const [side, sign] of [
    ['left', -1],
    ['right', 1],
  ] as const) {
    const put = (name: string, [x, y]: Point, z: number) => {
      points[`${side}_${name}`] = [x, y, sign * z];
    };
    put('ankle', ankle, 0.15);
    put('knee', knee, 0.18);
    put('hip', hip, 0.09);
    put('shoulder', shoulder, 0.18);
    put('elbow', elbow, 0.22);
    put('wrist', wrist, 0.24);
    put('hand', hand, 0.24);
    put('ear', ear, 0.07);
    put('heel', [-0.05, 0.03, 0], 0.14);
    put('big_toe', [0.19, 0.02, 0], 0.17);
    put('small_toe', [0.15, 0.02, 0], 0.22);
  }
  return points;
}

function step([x, y, z]: Point, lean: number, length: number): Point {
  return [x + length * Math.sin(lean), y + length * Math.cos(lean), z];
}

/** Trajectories of points given at every frame, unfiltered; a point that is undefined is occluded. */
export function makeTrajectories(
  frames: number,
  frameRateHz: number,
  at: (frame: number) => Readonly<Record<string, Point | undefined>>,
  landmarks: readonly Landmark[] = Object.keys(at(0)) as Landmark[],
): Trajectories {
  const count = landmarks.length;
  const position = new Float64Array(3 * frames * count).fill(Number.NaN);
  const status = new Uint8Array(frames * count);
  for (let frame = 0; frame < frames; frame++) {
    const points = at(frame);
    landmarks.forEach((landmark, l) => {
      const point = points[landmark];
      if (point) position.set(point, 3 * (frame * count + l));
      else status[frame * count + l] = SampleStatus.occluded;
    });
  }
  return {
    frameRateHz,
    frames,
    startS: 0,
    landmarks,
    position,
    covariance: new Float64Array(6 * frames * count).fill(Number.NaN),
    status,
    floorHeightM: 0,
    cutoffHz: new Float64Array(count).fill(Number.NaN),
    quality: {
      views: 0,
      reprojectionRmsPx: null,
      perCamera: [],
      perLandmark: [],
      missingShare: 0,
      counts: {},
      headingDeg: 0,
      floor: 'world zero',
      notes: [],
    },
  };
}

/** A smooth squat: down and up once in `periodS`, the trunk ahead of the legs. */
export function squatPosture(timeS: number, periodS = 2): Posture {
  const depth = (1 - Math.cos((2 * Math.PI * timeS) / periodS)) / 2;
  const lag = (1 - Math.cos((2 * Math.PI * (timeS + 0.1)) / periodS)) / 2;
  return { shankLean: 0.05 + 0.5 * depth, thighLean: 0.05 + 1.4 * depth, trunkLean: 0.05 + 0.6 * lag };
}

export function makeRecording(
  changes: {
    readonly athlete?: Partial<Recording['athlete']>;
    readonly load?: { readonly totalKg?: number; readonly bar?: Partial<Recording['load']['bar']> };
    readonly segments?: Recording['segments'];
    readonly settings?: Partial<Recording['settings']>;
  } = {},
): Recording {
  return {
    file: 'made/recording.yaml',
    id: 'made',
    date: null,
    athlete: { id: 'A', sex: 'male', massKg: 80, statureM: null, ...changes.athlete },
    lift: { kind: 'front squat', set: null, plannedRepetitions: null, outcome: null, grip: null, effortRpe: null },
    load: {
      totalKg: changes.load?.totalKg ?? 0,
      bar: { position: 'none', lengthM: null, massKg: null, ...changes.load?.bar },
    },
    shoes: { heelHeightM: null },
    condition: {},
    source: {
      kind: 'landmarks_3d',
      file: 'made/points.csv',
      frameRateHz: 100,
      unit: 'm',
      axes: { forward: '+x', up: '+y' },
      sdM: null,
    },
    forcePlates: [],
    segments: changes.segments ?? 'de-leva-1996',
    // One straight trunk, whose closed forms are plain; tests of the bending trunk ask for it.
    settings: { ...DEFAULT_SETTINGS, trunk: 'straight', ...changes.settings },
    synthetic: true,
  };
}
