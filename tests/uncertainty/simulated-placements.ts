import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import type { CameraRig } from '../../src/cameras/rig.ts';
import { parseRig } from '../../src/cameras/rig-file.ts';
import type { Landmark } from '../../src/capture/landmarks.ts';
import { type FilmingPlan, filmingPlan } from '../../src/capture/plan-file.ts';
import {
  DEFAULT_SETTINGS,
  type KeypointTrack,
  type Recording,
  type RecordingData,
} from '../../src/capture/recording.ts';
import { SampleStatus } from '../../src/capture/sample-status.ts';
import { sagittalInclination, thighElevation } from '../../src/lift/angles.ts';
import { hipShare } from '../../src/lift/shares.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { hashSeed, seededRandom } from '../../src/numerics/random.ts';
import { standardDeviation as sampleSd } from '../../src/numerics/statistics.ts';
import type { LoadedLifter, Posture } from '../../src/predict/posture.ts';
import { reconstruct } from '../../src/reconstruction/reconstruct.ts';
import { cameraOnStand } from '../../src/uncertainty/camera-stand.ts';
import { type Foreseen, foresee } from '../../src/uncertainty/foresee.ts';
import { foreseenScene, type Scene, sceneOf } from '../../src/uncertainty/foreseen-scene.ts';
import { worstAxis } from '../../src/uncertainty/point-covariance.ts';
import {
  fixedCutoff,
  pixelVariances,
  pointCovariances,
  quantitySds,
} from '../../src/uncertainty/posture-uncertainty.ts';
import { cameraOn, imageOf, type SyntheticCamera } from '../synthetic/camera.ts';
import { type DemoRecording, demoRecording, liftOf } from '../synthetic/demo.ts';
import { landmarksOf, type VirtualLift } from '../synthetic/lift.ts';
import { noiseTrace, whiteNoise } from '../synthetic/noise.ts';
import { trueRepetition } from '../synthetic/truth.ts';
import { BAR_ENDS, BODY_AND_FEET, rigFile } from '../synthetic/write.ts';

/** Two phones, [left, right]: degrees off sideways, metres away, metres high. */
export interface Placement {
  readonly name: string;
  readonly angleDeg: readonly [number, number];
  readonly distanceM: readonly [number, number];
  readonly heightM: readonly [number, number];
}

export interface Lens {
  readonly name: string;
  readonly focalPx: number;
  /** The phones stand this many times further away than the placement says, so that the lifter fills the picture alike. */
  readonly further: number;
}

/** From rays that cross at 30° to rays at 130°, like and unlike on both sides. */
export const PLACEMENTS: readonly Placement[] = [
  { name: '45° both', angleDeg: [45, 45], distanceM: [3.6, 3.6], heightM: [1, 1] },
  { name: '25° both', angleDeg: [25, 25], distanceM: [3.8, 3.8], heightM: [1.1, 1.1] },
  { name: '60° both', angleDeg: [60, 60], distanceM: [3.6, 3.6], heightM: [1, 1] },
  { name: '75° both', angleDeg: [75, 75], distanceM: [3.6, 3.6], heightM: [1.2, 1.2] },
  { name: '55° and 30°, unlike', angleDeg: [55, 30], distanceM: [4.4, 3.2], heightM: [1.4, 0.6] },
];

/** 90° and 42° along the longer side of 1080 × 1920. */
export const LENSES: readonly Lens[] = [
  { name: 'wide', focalPx: 960, further: 0.75 },
  { name: 'narrow', focalPx: 2500, further: 1.6 },
];

export interface SimulatedNoise {
  readonly whitePx: number;
  readonly slowPx: number;
  readonly slowS: number;
}

const RATE_HZ = 60;
/** Filmed before and after parallel, seconds: the filters' memory is 1/3 s. */
const AROUND_S = 0.6;
/** Every point that has a part in moments; the others would only take time. */
const LANDMARKS: readonly Landmark[] = [...BODY_AND_FEET, ...BAR_ENDS].filter(
  (name) => !/eye|nose|small_toe/.test(name),
);
const SIZE_PX = [1080, 1920] as const;
const KNEE: Landmark = 'right_knee';

/** What is compared; 'read' = where the measured thigh elevation crosses 0, else in the frame nearest to true parallel. */
export const COMPARED = ['knee along its worst axis', 'trunk lean', 'hip share', 'hip share, read'] as const;
export type Compared = (typeof COMPARED)[number];

export interface Comparison {
  readonly foreseen: Record<Compared, number>;
  readonly simulated: Record<Compared, number>;
  /** Foreseen with the plan's own posture of a lifter of the same stature, mass and load. */
  readonly ownPosture: Record<Compared, number>;
}

/** One descent of a virtual lifter around parallel: true points at every frame, and which frame is nearest to parallel. */
interface Stretch {
  readonly lift: VirtualLift;
  readonly recorded: DemoRecording;
  /** `3 * (frame * LANDMARKS.length + landmark)`, metres. */
  readonly points: Float64Array;
  readonly frames: number;
  readonly middle: number;
}

export function stretchOf(recordingId: string, aroundS = AROUND_S): Stretch {
  const recorded = demoRecording(recordingId);
  // Inside the analyser's assumptions: what is tested is the propagation of pixel noise, and nothing else may differ.
  const lift = liftOf(recorded, 'inside');
  const parallelS = trueRepetition(lift, 0).parallelDescent.timeS;
  const half = Math.round(aroundS * RATE_HZ);
  const frames = 2 * half + 1;
  const points = new Float64Array(3 * frames * LANDMARKS.length);
  for (let k = 0; k < frames; k++)
    points.set(pointsAt(lift, parallelS + (k - half) / RATE_HZ), 3 * k * LANDMARKS.length);
  return { lift, recorded, points, frames, middle: half };
}

function pointsAt(lift: VirtualLift, t: number): Float64Array {
  const places = landmarksOf(lift.postureAt(t), lift.setup.equipment);
  return Float64Array.from(LANDMARKS.flatMap((name) => [...places.get(name)!]));
}

/** The phones of a placement, in the synthetic world's own camera. */
function syntheticCameras(placement: Placement, lens: Lens): SyntheticCamera[] {
  return (['left', 'right'] as const).map((side, i) => {
    const angle = (placement.angleDeg[i] * Math.PI) / 180;
    const distance = placement.distanceM[i] * lens.further;
    const z = (side === 'left' ? -1 : 1) * distance * Math.cos(angle);
    return cameraOn(
      { name: side, centre: [distance * Math.sin(angle), placement.heightM[i], z], lookAt: [0, 0.9, 0], rollRad: 0 },
      {
        imageSizePx: SIZE_PX,
        focalPx: lens.focalPx,
        principalPointPx: [(SIZE_PX[0] - 1) / 2, (SIZE_PX[1] - 1) / 2],
        lens: { k1: 0, k2: 0, p1: 0, p2: 0, k3: 0 },
      },
    );
  });
}

/** The same placement as a plan says it. */
export function planOf(placement: Placement, lens: Lens, recorded: DemoRecording, noise: SimulatedNoise): FilmingPlan {
  const { build, loadKg, style } = recorded;
  return filmingPlan(
    {
      kneeward: 1,
      plan: 'simulated',
      lifter: {
        sex: build.sex,
        stature_m: build.statureM,
        mass_kg: build.massKg,
        ankle_distance_m: style.ankleDistanceM,
        toe_out_deg: (style.toeOutRad * 180) / Math.PI,
      },
      load: { total_kg: loadKg, bar: { position: 'front rack' } },
      cameras: (['left', 'right'] as const).map((side, i) => ({
        name: side,
        side,
        angle_deg: placement.angleDeg[i],
        distance_m: placement.distanceM[i] * lens.further,
        height_m: placement.heightM[i],
        aim_height_m: 0.9,
        focal_px: lens.focalPx,
        frame_rate_hz: RATE_HZ,
      })),
      noise: { white_px: noise.whitePx, slow_px: noise.slowPx, slow_s: noise.slowS },
    },
    'simulated',
  );
}

/** Foreseen against simulated standard deviations of one placement, lens and noise; `runs` films with fresh noise. */
export function compare(
  stretch: Stretch,
  placement: Placement,
  lens: Lens,
  noise: SimulatedNoise,
  runs: number,
  seed: number,
): Comparison {
  const plan = planOf(placement, lens, stretch.recorded, noise);
  const scene = sceneOfStretch(stretch);
  const { foreseen, worst } = foreseenSds(plan, scene);
  return {
    foreseen,
    simulated: simulatedSds(stretch, placement, lens, noise, runs, seed, worst),
    ownPosture: foreseenSds(plan, foreseenScene(plan)).foreseen,
  };
}

/** The plan's scene with the simulated lifter's posture: propagation is then compared and nothing else. */
export function sceneOfStretch({ lift, recorded }: Stretch): Scene {
  const parallelS = trueRepetition(lift, 0).parallelDescent.timeS;
  const posture = (t: number): Posture => ({ landmarks: LANDMARKS, position: pointsAt(lift, t) });
  const lifter: LoadedLifter = {
    sex: recorded.build.sex,
    massKg: recorded.build.massKg,
    load: recordingOf(recorded).load,
    segments: 'de-leva-1996',
  };
  const parallel = posture(parallelS);
  const beside = [posture(parallelS - 0.03), posture(parallelS + 0.03)] as const;
  const discs = { loadKg: recorded.loadKg, barKg: lift.setup.equipment.barMassKg };
  return sceneOf(lifter, { standing: posture(0), parallel, bottom: parallel }, beside, [], discs, [0, 0]);
}

function foreseenSds(
  plan: FilmingPlan,
  scene: Scene,
): { foreseen: Record<Compared, number>; worst: readonly number[] } {
  const cameras = plan.cameras.map((one) =>
    cameraOnStand(one.name, { ...one, aimHeightM: one.aimHeightM! }, one, ...scene.middle),
  );
  const { landmarks, position } = scene.postures.parallel;
  const filmings = cameras.map((camera) => ({ camera, frameRateHz: RATE_HZ, noise: () => plan.noise }));
  const variances = pixelVariances(landmarks, filmings, fixedCutoff(plan.smoothing));
  const covariances = pointCovariances(cameras, variances, position);
  const knee = worstAxis(covariances, 6 * landmarks.indexOf(KNEE));
  const held = quantitySds(scene.sensitivity.parallel, covariances);
  const read: Foreseen = foresee(scene, cameras, variances);
  return {
    foreseen: {
      'knee along its worst axis': knee.sdM,
      'trunk lean': held.trunk_lean_deg,
      'hip share': held.hip_share_gravity_both,
      'hip share, read': read.hipShareHalfWidth95 / 1.959963984540054,
    },
    worst: knee.axis,
  };
}

function simulatedSds(
  stretch: Stretch,
  placement: Placement,
  lens: Lens,
  noise: SimulatedNoise,
  runs: number,
  seed: number,
  worst: readonly number[],
): Record<Compared, number> {
  const cameras = syntheticCameras(placement, lens);
  const rig = parseRig(JSON.parse(rigFile(cameras)), 'rig.json');
  const exact = cameras.map((camera) => exactPixels(stretch, camera));
  const found: Record<Compared, number[]> = {
    'knee along its worst axis': [],
    'trunk lean': [],
    'hip share': [],
    'hip share, read': [],
  };
  for (let run = 0; run < runs; run++) {
    const data = noisyRecording(stretch, cameras, exact, noise, hashSeed(seed, placement.name, lens.name, run));
    const values = analysed(data, rig, stretch, worst);
    for (const name of COMPARED) found[name].push(values[name]);
  }
  return Object.fromEntries(COMPARED.map((name) => [name, sampleSd(found[name])])) as Record<Compared, number>;
}

/** One film of a stretch as the analysis reads it, with its rig. */
export function simulatedRecording(
  stretch: Stretch,
  placement: Placement,
  lens: Lens,
  noise: SimulatedNoise,
  seed: number,
): { readonly data: RecordingData; readonly rig: CameraRig } {
  const cameras = syntheticCameras(placement, lens);
  const exact = cameras.map((camera) => exactPixels(stretch, camera));
  return {
    data: noisyRecording(stretch, cameras, exact, noise, seed),
    rig: parseRig(JSON.parse(rigFile(cameras)), 'rig.json'),
  };
}

function exactPixels({ points }: Stretch, camera: SyntheticCamera): Float64Array {
  const pixel = new Float64Array((2 * points.length) / 3);
  for (let s = 0; 3 * s < points.length; s++) {
    pixel.set(imageOf(camera, [points[3 * s], points[3 * s + 1], points[3 * s + 2]])!, 2 * s);
  }
  return pixel;
}

function noisyRecording(
  { frames, recorded }: Stretch,
  cameras: readonly SyntheticCamera[],
  exact: readonly Float64Array[],
  noise: SimulatedNoise,
  seed: number,
): RecordingData {
  const count = LANDMARKS.length;
  const tracks = cameras.map((camera, v): KeypointTrack => {
    const random = seededRandom(hashSeed(seed, camera.name));
    const pixel = exact[v].slice();
    LANDMARKS.forEach((landmark, l) => {
      const { errorPx } = noiseTrace(
        landmark,
        frames,
        RATE_HZ,
        { ...whiteNoise(noise.whitePx), slowPx: noise.slowPx, slowS: noise.slowS },
        random,
      );
      for (let k = 0; k < frames; k++) {
        pixel[2 * (k * count + l)] += errorPx[2 * k];
        pixel[2 * (k * count + l) + 1] += errorPx[2 * k + 1];
      }
    });
    return {
      camera: camera.name,
      files: [],
      frameRateHz: RATE_HZ,
      offsetS: 0,
      offsetStated: true,
      readoutS: 0,
      frames,
      landmarks: LANDMARKS,
      pixel,
      confidence: new Float64Array(frames * count).fill(0.9),
      status: new Uint8Array(frames * count).fill(SampleStatus.seen),
    };
  });
  return { recording: recordingOf(recorded), tracks, rigJson: null, points: null, forcePlates: [], inputs: [] };
}

function recordingOf({ build, loadKg }: DemoRecording): Recording {
  return {
    file: 'simulated',
    id: 'simulated',
    date: null,
    athlete: { id: build.id, sex: build.sex, massKg: build.massKg, statureM: build.statureM },
    lift: { kind: 'front squat', set: 1, plannedRepetitions: 1, outcome: 'made', grip: null, effortRpe: null },
    load: { totalKg: loadKg, bar: { position: 'front rack', lengthM: null, massKg: null } },
    shoes: { heelHeightM: null },
    condition: {},
    source: { kind: 'views', rig: '', views: [] },
    forcePlates: [],
    segments: 'de-leva-1996',
    settings: DEFAULT_SETTINGS,
    synthetic: true,
  };
}

/** The analyser's numbers of one film: reconstruction, body, loads. */
function analysed(
  data: RecordingData,
  rig: CameraRig,
  { middle }: Stretch,
  worst: readonly number[],
): Record<Compared, number> {
  const { smoothed, turn } = reconstruct(data, rig);
  const motion = bodyMotion(smoothed, data.recording);
  const loads = jointLoads(motion, [], turn);
  const { joints } = motion;
  const lean = sagittalInclination(joints.mid_hip!, joints.mid_shoulder!);
  const left = thighElevation(joints.left_hip!, joints.left_knee!);
  const elevation = thighElevation(joints.right_hip!, joints.right_knee!).map((value, f) => (value + left[f]) / 2);
  const systemKg = motion.bodyMassKg + motion.barMassKg;
  const share = loads.fromAbove!.hip.gravity.map((hip, f) => hipShare(hip, loads.fromAbove!.knee.gravity[f], systemKg));
  const knee = joints.right_knee!;
  return {
    'knee along its worst axis': [0, 1, 2].reduce((sum, axis) => sum + worst[axis] * knee[3 * middle + axis], 0),
    'trunk lean': lean[middle],
    'hip share': share[middle],
    'hip share, read': readAtParallel(share, elevation, middle),
  };
}

/** Linear between the two frames around the crossing of 0° nearest to `near`. */
function readAtParallel(share: Float64Array, elevation: Float64Array, near: number): number {
  let best = -1;
  for (let f = 0; f + 1 < elevation.length; f++) {
    if (elevation[f] > 0 && elevation[f + 1] <= 0 && (best < 0 || Math.abs(f - near) < Math.abs(best - near))) best = f;
  }
  const part = elevation[best] / (elevation[best] - elevation[best + 1]);
  return share[best] + part * (share[best + 1] - share[best]);
}
