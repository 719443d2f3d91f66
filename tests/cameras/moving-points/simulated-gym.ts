import { solveBundle } from '../../../src/cameras/bundle.ts';
import type { BundleCamera, BundleTarget } from '../../../src/cameras/bundle-problem.ts';
import { projectInto } from '../../../src/cameras/camera-model.ts';
import { type FreeLensParameter, lensValue } from '../../../src/cameras/fit-camera.ts';
import type { ImageTrack } from '../../../src/cameras/moving-points/image-tracks.ts';
import type { MovingLens } from '../../../src/cameras/moving-points/joint-fit.ts';
import { composePoses, invertPose, type Pose } from '../../../src/cameras/pose.ts';
import type { Camera } from '../../../src/cameras/rig.ts';
import type { Landmark } from '../../../src/capture/landmarks.ts';
import { hashSeed, type Random, seededRandom } from '../../../src/numerics/random.ts';
import { multiply3, rotationFromVector } from '../../../src/numerics/rotation.ts';
import { demoCameras, type SyntheticCamera } from '../../synthetic/camera.ts';
import { DEMO_RECORDINGS, type DemoRecording, liftOf } from '../../synthetic/demo.ts';
import { worldFromLab } from '../../synthetic/film.ts';
import { landmarksOf } from '../../synthetic/lift.ts';
import { noiseTrace, type PixelNoise, whiteNoise } from '../../synthetic/noise.ts';
import type { Vector } from '../../synthetic/vector.ts';

/** Body joints that join the bar: those a detector reports on every recording. */
export const JOINTS: readonly Landmark[] = [
  'nose',
  'left_ear',
  'right_ear',
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
  'left_heel',
  'right_heel',
  'left_big_toe',
  'right_big_toe',
];
export const BAR: readonly Landmark[] = ['bar_left_end', 'bar_right_end'];
const ALL = [...BAR, ...JOINTS];

export const RATE_HZ = 60;
/** The second phone starts this much later; known. */
const OFFSETS_S = [0, 0.013, 0.006];

/**
 * One pixel of white noise, and three quarters of a pixel that wanders with a memory of 0.15 s: the share that the slow part
 * has in the synthetic world's detector. All points alike, no bursts.
 */
export const PLAIN_NOISE: PixelNoise = { ...whiteNoise(1), slowPx: 0.75, slowS: 0.15 };

/**
 * 'straight': small steps between repetitions. 'turned': the second and third repetition turned by ± 30°. 'still': no steps,
 * only the sway of the lift. 'guided': still, and the bar goes exactly up and down, as in a guided machine.
 */
export type Turning = 'straight' | 'turned' | 'still' | 'guided';

/** True points of a set of three repetitions in the world of the cameras, by camera and frame: `3 * (frame * ALL + point)`. */
export interface TrueSet {
  readonly recorded: DemoRecording;
  readonly cameras: readonly SyntheticCamera[];
  readonly frames: number;
  readonly position: readonly Float64Array[];
  readonly barLengthM: number;
}

const cache = new Map<string, TrueSet>();

/**
 * A lifter's set of three. Sway: 4 mm fore and aft (two slow waves) in the lift itself; between repetitions small invented
 * steps: 2 cm in place and 1.5° in heading (standard deviations). 'turned': the second repetition is done turned by +30°,
 * the third by −30°.
 */
export function trueSet(recordingId: string, turning: Turning, cameras = demoCameras()): TrueSet {
  const key = `${recordingId} ${turning} ${cameras.map(({ name, centre }) => name + centre.join()).join()}`;
  const known = cache.get(key);
  if (known) return known;
  const recorded = DEMO_RECORDINGS.find(({ id }) => id === recordingId)!;
  const lift = liftOf(recorded, 'outside');
  const random = seededRandom(hashSeed('steps', recordingId));
  const steps = turning === 'still' || turning === 'guided' ? 0 : 1;
  const placements = lift.course.repetitions.map((_, i) => ({
    headingRad:
      recorded.headingRad +
      ((1.5 * steps * random.normal() + (turning === 'turned' ? [0, 30, -30][i % 3] : 0)) * Math.PI) / 180,
    placeM: [
      recorded.placeM[0] + 0.02 * steps * random.normal(),
      recorded.placeM[1] + 0.02 * steps * random.normal(),
    ] as const,
  }));
  const frames = Math.floor((lift.course.durationS - 0.02) * RATE_HZ);
  const starts = lift.course.repetitions.map(({ startS }, i) => (i === 0 ? 0 : startS - 0.3));
  const position = cameras.map((_, c) => {
    const out = new Float64Array(3 * frames * ALL.length).fill(Number.NaN);
    for (let k = 0; k < frames; k++) {
      const t = OFFSETS_S[c] + k / RATE_HZ;
      const which = starts.filter((start) => start <= t).length - 1;
      // While the lifter steps (0.3 s before the next repetition) nothing is filmed.
      if (which + 1 < starts.length && starts[which + 1] - t < 0.3) continue;
      const points = landmarksOf(lift.postureAt(t), lift.setup.equipment);
      ALL.forEach((name, p) => {
        const [x, y, z] = points.get(name)!;
        const ahead = turning === 'guided' && BAR.includes(name) ? 0.05 : x;
        out.set(worldFromLab(placements[which], [ahead, y, z]), 3 * (k * ALL.length + p));
      });
    }
    return out;
  });
  const found = { recorded, cameras, frames, position, barLengthM: lift.setup.equipment.barLengthM };
  cache.set(key, found);
  return found;
}

export interface FilmedSet {
  readonly tracks: readonly ImageTrack[];
  /** The same without noise. */
  readonly exact: readonly ImageTrack[];
}

/** Shift of a keypoint that depends on the camera (what a detector calls a hip is not the same spot from both sides), m. */
export type CameraBias = (camera: number, landmark: Landmark) => Vector;

export function filmSet(set: TrueSet, noise: PixelNoise, seed: number, bias?: CameraBias): FilmedSet {
  const pairs = set.cameras.map((camera, c) => {
    const random = seededRandom(hashSeed(seed, 'moving points', camera.name));
    const view = analysedCamera(camera);
    const exact = new Float64Array(2 * set.frames * ALL.length).fill(Number.NaN);
    for (let p = 0; p < ALL.length; p++) {
      const shift = bias?.(c, ALL[p]) ?? [0, 0, 0];
      for (let k = 0; k < set.frames; k++) {
        const i = k * ALL.length + p;
        const [x, y, z] = set.position[c].subarray(3 * i, 3 * i + 3);
        if (Number.isFinite(x)) projectInto(exact, 2 * i, view, x + shift[0], y + shift[1], z + shift[2]);
      }
    }
    const pixel = exact.slice();
    ALL.forEach((name, p) => {
      const { errorPx } = noiseTrace(name, set.frames, RATE_HZ, noise, random);
      for (let k = 0; k < set.frames; k++) {
        for (let a = 0; a < 2; a++) pixel[2 * (k * ALL.length + p) + a] += errorPx[2 * k + a];
      }
    });
    const track = {
      camera: camera.name,
      points: ALL,
      timeS: Float64Array.from({ length: set.frames }, (_, k) => OFFSETS_S[c] + k / RATE_HZ),
      readoutS: 0,
      imageHeight: camera.imageSizePx[1],
    };
    return { noisy: { ...track, pixel }, exact: { ...track, pixel: exact } };
  });
  return { tracks: pairs.map(({ noisy }) => noisy), exact: pairs.map(({ exact }) => exact) };
}

/** The analyser's camera for a synthetic one: same numbers, other code. */
export function analysedCamera(camera: SyntheticCamera): Camera {
  const { lens, axes, centre, imageSizePx, focalPx, principalPointPx } = camera;
  const rotation = Float64Array.of(...axes[0], ...axes[1], ...axes[2]);
  return {
    name: camera.name,
    imageWidth: imageSizePx[0],
    imageHeight: imageSizePx[1],
    fx: focalPx,
    fy: focalPx,
    cx: principalPointPx[0],
    cy: principalPointPx[1],
    skew: 0,
    distortion: [lens.k1, lens.k2, lens.p1, lens.p2, lens.k3],
    rotation,
    translation: Float64Array.from(
      [0, 1, 2],
      (i) => -(rotation[3 * i] * centre[0] + rotation[3 * i + 1] * centre[1] + rotation[3 * i + 2] * centre[2]),
    ),
  };
}

export const exactLens = (camera: SyntheticCamera): MovingLens => ({
  camera: analysedCamera(camera),
  parameters: [],
  covariance: new Float64Array(0),
});

const FREE: readonly FreeLensParameter[] = ['fx', 'fy', 'cx', 'cy', 'k1', 'k2', 'p1', 'p2'];
/** An A3 board: 10 × 7 inner corners of 36 mm. */
const BOARD = { columns: 10, rows: 7, squareM: 0.036 };
const boardPoints = Float64Array.from({ length: 3 * BOARD.columns * BOARD.rows }, (_, o) => {
  const i = Math.floor(o / 3);
  const at = [i % BOARD.columns, Math.floor(i / BOARD.columns), 0][o % 3];
  return at === 0 ? 0 : at * BOARD.squareM;
});

/**
 * A lens as its own calibration leaves it: 15 images of a board 0.6–1.0 m away, tilted up to 35°, corner noise `cornerPx`,
 * fitted by solveBundle; estimate and covariance.
 */
export function calibratedLens(camera: SyntheticCamera, cornerPx: number, seed: number): MovingLens {
  const random = seededRandom(hashSeed(seed, 'lens', camera.name));
  const truth = { ...analysedCamera(camera), ...identity() };
  const poses = Array.from({ length: 15 }, () => boardPose(random, 0.6 + 0.4 * random.uniform(), 0.28, 0.5));
  const start: Camera = { ...truth, fx: truth.fx * 1.01, fy: truth.fy * 1.01, distortion: [0.05, -0.1, 0, 0, 0] };
  const found = solveBundle({
    cameras: [{ camera: start, poseFree: false, lensFree: FREE }],
    ...boardsSeen([truth], poses, cornerPx, random),
    loss: { kind: 'none' },
  });
  return { camera: found.cameras[0], parameters: FREE, covariance: found.covariance };
}

/** A board rig: 12 images that both cameras see, over the lifter's space, lenses refined under their prior. First camera at the origin. */
export function boardRig(set: TrueSet, lenses: readonly MovingLens[], cornerPx: number, seed: number): Camera[] {
  const random = seededRandom(hashSeed(seed, 'board rig'));
  const truth = set.cameras.map(analysedCamera);
  const firstFromWorld: Pose = truth[0];
  const poses = Array.from({ length: 12 }, () => {
    // Held by a person who stands where the lifter will, facing between the cameras.
    const tilt = rotationFromVector([
      0.5 * random.normal() * 0.6,
      Math.PI / 2 + 0.35 * random.normal(),
      0.2 * random.normal(),
    ]);
    const at = [0.5 * (random.uniform() - 0.5), 0.4 + 1.1 * random.uniform(), 1.2 * (random.uniform() - 0.5)];
    const worldFromBoard: Pose = { rotation: tilt, translation: Float64Array.from(at) };
    return composePoses(firstFromWorld, worldFromBoard);
  });
  const relative = truth.map((camera): Camera => ({ ...camera, ...composePoses(camera, invertPose(firstFromWorld)) }));
  const cameras = lenses.map(
    (lens, c): BundleCamera => ({
      camera: { ...lens.camera, rotation: relative[c].rotation, translation: relative[c].translation },
      poseFree: c > 0,
      lensFree: lens.parameters,
      ...(lens.parameters.length > 0 && {
        lensPrior: {
          mean: Float64Array.from(lens.parameters, (parameter) => lensValue(lens.camera, parameter)),
          covariance: lens.covariance,
        },
      }),
    }),
  );
  return [
    ...solveBundle({ cameras, ...boardsSeen(relative, poses, cornerPx, random), loss: { kind: 'none' } }).cameras,
  ];
}

function boardsSeen(cameras: readonly Camera[], poses: readonly Pose[], cornerPx: number, random: Random) {
  const camera: number[] = [];
  const target: number[] = [];
  const point: number[] = [];
  const pixel: number[] = [];
  const uv = new Float64Array(2);
  poses.forEach(({ rotation: r, translation: t }, b) => {
    cameras.forEach((view, c) => {
      for (let i = 0; i < boardPoints.length / 3; i++) {
        const [x, y] = [boardPoints[3 * i], boardPoints[3 * i + 1]];
        const p = [0, 1, 2].map((k) => r[3 * k] * x + r[3 * k + 1] * y + t[k]);
        projectInto(uv, 0, view, p[0], p[1], p[2]);
        const inside = uv[0] >= 0 && uv[1] >= 0 && uv[0] < view.imageWidth && uv[1] < view.imageHeight;
        if (!inside) continue;
        camera.push(c);
        target.push(b);
        point.push(i);
        pixel.push(uv[0] + cornerPx * random.normal(), uv[1] + cornerPx * random.normal());
      }
    });
  });
  const n = camera.length;
  return {
    targets: poses.map(
      (start, b): BundleTarget => ({ kind: 'rigid', label: `board ${b}`, points: boardPoints, start }),
    ),
    observations: {
      camera: Int32Array.from(camera),
      target: Int32Array.from(target),
      point: Int32Array.from(point),
      pixel: Float64Array.from(pixel),
      sdPx: new Float64Array(2 * n).fill(cornerPx),
      velocity: null,
      timeS: null,
    },
  };
}

/** A board in front of a camera, its middle within ± `reach` × depth (halved across) of the axis. */
function boardPose(random: Random, depth: number, reach: number, tilt: number): Pose {
  const turn = multiply3(
    rotationFromVector([tilt * (2 * random.uniform() - 1), tilt * (2 * random.uniform() - 1), 0]),
    rotationFromVector([0, 0, Math.PI / 2 + 0.2 * random.normal()]),
  );
  const middle = [0.5 * reach * depth * (2 * random.uniform() - 1), reach * depth * (2 * random.uniform() - 1), depth];
  const half = [(BOARD.squareM * (BOARD.columns - 1)) / 2, (BOARD.squareM * (BOARD.rows - 1)) / 2];
  return {
    rotation: turn,
    translation: Float64Array.from([0, 1, 2], (k) => middle[k] - turn[3 * k] * half[0] - turn[3 * k + 1] * half[1]),
  };
}

const identity = (): Pose => ({
  rotation: Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1),
  translation: new Float64Array(3),
});

export { ALL as POINTS };
