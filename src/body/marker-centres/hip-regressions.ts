/** A length of the pelvis enters as `constant + perWidth · width + perDepth · depth`, metres. */
export interface PelvisTerm {
  readonly constantM: number;
  readonly perWidth: number;
  readonly perDepth: number;
}

/**
 * Where the right hip lies from midway between both ASIS, in the axes of the pelvis (Wu et al. 2002: X forward, Y up, Z right); the
 * left is the mirror image. Width: between the ASIS. Depth: from midway between the ASIS to midway between the PSIS.
 */
export interface HipRegression {
  readonly name: 'harrington-2007' | 'bell-1990';
  readonly source: string;
  readonly provenance: string;
  readonly forward: PelvisTerm;
  readonly up: PelvisTerm;
  readonly right: PelvisTerm;
  /** Standard error of the regression, metres, forward, up, outward; as the source has it. */
  readonly sdM: readonly [forward: number, up: number, outward: number];
}

/**
 * Published regressions. The default is Harrington's: from images of living people (32, of whom 8 adults), with the smallest error in
 * later comparisons with imaging (Sangeux et al. 2011, Gait Posture 34:324–328, from memory); Bell's own mean error was 19 mm.
 */
export const HIP_REGRESSIONS: readonly HipRegression[] = [
  {
    name: 'harrington-2007',
    source:
      'Harrington ME, Zavatsky AB, Lawson SEM, Yuan Z, Theologis TN (2007) Prediction of the hip joint centre in adults, children, and patients with cerebral palsy based on magnetic resonance imaging. J Biomech 40:595–602; the equations on width and depth alone',
    provenance: 'read in four public restatements, which agree; errors (leave one out) in one of them',
    forward: { constantM: -0.0099, perWidth: 0, perDepth: -0.24 },
    up: { constantM: -0.0109, perWidth: -0.3, perDepth: 0 },
    right: { constantM: 0.0073, perWidth: 0.33, perDepth: 0 },
    sdM: [0.0052, 0.0036, 0.0032],
  },
  {
    name: 'bell-1990',
    source:
      'Bell AL, Pedersen DR, Brand RA (1990) A comparison of the accuracy of several hip center location prediction methods. J Biomech 23:617–621; Bell AL, Brand RA, Pedersen DR (1989) Hum Mov Sci 8:3–16',
    provenance:
      'read in one public restatement (7 men; mean distance 19 mm); the share of it to each axis is taken as equal',
    forward: { constantM: 0, perWidth: -0.19, perDepth: 0 },
    up: { constantM: 0, perWidth: -0.3, perDepth: 0 },
    right: { constantM: 0, perWidth: 0.36, perDepth: 0 },
    sdM: [0.011, 0.011, 0.011],
  },
];

export type HipRegressionName = HipRegression['name'];
export const DEFAULT_HIP_REGRESSION: HipRegressionName = 'harrington-2007';

export function hipRegression(name: HipRegressionName): HipRegression {
  return HIP_REGRESSIONS.find((each) => each.name === name)!;
}

/** Right hip from midway between the ASIS, metres, in the axes of the pelvis. */
export function rightHip(
  { forward, up, right }: HipRegression,
  widthM: number,
  depthM: number,
): readonly [number, number, number] {
  const of = ({ constantM, perWidth, perDepth }: PelvisTerm) => constantM + perWidth * widthM + perDepth * depthM;
  return [of(forward), of(up), of(right)];
}
