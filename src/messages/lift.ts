import { DataError } from '../errors.ts';

/** Texts of the lift stage: why a value is unknown, why a repetition is not full, what was decided about a set. */

const pct = (share: number) => `${Math.round(share * 100)} %`;

export const acceptanceInvalid = (file: string, place: string, problem: string) =>
  new DataError(
    'acceptance-limits-invalid',
    `${file}: ${place}: ${problem}. Each limit needs name, direction ("at most" or "at least"), good, usable, unit and ` +
      `source; "usable" must not be stricter than "good".`,
    { file, place },
  );

export const acceptanceUnknownLimit = (file: string, name: string, known: readonly string[]) =>
  new DataError(
    'acceptance-limit-unknown',
    `${file}: limit "${name}" is not one that can be measured. Known limits: ${known.join(', ')}.`,
    { file, name },
  );

// Why a value is unknown.
export const needsLandmarks = (landmarks: readonly string[]) => `needs ${landmarks.join(', ')}`;
export const notReached = () => 'not reached';
export const notMonotone = () => 'depth not monotone here';
export const edgeOfRecording = () => 'beside a gap or an end of the recording';
export const missing = () => 'missing';
export const phaseMissing = (phase: string) => `no ${phase} in the recording`;
export const parallelNotReached = (lowestDeg: number) =>
  Number.isFinite(lowestDeg)
    ? `parallel not reached (lowest thigh elevation ${lowestDeg.toFixed(1)}°)`
    : 'thigh elevation not known';
export const noStickingPoint = () => 'no sticking point';
export const shareUndefined = (floorNmPerKg: number) => `hip + knee moment below ${floorNmPerKg} N·m/kg`;
export const supportUndefined = (floorNmPerKg: number) => `support moment below ${floorNmPerKg} N·m/kg`;
export const ratioUndefined = (share: number) => `knee moment below ${pct(share)} of hip + knee`;
export const ratioUnbounded = () => 'the 95 % interval of what it is divided by holds 0: no ratio';
export const ratioNotPositive = () => 'a ratio that is not positive has no mean: see hip_share';
export const needsUpperBodyOrForcePlates = () => 'needs head, trunk and arms, or force plates';
export const needsUpperBody = () => 'needs head, trunk and arms';
export const gravityPartUnknown = () => 'force plates do not tell weight from inertia of the upper body';
export const needsForcePlates = () => 'needs force plates';
export const needsBar = () => 'no bar in this recording';
export const barIsPlaced = (how: string) => `needs bar_left_end, bar_right_end (bar ${how})`;
export const barIsTracked = () => 'the bar ends are tracked: see bar_velocity_mean and bar_velocity_peak';
export const ascentComesFirst = () => 'the repetition begins with the ascent';
export const travelTooSmall = (limitM: number) => `knees and hips move less than ${limitM * 1000} mm`;
export const withinOneFrame = () => 'within one frame';
export const withinNoise = () => 'within the noise of standing';
export const standingTooShort = () => 'too little standing before the descent';
export const noOnset = (what: string) => `the ${what} does not leave the sway of standing`;
export const hipPointsAreTrochanters = (widthM: number, limitM: number) =>
  `hip points ${widthM.toFixed(2)} m apart are no joint centres (limit ${limitM} m)`;
export const impulseTooSmall = (floorNmPerKg: number) => `mean hip + knee moment below ${floorNmPerKg} N·m/kg`;
export const tooManyMissing = (framesMissing: number, frames: number) =>
  `moments missing in ${framesMissing} of ${frames} frames`;

// Why a repetition is not full.
export const shallow = (share: number) => `bottom at ${pct(share)} of the set's deepest`;
export const farFromParallel = (deg: number, limitDeg: number) =>
  `thighs stay ${deg.toFixed(0)}° above parallel (limit ${limitDeg}°)`;
export const beginsInDescent = () => 'the recording begins during the descent';
export const beginsAtBottom = () => 'the recording begins at the bottom';
export const endsAtBottom = () => 'the recording ends at the bottom';
export const endsInAscent = (share: number) => `the recording ends during the ascent, ${pct(share)} of the way up`;
export const endsAfterStall = (share: number) => `stalls ${pct(share)} of the way up, where the recording ends`;
export const fellBack = (share: number) => `falls back after rising ${pct(share)} of the drop`;
export const notStoodUp = (share: number) => `stands up only ${pct(share)} of the drop before the next descent`;
export const notLockedOut = () => 'the top is not an upright stand';
export const notRegained = (share: number) => `the top is not regained (${pct(share)} of the drop)`;
export const bottomMissing = (seconds: number) =>
  `points missing for ${seconds.toFixed(2)} s at the bottom: depth not known`;
export const topMissing = (seconds: number) => `points missing for ${seconds.toFixed(2)} s at the top: stand not known`;

// Notes of a set.
export const noRepetitions = (changeM: number, limitM: number) =>
  `No repetition found: the height changes by ${changeM.toFixed(3)} m at most, ${limitM.toFixed(3)} m are needed.`;
export const noHeight = () => 'No repetition found: hips, knees or ankles are not known.';
export const walkIgnored = (timeS: number) =>
  `A change of height at ${timeS.toFixed(2)} s is not counted: the feet move.`;
export const smallIgnored = (timeS: number, limitM: number) =>
  `A change of height at ${timeS.toFixed(2)} s is not counted: less than ${(100 * limitM).toFixed(0)} cm from a stand to the bottom.`;
export const unrackIgnored = (timeS: number) =>
  `A shallow dip at ${timeS.toFixed(2)} s is not counted: unrack or re-rack.`;
export const feetUnknown = () => 'Ankles are not known: walking cannot be told from lifting.';
export const shouldersFollowed = () =>
  'Repetitions are found by the height of the shoulders, because the bar is in the hands and a hip hinge lowers the hips little.';
export const countDiffers = (found: number, planned: number) => `${found} repetitions found, ${planned} planned.`;
export const outcomeContradicts = (stated: string) =>
  stated === 'failed'
    ? 'The recording says the lift failed, but the last repetition regains the top.'
    : 'The recording says the lift was made, but a repetition does not regain the top.';
export const momentsFromForcePlates = () =>
  'Moments of both legs come from the measured floor force up, as asked; those from the movement stand beside them (…_moment_from_above).';
export const momentsNotFromForcePlates = () =>
  'Moments of both legs were asked from force plates, but no force plates are under both feet: they come from the movement.';
export const momentUnitNeedsStature = () =>
  'moments.csv is empty: the unit per_weight_and_height needs stature_m of the athlete.';
