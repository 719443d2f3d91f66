import type { Camera, CameraRig } from '../../src/cameras/rig.ts';
import type { Landmark } from '../../src/capture/landmarks.ts';
import {
  DEFAULT_SETTINGS,
  type KeypointTrack,
  type PointTrack,
  type Recording,
  type RecordingData,
} from '../../src/capture/recording.ts';
import { SampleStatus } from '../../src/capture/sample-status.ts';

export type Vector = readonly [number, number, number];

const minus = (a: Vector, b: Vector): Vector => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
const cross = (a: Vector, b: Vector): Vector => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
const dot = (a: Vector, b: Vector): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const unit = (a: Vector): Vector => {
  const length = Math.hypot(...a);
  return [a[0] / length, a[1] / length, a[2] / length];
};

/** A camera at `place` looking at `target`, image upright (image y points down in the world). */
export function cameraAt(name: string, place: Vector, target: Vector, changes: Partial<Camera> = {}): Camera {
  const forward = unit(minus(target, place));
  const right = unit(cross(forward, [0, 1, 0]));
  const down = cross(forward, right);
  return {
    name,
    imageWidth: 1080,
    imageHeight: 1920,
    fx: 1500,
    fy: 1510,
    cx: 545,
    cy: 950,
    skew: 0,
    distortion: [0, 0, 0, 0, 0],
    rotation: Float64Array.from([...right, ...down, ...forward]),
    translation: Float64Array.from([-dot(right, place), -dot(down, place), -dot(forward, place)]),
    ...changes,
  };
}

/**
 * The pinhole and Brown–Conrady equations as printed in the literature (x' = x(1 + k1 r² + k2 r⁴ + k3 r⁶) + 2 p1 x y +
 * p2 (r² + 2 x²) …), written here apart from the camera model under test.
 */
export function project(camera: Camera, point: Vector): [number, number] {
  const [r1, r2, r3] = [0, 3, 6].map(
    (o): Vector => [camera.rotation[o], camera.rotation[o + 1], camera.rotation[o + 2]],
  );
  const x = (dot(r1, point) + camera.translation[0]) / (dot(r3, point) + camera.translation[2]);
  const y = (dot(r2, point) + camera.translation[1]) / (dot(r3, point) + camera.translation[2]);
  const [k1, k2, p1, p2, k3] = camera.distortion;
  const r = Math.sqrt(x ** 2 + y ** 2);
  const radial = 1 + k1 * r ** 2 + k2 * r ** 4 + k3 * r ** 6;
  const xd = x * radial + 2 * p1 * x * y + p2 * (r ** 2 + 2 * x ** 2);
  const yd = y * radial + p1 * (r ** 2 + 2 * y ** 2) + 2 * p2 * x * y;
  return [camera.fx * xd + camera.skew * yd + camera.cx, camera.fy * yd + camera.cy];
}

export function rigOf(...cameras: Camera[]): CameraRig {
  return {
    kneeward: 1,
    cameras,
    quality: { method: 'stated', reprojectionRmsPx: null, pointsUsed: null, notes: [] },
    synthetic: true,
  };
}

/** Two cameras 30–60° off the lifter's right side, with lens distortion. */
export function sideCameras(): [Camera, Camera] {
  return [
    cameraAt('fore', [2.6, 1.2, 3.0], [0, 0.9, 0], { distortion: [0.08, -0.12, 0.0006, -0.0004, 0.02] }),
    cameraAt('aft', [-2.4, 1.0, 3.2], [0, 0.9, 0], { distortion: [-0.05, 0.03, -0.0003, 0.0005, 0] }),
  ];
}

export const BODY: readonly Landmark[] = [
  'nose',
  'left_shoulder',
  'right_shoulder',
  'left_elbow',
  'right_elbow',
  'left_wrist',
  'right_wrist',
  'left_hip',
  'right_hip',
  'left_knee',
  'right_knee',
  'left_ankle',
  'right_ankle',
  'left_big_toe',
  'left_heel',
  'right_big_toe',
  'right_heel',
  'bar_left_end',
  'bar_right_end',
];

/** Duration of one descent and ascent of the stick lifter, seconds. */
export const CYCLE_S = 3;

/**
 * A stick lifter in lab axes (X forward, Y up, Z right; metres): still feet, shank, thigh and trunk inclined together
 * through squats of CYCLE_S seconds after one second of standing. Segment lengths are plausible for an adult.
 */
export function lifterAt(timeS: number, landmark: Landmark): Vector {
  const phase = Math.max(0, timeS - 1) / CYCLE_S;
  const depth = 0.5 * (1 - Math.cos(2 * Math.PI * phase));
  const shank = 0.05 + 0.5 * depth;
  const thigh = 0.06 + 1.4 * depth;
  const trunk = 0.08 + 0.6 * depth;
  const side = landmark.includes('left') ? -1 : landmark.includes('right') ? 1 : 0;
  const ankle: Vector = [0, 0.09, side * 0.16];
  const knee: Vector = [
    ankle[0] + 0.41 * Math.sin(shank),
    ankle[1] + 0.41 * Math.cos(shank),
    side * (0.15 + 0.05 * depth),
  ];
  const hip: Vector = [knee[0] - 0.42 * Math.sin(thigh), knee[1] + 0.42 * Math.cos(thigh), side * 0.09];
  const along = (length: number, width: number, ahead = 0): Vector => [
    hip[0] + length * Math.sin(trunk) + ahead,
    hip[1] + length * Math.cos(trunk),
    side * width,
  ];
  const name = landmark.replace(/left_|right_/, '');
  if (name === 'ankle') return ankle;
  if (name === 'knee') return knee;
  if (name === 'hip') return hip;
  if (name === 'big_toe') return [0.18, 0.03, side * 0.2];
  if (name === 'heel') return [-0.06, 0.03, side * 0.15];
  if (name === 'shoulder') return along(0.5, 0.18);
  if (name === 'elbow') return along(0.42, 0.2, 0.26);
  if (name === 'wrist') return along(0.52, 0.24, 0.08);
  if (name === 'bar_end') return along(0.54, 1.0, 0.1);
  if (name === 'nose') return along(0.72, 0, 0.1);
  throw new Error(`the stick lifter has no ${landmark}`);
}

export type Motion = (timeS: number, landmark: Landmark) => Vector;

/** The motion seen after the lifter turns by `angleRad` about the vertical: world = Ry(angle) lab, and is moved. */
export function turned(motion: Motion, angleRad: number, shift: Vector = [0, 0, 0]): Motion {
  const c = Math.cos(angleRad);
  const s = Math.sin(angleRad);
  return (timeS, landmark) => {
    const [x, y, z] = motion(timeS, landmark);
    return [c * x + s * z + shift[0], y + shift[1], -s * x + c * z + shift[2]];
  };
}

/** The mirror image in the plane Z = 0: left and right change places. */
export function mirrored(motion: Motion): Motion {
  return (timeS, landmark) => {
    const [x, y, z] = motion(timeS, otherSide(landmark));
    return [x, y, -z];
  };
}

export function otherSide(landmark: Landmark): Landmark {
  if (landmark.includes('left')) return landmark.replace('left', 'right') as Landmark;
  return landmark.replace('right', 'left') as Landmark;
}

export interface Filming {
  readonly frames?: number;
  readonly rateHz?: number;
  readonly offsetS?: number;
  readonly readoutS?: number;
  readonly landmarks?: readonly Landmark[];
  /** Added to a pixel coordinate. */
  readonly noise?: () => number;
}

/**
 * The keypoints of one camera. A rolling shutter reads row v at v / height of the readout after the frame begins; the
 * time at which a moving point meets the row being read is found by iteration.
 */
export function film(camera: Camera, motion: Motion, filming: Filming = {}): KeypointTrack {
  const { frames = 300, rateHz = 60, offsetS = 0, readoutS = 0, landmarks = BODY, noise = () => 0 } = filming;
  const pixel = new Float64Array(2 * frames * landmarks.length);
  for (let k = 0; k < frames; k++) {
    landmarks.forEach((landmark, l) => {
      const frameS = offsetS + k / rateHz;
      let [u, v] = project(camera, motion(frameS, landmark));
      for (let i = 0, last = Number.NaN; readoutS > 0 && i < 50 && !(Math.abs(v - last) < 1e-10); i++) {
        last = v;
        [u, v] = project(camera, motion(frameS + (v / camera.imageHeight) * readoutS, landmark));
      }
      pixel[2 * (k * landmarks.length + l)] = u + noise();
      pixel[2 * (k * landmarks.length + l) + 1] = v + noise();
    });
  }
  return {
    camera: camera.name,
    files: [`${camera.name}.json`],
    frameRateHz: rateHz,
    offsetS,
    offsetStated: true,
    readoutS,
    frames,
    landmarks,
    pixel,
    confidence: new Float64Array(frames * landmarks.length).fill(0.9),
    status: new Uint8Array(frames * landmarks.length).fill(SampleStatus.seen),
  };
}

/** Points of the motion as a file would give them, already in its stated axes. */
export function pointsOf(motion: Motion, frames = 300, frameRateHz = 60, landmarks = BODY): PointTrack {
  const position = new Float64Array(3 * frames * landmarks.length);
  for (let k = 0; k < frames; k++) {
    landmarks.forEach((landmark, l) => {
      position.set(motion(k / frameRateHz, landmark), 3 * (k * landmarks.length + l));
    });
  }
  return {
    file: 'points.csv',
    frameRateHz,
    frames,
    landmarks,
    position,
    status: new Uint8Array(frames * landmarks.length),
    sdM: 0.001,
  };
}

const RECORDING: Recording = {
  file: 'recording.yaml',
  id: 'scene',
  date: null,
  athlete: { id: 'stick', sex: 'unknown', massKg: 70, statureM: 1.7 },
  lift: {
    kind: 'front squat',
    set: null,
    plannedRepetitions: null,
    outcome: null,
    grip: null,
    effortRpe: null,
  },
  load: { totalKg: 20, bar: { position: 'front rack', lengthM: 2, massKg: 20 } },
  shoes: { heelHeightM: null },
  condition: {},
  source: { kind: 'views', rig: 'rig.json', views: [] },
  forcePlates: [],
  segments: 'de-leva-1996',
  settings: { ...DEFAULT_SETTINGS, smoothing: { kind: 'none' } },
  synthetic: true,
};

export function recordingOf(
  what: { readonly tracks: readonly KeypointTrack[] } | { readonly points: PointTrack },
  settings: Partial<Recording['settings']> = {},
): RecordingData {
  return {
    recording: { ...RECORDING, settings: { ...RECORDING.settings, ...settings } },
    tracks: 'tracks' in what ? what.tracks : null,
    rigJson: null,
    points: 'points' in what ? what.points : null,
    forcePlates: [],
    inputs: [],
  };
}
