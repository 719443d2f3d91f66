import type { BodyMotion, SegmentMotion } from '../../src/body/body-motion.ts';
import type { Landmark } from '../../src/capture/landmarks.ts';
import { DEFAULT_SETTINGS, type Recording } from '../../src/capture/recording.ts';
import { describeLift } from '../../src/lift/describe-lift.ts';
import type { LiftRecord } from '../../src/lift/lift-record.ts';
import type { JointLoads, MomentSeries } from '../../src/mechanics/joint-loads.ts';
import type { Trajectories } from '../../src/reconstruction/trajectories.ts';

/**
 * A drawn lift with simple statics, for tests of tables, figures and report: no number in it is a measurement.
 * The lifter stands on the spot; ankle, knee and hip turn together; the moments are weight times lever.
 */
export interface RecordOptions {
  readonly recordingId?: string;
  readonly athleteId?: string;
  readonly repetitions?: number;
  /** Number of a repetition that stops far above parallel. */
  readonly partialRepetition?: number;
  readonly withFeet?: boolean;
  readonly withCameras?: boolean;
  readonly withBar?: boolean;
}

const RATE = 60;
const DOWN = 90;
const HOLD = 12;
const UP = 78;
const REST = 40;
/** Frames of standing before the first repetition. */
const START = 60;
const LENGTH = { shank: 0.41, thigh: 0.43, trunk: 0.5 };
const WEIGHT_N = (63 + 80) * 9.80665;
const RAD = Math.PI / 180;

export function makeRecording(options: RecordOptions = {}): Recording {
  return {
    file: 'demo/A01-raised-1.yaml',
    id: options.recordingId ?? 'A01-raised-1',
    date: '2026-03-04',
    athlete: { id: options.athleteId ?? '007', sex: 'female', massKg: 63, statureM: 1.68 },
    lift: {
      kind: 'front squat',
      set: 1,
      plannedRepetitions: options.repetitions ?? 3,
      outcome: 'made',
      grip: 'full',
      effortRpe: 8,
    },
    load: { totalKg: 80, bar: { position: 'front rack', lengthM: 2.01, massKg: 15 } },
    shoes: { heelHeightM: 0.02 },
    condition: { heel: 'raised' },
    source: { kind: 'views', rig: 'demo/rig.json', views: [] },
    forcePlates: [],
    segments: 'de-leva-1996',
    settings: DEFAULT_SETTINGS,
    synthetic: true,
  };
}

interface Pose {
  readonly ankle: readonly [number, number];
  readonly knee: readonly [number, number];
  readonly hip: readonly [number, number];
  readonly shoulder: readonly [number, number];
  readonly leanDeg: number;
  readonly thighDeg: number;
}

/** depth 0 = standing, 1 = bottom. */
function pose(depth: number): Pose {
  const shank = 33 * depth ** 0.8 * RAD;
  const thighDeg = 88 - 108 * depth;
  const lean = (4 + 34 * depth ** 0.9) * RAD;
  const ankle = [0, 0.08] as const;
  const knee = [ankle[0] + LENGTH.shank * Math.sin(shank), ankle[1] + LENGTH.shank * Math.cos(shank)] as const;
  const hip = [
    knee[0] - LENGTH.thigh * Math.cos(thighDeg * RAD),
    knee[1] + LENGTH.thigh * Math.sin(thighDeg * RAD),
  ] as const;
  const shoulder = [hip[0] + LENGTH.trunk * Math.sin(lean), hip[1] + LENGTH.trunk * Math.cos(lean)] as const;
  return { ankle, knee, hip, shoulder, leanDeg: lean / RAD, thighDeg };
}

const smooth = (t: number) => t * t * (3 - 2 * t);

/** The drawn lift, described by the lift stage as a real one would be. */
export function makeRecord(options: RecordOptions = {}): LiftRecord {
  return describeLift(makeLoads(options), makeRecording(options));
}

function makeLoads(options: RecordOptions): JointLoads {
  const count = options.repetitions ?? 3;
  const span = DOWN + HOLD + UP + REST;
  const depth = new Float64Array(START + count * span);
  for (let r = 0; r < count; r++) {
    const deepest = options.partialRepetition === r + 1 ? 0.55 : 1 - 0.03 * r;
    for (let i = 0; i < DOWN + HOLD + UP; i++) {
      const share = i < DOWN ? smooth(i / DOWN) : i < DOWN + HOLD ? 1 : smooth(1 - (i - DOWN - HOLD) / UP);
      depth[START + r * span + i] = deepest * share;
    }
  }
  return loadsOf(Array.from(depth, pose), options);
}

const LANDMARK_POINTS: readonly (readonly [Landmark, (p: Pose) => readonly [number, number], number])[] = [
  ['left_ear', (p) => [p.shoulder[0] + 0.03, p.shoulder[1] + 0.2], -0.07],
  ['right_ear', (p) => [p.shoulder[0] + 0.03, p.shoulder[1] + 0.2], 0.07],
  ['left_shoulder', (p) => p.shoulder, -0.17],
  ['right_shoulder', (p) => [p.shoulder[0] + 0.01, p.shoulder[1]], 0.17],
  ['left_elbow', (p) => [p.shoulder[0] + 0.24, p.shoulder[1] - 0.08], -0.2],
  ['right_elbow', (p) => [p.shoulder[0] + 0.25, p.shoulder[1] - 0.06], 0.2],
  ['left_wrist', (p) => [p.shoulder[0] + 0.1, p.shoulder[1] + 0.08], -0.2],
  ['right_wrist', (p) => [p.shoulder[0] + 0.1, p.shoulder[1] + 0.08], 0.2],
  ['left_hip', (p) => [p.hip[0] - 0.01, p.hip[1]], -0.09],
  ['right_hip', (p) => [p.hip[0] + 0.01, p.hip[1]], 0.09],
  ['left_knee', (p) => [p.knee[0] - 0.02, p.knee[1]], -0.18],
  ['right_knee', (p) => [p.knee[0] + 0.02, p.knee[1]], 0.18],
  ['left_ankle', (p) => [p.ankle[0] - 0.02, p.ankle[1]], -0.16],
  ['right_ankle', (p) => [p.ankle[0] + 0.02, p.ankle[1]], 0.16],
];
const FOOT_POINTS: typeof LANDMARK_POINTS = [
  ['left_big_toe', () => [0.16, 0.02], -0.2],
  ['right_big_toe', () => [0.2, 0.02], 0.2],
  ['left_heel', () => [-0.08, 0.025], -0.15],
  ['right_heel', () => [-0.04, 0.025], 0.15],
];

function loadsOf(poses: readonly Pose[], options: RecordOptions): JointLoads {
  const frames = poses.length;
  const used = options.withFeet === false ? LANDMARK_POINTS : [...LANDMARK_POINTS, ...FOOT_POINTS];
  const position = new Float64Array(3 * frames * used.length);
  poses.forEach((p, f) => {
    used.forEach(([, at, z], k) => {
      const [x, y] = at(p);
      position.set([x, y, z], 3 * (f * used.length + k));
    });
  });
  const series = (at: (p: Pose) => readonly [number, number], z = 0) => {
    const out = new Float64Array(3 * frames);
    poses.forEach((p, f) => {
      out.set([at(p)[0], at(p)[1], z], 3 * f);
    });
    return out;
  };
  const cameras = options.withCameras !== false;
  const trajectories: Trajectories = {
    frameRateHz: RATE,
    frames,
    startS: 0,
    landmarks: used.map(([name]) => name),
    position,
    covariance: new Float64Array(6 * frames * used.length).fill(Number.NaN),
    status: new Uint8Array(frames * used.length),
    floorHeightM: 0,
    cutoffHz: new Float64Array(used.length).fill(6),
    quality: {
      views: cameras ? 2 : 0,
      reprojectionRmsPx: cameras ? 1.43 : null,
      perCamera: cameras
        ? [
            { camera: 'left', reprojectionRmsPx: 1.31, points: 9800 },
            { camera: 'right', reprojectionRmsPx: 1.54, points: 9750 },
          ]
        : [],
      perLandmark: used.map(([landmark], k) => ({
        landmark,
        seen: frames - 3 * k,
        filled: 2 * k,
        missing: k,
        reprojectionRmsPx: cameras ? 1 + 0.07 * k : null,
        sdM: cameras ? 0.004 + 0.0003 * k : null,
        cutoffHz: 6,
      })),
      missingShare: 0.004,
      counts: { seen: frames * used.length },
      headingDeg: 12.3,
      floor: 'world zero',
      notes: [],
    },
  };
  const barbell: SegmentMotion = {
    name: 'barbell',
    massKg: 80,
    centre: series((p) => [p.shoulder[0] + 0.08, p.shoulder[1] + 0.02]),
    axis: new Float64Array(3 * frames).fill(Number.NaN),
    transverseInertiaKgM2: 0,
    lengthM: Number.NaN,
    lengthVariation: Number.NaN,
    placedBy: 'at the stated offset from the shoulders',
  };
  const withBar = options.withBar !== false;
  const motion: BodyMotion = {
    frameRateHz: RATE,
    frames,
    startS: 0,
    trajectories,
    sex: 'female',
    table: 'de-leva-1996',
    bodyMassKg: 63,
    barMassKg: withBar ? 80 : 0,
    segments: [],
    barbell: withBar ? barbell : null,
    joints: {
      left_hip: series((p) => [p.hip[0] - 0.01, p.hip[1]], -0.09),
      right_hip: series((p) => [p.hip[0] + 0.01, p.hip[1]], 0.09),
      left_knee: series((p) => [p.knee[0] - 0.02, p.knee[1]], -0.18),
      right_knee: series((p) => [p.knee[0] + 0.02, p.knee[1]], 0.18),
      left_ankle: series((p) => [p.ankle[0] - 0.02, p.ankle[1]], -0.16),
      right_ankle: series((p) => [p.ankle[0] + 0.02, p.ankle[1]], 0.16),
      mid_hip: series((p) => p.hip),
      mid_knee: series((p) => p.knee),
      mid_ankle: series((p) => p.ankle),
      mid_shoulder: series((p) => p.shoulder),
    },
    upperBodyKnown: true,
    quality: {
      segments: ['left_thigh', 'right_thigh', 'left_shank', 'right_shank'].map((segment) => ({
        segment,
        massKg: 9,
        lengthM: 0.42,
        lengthVariation: 0.011,
        placedBy: null,
      })),
      notes: ['hands are placed at the wrists: the recording has no hand points'],
    },
  };
  const mass = (p: Pose) => [0.05 + 0.01 * (p.leanDeg / 40), 0.45 * p.shoulder[1] + 0.4 * p.hip[1]] as const;
  const upper = 0.78 * WEIGHT_N;
  const moment = (lever: (p: Pose) => number): MomentSeries => {
    const total = Float64Array.from(poses, (p) => upper * lever(p));
    return { total, gravity: total.slice(), inertial: new Float64Array(frames) };
  };
  return {
    frameRateHz: RATE,
    frames,
    startS: 0,
    motion,
    primary: 'above',
    fromAbove: {
      hip: moment((p) => (p.shoulder[0] - p.hip[0]) * 0.62),
      knee: moment((p) => (p.knee[0] - mass(p)[0]) * 0.95),
      ankle: moment((p) => mass(p)[0] - p.ankle[0]),
    },
    fromBelow: null,
    cuts: { above: null, left: null, right: null },
    lumbosacral: null,
    arms: [],
    powers: { both: null, bothFromBelow: null, left: null, right: null },
    centreOfMass: series(mass),
    bodyCentreOfMass: series(mass),
    groundForce: series(() => [0, WEIGHT_N]),
    centreOfPressure: series((p) => [mass(p)[0], 0]),
    measuredForce: null,
    measuredCentreOfPressure: null,
    quality: { powerBalance: null, mismatch: null, meanVerticalShare: 1, notes: [] },
  };
}
