export type PartSide = 'left' | 'right' | 'middle';

/** A limb between two points, thick at each end by so many metres of radius. */
export interface Limb {
  readonly from: string;
  readonly to: string;
  readonly fromRadiusM: number;
  readonly toRadiusM: number;
  readonly side: PartSide;
}

/** Thickness of what is drawn: looks only, nothing is computed from it. The left side is drawn thinner, and striped. */
const LEFT_THINNER = 0.86;

function limbsOf(side: 'left' | 'right'): Limb[] {
  const thin = side === 'left' ? LEFT_THINNER : 1;
  const limb = (from: string, to: string, fromRadiusM: number, toRadiusM: number): Limb => ({
    from: `${side}_${from}`,
    to: `${side}_${to}`,
    fromRadiusM: thin * fromRadiusM,
    toRadiusM: thin * toRadiusM,
    side,
  });
  return [
    limb('hip', 'knee', 0.07, 0.05),
    limb('knee', 'ankle', 0.048, 0.032),
    limb('shoulder', 'elbow', 0.044, 0.034),
    limb('elbow', 'wrist', 0.034, 0.024),
    limb('wrist', 'hand', 0.026, 0.022),
  ];
}

export const LIMBS: readonly Limb[] = [...limbsOf('left'), ...limbsOf('right')];

/** The neck, and the trunk's core where hips or shoulders are not both known. */
export const NECK: Limb = {
  from: 'middle_of_shoulders',
  to: 'head_centre',
  fromRadiusM: 0.052,
  toRadiusM: 0.045,
  side: 'middle',
};

export const HEAD_RADIUS_M = 0.105;

/** Outline of a trunk: half width as a share of the half distance between the shoulders, and half depth in metres, from hips (0) to shoulders (1). */
export const TRUNK_OUTLINE: readonly (readonly [along: number, width: number, depthM: number])[] = [
  [-0.14, 0.3, 0.05],
  [-0.08, 0.66, 0.088],
  [0.04, 0.8, 0.105],
  [0.3, 0.72, 0.092],
  [0.62, 0.86, 0.108],
  [0.86, 1, 0.1],
  [1, 0.9, 0.075],
  [1.06, 0.45, 0.045],
];

/** Bar: radius of its grip and of its sleeves, metres (a bar of 28 mm with sleeves of 50 mm). */
export const BAR_RADIUS_M = 0.014;
export const SLEEVE_RADIUS_M = 0.025;
