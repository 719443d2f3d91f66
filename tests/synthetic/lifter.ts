import {
  HAND_PER_FOREARM,
  perturbedSegments,
  publishedSegments,
  type SegmentSet,
  type SyntheticSegment,
} from './anthropometry.ts';

/** Build of an invented person: stature, mass and ratios of the limbs. */
export interface Build {
  readonly id: string;
  readonly sex: 'female' | 'male';
  readonly massKg: number;
  readonly statureM: number;
  /** Hip centre–knee centre over knee centre–ankle centre. */
  readonly femurPerTibia: number;
  /** Mid-hip–mid-shoulder over hip centre–knee centre. */
  readonly trunkPerFemur: number;
  /** Heel–toe over stature. */
  readonly footPerStature: number;
  /** Distance of the hip centres and of the shoulder centres over stature. */
  readonly hipWidthPerStature: number;
  readonly shoulderWidthPerStature: number;
  /** Most the ankle bends, foot flat: inclination of the shank to the upright of the foot sole, radians. */
  readonly dorsiflexionLimitRad: number;
  readonly seed: number;
}

/** Lengths in metres, between joint centres unless said otherwise. */
export interface Lengths {
  readonly femur: number;
  readonly tibia: number;
  readonly trunk: number;
  readonly upperArm: number;
  readonly forearm: number;
  /** Wrist centre–third knuckle. */
  readonly hand: number;
  /** Heel–toe tip, along the sole. */
  readonly foot: number;
  readonly ankleHeight: number;
  readonly hipWidth: number;
  readonly shoulderWidth: number;
}

/**
 * 'straight': one rigid trunk from mid-hip to mid-shoulder, the analyser's assumption.
 * 'bending': three pieces that flex as the lifter leans, and shoulders drawn forward by the front rack.
 */
export type TrunkKind = 'straight' | 'bending';

export interface Lifter {
  readonly build: Build;
  readonly lengths: Lengths;
  readonly trunk: TrunkKind;
  /** Only the pieces this trunk uses have mass; all together make the body mass. */
  readonly segments: SegmentSet;
  readonly massKg: Readonly<Record<SyntheticSegment, number>>;
  /** True where bodies have the inertia of a thin rod: no spin about their long axis. */
  readonly thinRods: boolean;
}

/** Share of the stature above the shoulder centres, and of the ankle centres above the sole: invented, human-like. */
const ABOVE_SHOULDERS = 0.17;
const ANKLE_HEIGHT = 0.043;
const FOREARM = 0.153;

/** Segment lengths that add up to the stature and keep the stated ratios. */
export function lengthsOf(build: Build): Lengths {
  const { statureM: h, femurPerTibia, trunkPerFemur } = build;
  const ankleHeight = ANKLE_HEIGHT * h;
  const chain = h * (1 - ABOVE_SHOULDERS) - ankleHeight;
  const tibia = chain / (1 + femurPerTibia + femurPerTibia * trunkPerFemur);
  const femur = tibia * femurPerTibia;
  return {
    femur,
    tibia,
    trunk: femur * trunkPerFemur,
    upperArm: 0.162 * h,
    forearm: FOREARM * h,
    hand: HAND_PER_FOREARM[build.sex] * FOREARM * h,
    foot: build.footPerStature * h,
    ankleHeight,
    hipWidth: build.hipWidthPerStature * h,
    shoulderWidth: build.shoulderWidthPerStature * h,
  };
}

/**
 * 'inside': what the analyser assumes (straight trunk, published segment means, thin rods), to compare numbers exactly.
 * 'outside': what a person is (bending trunk, own segment parameters, full inertia), to see what the assumptions cost.
 */
export type World = 'inside' | 'outside';

export function lifterOf(build: Build, world: World): Lifter {
  const trunk: TrunkKind = world === 'inside' ? 'straight' : 'bending';
  const segments = world === 'inside' ? publishedSegments(build.sex) : perturbedSegments(build.sex, build.seed);
  return {
    build,
    lengths: lengthsOf(build),
    trunk,
    segments,
    massKg: massesOf(build.massKg, segments, trunk, world === 'inside'),
    thinRods: world === 'inside',
  };
}

const PAIRED: ReadonlySet<SyntheticSegment> = new Set(['upperArm', 'forearm', 'hand', 'thigh', 'shank', 'foot']);

/**
 * Masses in kg, one side of a pair. Perturbed sets are brought to 100 % of the body mass; the published set is left as it
 * is printed (females add to 99.99 %).
 */
function massesOf(
  bodyKg: number,
  segments: SegmentSet,
  trunk: TrunkKind,
  asPrinted: boolean,
): Record<SyntheticSegment, number> {
  const unused: readonly SyntheticSegment[] =
    trunk === 'straight' ? ['upperTrunk', 'middleTrunk', 'lowerTrunk'] : ['trunk'];
  const names = (Object.keys(segments) as SyntheticSegment[]).filter((name) => !unused.includes(name));
  const sumPct = names.reduce((sum, name) => sum + segments[name].massPct * (PAIRED.has(name) ? 2 : 1), 0);
  const divisor = asPrinted ? 100 : sumPct;
  const masses = Object.fromEntries(Object.keys(segments).map((name) => [name, 0])) as Record<SyntheticSegment, number>;
  for (const name of names) masses[name] = (segments[name].massPct / divisor) * bodyKg;
  return masses;
}
