import { COMMON_TO_BOTH_SIDES, OFFSET_POINTS, offsetTable } from '../../src/body/keypoint-offsets.ts';
import type { SegmentKind } from '../../src/body/segment-table.ts';
import type { CameraRig } from '../../src/cameras/rig.ts';
import type { Landmark } from '../../src/capture/landmarks.ts';
import { hashSeed, type Random, seededRandom } from '../../src/numerics/random.ts';
import type { CauseGroup } from '../../src/uncertainty/causes/cause.ts';
import {
  BODY_MASS_SD_KG,
  LOAD_SD_SHARE,
  SEGMENT_CENTRE_SD,
  SEGMENT_MASS_SD,
  SHANK_FORWARD_SD_M,
  THIGH_FORWARD_SD_M,
  TRUNK_FORWARD_PER_SINE_SD_M,
  TRUNK_FORWARD_SD_M,
  TRUNK_UP_PER_SINE_SD_M,
} from '../../src/uncertainty/priors.ts';
import type { SegmentSet, SyntheticSegment } from './anthropometry.ts';
import type { SyntheticCamera } from './camera.ts';
import type { Filming } from './film.ts';
import { analyserCamera, rigOf, type Stated } from './in-memory.ts';
import type { VirtualLift } from './lift.ts';
import type { Lifter } from './lifter.ts';
import { noiseShare, type PixelNoise, whiteNoise } from './noise.ts';
import {
  CAMERA_PARAMETERS,
  type CameraChange,
  changedCamera,
  controlPointDoubt,
  inTrueWorld,
  type RigDoubt,
  ROUND_95,
  statedQuality,
} from './stated-rig.ts';
import { type DrawnStyle, liftOfStyle } from './styles.ts';
import type { Vector } from './vector.ts';
import { BAR_ENDS, BODY_AND_FEET } from './write.ts';

/** Errors that are drawn one by one: the analyser's groups, with what is in them kept apart. */
export const DRAWN_CAUSES = [
  'noise',
  'cameras',
  'scale',
  'vertical',
  'offsets',
  'readouts',
  'keypoints',
  'segments',
  'trunk',
  'body mass',
  'load',
] as const;
export type DrawnCause = (typeof DRAWN_CAUSES)[number];

/** The drawn causes of each of the analyser's groups. */
export const CAUSES_OF_GROUP: Readonly<Record<CauseGroup, readonly DrawnCause[]>> = {
  noise: ['noise'],
  calibration: ['cameras', 'scale'],
  vertical: ['vertical'],
  clocks: ['offsets', 'readouts'],
  keypoints: ['keypoints'],
  segments: ['segments', 'trunk'],
  'body mass': ['body mass'],
  load: ['load'],
  // The virtual lifters are alike on both sides: nothing is drawn.
  'leg sharing': [],
};

/** What is true, filmed, and what the analyser is told of it. */
export interface DrawnWorld {
  readonly lift: VirtualLift;
  readonly filming: Filming;
  readonly stated: Stated;
  readonly rig: CameraRig;
}

/** Normal noise of a good detector, alike in kind to what the analyser assumes: white, and slow over 0.15 s. */
export const ASSUMED_NOISE: PixelNoise = { ...whiteNoise(0.8), slowPx: 0.6, slowS: 0.15 };

/** Noise of the second view over that of the first: two phones are never alike. */
const SECOND_VIEW = 1.25;

/** Readout both phones state, seconds, and how the second starts after the first. */
const READOUT_S = 0.018;
const SECOND_OFFSET_S = 0.011;
const RATE_HZ = 60;
/** How well the recording says it knows these: worse than phones are, so that the effect stands out of the rounding of 60 Hz. */
const OFFSET_SD_S = 0.003;
const READOUT_SD_S = 0.004;

const known = new WeakMap<DrawnStyle, RigDoubt>();

/** How well the rig of a style is known; worked out once. */
export function rigDoubtOf(style: DrawnStyle): RigDoubt {
  const found = known.get(style) ?? controlPointDoubt(style.cameras.map(analyserCamera));
  known.set(style, found);
  return found;
}

/**
 * A world in which the named causes are drawn from the priors that the analyser states, and nothing else is wrong. The
 * analyser's belief stands at the middle of the prior; the truth is drawn around it.
 */
export function drawnWorld(style: DrawnStyle, seed: number, causes: ReadonlySet<DrawnCause>): DrawnWorld {
  // Each cause has its own stream, so that switching one off leaves the others as they were.
  const stream = (cause: DrawnCause) => seededRandom(hashSeed('drawn world', style.number, seed, cause));
  const sd = (cause: DrawnCause, size: number) => (causes.has(cause) ? size : 0);

  const { lifter, equipment } = style.setup;
  const massKg = lifter.build.massKg + sd('body mass', BODY_MASS_SD_KG) * stream('body mass').normal();
  const loadKg = equipment.loadKg * (1 + sd('load', LOAD_SD_SHARE) * stream('load').normal());
  const trueLifter = drawnLifter(lifter, massKg, {
    random: stream('segments'),
    size: sd('segments', 1),
    trunk: stream('trunk'),
    trunkSize: sd('trunk', 1),
  });
  const doubt = rigDoubtOf(style);
  const [offsetRandom, readoutRandom] = [stream('offsets'), stream('readouts')];
  const shifts = causes.has('keypoints') ? drawnShifts(stream('keypoints')) : {};
  const cameras = drawnCameras(style.cameras, doubt, {
    cameras: causes.has('cameras') ? stream('cameras') : null,
    scale: 1 + sd('scale', doubt.scaleSdShare) * stream('scale').normal(),
    vertical: verticalTurn(stream('vertical'), sd('vertical', doubt.verticalHalfWidth95Deg)),
  });
  const stated = cameras.map((_, v) => ({
    offsetS: v === 0 ? 0 : SECOND_OFFSET_S,
    offsetSdS: v === 0 ? 0 : sd('offsets', OFFSET_SD_S),
    readoutS: READOUT_S,
    readoutSdS: sd('readouts', READOUT_SD_S),
  }));
  return {
    lift: liftOfStyle(style, trueLifter, loadKg),
    filming: {
      frameRateHz: RATE_HZ,
      views: cameras.map((camera, v) => ({
        camera,
        offsetS: stated[v].offsetS + stated[v].offsetSdS * offsetRandom.normal(),
        readoutS: stated[v].readoutS + stated[v].readoutSdS * readoutRandom.normal(),
        bias: {},
        shifts,
      })),
      placement: style.placement,
      noise: causes.has('noise') ? ASSUMED_NOISE : null,
      noiseShare: (landmark, camera) => noiseShare(landmark) * (camera === cameras[0].name ? 1 : SECOND_VIEW),
      landmarks: [...BODY_AND_FEET, ...BAR_ENDS],
      swaps: [],
      discsHide: false,
      seed: hashSeed('drawn world film', style.number, seed),
    },
    stated: {
      massKg: lifter.build.massKg,
      massSdKg: sd('body mass', BODY_MASS_SD_KG),
      loadKg: equipment.loadKg,
      loadSdKg: sd('load', LOAD_SD_SHARE * equipment.loadKg),
      clocks: stated,
    },
    rig: rigOf(
      style.cameras.map(analyserCamera),
      statedQuality(doubt, {
        cameras: causes.has('cameras'),
        vertical: causes.has('vertical'),
        scale: causes.has('scale'),
      }),
    ),
  };
}

interface LifterDraw {
  readonly random: Random;
  readonly size: number;
  readonly trunk: Random;
  readonly trunkSize: number;
}

/** Names of the analyser's segments and of the synthetic world's. */
export const SEGMENT_PAIRS: readonly (readonly [SegmentKind, SyntheticSegment, pair: 1 | 2])[] = [
  ['head', 'head', 1],
  ['trunk', 'trunk', 1],
  ['upper_arm', 'upperArm', 2],
  ['forearm', 'forearm', 2],
  ['hand', 'hand', 2],
  ['thigh', 'thigh', 2],
  ['shank', 'shank', 2],
  ['foot', 'foot', 2],
];

/** The lifter with another body mass and segments of their own; all masses brought back to the body mass. */
export function drawnLifter(lifter: Lifter, bodyKg: number, draw: LifterDraw): Lifter {
  const segments: Record<SyntheticSegment, SegmentSet[SyntheticSegment]> = { ...lifter.segments };
  const massKg = { ...lifter.massKg };
  let before = 0;
  let after = 0;
  for (const [kind, name, pair] of SEGMENT_PAIRS) {
    const mass = lifter.massKg[name] * (1 + draw.size * SEGMENT_MASS_SD[kind] * draw.random.normal());
    before += pair * lifter.massKg[name];
    after += pair * mass;
    massKg[name] = mass;
    const centrePct = segments[name].centrePct + 100 * draw.size * SEGMENT_CENTRE_SD[kind] * draw.random.normal();
    segments[name] = { ...segments[name], centrePct };
  }
  const scale = ((before / after) * bodyKg) / lifter.build.massKg;
  for (const [, name] of SEGMENT_PAIRS) massKg[name] *= scale;
  segments.trunk = {
    ...segments.trunk,
    aheadM: draw.trunkSize * TRUNK_FORWARD_SD_M * draw.trunk.normal(),
    aheadPerSineM: draw.trunkSize * TRUNK_FORWARD_PER_SINE_SD_M * draw.trunk.normal(),
    upPerSineM: draw.trunkSize * TRUNK_UP_PER_SINE_SD_M * draw.trunk.normal(),
  };
  segments.thigh = { ...segments.thigh, aheadM: draw.trunkSize * THIGH_FORWARD_SD_M * draw.trunk.normal() };
  segments.shank = { ...segments.shank, aheadM: draw.trunkSize * SHANK_FORWARD_SD_M * draw.trunk.normal() };
  return { ...lifter, build: { ...lifter.build, massKg: bodyKg }, segments, massKg };
}

/** Keypoints off their joint centres, as the table of a pose network has them. */
export function drawnShifts(random: Random): Partial<Record<Landmark, Vector>> {
  const { offsets } = offsetTable(null, 'views');
  const shifts: Partial<Record<Landmark, Vector>> = {};
  const [common, own] = [Math.sqrt(COMMON_TO_BOTH_SIDES), Math.sqrt(1 - COMMON_TO_BOTH_SIDES)];
  for (const point of OFFSET_POINTS) {
    const { meanM, sdM } = offsets[point];
    const both = [random.normal(), random.normal(), random.normal()];
    for (const side of ['left', 'right'] as const) {
      const [forward, up, outward] = both.map((z, a) => meanM[a] + sdM[a] * (common * z + own * random.normal()));
      shifts[`${side}_${point}`] = [forward, up, side === 'right' ? outward : -outward];
    }
  }
  return shifts;
}

interface RigDraw {
  /** null: as stated. */
  readonly cameras: Random | null;
  readonly scale: number;
  readonly vertical: Vector;
}

/** The true cameras, drawn around those of the rig. */
export function drawnCameras(cameras: readonly SyntheticCamera[], doubt: RigDoubt, draw: RigDraw): SyntheticCamera[] {
  const { parameters, covariance } = doubt;
  const change = draw.cameras ? correlated(covariance, parameters.length, draw.cameras) : null;
  return cameras.map((camera) => {
    const values = CAMERA_PARAMETERS.map((kind) => [kind, change?.[parameters.indexOf(`${camera.name}.${kind}`)] ?? 0]);
    const changed = change ? changedCamera(camera, Object.fromEntries(values) as CameraChange) : camera;
    return inTrueWorld(changed, draw.vertical, draw.scale);
  });
}

/** A turn about a level axis, round: each of the two components has the same standard deviation. */
function verticalTurn(random: Random, halfWidth95Deg: number): Vector {
  const sdRad = (halfWidth95Deg / ROUND_95) * (Math.PI / 180);
  return [sdRad * random.normal(), 0, sdRad * random.normal()];
}

/** Correlated normal numbers by the Cholesky factor of their covariance (square, row-major). */
function correlated(covariance: Float64Array, n: number, random: Random): Float64Array {
  const factor = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = covariance[i * n + j];
      for (let k = 0; k < j; k++) sum -= factor[i * n + k] * factor[j * n + k];
      factor[i * n + j] = i === j ? Math.sqrt(sum) : sum / factor[j * n + j];
    }
  }
  const z = Array.from({ length: n }, () => random.normal());
  return Float64Array.from({ length: n }, (_, i) => {
    let sum = 0;
    for (let k = 0; k <= i; k++) sum += factor[i * n + k] * z[k];
    return sum;
  });
}
