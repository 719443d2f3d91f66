import { hashSeed } from '../../src/numerics/random.ts';
import { demoCameras } from './camera.ts';
import { type CoursePlan, courseOf } from './course.ts';
import { type Bias, type Filming, film } from './film.ts';
import { type VirtualLift, virtualLift } from './lift.ts';
import { type Build, lifterOf, type World } from './lifter.ts';
import { DETECTOR_NOISE } from './noise.ts';
import type { Equipment, Style } from './posture.ts';
import {
  loadsAt,
  type TrueLoads,
  type TruePosture,
  type TrueRepetition,
  trueMeasures,
  trueRepetition,
} from './truth.ts';
import { BAR_ENDS, BODY_AND_FEET, recordingFiles, type SyntheticFile } from './write.ts';

/** Invented people: no one measured, ratios chosen to differ. */
export const DEMO_SEED = 20260304;
/** The invented day of filming. */
export const DEMO_DATE = '2026-03-04';

const deg = Math.PI / 180;

export const DEMO_BUILDS: readonly Build[] = [
  {
    id: 'A01', // long thighs, short trunk
    sex: 'female',
    massKg: 63,
    statureM: 1.68,
    femurPerTibia: 1.05,
    trunkPerFemur: 1.12,
    footPerStature: 0.15,
    hipWidthPerStature: 0.101,
    shoulderWidthPerStature: 0.2,
    dorsiflexionLimitRad: 33 * deg,
    seed: 1,
  },
  {
    id: 'A02', // short thighs, long trunk
    sex: 'male',
    massKg: 84,
    statureM: 1.78,
    femurPerTibia: 0.94,
    trunkPerFemur: 1.33,
    footPerStature: 0.152,
    hipWidthPerStature: 0.098,
    shoulderWidthPerStature: 0.213,
    dorsiflexionLimitRad: 36 * deg,
    seed: 2,
  },
  {
    id: 'A03', // average ratios, small, mobile ankles
    sex: 'female',
    massKg: 56,
    statureM: 1.59,
    femurPerTibia: 0.98,
    trunkPerFemur: 1.24,
    footPerStature: 0.149,
    hipWidthPerStature: 0.104,
    shoulderWidthPerStature: 0.202,
    dorsiflexionLimitRad: 39 * deg,
    seed: 3,
  },
  {
    id: 'A04', // long thighs, stiff ankles
    sex: 'male',
    massKg: 93,
    statureM: 1.87,
    femurPerTibia: 1.02,
    trunkPerFemur: 1.16,
    footPerStature: 0.151,
    hipWidthPerStature: 0.097,
    shoulderWidthPerStature: 0.211,
    dorsiflexionLimitRad: 28 * deg,
    seed: 4,
  },
];

export const KNEE_LED: Style = {
  name: 'knee-led',
  shankShape: 0.85,
  shankLeadS: 0.06,
  wantedShankRad: 41 * deg,
  deepestThighRad: -20 * deg,
  standingFootPoint: 0.42,
  deepFootPoint: 0.46,
  standingLeanRad: 1 * deg,
  standingKneeFlexionRad: 5 * deg,
  ankleDistanceM: 0.3,
  toeOutRad: 18 * deg,
};

export const HIP_LED: Style = {
  ...KNEE_LED,
  name: 'hip-led',
  shankShape: -0.4,
  shankLeadS: -0.06,
  wantedShankRad: 31 * deg,
  deepestThighRad: -12 * deg,
  deepFootPoint: 0.39,
};

/**
 * Men's and women's bars: 2.20 m 20 kg and 2.01 m 15 kg, 1.31 m between the inner collars, discs 450 mm (weightlifting
 * rules). A pack of discs is taken as 2.8 mm thick a kilogram (a 25 kg disc commonly 63–67 mm; common practice, no source).
 */
export function equipmentOf(sex: 'female' | 'male', loadKg: number, heel: 'flat' | 'raised'): Equipment {
  const barMassKg = sex === 'female' ? 15 : 20;
  const discThicknessM = 0.0028 * Math.max(0, (loadKg - barMassKg) / 2);
  return {
    heelHeightM: heel === 'raised' ? 0.02 : 0,
    soleM: 0.012,
    loadKg,
    barMassKg,
    barLengthM: sex === 'female' ? 2.01 : 2.2,
    discAtM: 1.31 / 2 + discThicknessM / 2,
    discRadiusM: 0.225,
    discThicknessM,
  };
}

export interface DemoRecording {
  readonly id: string;
  readonly build: Build;
  readonly style: Style;
  readonly heel: 'flat' | 'raised';
  readonly loadKg: number;
  readonly plan: CoursePlan;
  /** Direction the lifter faces in the rig's world: angle about Y from +X, radians, and place on the floor, metres. */
  readonly headingRad: number;
  readonly placeM: readonly [number, number];
}

const TEMPO: CoursePlan = {
  repetitions: 3,
  descentS: 1.6,
  pauseS: 0.2,
  ascentS: 1.7,
  leadInS: 1,
  restS: 0.6,
  leadOutS: 0.9,
  sticking: 0.25,
};

/** How hard the load is for each: A03 lifts with ease, A04 grinds. */
const STICKING: Readonly<Record<string, number>> = { A01: 0.37, A02: 0.38, A03: 0.2, A04: 0.41 };

function recording(build: Build, style: Style, heel: 'flat' | 'raised', loadKg: number, n: number): DemoRecording {
  const start = style.shankShape > 0 ? 'knees' : 'hips';
  return {
    id: `${build.id}-${start}-${heel}`,
    build,
    style,
    heel,
    loadKg,
    plan: { ...TEMPO, sticking: STICKING[build.id], ascentS: TEMPO.ascentS + (STICKING[build.id] - 0.2) },
    headingRad: (-4 + 2 * (n % 5)) * deg,
    placeM: [0.03 * ((n % 3) - 1), 0.04 * ((n % 4) - 1.5)],
  };
}

const [A01, A02, A03, A04] = DEMO_BUILDS;

/** Ten sets: four lifters, flat and raised heel; A01 and A04 also in their other style. */
export const DEMO_RECORDINGS: readonly DemoRecording[] = [
  recording(A01, KNEE_LED, 'flat', 60, 0),
  recording(A01, KNEE_LED, 'raised', 60, 1),
  recording(A01, HIP_LED, 'flat', 60, 2),
  recording(A02, HIP_LED, 'flat', 110, 3),
  recording(A02, HIP_LED, 'raised', 110, 4),
  recording(A03, KNEE_LED, 'flat', 50, 5),
  recording(A03, KNEE_LED, 'raised', 50, 6),
  recording(A04, HIP_LED, 'flat', 100, 7),
  recording(A04, HIP_LED, 'raised', 100, 8),
  recording(A04, KNEE_LED, 'raised', 100, 9),
];

/** The exact motion of a demo recording; 'inside' gives the same person within the analyser's assumptions. */
export function demoLift(recordingId: string, world: World = 'outside'): VirtualLift {
  return liftOf(demoRecording(recordingId), world);
}

export function demoRecording(recordingId: string): DemoRecording {
  const found = DEMO_RECORDINGS.find(({ id }) => id === recordingId);
  if (!found) throw new Error(`no demo recording ${recordingId}: ${DEMO_RECORDINGS.map(({ id }) => id).join(', ')}`);
  return found;
}

export function liftOf(recorded: DemoRecording, world: World): VirtualLift {
  const { build, style, heel, loadKg, plan, id } = recorded;
  const setup = { lifter: lifterOf(build, world), style, equipment: equipmentOf(build.sex, loadKg, heel) };
  return virtualLift(setup, courseOf(plan, hashSeed(DEMO_SEED, id)));
}

/** Shifts of keypoints from joint centres, metres forward, up, outward: small, invented, the same for all recordings. */
const DETECTOR_BIAS: Bias = {
  hip: [0.004, 0.008, 0.006],
  shoulder: [-0.003, 0.006, 0.004],
  knee: [0.005, 0, 0.003],
  ankle: [0.002, 0.004, 0.003],
  elbow: [0, -0.003, 0.003],
};

/** Start of the second phone against the first, and the readout both state: invented, true in the files. */
const SECOND_OFFSET_S = 0.013;
const READOUT_S = 0.018;

/** The one recording in which points are lost for longer than is interpolated: some of its values stay unknown. */
const BADLY_SEEN = 'A04-hips-raised';

/** How a demo recording is filmed. Both views share the bias; the phones have rolling shutters and start 13 ms apart. */
export function demoFilming(recorded: DemoRecording): Filming {
  const [left, right] = demoCameras();
  return {
    frameRateHz: 60,
    views: [
      { camera: left, offsetS: 0, readoutS: READOUT_S, bias: DETECTOR_BIAS },
      { camera: right, offsetS: SECOND_OFFSET_S, readoutS: READOUT_S, bias: DETECTOR_BIAS },
    ],
    placement: { headingRad: recorded.headingRad, placeM: recorded.placeM },
    noise: recorded.id === BADLY_SEEN ? { ...DETECTOR_NOISE, burstS: 0.15, longestBurstS: 0.5 } : DETECTOR_NOISE,
    landmarks: [...BODY_AND_FEET, ...BAR_ENDS],
    swaps: [],
    discsHide: true,
    seed: hashSeed(DEMO_SEED, recorded.id),
  };
}

/** The files of one demo recording, before compression. */
export function demoRecordingFiles(recordingId: string): SyntheticFile[] {
  const recorded = demoRecording(recordingId);
  const lift = liftOf(recorded, 'outside');
  const start = recorded.style.shankShape > 0 ? 'knees' : 'hips';
  return recordingFiles(lift, film(lift, demoFilming(recorded)), {
    id: recorded.id,
    date: DEMO_DATE,
    condition: { heel: recorded.heel, start },
    rig: '../../rig.json',
    settings: [],
    forcePlates: false,
  });
}

/** What is true of a demo recording: of each repetition, and exact loads and postures at any time. */
export interface DemoTruth {
  readonly lift: VirtualLift;
  readonly repetitions: readonly TrueRepetition[];
  loadsAt(t: number): TrueLoads;
  measuresAt(t: number): TruePosture;
}

/** Truth is not stored: it is computed again from the seed. */
export function demoTruth(recordingId: string): DemoTruth {
  const lift = demoLift(recordingId);
  return {
    lift,
    repetitions: lift.course.repetitions.map((_, index) => trueRepetition(lift, index)),
    loadsAt: (t) => loadsAt(lift, t),
    measuresAt: (t) => trueMeasures(lift.postureAt(t)),
  };
}
