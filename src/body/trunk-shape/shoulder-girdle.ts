/**
 * How far shoulders rise above the thorax with an arm at a right angle to the trunk, share of the line mid-hip to
 * mid-shoulder: the clavicle rises by 11–15° over the whole elevation of the arm (Ludewig PM et al. 2004 J Orthop Sports Phys
 * Ther 34:140–149), about 7° of it by 90°; on a lever of 165 mm (sternal end to the shoulder joint, common practice, no
 * source) that is 20 mm of a line of 508 mm.
 */
export const RISE_SHARE = 0.04;

/**
 * Share of the line by which the shoulders stand higher than with hanging arms: 0.04 (1 − cos η), η between the upper arm
 * and the trunk's line downward. Smooth where the arm hangs. cosine: cos η, mean of the arms.
 */
export function shoulderRise(cosine: number): number {
  return RISE_SHARE * (1 - cosine);
}
