import { SEGMENT_KINDS, type SegmentKind } from '../body/segment-table.ts';
import { FLEXION_SHARE_SD } from '../body/trunk-shape/lumbar-flexion.ts';
import { MEASURED_SHARE_SD } from '../body/trunk-shape/measured-share.ts';
import type { SharingAssumptions } from '../mechanics/leg-sharing/assumptions.ts';

/**
 * How far inputs may be off that no measurement of the recording can tell, as standard deviations. Each says its source.
 * What the recording or the rig states itself (mass_sd_kg, sd_kg, offset_sd_s, covariance of the cameras …) goes before.
 */

/** Body mass as weighed in clothes on a bathroom scale, kg. Common practice, no source. */
export const BODY_MASS_SD_KG = 0.5;

/** Bar, discs and collars against their stamped weights, share of the load. Common practice, no source. */
export const LOAD_SD_SHARE = 0.01;

/** Place of an untracked bar against the stated offset from shoulders or hands, metres, forward and up. Common practice, no source. */
export const UNTRACKED_BAR_SD_M = 0.02;

/** A stated clock offset is taken to be good to this share of a frame interval. Common practice, no source. */
export const STATED_OFFSET_SD_FRAMES = 0.1;
/** Without a stated offset the views may be out by any part of a frame, had they been started by one signal: uniform ± ½ frame. */
export const UNSTATED_OFFSET_SD_FRAMES = 1 / Math.sqrt(12);

/**
 * What a plan takes for a calibration that the acceptance limits call good: independent errors of each camera, and of the
 * length the rig is made from. Common practice, no source.
 */
export const PLANNED_CAMERA_SD = { focalPx: 3, principalPointPx: 3, turnDeg: 0.05, placeM: 0.003 } as const;
export const PLANNED_SCALE_SD = 0.003;

/** How fast thighs turn as a squat passes parallel, degrees a second. Common practice, no source. */
export const THIGH_SPEED_DEG_PER_S = 60;

/** A stated readout time, seconds; and an unstated one, taken as 0 although phones have up to about 20 ms. Common practice, no source. */
export const STATED_READOUT_SD_S = 0.001;
export const UNSTATED_READOUT_SD_S = 0.012;

/**
 * Mass of a segment of one person against the table's, share of the segment's mass (coefficient of variation between people
 * of one sex at equal body mass), before all are brought back to 100 % of body mass. From memory of the spread in de Leva's
 * (1996) source sample and of the differences between published tables; no printed value was at hand.
 */
export const SEGMENT_MASS_SD: Readonly<Record<SegmentKind, number>> = {
  head: 0.08,
  trunk: 0.05,
  upper_arm: 0.1,
  forearm: 0.1,
  hand: 0.12,
  thigh: 0.08,
  shank: 0.08,
  foot: 0.12,
};

/**
 * Place of a segment's centre along its length against the table's, share of the length. From memory, as above; the trunk's
 * from what published tables say of one and the same line, mid-hip to mid-shoulder: 0.500 (Winter 2009, after Dempster), 0.569
 * and 0.622 (de Leva 1996, men and women), and 0.51 (Reid 1984 Arch Phys Med Rehabil 65:246–250, computed tomography:
 * 49.35 % of trochanters to suprasternal notch, on de Leva's lengths of men). Their standard deviation is 0.056.
 */
export const SEGMENT_CENTRE_SD: Readonly<Record<SegmentKind, number>> = {
  head: 0,
  trunk: 0.055,
  upper_arm: 0.03,
  forearm: 0.03,
  hand: 0.05,
  thigh: 0.025,
  shank: 0.025,
  foot: 0.04,
};

/** The segments in the order in which their causes are listed. */
export const SEGMENT_CAUSES: readonly SegmentKind[] = SEGMENT_KINDS;

/**
 * Centre of mass of the trunk in front of (+) or behind the line mid-hip to mid-shoulder, metres, upright. No table tells it:
 * de Leva and Dempster know places along the line only. Standing people's vertebrae lie within ± 40 mm (two standard
 * deviations) of their mean place fore–aft (Gangnet et al. 2003 Surg Radiol Anat 25:424–433, 34 people).
 */
export const TRUNK_FORWARD_SD_M = 0.02;

/**
 * Centre of mass of thighs and shanks in front of (+) or behind the line of their joints, metres. De Leva and Dempster put it
 * on the line; Dumas et al. (2007, J Biomech 40:543–553) have it behind: thigh 4.1 % (men) and 7.7 % (women) of the length,
 * 18 and 28 mm, shank 4.8 and 4.9 %, 20 mm.
 */
export const THIGH_FORWARD_SD_M = 0.02;
export const SHANK_FORWARD_SD_M = 0.015;

/**
 * Shoulders that come forward, and rise, on the thorax as the lifter leans, taken with them by the line the trunk is drawn on,
 * metres of the trunk's centre times the sine of the lean: 15° of the clavicle either way (Ludewig et al. 2004, as in
 * body/trunk-shape/shoulder-girdle.ts) on a lever of 165 mm are 43 mm of the shoulders, of which the trunk's centre follows 0.58.
 */
export const TRUNK_FORWARD_PER_SINE_SD_M = 0.025;
export const TRUNK_UP_PER_SINE_SD_M = 0.025;

/** Share of the published lumbar flexion that a lift uses, 1: body/trunk-shape/lumbar-flexion.ts, and what points of the back leave of it. */
export const TRUNK_BEND_SHARE_SD = FLEXION_SHARE_SD;
export const MEASURED_TRUNK_BEND_SHARE_SD = 1 / Math.hypot(1 / FLEXION_SHARE_SD, 1 / MEASURED_SHARE_SD);

/**
 * How far a lifter may be from what is assumed to share the floor's force between the feet, by the names of SharingAssumptions.
 * Common practice, no source; what one real deadlift with a force plate under each foot showed is set beside each.
 */
export const LEG_SHARING_SD: Readonly<Record<keyof SharingAssumptions, number>> = {
  /** Centre of pressure beside the foot's line, metres: there 10 and 11 mm outward, varying by 4 mm. */
  outwardLeftM: 0.01,
  outwardRightM: 0.01,
  /** Left further along the foot than right, share of the foot's length: there 6 mm of 260, varying by 39 mm. */
  alongDifference: 0.12,
  /** Squeeze, share of half the vertical force: there 0.070 (24 N), varying by 0.017. */
  squeezeShare: 0.07,
  /** One foot forward, one backward, share of half the vertical force: there 0.005, varying by 0.014. */
  twistShare: 0.02,
  /** Free moments against each other, metres times half the vertical force: 2 N·m at 400 N; not measured there. */
  freeMomentM: 0.005,
  /** Centre of mass beside what points and tables say, metres: there the centre of pressure from above was 3 mm off, varying by 5 mm. */
  sidewaysM: 0.005,
  /** Half of the way from the chosen sharing to the other one is one standard deviation. */
  towardsOther: 0.5,
  /** The whole difference between the mid-joint's moment and the sum of the legs' own is one standard deviation. */
  sumOfLegs: 1,
};
