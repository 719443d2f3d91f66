import { SEGMENT_KINDS, type SegmentKind } from '../body/segment-table.ts';

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

/** Place of a segment's centre along its length against the table's, share of the length. From memory, as above. */
export const SEGMENT_CENTRE_SD: Readonly<Record<SegmentKind, number>> = {
  head: 0,
  trunk: 0.025,
  upper_arm: 0.03,
  forearm: 0.03,
  hand: 0.05,
  thigh: 0.025,
  shank: 0.025,
  foot: 0.04,
};

/** The segments in the order in which their causes are listed. */
export const SEGMENT_CAUSES: readonly SegmentKind[] = SEGMENT_KINDS;

/** Centre of mass of the trunk in front of (+) or behind the line mid-hip to mid-shoulder, metres, upright. Common practice, no source. */
export const TRUNK_FORWARD_SD_M = 0.012;

/**
 * The same, growing with the sine of the lean: a trunk that bends and shoulders that come forward lie behind the straight
 * line. On the one real lift with force plates at hand the whole-body centre of mass came out 20 to 41 mm too far forward
 * between 15° and 100° of lean, some 50 to 90 mm of the trunk: within two of these standard deviations.
 */
export const TRUNK_FORWARD_PER_SINE_SD_M = 0.045;
