/** The named thresholds of clock estimation. Each says its unit and its source. */

/**
 * Half width of the kernel that smooths all views alike, seconds. A squat has next to no power above 3 Hz; the kernel
 * (tricube, local parabola) passes 0.93 at 3 Hz. The same in every view: its lag is 0 and its damping cancels.
 */
export const SMOOTHING_HALF_WIDTH_S = 0.15;

/** Least number of samples in a kernel; slow cameras get a wider kernel, in all views. */
export const LEAST_SAMPLES_IN_KERNEL = 9;

/** Steps of the smoothed tracks and of the common time at which views are compared, seconds; 3 times the kernel's bandwidth. */
export const TRACK_STEP_S = 1 / 30;
export const COMPARE_STEP_S = 1 / 25;

/** A sample this many robust standard deviations off its own smoothed track, or a residual off its series, is left out. Common practice, no source. */
export const OUTLIER_SCALES = 5;

/** Where the scatter about the smoothed track is this many times its usual value (a jump to another point), the track is not used. Common practice, no source. */
export const ROUGH_FIT_RATIO = 3;

/** Views must share at least this much time, seconds. Common practice, no source. */
export const LEAST_SHARED_S = 2;

/** A series of fewer compared instants than this is left out: nine tenths of a second. */
export const LEAST_INSTANTS = 23;

/**
 * Agreement of the two views about the movement across the epipolar lines, −Σ g_a g_b / √(Σ g_a² Σ g_b²): 1 without noise,
 * 0 where there is only noise. Below one half more than half of what looks like movement is noise.
 */
export const LEAST_AGREEMENT = 0.5;

/** An offset whose 95 % interval is wider than this share of a frame of the slowest camera to either side is not determined. Common practice, no source. */
export const WIDEST_OFFSET_FRAMES = 0.5;

/**
 * A drift is used only where zero is this improbable. A drift that is chance moves the offset of frame 0 by its own error
 * times half the recording, and is worse than one of a quartz (some 50 ppm) that is passed over; with 1 % for 0.1 % one
 * demo set of ten got a false one. A frame rate stated wrong (59.94 for 60: 1000 ppm) is far beyond either.
 */
export const DRIFT_PROBABILITY = 0.001;

/** A readout time known worse than this (95 %, seconds) is not determined: a quarter of a phone's usual 20 ms. Common practice, no source. */
export const WIDEST_READOUT_S = 0.005;

/** Length of the blocks that guard the interval against noise that grows with movement, seconds: six correlation times of 0.15 s. */
export const GUARD_BLOCK_S = 1;

/** The blocks' larger interval is taken where their scatter is this improbable under steady noise. */
export const GUARD_PROBABILITY = 0.01;

/** A second maximum of the correlation above this share of the first is nearly as good. Common practice, no source. */
export const SECOND_MAXIMUM_SHARE = 0.9;

/** Two starts whose residuals differ by less than this factor cannot be told apart. Common practice, no source. */
export const RIVAL_RESIDUAL_FACTOR = 1.3;
