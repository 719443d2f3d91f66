import { bodyMotion } from '../../src/body/body-motion-from-trajectories.ts';
import { COMMON_TO_BOTH_SIDES, OFFSET_POINTS, offsetPointOf, offsetTable } from '../../src/body/keypoint-offsets.ts';
import { skeletonFit } from '../../src/body/skeleton/skeleton-fit.ts';
import type { Landmark } from '../../src/capture/landmarks.ts';
import type { Recording } from '../../src/capture/recording.ts';
import { describeLift } from '../../src/lift/describe-lift.ts';
import { jointLoads } from '../../src/mechanics/joint-loads-from-motion.ts';
import { hashSeed, type Random, seededRandom } from '../../src/numerics/random.ts';
import { apply3Into } from '../../src/numerics/rotation.ts';
import { type Reconstruction, reconstruct } from '../../src/reconstruction/reconstruct.ts';
import type { Trajectories } from '../../src/reconstruction/trajectories.ts';
import { cameraOn } from '../synthetic/camera.ts';
import { DEMO_RECORDINGS, type DemoRecording, demoFilming, liftOf } from '../synthetic/demo.ts';
import { type FilmedView, type Filming, film, worldFromLab } from '../synthetic/film.ts';
import { recordingOf } from '../synthetic/in-memory.ts';
import { landmarksOf, type VirtualLift } from '../synthetic/lift.ts';
import type { World } from '../synthetic/lifter.ts';
import { DETECTOR_NOISE, noiseTrace, type PixelNoise, whiteNoise } from '../synthetic/noise.ts';
import { loadsAt, type TrueLoads } from '../synthetic/truth.ts';
import { BAR_ENDS, BODY_AND_FEET } from '../synthetic/write.ts';
import type { Validation, ValidationRow } from './result.ts';

const SEED = 20262;
const RATE_HZ = 60;
/** Frames at both ends left to the filter. */
const MARGIN = 30;
/** A detector three times as bad as on a good day: 3 px in all, errors that last included. */
const BAD_DETECTOR: PixelNoise = { ...DETECTOR_NOISE, whitePx: 2.4, slowPx: 1.8 };
const JOINTS = ['hip', 'knee', 'ankle', 'shoulder'] as const;

/** Two phones in a gym, 45° off the sides, 4 m away. */
const GYM = ([-1, 1] as const).map((side) =>
  cameraOn(
    {
      name: side < 0 ? 'left' : 'right',
      centre: [4 * Math.SQRT1_2, 1.1, side * 4 * Math.SQRT1_2],
      lookAt: [0, 0.9, 0],
      rollRad: 0,
    },
    {
      imageSizePx: [1080, 1920],
      focalPx: 1500,
      principalPointPx: [540, 960],
      lens: { k1: 0, k2: 0, p1: 0, p2: 0, k3: 0 },
    },
  ),
);

const GYM_FILMING: Filming = {
  frameRateHz: RATE_HZ,
  views: GYM.map((camera) => ({ camera, offsetS: 0, readoutS: 0, bias: {} })),
  placement: { headingRad: 0.05, placeM: [0, 0] },
  noise: null,
  landmarks: [...BODY_AND_FEET, ...BAR_ENDS],
  swaps: [],
  discsHide: false,
  seed: SEED,
};

/** Two styles, two heels, two builds; A02 has the shortest and A04 the longest thighs. */
const RECORDINGS = [DEMO_RECORDINGS[0], DEMO_RECORDINGS[4], DEMO_RECORDINGS[9]];

interface Scene {
  readonly lift: VirtualLift;
  readonly filming: Filming;
  readonly exact: readonly FilmedView[];
}

function sceneOf(recorded: DemoRecording, world: World): Scene {
  const lift = liftOf({ ...recorded, plan: { ...recorded.plan, repetitions: 1 } }, world);
  return { lift, filming: GYM_FILMING, exact: film(lift, GYM_FILMING) };
}

/** Exact films with noise; where `drops`, every tenth sample is lost: half of them single, half in bursts of 2 to 8 frames. */
function disturbed({ exact }: Scene, noise: PixelNoise, drops: boolean, seed: number): FilmedView[] {
  return exact.map((view) => {
    const random = seededRandom(hashSeed(seed, view.camera.name));
    const pixel = view.pixel.slice();
    const confidence = view.confidence.slice();
    const count = view.landmarks.length;
    view.landmarks.forEach((landmark, l) => {
      const trace = noiseTrace(landmark, view.frames, view.frameRateHz, noise, random);
      const lost = drops ? lostFrames(view.frames, random) : null;
      for (let k = 0; k < view.frames; k++) {
        const at = k * count + l;
        const isLost = trace.confidence[k] === 0 || lost?.[k] === 1;
        pixel[2 * at] += isLost ? Number.NaN : trace.errorPx[2 * k];
        pixel[2 * at + 1] += isLost ? Number.NaN : trace.errorPx[2 * k + 1];
        confidence[at] = isLost ? 0 : trace.confidence[k];
      }
    });
    return { ...view, pixel, confidence };
  });
}

function lostFrames(frames: number, random: Random): Uint8Array {
  const lost = new Uint8Array(frames);
  for (let k = 0; k < frames; k++) {
    if (random.uniform() < 0.05) lost[k] = 1;
    if (random.uniform() < 0.01) lost.fill(1, k, Math.min(frames, k + 2 + random.integer(7)));
  }
  return lost;
}

interface Chain {
  readonly recording: Recording;
  readonly reconstruction: Reconstruction;
  readonly free: Trajectories;
  readonly fitted: Trajectories;
}

function chainOf(scene: Scene, views: readonly FilmedView[]): Chain {
  const { data, rig } = recordingOf(scene.lift, scene.filming, { views });
  const reconstruction = reconstruct(data, rig);
  const free = reconstruction.smoothed;
  return { recording: data.recording, reconstruction, free, fitted: skeletonFit(free, data.recording).trajectories };
}

const loadsOf = (points: Trajectories, { recording, reconstruction }: Chain) =>
  jointLoads(bodyMotion(points, recording), [], reconstruction.turn);

/** True points in the analyser's lab frame. */
function truthOf(
  { lift, filming }: Scene,
  { landmarks, frames, startS, frameRateHz }: Trajectories,
  turn: Float64Array,
) {
  const out = new Float64Array(3 * frames * landmarks.length);
  const place = new Float64Array(3);
  for (let k = 0; k < frames; k++) {
    const points = landmarksOf(lift.postureAt(startS + k / frameRateHz), lift.setup.equipment);
    landmarks.forEach((landmark, l) => {
      place.set(worldFromLab(filming.placement, points.get(landmark)!));
      apply3Into(place, 0, turn, place, 0);
      out.set(place, 3 * (k * landmarks.length + l));
    });
  }
  return out;
}

/** Mean square distance from the truth of one kind of joint, both sides. */
function meanSquare(points: Trajectories, truth: Float64Array, joint: string): number {
  const { landmarks, frames, position } = points;
  let sum = 0;
  let known = 0;
  landmarks.forEach((landmark, l) => {
    if (!landmark.endsWith(`_${joint}`)) return;
    for (let k = MARGIN; k < frames - MARGIN; k++) {
      const at = 3 * (k * landmarks.length + l);
      let square = 0;
      for (let axis = 0; axis < 3; axis++) square += (position[at + axis] - truth[at + axis]) ** 2;
      if (Number.isNaN(square)) continue;
      sum += square;
      known++;
    }
  });
  return sum / known;
}

/** Largest difference between the lengths of a limb in two frames, over all limbs, metres. */
function lengthSpread({ landmarks, frames, position }: Trajectories): number {
  let spread = 0;
  for (const [from, to] of [
    ['hip', 'knee'],
    ['knee', 'ankle'],
    ['ankle', 'heel'],
    ['ankle', 'big_toe'],
    ['heel', 'big_toe'],
    ['shoulder', 'elbow'],
    ['elbow', 'wrist'],
  ]) {
    for (const side of ['left', 'right']) {
      const [a, b] = [`${side}_${from}`, `${side}_${to}`].map((name) => landmarks.indexOf(name as Landmark));
      let least = Number.POSITIVE_INFINITY;
      let most = 0;
      for (let k = 0; k < frames; k++) {
        const [i, j] = [3 * (k * landmarks.length + a), 3 * (k * landmarks.length + b)];
        const length = Math.hypot(
          position[j] - position[i],
          position[j + 1] - position[i + 1],
          position[j + 2] - position[i + 2],
        );
        if (Number.isNaN(length)) continue;
        least = Math.min(least, length);
        most = Math.max(most, length);
      }
      spread = Math.max(spread, most - least);
    }
  }
  return spread;
}

/** Mean square error of the moments over the square of their true peak. */
function momentSquares(points: Trajectories, chain: Chain, truth: readonly TrueLoads[]): Record<string, number> {
  const found = loadsOf(points, chain).fromAbove!;
  const squares: Record<string, number> = {};
  for (const joint of ['hip', 'knee'] as const) {
    for (const part of ['total', 'gravity'] as const) {
      let [sum, known, peak] = [0, 0, 0];
      for (let k = MARGIN; k < truth.length - MARGIN; k++) {
        peak = Math.max(peak, Math.abs(truth[k][joint][part]));
        const error = found[joint][part][k] - truth[k][joint][part];
        if (Number.isNaN(error)) continue;
        sum += error * error;
        known++;
      }
      squares[`${joint} moment, ${part}`] = sum / known / peak ** 2;
    }
  }
  return squares;
}

const trueLoadsOf = ({ lift }: Scene, { frames, startS, frameRateHz }: Trajectories) =>
  Array.from({ length: frames }, (_, k) => loadsAt(lift, startS + k / frameRateHz));

interface Condition {
  readonly name: string;
  readonly world: World;
  readonly noise: PixelNoise;
  readonly drops: boolean;
  readonly seeds: number;
  /** Largest accepted errors of moments, per cent of the true peak; null = reported only. */
  readonly goals: Readonly<Record<string, number>> | null;
}

const GOALS = {
  'hip moment, total': 3,
  'knee moment, total': 5,
  'hip moment, gravity': 1,
  'knee moment, gravity': 1,
};

const CONDITIONS: readonly Condition[] = [
  { name: 'inside, 1 px white', world: 'inside', noise: whiteNoise(1), drops: false, seeds: 6, goals: GOALS },
  { name: 'inside, 1 px white, 10 % lost', world: 'inside', noise: whiteNoise(1), drops: true, seeds: 4, goals: null },
  { name: 'inside, 3 px white, 10 % lost', world: 'inside', noise: whiteNoise(3), drops: true, seeds: 4, goals: null },
  {
    name: 'inside, 3 px correlated, 10 % lost',
    world: 'inside',
    noise: BAD_DETECTOR,
    drops: true,
    seeds: 6,
    goals: null,
  },
  {
    name: 'outside, 1 px white, 10 % lost',
    world: 'outside',
    noise: whiteNoise(1),
    drops: true,
    seeds: 4,
    goals: null,
  },
  {
    name: 'outside, 3 px correlated, 10 % lost',
    world: 'outside',
    noise: BAD_DETECTOR,
    drops: true,
    seeds: 4,
    goals: null,
  },
];

type Sums = Map<string, number>;
const add = (sums: Sums, name: string, value: number) => sums.set(name, (sums.get(name) ?? 0) + value);

function rowsOf(condition: Condition, scale: number, done: () => void): ValidationRow[] {
  const sums: Sums = new Map();
  let spread = 0;
  let runs = 0;
  const seeds = Math.max(1, Math.round(condition.seeds * scale));
  const recordings = scale < 1 ? RECORDINGS.slice(0, 1) : RECORDINGS;
  for (const recorded of recordings) {
    const scene = sceneOf(recorded, condition.world);
    let truth: { points: Float64Array; loads: TrueLoads[] } | null = null;
    for (let seed = 0; seed < seeds; seed++) {
      const seeded = hashSeed(SEED, recorded.id, condition.name, seed);
      const chain = chainOf(scene, disturbed(scene, condition.noise, condition.drops, seeded));
      const points = truthOf(scene, chain.free, chain.reconstruction.turn);
      truth ??= { points, loads: trueLoadsOf(scene, chain.free) };
      for (const joint of JOINTS) {
        add(sums, `${joint} free`, meanSquare(chain.free, points, joint));
        add(sums, `${joint} fitted`, meanSquare(chain.fitted, points, joint));
      }
      for (const [kind, of] of [
        ['free', chain.free],
        ['fitted', chain.fitted],
      ] as const) {
        for (const [what, square] of Object.entries(momentSquares(of, chain, truth.loads)))
          add(sums, `${what} ${kind}`, square);
      }
      spread = Math.max(spread, lengthSpread(chain.fitted));
      runs++;
      done();
    }
  }
  const row = (what: string, value: number, unit: string, to: number | null): ValidationRow => ({
    what: `${condition.name}: ${what}`,
    runs,
    value,
    unit,
    from: null,
    to,
  });
  const root = (name: string) => Math.sqrt(sums.get(name)! / runs);
  const pooled = (kind: string) =>
    Math.sqrt(JOINTS.reduce((sum, joint) => sum + sums.get(`${joint} ${kind}`)!, 0) / 4 / runs);
  return [
    row('joint centres pooled, fitted / free', pooled('fitted') / pooled('free'), '1', 0.85),
    row('joint centres pooled, fitted', 1000 * pooled('fitted'), 'mm', null),
    ...JOINTS.map((joint) =>
      row(`${joint}, fitted / free`, root(`${joint} fitted`) / root(`${joint} free`), '1', null),
    ),
    row('largest spread of a limb length', spread, 'm', 1e-9),
    ...Object.keys(GOALS).flatMap((what) => [
      row(`${what}, fitted`, 100 * root(`${what} fitted`), '% of peak', condition.goals?.[what] ?? null),
      row(`${what}, free`, 100 * root(`${what} free`), '% of peak', null),
    ]),
  ];
}

/** Scatter of the hip share at parallel over noise seeds. */
function shareRows(scale: number, done: () => void): ValidationRow[] {
  const runs = Math.max(3, Math.round(SHARE_RUNS * scale));
  return (
    [
      ['1 px white', whiteNoise(1), 0.015],
      ['3 px correlated', BAD_DETECTOR, null],
    ] as const
  ).flatMap(([name, noise, to]): ValidationRow[] => {
    const scene = sceneOf(RECORDINGS[0], 'inside');
    const found: Record<string, number[]> = { free: [], fitted: [] };
    for (let seed = 0; seed < runs; seed++) {
      const chain = chainOf(scene, disturbed(scene, noise, false, hashSeed(SEED, 'share', name, seed)));
      for (const kind of ['free', 'fitted'] as const) {
        const record = describeLift(loadsOf(chain[kind], chain), chain.recording);
        const share = record.measures.find(
          ({ measure, at, side }) => measure === 'hip_share' && at === 'parallel descent' && side === 'both',
        );
        if (share && Number.isFinite(share.value)) found[kind].push(share.value);
      }
      done();
    }
    return (['fitted', 'free'] as const).map((kind) => ({
      what: `inside, ${name}: scatter (SD) of the hip share at parallel, descent, ${kind}`,
      runs: found[kind].length,
      value: standardDeviation(found[kind]),
      unit: '1',
      from: null,
      to: kind === 'fitted' ? to : null,
    }));
  });
}

const SHARE_RUNS = 110;
const OFFSET_DRAWS = 40;

function standardDeviation(values: readonly number[]): number {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1));
}

/** Keypoints that are not joint centres: exact points moved by draws of the offset table, free against fitted. */
function offsetRows(scale: number, done: () => void): ValidationRow[] {
  const draws = Math.max(2, Math.round(OFFSET_DRAWS * scale));
  const sums: Sums = new Map();
  const recordings = RECORDINGS.slice(0, scale < 1 ? 1 : 2);
  for (const recorded of recordings) {
    const scene = sceneOf(recorded, 'inside');
    const chain = chainOf(scene, disturbed(scene, whiteNoise(1), false, hashSeed(SEED, recorded.id)));
    const fit = skeletonFit(chain.free, chain.recording);
    const truth = truthOf(scene, chain.free, chain.reconstruction.turn);
    const loads = trueLoadsOf(scene, chain.free);
    for (let draw = 0; draw < draws; draw++) {
      const moved = withOffsets(chain.free, truth, hashSeed(SEED, 'offsets', draw));
      for (const [kind, position] of [
        ['free', moved],
        ['fitted', fit.refit(moved)],
      ] as const) {
        const points = { ...chain.free, position };
        for (const [what, square] of Object.entries(momentSquares(points, chain, loads)))
          add(sums, `${what} ${kind}`, square);
        for (const joint of JOINTS) add(sums, `${joint} ${kind}`, meanSquare(points, truth, joint));
      }
      done();
    }
  }
  const runs = draws * recordings.length;
  const names = [...Object.keys(GOALS), ...JOINTS];
  return names.map((name) => ({
    what: `inside, exact points with drawn keypoint offsets: ${name}, error fitted / free`,
    runs,
    value: Math.sqrt(sums.get(`${name} fitted`)! / sums.get(`${name} free`)!),
    unit: '1',
    from: null,
    // An offset of all points alike cannot be seen in lengths: no gain is asked for, no loss allowed.
    to: 1,
  }));
}

function withOffsets({ landmarks, frames }: Trajectories, truth: Float64Array, seed: number): Float64Array {
  const random = seededRandom(seed);
  const { offsets } = offsetTable(null, 'views');
  const common = new Map(OFFSET_POINTS.map((point) => [point, [random.normal(), random.normal(), random.normal()]]));
  const out = truth.slice();
  landmarks.forEach((landmark, l) => {
    const of = offsetPointOf(landmark);
    if (!of) return;
    for (let axis = 0; axis < 3; axis++) {
      const both = Math.sqrt(COMMON_TO_BOTH_SIDES) * common.get(of.point)![axis];
      const own = Math.sqrt(1 - COMMON_TO_BOTH_SIDES) * random.normal();
      const shift = offsets[of.point].sdM[axis] * (both + own) * (axis === 2 && of.side === 'left' ? -1 : 1);
      for (let k = 0; k < frames; k++) out[3 * (k * landmarks.length + l) + axis] += shift;
    }
  });
  return out;
}

/** As the demo study is filmed: rolling shutters, noise and one particular offset of the keypoints. */
function demoRows(done: () => void): ValidationRow[] {
  return RECORDINGS.slice(0, 2).flatMap((recorded) => {
    const filming = demoFilming(recorded);
    const lift = liftOf(recorded, 'outside');
    const scene = { lift, filming, exact: film(lift, filming) };
    const chain = chainOf(scene, scene.exact);
    const truth = trueLoadsOf(scene, chain.free);
    done();
    return (['free', 'fitted'] as const).flatMap((kind) =>
      Object.entries(momentSquares(chain[kind], chain, truth)).map(
        ([what, square]): ValidationRow => ({
          what: `outside, as the demo is filmed, ${recorded.id}: ${what}, ${kind}`,
          runs: 1,
          value: 100 * Math.sqrt(square),
          unit: '% of peak',
          from: null,
          to: null,
        }),
      ),
    );
  });
}

export const validation: Validation = {
  name: 'skeleton',
  title: 'Skeleton fit: joint centres, limb lengths and moments against free points smoothed alike',
  async run(scale, progress) {
    const conditions = scale < 1 ? CONDITIONS.slice(0, 1) : CONDITIONS;
    let count = 0;
    const total = conditions.reduce((sum, { seeds }) => sum + 3 * seeds, 0) + 2 * SHARE_RUNS + 2 * OFFSET_DRAWS + 2;
    const done = () => progress(++count, Math.max(count, total));
    return {
      seed: SEED,
      setting:
        'Virtual lifters (one repetition each; knee-led, hip-led, raised heels), two cameras 45° off the sides at 4 m, 60 frames/s, ' +
        'default smoothing. Inside: the analyser’s segment table and straight trunk; outside: bending trunk, own segment parameters. ' +
        '10 % lost: half single samples, half bursts of 2–8 frames, per view and landmark. 3 px correlated: 2.4 px white with heavy tails ' +
        'and 1.8 px lasting about 0.15 s, hips more, bar ends less. No sides are exchanged. Errors are r.m.s. over frames and runs, 0.5 s ' +
        'at both ends left out; free points are the fit’s own input.',
      rows: [
        ...conditions.flatMap((condition) => rowsOf(condition, scale, done)),
        ...(scale < 0.1 ? [] : [...shareRows(scale, done), ...offsetRows(scale, done)]),
        ...(scale < 1 ? [] : demoRows(done)),
      ],
    };
  },
};
