/**
 * Every number the lift stage decides by. Each has a unit, what it means and where it comes from; docs/method/lift.md
 * repeats them in a table.
 */

/**
 * Least change of height that turns a top into a bottom, as a share of the standing leg length (hip to ankle), 1.
 * 0.10 of a leg of 0.82 m is 82 mm: above the 40 mm of a walk-out and the dip of an unrack, well below the drop of a quarter
 * squat. Common practice, no source.
 */
export const PROMINENCE_SHARE = 0.1;

/** Share of a repetition's own drop by which a phase has begun or ended, 1. Common practice, no source. */
export const PHASE_SHARE = 0.02;

/** A stand or a bottom is level within this share of the drop: 5 mm of 0.5 m, the noise of a smoothed point, 1. Common practice, no source. */
export const LEVEL_SHARE = 0.01;

/** A stand lasts as long as the height is within this share of the drop below it: 4 mm of 0.5 m, three SD of a smoothed point and a draw of its noise, 1. Common practice, no source. */
export const REST_SHARE = 0.0075;

/**
 * A slope leaves the stand as long before PHASE_SHARE as this many times the time from there to the second mark, 1. Legs that were
 * straight let the hips down by about the fourth power of time (the square of a bend that grows by the square): eight times as
 * far takes 1.68 times as long, so it is 1 / 0.68 times. Common practice, no source.
 */
export const ONSET_PER_MARKS = 1.5;
/** The second mark, a share of the drop, 1: eight times PHASE_SHARE. */
export const ONSET_MARK_SHARE = 8 * PHASE_SHARE;

/** The standing height is the highest point within this time of leaving (or reaching) the top tenth of the drop, s. Common practice, no source. */
export const STANDING_WINDOW_S = 1;
export const NEAR_TOP_SHARE = 0.1;
/** Where the height still rises at the end of that time, the stand is looked for in further steps of this, s. Common practice, no source. */
export const SLOW_START_STEP_S = 0.25;

/** A foot that is further than this from where it stood at the bottom is walking, m. An ankle rolls less than half of it in a squat. Common practice, no source. */
export const FEET_TRAVEL_M = 0.12;
/** For at least so long, s: a side swap of one frame is no step. Common practice, no source. */
export const FEET_TRAVEL_S = 0.1;

/** The top counts as regained from this share of the drop upward, 1. Common practice, no source. */
export const REGAINED_SHARE = 0.85;

/** A rise of less than this share of the drop between two bottoms is one repetition: a bounce, or a rise that failed, 1. Common practice, no source. */
export const BOUNCE_SHARE = 0.5;
/** A bounce is over within this time from bottom to bottom, s; a longer one is a rise that fell back. Common practice, no source. */
export const BOUNCE_LONGEST_S = 1.2;

/** A repetition shallower than this share of the set's deepest is partial, 1. Common practice, no source. */
export const SHALLOW_SHARE = 0.7;
/** Below this share, with a walk or an end of the set beside it, it is an unrack or a re-rack and not counted, 1. Common practice, no source. */
export const UNRACK_SHARE = 0.5;
/** A squat whose thighs stay above this elevation at the bottom does not come near parallel, degrees. Common practice, no source. */
export const NEAR_PARALLEL_DEG = 20;

/** Hip points missing for longer than this around the bottom leave the depth unknown, s. Common practice, no source. */
export const BOTTOM_GAP_S = 0.1;
/** Rest at the bottom for this long at the start of the recording: the lift begins with the ascent, s. Common practice, no source. */
export const REST_S = 0.1;

/** Lock-out at the top of a lift that begins with the ascent: thighs at least this steep, trunk at most this inclined, degrees. Common practice, no source. */
export const LOCKOUT_THIGH_DEG = 70;
export const LOCKOUT_LEAN_DEG = 25;

/**
 * A sticking point must lie this far below the first peak of upward velocity and be followed by a rise as large: a share
 * of the largest velocity of the ascent, 1, and a floor in m/s (noise of a differentiated joint point at 6 Hz is about
 * 0.02 m/s). Common practice, no source. The idea (first peak, then least velocity): van den Tillaar & Ettema (2010), from memory.
 */
export const STICKING_SHARE = 0.1;
export const STICKING_FLOOR_M_PER_S = 0.03;
/** An ascent whose velocity falls below this share of its peak before the recording ends has stalled, 1. Common practice, no source. */
export const STALL_SHARE = 0.1;

/**
 * hip_share is given only where hip + knee extensor moment exceeds this, N·m per kg of lifter and bar.
 * At rest hip + knee is the weight above times the horizontal distance from knee to hip, so 0.5 N·m/kg is a lever of
 * 0.5 / 9.81 = 51 mm: a thigh of 0.42 m about 7° off the vertical. There, 10 mm of error in the centre of mass already
 * moves the share by 0.2; nearer to standing the share is noise.
 */
export const SHARE_FLOOR_NM_PER_KG = 0.5;

/**
 * hip_knee_ratio is given only where the knee moment is at least this share of hip + knee, 1, and, once there are intervals,
 * where that of the knee moment excludes 0 (Fieller 1954). Common practice, no source.
 */
export const RATIO_KNEE_SHARE = 0.1;

/** Depth grids. Thigh elevation falls from 75° to −30° by 5°; hip drop runs from 0 to 100 % by 5 %. */
export const THIGH_ELEVATION_GRID_DEG: readonly number[] = Array.from({ length: 22 }, (_, i) => 75 - 5 * i);
export const DROP_GRID_PCT: readonly number[] = Array.from({ length: 21 }, (_, i) => 5 * i);
/** A depth may go back by this much and still be called monotone. Common practice, no source. */
export const MONOTONE_TOLERANCE_DEG = 1.5;
export const MONOTONE_TOLERANCE_PCT = 2;

/** The start of the descent is its first 15 % of the drop. Common practice, no source. */
export const START_DROP_SHARE = 0.15;
/** Knee and hip together must travel this far in it, m. Common practice, no source. */
export const START_TRAVEL_M = 0.01;
/** A start is called 'knees first' above, 'hips first' below these shares, 1. Common practice, no source. */
export const KNEES_FIRST_SHARE = 0.55;
export const HIPS_FIRST_SHARE = 0.45;

/** Onset: further from the standing mean than this many standard deviations of the standing sway, 1. Common practice, no source. */
export const ONSET_SDS = 3;
/** The sway of standing is taken over this time, up to the top frame, s. Common practice, no source. */
export const ONSET_BASELINE_S = 0.5;
/** The speed at the onset is taken over this time on either side, s. Common practice, no source. */
export const ONSET_SPEED_S = 0.05;
/** For how long the slow part of a point's noise lasts, s: about the memory of a 6 Hz low-pass. Common practice, no source. */
export const ONSET_CORRELATION_S = 0.15;
/** Least standard deviation taken for the standing sway, m. Common practice, no source. */
export const ONSET_SD_FLOOR_M = 0.001;

/**
 * Hip points further apart than this are not hip joint centres, m. Joint centres lie about 0.17–0.18 m apart, markers over
 * the trochanters about 0.37 m; the limit is near the middle. Common practice, no source.
 */
export const HIP_CENTRES_APART_LIMIT_M = 0.26;

/** Share of a phase's frames that may lack a moment for an impulse share, 1. Common practice, no source. */
export const IMPULSE_MISSING_SHARE = 0.05;

/** The first third of the drive, where hips may rise before shoulders, 1. Common practice, no source. */
export const DRIVE_START_SHARE = 1 / 3;

/**
 * A technique extreme (heels up, knees in, back round) counts as far as it is kept for this long, s: the largest value of a noisy
 * series that stays level grows with its length, the largest one kept does not. Common practice, no source.
 */
export const HELD_S = 0.25;

/** Share of the drop from which the knees are watched for caving in, 1: nearer to standing the knees say little. Common practice, no source. */
export const KNEE_TRACK_DROP_SHARE = 0.3;

/** The trunk is near its largest lean within this, degrees: the lean is flat there, and its one largest frame lies wherever noise puts it. Common practice, no source. */
export const NEAR_LARGEST_LEAN_DEG = 2;

/** A double bounce: a rise and fall of at least this, m, within this share of the drop of the bottom, 1. Common practice, no source. */
export const DOUBLE_BOUNCE_FLOOR_M = 0.005;
export const DOUBLE_BOUNCE_SHARE = 0.3;
