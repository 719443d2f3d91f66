import { hashSeed, seededRandom } from '../../src/numerics/random.ts';

/**
 * Segment parameters of the virtual lifters, typed here on purpose and not taken from `src/body`: the world must not
 * share the analyser's tables.
 *
 * Values: de Leva P (1996) J Biomech 29:1223–1230, Table 4. Mass in per cent of body mass (one side of a pair), centre in
 * per cent of length from the first end point, radii of gyration about the centre in per cent of length about the sagittal
 * (fore–aft), transverse (medio-lateral) and long axes. End points: head vertex–C7, trunk mid-shoulder–mid-hip ('Trunk 3'),
 * upper, middle and lower trunk between suprasternale, xiphion, omphalion and mid-hip, upper arm and forearm between joint
 * centres, hand wrist–third knuckle, thigh hip–knee, shank knee–ankle joint centre, foot heel–toe tip.
 */
export interface SegmentParameters {
  readonly massPct: number;
  readonly centrePct: number;
  readonly radiiPct: readonly [sagittal: number, transverse: number, long: number];
  /** Centre of mass ahead of the line between the end points, metres. The published table knows none. */
  readonly aheadM: number;
  /** The same for each unit of the sine of the segment's forward lean; absent = 0. */
  readonly aheadPerSineM?: number;
  /** Centre further up the segment (towards its first end point), for each unit of that sine; absent = 0. */
  readonly upPerSineM?: number;
}

export const SEGMENT_NAMES = [
  'head',
  'trunk',
  'upperTrunk',
  'middleTrunk',
  'lowerTrunk',
  'upperArm',
  'forearm',
  'hand',
  'thigh',
  'shank',
  'foot',
] as const;
export type SyntheticSegment = (typeof SEGMENT_NAMES)[number];
export type SegmentSet = Readonly<Record<SyntheticSegment, SegmentParameters>>;

type Row = readonly [massPct: number, centrePct: number, sagittal: number, transverse: number, long: number];

const FEMALE: Readonly<Record<SyntheticSegment, Row>> = {
  head: [6.68, 48.41, 27.1, 29.5, 26.1],
  trunk: [42.57, 37.82, 37.9, 36.1, 18.2],
  upperTrunk: [15.45, 20.77, 74.6, 50.2, 71.8],
  middleTrunk: [14.65, 45.12, 43.3, 35.4, 41.5],
  lowerTrunk: [12.47, 49.2, 43.3, 40.2, 44.4],
  upperArm: [2.55, 57.54, 27.8, 26.0, 14.8],
  forearm: [1.38, 45.59, 26.1, 25.7, 9.4],
  hand: [0.56, 74.74, 53.1, 45.4, 33.5],
  thigh: [14.78, 36.12, 36.9, 36.4, 16.2],
  shank: [4.81, 43.52, 26.7, 26.3, 9.2],
  foot: [1.29, 40.14, 29.9, 27.9, 13.9],
};

const MALE: Readonly<Record<SyntheticSegment, Row>> = {
  head: [6.94, 50.02, 30.3, 31.5, 26.1],
  trunk: [43.46, 43.1, 38.4, 35.8, 19.7],
  upperTrunk: [15.96, 29.99, 71.6, 45.4, 65.9],
  middleTrunk: [16.33, 45.02, 48.2, 38.3, 46.8],
  lowerTrunk: [11.17, 61.15, 61.5, 55.1, 58.7],
  upperArm: [2.71, 57.72, 28.5, 26.9, 15.8],
  forearm: [1.62, 45.74, 27.6, 26.5, 12.1],
  hand: [0.61, 79.0, 62.8, 51.3, 40.1],
  thigh: [14.16, 40.95, 32.9, 32.9, 14.9],
  shank: [4.33, 43.95, 25.1, 24.6, 10.2],
  foot: [1.37, 44.15, 25.7, 24.5, 12.4],
};

/** Mean length of the hand (wrist–third knuckle) over that of the forearm in the same table: 78.0/264.3 and 86.2/268.9 mm. */
export const HAND_PER_FOREARM = { female: 78.0 / 264.3, male: 86.2 / 268.9 } as const;

/** The published table as it stands. */
export function publishedSegments(sex: 'female' | 'male'): SegmentSet {
  return mapped(sex === 'female' ? FEMALE : MALE, (_, [massPct, centrePct, ...radiiPct]) => ({
    massPct,
    centrePct,
    radiiPct,
    aheadM: 0,
  }));
}

/**
 * A person who is not the table's mean: each mass ± 6 %, each centre ± 2 % of length, each radius ± 5 % (one standard
 * deviation, seeded), and the trunk's and thighs' centres a little off the line of the joints. Our own choice of spread,
 * of the size by which published tables differ between each other; no source.
 */
export function perturbedSegments(sex: 'female' | 'male', seed: number): SegmentSet {
  const random = seededRandom(hashSeed('synthetic segments', seed));
  const ahead: Partial<Record<SyntheticSegment, number>> = {
    upperTrunk: 0.01,
    middleTrunk: 0.012,
    lowerTrunk: 0.004,
    trunk: 0.008,
    thigh: 0.006,
    shank: -0.008,
  };
  return mapped(sex === 'female' ? FEMALE : MALE, (name, [massPct, centrePct, sagittal, transverse, long]) => ({
    massPct: massPct * (1 + 0.06 * random.normal()),
    centrePct: centrePct + 2 * random.normal(),
    radiiPct: [
      sagittal * (1 + 0.05 * random.normal()),
      transverse * (1 + 0.05 * random.normal()),
      long * (1 + 0.05 * random.normal()),
    ],
    aheadM: (ahead[name] ?? 0) * (1 + 0.3 * random.normal()),
  }));
}

function mapped(
  rows: Readonly<Record<SyntheticSegment, Row>>,
  make: (name: SyntheticSegment, row: Row) => SegmentParameters,
): SegmentSet {
  return Object.fromEntries(SEGMENT_NAMES.map((name) => [name, make(name, rows[name])])) as unknown as SegmentSet;
}
