/**
 * Half width of the 95 % interval of the hip share at parallel, from the errors of points alone. Good: it adds less than half to
 * what a vertical at its accepted limit does already (0.5° is 0.007 to 0.01). Usable: a difference of 0.05 between two
 * lifts still shows. Common practice, no source.
 */
export const HIP_SHARE_GOOD_95 = 0.01;
export const HIP_SHARE_USABLE_95 = 0.03;

/** Half width of the 95 % interval of the vertical that a rig must keep, degrees: 1° moves the hip share of a posture by 0.01 to 0.02. */
export const VERTICAL_LIMIT_DEG = 0.5;
