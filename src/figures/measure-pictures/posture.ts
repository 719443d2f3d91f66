/** A place in lab axes, metres: X forward, Y up, Z to the lifter's right. */
export type Place = readonly [x: number, y: number, z: number];

/** What a drawn posture is made from, degrees and metres; the same signs as the measures of the same name. */
export interface JointAngles {
  /** From the upright, knee ahead of the ankle +. */
  readonly shank: number;
  /** Thigh elevation: 90 upright, 0 level, − hip below the knee. */
  readonly thigh: number;
  /** From the upright, forward +. */
  readonly lean: number;
  /** Elbow above the shoulder +. */
  readonly upperArm: number;
  /** Toes turned outward +. */
  readonly toeOut: number;
  /** Between the ankles. */
  readonly stanceM: number;
}

export interface LegPlaces {
  readonly heel: Place;
  readonly toe: Place;
  readonly ankle: Place;
  readonly knee: Place;
  readonly hip: Place;
}

export interface ArmPlaces {
  readonly shoulder: Place;
  readonly elbow: Place;
  readonly wrist: Place;
}

/** A drawn lifter with the bar in a front rack. */
export interface DrawnPosture {
  readonly left: LegPlaces & ArmPlaces;
  readonly right: LegPlaces & ArmPlaces;
  readonly midHip: Place;
  readonly midShoulder: Place;
  readonly neckBase: Place;
  readonly midBack: Place;
  readonly headCentre: Place;
  readonly ear: Place;
  readonly eye: Place;
  readonly bar: Place;
  /** About where the centre of mass of lifter and bar lies. */
  readonly centreOfMass: Place;
}

/**
 * Lengths of the drawn lifter, metres: proportions of figure drawing, nobody's own. The bar is drawn shorter than a bar is,
 * so that it fits beside the lifter.
 */
export const DRAWN = {
  shank: 0.42,
  thigh: 0.43,
  trunk: 0.5,
  upperArm: 0.27,
  ankleHeight: 0.08,
  heelBehindAnkle: 0.07,
  toeAheadOfAnkle: 0.19,
  hipHalfWidth: 0.1,
  shoulderHalfWidth: 0.19,
  handHalfWidth: 0.24,
  headRadius: 0.095,
  barHalfLength: 0.62,
  barRadius: 0.065,
} as const;

export const STANDING: JointAngles = { shank: 3, thigh: 89, lean: 2, upperArm: -12, toeOut: 15, stanceM: 0.34 };
export const PARALLEL: JointAngles = { ...STANDING, shank: 29, thigh: 0, lean: 32, upperArm: -16 };
export const BOTTOM: JointAngles = { ...STANDING, shank: 31, thigh: -14, lean: 29, upperArm: -18 };

const { cos, hypot, max, PI, sin, sqrt } = Math;
const RAD = PI / 180;

/** The places of a posture with the ankles above x = 0. `left` changes angles of the left leg alone. */
export function drawnPosture(angles: JointAngles, left: Partial<JointAngles> = {}): DrawnPosture {
  const rightLeg = legOf(angles, 1);
  const leftLeg = legOf({ ...angles, ...left }, -1);
  const midHip = between(leftLeg.hip, rightLeg.hip, 0.5);
  const up = leaning(angles.lean);
  const front = ahead(angles.lean);
  const midShoulder = moved(midHip, up, DRAWN.trunk);
  const bar = moved(moved(midShoulder, front, 0.085), up, 0.035);
  const neckBase = moved(moved(midShoulder, up, 0.06), front, -0.035);
  const headLean = 0.3 * angles.lean;
  const headCentre = moved(moved(neckBase, leaning(headLean), 0.15), ahead(headLean), 0.05);
  return {
    left: { ...leftLeg, ...armOf(angles, midShoulder, bar, -1) },
    right: { ...rightLeg, ...armOf(angles, midShoulder, bar, 1) },
    midHip,
    midShoulder,
    neckBase,
    midBack: moved(moved(midHip, up, 0.6 * DRAWN.trunk), front, -0.06),
    headCentre,
    ear: moved(headCentre, ahead(headLean), -0.01),
    eye: moved(moved(headCentre, ahead(headLean), 0.075), leaning(headLean), 0.025),
    bar,
    centreOfMass: centreOfMass(
      midHip,
      midShoulder,
      bar,
      between(leftLeg.knee, rightLeg.knee, 0.5),
      between(leftLeg.ankle, rightLeg.ankle, 0.5),
    ),
  };
}

/** Parts of the whole in per cent for a bar as heavy as the lifter: rounded, nobody's own. */
const PARTS = { bar: 50, trunkHeadArms: 33, thighs: 13, shanks: 4 } as const;

function centreOfMass(midHip: Place, midShoulder: Place, bar: Place, midKnee: Place, midAnkle: Place): Place {
  const parts: readonly (readonly [percent: number, place: Place])[] = [
    [PARTS.bar, bar],
    [PARTS.trunkHeadArms, between(midHip, midShoulder, 0.7)],
    [PARTS.thighs, between(midHip, midKnee, 0.55)],
    [PARTS.shanks, between(midKnee, midAnkle, 0.45)],
  ];
  const mean = (axis: 0 | 1 | 2) => parts.reduce((sum, [percent, place]) => sum + (percent / 100) * place[axis], 0);
  return [mean(0), mean(1), mean(2)];
}

/** Foot flat, shank over it, thigh from the knee back to a hip that is half a hip width from the middle. */
function legOf({ shank, thigh, toeOut, stanceM }: JointAngles, side: 1 | -1): LegPlaces {
  const outward = sin(toeOut * RAD);
  const forward = cos(toeOut * RAD);
  const z = stanceM / 2;
  const onFoot = (along: number, y: number): Place => [along * forward, y, side * (z + along * outward)];
  const ankle = onFoot(0, DRAWN.ankleHeight);
  const reach = DRAWN.shank * sin(shank * RAD);
  const knee = onFoot(reach, DRAWN.ankleHeight + DRAWN.shank * cos(shank * RAD));
  const across = z + reach * outward - DRAWN.hipHalfWidth;
  const seen = sqrt(max(0, DRAWN.thigh ** 2 - across ** 2));
  return {
    heel: onFoot(-DRAWN.heelBehindAnkle, 0.015),
    toe: onFoot(DRAWN.toeAheadOfAnkle, 0.015),
    ankle,
    knee,
    hip: [knee[0] - seen * cos(thigh * RAD), knee[1] + seen * sin(thigh * RAD), side * DRAWN.hipHalfWidth],
  };
}

function armOf({ upperArm }: JointAngles, midShoulder: Place, bar: Place, side: 1 | -1): ArmPlaces {
  const shoulder: Place = [midShoulder[0], midShoulder[1], side * DRAWN.shoulderHalfWidth];
  const elbow: Place = [
    shoulder[0] + DRAWN.upperArm * cos(upperArm * RAD),
    shoulder[1] + DRAWN.upperArm * sin(upperArm * RAD),
    side * (DRAWN.shoulderHalfWidth + 0.015),
  ];
  const wrist: Place = [bar[0] + 0.035, bar[1] + 0.015, side * DRAWN.handHalfWidth];
  return { shoulder, elbow, wrist };
}

/** Unit vector along a line that leans forward by so many degrees, and the one square to it, to the front. */
export const leaning = (deg: number): Place => [sin(deg * RAD), cos(deg * RAD), 0];
export const ahead = (deg: number): Place => [cos(deg * RAD), -sin(deg * RAD), 0];

export const moved = (from: Place, along: Place, by: number): Place => [
  from[0] + by * along[0],
  from[1] + by * along[1],
  from[2] + by * along[2],
];

export const between = (a: Place, b: Place, share: number): Place => [
  a[0] + share * (b[0] - a[0]),
  a[1] + share * (b[1] - a[1]),
  a[2] + share * (b[2] - a[2]),
];

export const distance = (a: Place, b: Place): number => hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
