import type { SegmentParameters, SegmentTable } from './segment-table.ts';

/** One printed row, fractions: of body mass (one side), and of the length between the end points, from the first-named. */
export interface DempsterWinterRow {
  readonly segment: string;
  readonly endPoints: string;
  readonly massFraction: number;
  readonly centreFraction: number;
  /** About the centre of mass; NaN where none is printed. */
  readonly radiusFraction: number;
}

/**
 * Winter DA (2009) Biomechanics and Motor Control of Human Movement, 4th ed., Table 4.1, after Dempster (1955): the rows
 * that make up a whole body, and the two that check them. One table for both sexes (eight elderly male cadavers).
 *
 * End points: GTR greater trochanter, SJC EJC WJC KJC joint centres, KNU2 second knuckle of the middle finger, STYL ulnar
 * styloid, LMAL MMAL malleoli, MT2 head of the second metatarsal, EAR ear canal.
 */
export const DEMPSTER_WINTER_2009: readonly DempsterWinterRow[] = [
  row('Head neck', 'C7T1-RIB1EAR', 0.081, 1, 0.495),
  row('Trunk', 'GTR-SJC', 0.497, 0.5, Number.NaN),
  row('Upper arm', 'SJC-EJC', 0.028, 0.436, 0.322),
  row('Forearm', 'EJC-STYL', 0.016, 0.43, 0.303),
  row('Hand', 'WJC-KNU2', 0.006, 0.506, 0.297),
  row('Thigh', 'GTR-KJC', 0.1, 0.433, 0.323),
  row('Leg', 'KJC-MMAL', 0.0465, 0.433, 0.302),
  row('Foot', 'LMAL-MT2', 0.0145, 0.5, 0.475),
  row('Trunk head neck', 'GTR-SJC', 0.578, 0.66, 0.503),
  row('HAT', 'GTR-SJC', 0.678, 0.626, 0.496),
];

/**
 * The table as Kneeward draws the body. Stand-ins, because the joints are what is filmed: hip joint centre for the greater
 * trochanter, wrist for the styloid, ankle for either malleolus, tip of the big toe for the head of the second metatarsal,
 * third knuckle for the second knuckle of the middle finger (docs/method/body.md).
 */
export function dempsterWinterTable(): SegmentTable {
  return {
    name: 'dempster-winter-2009',
    sex: 'unknown',
    source: 'Winter (2009), Table 4.1, after Dempster (1955)',
    segments: {
      head: { ...parameters('Head neck', 'ear canal', 'ear canal'), centreFraction: 0 },
      trunk: { ...parameters('Trunk', 'mid_hip', 'mid_shoulder'), transverseRadiusFraction: trunkRadiusFraction() },
      upper_arm: parameters('Upper arm', 'shoulder', 'elbow'),
      forearm: parameters('Forearm', 'elbow', 'wrist'),
      hand: parameters('Hand', 'wrist', 'third knuckle'),
      thigh: parameters('Thigh', 'hip', 'knee'),
      shank: parameters('Leg', 'knee', 'ankle'),
      foot: parameters('Foot', 'ankle', 'big toe'),
    },
  };
}

/** The row printed for `segment`. */
export function dempsterWinterRow(segment: string): DempsterWinterRow {
  const found = DEMPSTER_WINTER_2009.find((each) => each.segment === segment);
  if (!found) throw new RangeError(`Winter (2009) Table 4.1: row "${segment}" is not held here`);
  return found;
}

/**
 * Radius of gyration of the trunk alone, which the table leaves blank: from its rows for trunk with head and neck, trunk,
 * and head and neck, by the parallel-axis theorem. The head is taken as a point, so this is an upper bound (by about 2 %).
 */
function trunkRadiusFraction(): number {
  const whole = dempsterWinterRow('Trunk head neck');
  const trunk = dempsterWinterRow('Trunk');
  const headMass = dempsterWinterRow('Head neck').massFraction;
  const headCentre = (whole.massFraction * whole.centreFraction - trunk.massFraction * trunk.centreFraction) / headMass;
  const inertia =
    whole.massFraction * whole.radiusFraction ** 2 -
    trunk.massFraction * (whole.centreFraction - trunk.centreFraction) ** 2 -
    headMass * (headCentre - whole.centreFraction) ** 2;
  return Math.sqrt(inertia / trunk.massFraction);
}

function parameters(segment: string, from: SegmentParameters['from'], to: SegmentParameters['to']): SegmentParameters {
  const printed = dempsterWinterRow(segment);
  return {
    massFraction: printed.massFraction,
    centreFraction: printed.centreFraction,
    transverseRadiusFraction: printed.radiusFraction,
    endPoints: printed.endPoints,
    from,
    to,
  };
}

function row(
  segment: string,
  endPoints: string,
  massFraction: number,
  centreFraction: number,
  radiusFraction: number,
): DempsterWinterRow {
  return { segment, endPoints, massFraction, centreFraction, radiusFraction };
}
