/**
 * The named thresholds of the reconstruction, in one place. Each says its unit and its source; where the source is
 * `common practice, no source` the value is a choice of the field's practice, explained in docs/method/reconstruction.md.
 */

/** Least time in which all views must overlap, seconds. Common practice, no source. */
export const LEAST_OVERLAP_S = 0.5;

/** Least length of a recording, seconds; also three filter memories of the lowest cut-off. Common practice, no source. */
export const LEAST_RECORDING_S = 1;

/** Rays whose largest mutual angle is below this (degrees) do not fix a depth. Common practice, no source. */
export const LEAST_RAY_ANGLE_DEG = 2;

/** A reprojection residual beyond this multiple of the landmark's robust scale is an outlier. Common practice, no source. */
export const OUTLIER_SCALES = 6;

/** No residual below this share of the image diagonal is called an outlier (4.4 px at 1080 × 1920). Common practice, no source. */
export const OUTLIER_FLOOR_OF_DIAGONAL = 0.002;

/**
 * Among three or more views, a view is left out only where the next best choice of a view to leave out fits worse by
 * this many robust variances (a log-likelihood difference of 4.5 under normal noise). Common practice, no source.
 */
export const OUTLIER_CLEARANCE_VARIANCES = 9;

/**
 * Views disagree as a whole where the median residual passes this share of the image diagonal: some 0.1 m at a lifter who
 * fills the picture. Common practice, no source.
 */
export const VIEWS_DISAGREE_OF_DIAGONAL = 0.02;

/**
 * Shares of the points that must miss by so much: half at once (another rig), or a fifth (wrong clocks: feet and a lifter
 * who stands still fit at any time). Common practice, no source.
 */
export const VIEWS_DISAGREE_SHARES = [0.5, 0.2] as const;

/** Slow contradiction of the views that is no detector's: above this (px) and this many times the frame-to-frame noise. Common practice, no source. */
export const SLOW_DOUBTFUL_PX = 3;
export const SLOW_DOUBTFUL_OF_WHITE = 3;

/** Views are refused where more than this share of the points falls behind a camera. Common practice, no source. */
export const BEHIND_CAMERA_SHARE = 0.5;

/** A point further than this from the median body position is not a lifter's, metres. Common practice, no source. */
export const LIFTER_RANGE_M = 5;

/** A keypoint may lie outside the image by this share of its width or height. Common practice, no source. */
export const OUTSIDE_IMAGE_SHARE = 0.2;

/** A view is refused where more than this share of its keypoints lies further outside. Common practice, no source. */
export const OUTSIDE_IMAGE_TOLERATED = 0.01;

/** Hips, knees, ankles and shoulders must be seen in this share of the samples by two views. Common practice, no source. */
export const SEEN_SHARE = 0.1;

/**
 * A view is refused where its video stands still for this long (seconds) at a stretch, or in more than this share of its
 * frames, while another view goes on; shorter stalls are gaps. Common practice, no source.
 */
export const FROZEN_LONGEST_S = 1;
export const FROZEN_SHARE = 0.55;

/** A keypoint that never moves in one view is refused where another sees it travel further than this, px. Common practice, no source. */
export const STUCK_TRAVEL_PX = 20;

/** A view is refused where it is on other people in more than this share of its frames. Common practice, no source. */
export const OTHERS_SHARE = 0.4;

/** A landmark with fewer degrees of freedom than this borrows the pixel noise of the whole recording. Common practice, no source. */
export const LEAST_FREEDOM_FOR_NOISE = 10;

/**
 * A track of a view with fewer fourth differences than this (both coordinates counted) borrows its frame-to-frame noise: the
 * variance of 60 scatters by 30 %. Common practice, no source.
 */
export const LEAST_DIFFERENCES_FOR_NOISE = 60;

/** How long the slow part of pixel noise is taken to last, seconds: a prior that no pair of views can check. Common practice, no source. */
export const SLOW_S = 0.15;

/** No keypoint is weighted as if it were better than this, px: what exact and rounded data leave is not a quality. Common practice, no source. */
export const LEAST_NOISE_FOR_WEIGHTS_PX = 0.01;

/**
 * Points are solved again with new weights where a weight moves by more than this share: a wrong ratio of two weights by a
 * share d costs d² / 4 of the variance. Common practice, no source.
 */
export const WEIGHT_CHANGE_TOLERATED = 0.1;

/** The noise told from the tracks and the misfit of the views are called in disagreement beyond this factor of variances. Common practice, no source. */
export const NOISE_DISAGREES = 1.5;

/** Longest hole between two samples, in missing frames, that resampling onto another clock may bridge. */
export const RESAMPLING_HOLE_FRAMES = 1;

/** Neighbours on each side of a gap that carry the spline across it. Common practice, no source. */
export const GAP_NEIGHBOURS = 4;

/** Left-right pairs whose frames turn away from the mean by more than this (degrees) are left out of the heading. Common practice, no source. */
export const HEADING_TRIM_DEG = 45;

/** Feet, knees and nose must point within this of the direction square to the left-right lines, degrees. Common practice, no source. */
export const FACING_AGREEMENT_DEG = 60;

/** Points whose axes are stated must face forward within this, degrees: a lab axis is never further than 45° from any facing. */
export const STATED_HEADING_DEG = 60;

/** The lifter is still where the ankles move less than this (metres) half a window (seconds) before and after. Common practice, no source. */
export const STILL_TRAVEL_M = 0.03;
export const STILL_HALF_WINDOW_S = 0.25;

/** With the floor at the world's zero, resting ankles stand between these heights, metres. Common practice, no source. */
export const ANKLE_HEIGHT_LOW_M = 0.03;
export const ANKLE_HEIGHT_HIGH_M = 0.25;

/** Height of resting heel and toe points above the floor, shoe sole included, metres. Common practice, no source. */
export const FOOT_POINT_HEIGHT_M = 0.03;

/**
 * Height of the resting ankle joint above the floor, metres: 0.039 of stature (Drillis & Contini 1966, as in Winter 2009
 * fig. 4.1) is 0.066 m at 1.70 m, plus a sole of about 0.02 m (common practice, no source).
 */
export const ANKLE_JOINT_HEIGHT_M = 0.086;

/** The lowest points of the feet: this quantile of their heights in still frames. Common practice, no source. */
export const FLOOR_QUANTILE = 0.05;

/** Bounds of the cut-off by residual analysis, Hz. Common practice, no source. */
export const RESIDUAL_LOWEST_HZ = 2;
export const RESIDUAL_HIGHEST_HZ = 10;

/** A stretch shorter than this many filter memories (1 / cut-off) cannot be filtered. Common practice, no source. */
export const LEAST_STRETCH_MEMORIES = 3;

/** Residual analysis needs frames above its bound to see the noise: upper bound as a share of the frame rate. Common practice, no source. */
export const RESIDUAL_HIGHEST_OF_RATE = 0.2;
