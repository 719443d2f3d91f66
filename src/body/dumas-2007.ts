import { deLevaRow } from './de-leva-1996.ts';
import type { SegmentParameters, SegmentTable, SolidParameters, SolidShares } from './segment-table.ts';

type Triple = readonly [number, number, number];

/** One row, right side, axes X forward, Y up, Z right. Shares of body mass (one side) and of the segment's length L. */
export interface DumasRow {
  readonly segment: string;
  readonly massFraction: number;
  /** Centre of mass from the segment's origin. */
  readonly centre: Triple;
  /** Radii of gyration about the centre, xx yy zz. */
  readonly radii: Triple;
  /** The same of the products of inertia, xy xz yz; the sign is that of the tensor's element: I_xy = sign · m (|r| L)². */
  readonly products: Triple;
}

/**
 * Dumas R, Chèze L, Verriest JP (2007) Adjustments to McConville et al. and Young et al. body segment inertial parameters. J
 * Biomech 40:543–553, corrigendum 40:1651–1652; the torso divided into thorax and abdomen after Dumas et al. (2015) Int Biomech
 * 2:113–118; feet as later corrected. 31 men, 46 women. Restated from two public restatements, not from the print
 * (tests/references/body-dumas-2007.json).
 *
 * Origin and L: thorax from the lower neck joint to T12/L1, abdomen from T12/L1 to L5/S1, pelvis from L5/S1 to the hips,
 * thigh hip–knee, shank knee–ankle, upper arm shoulder–elbow, forearm elbow–wrist, hand wrist to midway between the second and
 * fifth knuckle, foot from the ankle, L to midway between the first and fifth metatarsal heads.
 *
 * Masses sum to 0.999 (women) and 1.002 (men), as published; nothing is rescaled.
 */
export const DUMAS_2007: Readonly<Record<'female' | 'male', readonly DumasRow[]>> = {
  female: [
    row('head', 0.067, [0.016, 0.575, 0.001], [0.29, 0.23, 0.3], [-0.04, 0.01, 0]),
    row('upperArm', 0.022, [-0.073, -0.454, -0.028], [0.33, 0.17, 0.33], [0.03, -0.05, -0.14]),
    row('lowerArm', 0.013, [0.021, -0.411, 0.019], [0.26, 0.14, 0.25], [0.1, 0.04, -0.13]),
    row('hand', 0.005, [0.077, -0.768, 0.048], [0.64, 0.43, 0.59], [0.29, 0.23, -0.28]),
    row('thorax', 0.263, [0.021, -0.528, 0.001], [0.39, 0.33, 0.35], [-0.12, -0.03, 0.01]),
    row('abdomen', 0.041, [0.244, -0.415, 0.005], [0.67, 0.77, 0.55], [0.2, -0.03, -0.05]),
    row('pelvis', 0.146, [-0.009, -0.232, 0.002], [0.91, 1, 0.79], [-0.34, -0.01, -0.01]),
    row('thigh', 0.146, [-0.077, -0.377, 0.009], [0.31, 0.19, 0.32], [0.07, -0.02, -0.07]),
    row('shank', 0.045, [-0.049, -0.404, 0.031], [0.28, 0.1, 0.28], [0.02, 0.01, 0.06]),
    row('foot', 0.01, [0.382, -0.309, 0.055], [0.24, 0.51, 0.5], [-0.15, 0.09, -0.05]),
  ],
  male: [
    row('head', 0.067, [0.02, 0.536, 0.001], [0.28, 0.21, 0.3], [-0.07, -0.02, 0.03]),
    row('upperArm', 0.024, [0.017, -0.452, -0.026], [0.31, 0.14, 0.32], [0.06, 0.05, 0.02]),
    row('lowerArm', 0.017, [0.01, -0.417, 0.014], [0.28, 0.11, 0.27], [0.03, 0.02, -0.08]),
    row('hand', 0.006, [0.082, -0.839, 0.075], [0.61, 0.38, 0.56], [0.22, 0.15, -0.2]),
    row('thorax', 0.304, [0, -0.555, -0.004], [0.42, 0.33, 0.36], [-0.11, 0.01, 0.03]),
    row('abdomen', 0.029, [0.173, -0.361, -0.003], [0.54, 0.66, 0.4], [0.11, -0.06, -0.05]),
    row('pelvis', 0.142, [0.028, -0.28, -0.006], [1.01, 1.06, 0.95], [-0.25, -0.12, -0.08]),
    row('thigh', 0.123, [-0.041, -0.429, 0.033], [0.29, 0.15, 0.3], [0.07, -0.02, -0.07]),
    row('shank', 0.048, [-0.048, -0.41, 0.007], [0.28, 0.1, 0.28], [-0.04, -0.02, 0.05]),
    row('foot', 0.012, [0.502, -0.199, 0.034], [0.22, 0.49, 0.48], [0.17, -0.11, 0]),
  ],
};

/** Mean lengths of the sample's trunk, metres, from memory of the same papers: they weigh the three parts against one another. */
export const DUMAS_TRUNK_M = {
  female: { thorax: 0.322, abdomen: 0.125, pelvis: 0.107 },
  male: { thorax: 0.334, abdomen: 0.151, pelvis: 0.094 },
} as const;

/**
 * Distance from the ankle to midway between the metatarsal heads as a share of the foot from heel to the tip of the big toe: by
 * the ratio of the foot's radii of gyration printed for the whole foot's length (0.25) to those for the other (0.48–0.51).
 */
export const DUMAS_FOOT_SHARE = 0.505;

/**
 * The table as Kneeward draws the body. Thighs, shanks, feet and trunk are solids with their whole inertia; arms and hands keep
 * the transverse radius, because nothing fixes the turn of an arm that is straight (their centres lie 5–19 mm beside the line).
 */
export function dumasTable(sex: 'female' | 'male'): SegmentTable {
  const limb = (segment: string, from: SegmentParameters['from'], to: SegmentParameters['to'], isSolid: boolean) =>
    limbParameters(dumasRow(sex, segment), from, to, isSolid);
  return {
    name: 'dumas-2007',
    sex,
    source: 'Dumas et al. (2007, 2015)',
    segments: {
      head: {
        massFraction: dumasRow(sex, 'head').massFraction,
        centreFraction: 0,
        transverseRadiusFraction: dumasRow(sex, 'head').radii[2],
        endPoints: 'LNJ-VERT',
        from: 'ear canal',
        to: 'ear canal',
      },
      trunk: trunkParameters(sex),
      upper_arm: limb('upperArm', 'shoulder', 'elbow', false),
      forearm: limb('lowerArm', 'elbow', 'wrist', false),
      hand: limb('hand', 'wrist', 'third knuckle', false),
      thigh: limb('thigh', 'hip', 'knee', true),
      shank: limb('shank', 'knee', 'ankle', true),
      foot: footParameters(dumasRow(sex, 'foot')),
    },
  };
}

/** The row of `segment`. */
export function dumasRow(sex: 'female' | 'male', segment: string): DumasRow {
  const found = DUMAS_2007[sex].find((each) => each.segment === segment);
  if (!found) throw new RangeError(`Dumas (2007) has no row "${segment}"`);
  return found;
}

/** Inertia of a row per mass and L²: xx yy zz xy xz yz. */
export function inertiaShares({ radii, products }: Pick<DumasRow, 'radii' | 'products'>): SolidShares {
  const [x, y, z] = radii;
  const [xy, xz, yz] = products.map((r) => Math.sign(r) * r * r);
  return [x * x, y * y, z * z, xy, xz, yz];
}

function limbParameters(
  printed: DumasRow,
  from: SegmentParameters['from'],
  to: SegmentParameters['to'],
  isSolid: boolean,
): SegmentParameters {
  const [forward, up, right] = printed.centre;
  const solid: SolidParameters = { forward, up: 0, right, inertia: inertiaShares(printed) };
  return {
    massFraction: printed.massFraction,
    centreFraction: -up,
    transverseRadiusFraction: printed.radii[2],
    endPoints: printed.segment,
    from,
    to,
    ...(isSolid ? { solid } : {}),
  };
}

/** The foot in shares of its length from heel to big toe; its centre counts from the ankle, forward along the sole. */
function footParameters(printed: DumasRow): SegmentParameters {
  const [forward, up, right] = printed.centre.map((share) => share * DUMAS_FOOT_SHARE);
  return {
    massFraction: printed.massFraction,
    centreFraction: forward,
    transverseRadiusFraction: printed.radii[2] * DUMAS_FOOT_SHARE,
    endPoints: 'AJC, CAL-MT1/MT5',
    from: 'heel',
    to: 'big toe',
    solid: {
      forward: 0,
      up,
      right,
      inertia: inertiaShares(printed).map((share) => share * DUMAS_FOOT_SHARE ** 2) as unknown as SolidShares,
      origin: 'ankle',
    },
  };
}

/**
 * Pelvis, abdomen and thorax as one body on a straight line from mid-hip up, their mean lengths end to end.
 *
 * Mid-shoulder lies below the lower neck joint by the same share of the line as de Leva's (1996) lies below C7 (Trunk 2 less Trunk
 * 3): 14.6 % in men, 19.0 % in women. The centre is kept on the line from mid-hip to mid-shoulder: where a trunk's mass lies before or
 * behind that line is the trunk's own question (docs/method/body.md). Parts of the tensor that come from their own centres' forward
 * and sideways places are kept.
 */
function trunkParameters(sex: 'female' | 'male'): SegmentParameters {
  const { thorax, abdomen, pelvis } = DUMAS_TRUNK_M[sex];
  const neckM = pelvis + abdomen + thorax;
  const below = 1 - deLevaRow(sex, 'Trunk 3').lengthMm / deLevaRow(sex, 'Trunk 2').lengthMm;
  const lengthM = neckM * (1 - below);
  const parts = [
    { printed: dumasRow(sex, 'pelvis'), lengthM: pelvis, originM: pelvis },
    { printed: dumasRow(sex, 'abdomen'), lengthM: abdomen, originM: pelvis + abdomen },
    { printed: dumasRow(sex, 'thorax'), lengthM: thorax, originM: neckM },
  ].map(({ printed, lengthM: length, originM }) => ({
    mass: printed.massFraction,
    at: [printed.centre[0] * length, originM + printed.centre[1] * length, printed.centre[2] * length] as const,
    inertia: inertiaShares(printed).map((share) => share * length ** 2),
  }));
  const mass = parts.reduce((sum, part) => sum + part.mass, 0);
  const centre = [0, 1, 2].map((axis) => parts.reduce((sum, part) => sum + part.mass * part.at[axis], 0) / mass);
  const inertia = [0, 0, 0, 0, 0, 0];
  for (const part of parts) {
    const [x, y, z] = part.at.map((place, axis) => place - centre[axis]);
    const parallel = [y * y + z * z, x * x + z * z, x * x + y * y, -x * y, -x * z, -y * z];
    for (let k = 0; k < 6; k++) inertia[k] += (part.mass / mass) * (part.inertia[k] + parallel[k]);
  }
  const shares = inertia.map((each) => each / lengthM ** 2) as unknown as SolidShares;
  return {
    massFraction: mass,
    centreFraction: centre[1] / lengthM,
    transverseRadiusFraction: Math.sqrt(shares[2]),
    endPoints: 'pelvis, abdomen and thorax: HJC-LLJ-ULJ-LNJ',
    from: 'mid_hip',
    to: 'mid_shoulder',
    solid: { forward: 0, up: 0, right: 0, inertia: shares },
  };
}

function row(segment: string, massFraction: number, centre: Triple, radii: Triple, products: Triple): DumasRow {
  return { segment, massFraction, centre, radii, products };
}
