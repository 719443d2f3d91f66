import { DataError } from '../errors.ts';

/** Four corners that are no rectangle on a floor. */
export const forcePlateCorners = (file: string, why: string) =>
  new DataError(
    'force-plate-corners',
    `${file}: its corners are no rectangle that lies flat: ${why}. Give the four corners one after the other round the edge, ` +
      'in the unit and axes of the centre of pressure.',
    { file, why },
  );

/** The centre of pressure is far from the rectangle that the corners say. */
export const forcePlateOff = (file: string, medianM: number, limitM: number) =>
  new DataError(
    'force-plate-off',
    `${file}: half of the loaded samples have their centre of pressure ${(1000 * medianM).toFixed(0)} mm or more outside the corners (limit ${(1000 * limitM).toFixed(0)} mm). ` +
      'Corners and centre of pressure must have one origin, one unit and the same axes.',
    { file, medianM, limitM },
  );

/** Two different heights of one surface. */
export const forcePlateHeights = (file: string, column: string, statedM: number, foundM: number, limitM: number) =>
  new DataError(
    'force-plate-heights',
    `${file}: surface_height_m is ${statedM.toFixed(3)}, but ${column} says ${foundM.toFixed(3)} m (limit of the difference ${limitM} m). ` +
      'Leave one of them out.',
    { file, statedM, foundM, limitM },
  );

/** A stretch that is not in the file. */
export const forcePlateUnloadedOutside = (file: string, fromS: number, toS: number, firstS: number, lastS: number) =>
  new DataError(
    'force-plate-unloaded-outside',
    `${file}: unloaded says ${fromS} to ${toS} s; the file runs from ${firstS.toFixed(3)} to ${lastS.toFixed(3)} s, and two samples or more are needed. ` +
      'Write seconds of its time_s column.',
    { file, fromS, toS, firstS, lastS },
  );

/** Something stood on it. */
export const forcePlateUnloadedLoaded = (file: string, meanN: number, sdN: number, mostN: number, mostSdN: number) =>
  new DataError(
    'force-plate-unloaded-loaded',
    `${file}: in the stretch that is said to be unloaded the vertical force is ${meanN.toFixed(1)} ± ${sdN.toFixed(1)} N ` +
      `(limits ${mostN} and ${mostSdN} N): somebody stands there. Name a stretch in which nothing does.`,
    { file, meanN, sdN, mostN, mostSdN },
  );

/** One foot is stated and two stand on it. */
export const twoFeetOnForcePlate = (file: string, foot: string, why: string) =>
  new DataError(
    'two-feet-on-force-plate',
    `${file}: stated as foot: ${foot}, but both feet are on it: ${why}. Write foot: both; moments of one leg then are not known.`,
    { file, foot },
  );

/** Two force plates stated for one foot, and one of them lies under the other. */
export const sameFootTwice = (file: string, foot: string, other: string) =>
  new DataError(
    'same-foot-twice',
    `${file}: two force plates are stated as foot: ${foot} and none as foot: ${other}, but the pressure on this one lies under the ${other} foot. ` +
      `Write foot: ${other} for it.`,
    { file, foot, other },
  );

/** `force_clock: estimate` where nothing tells the clock. */
export const forceClockUnknown = (why: string) =>
  new DataError(
    'force-clock-unknown',
    `force_clock: estimate, but the clock of the force plates cannot be estimated: ${why}. State offset_s of each force plate and leave force_clock out.`,
    { why },
  );

/** Notes go into results, which must not change with the folder they are made in: the name alone. */
const nameOf = (file: string) => file.split(/[\\/]/).at(-1) ?? file;
const mm = (metres: number) => `${(1000 * metres).toFixed(0).replace('-', '−')} mm`;
const ms = (seconds: number) => `${(1000 * seconds).toFixed(1).replace('-', '−')} ms`;

/** What a reader should know of force plates. */
export const forcePlateNotes = {
  offsetTaken: (file: string, fromS: number, toS: number, meanN: number, momentKnown: boolean) =>
    `${nameOf(file)}: offset of ${meanN.toFixed(1)} N vertical force (mean of ${fromS.toFixed(2)} to ${toS.toFixed(2)} s) taken off${momentKnown ? ', and that of the moment' : '; the centre of pressure there is not given, so its places stay as written'}.`,
  steady: (file: string, fromS: number, toS: number, meanN: number) =>
    `${nameOf(file)}: reads a steady ${meanN.toFixed(1)} N from ${fromS.toFixed(2)} to ${toS.toFixed(2)} s. Nothing is taken off. If nothing stood on it, this is its offset: write unloaded: { from_s: ${fromS.toFixed(2)}, to_s: ${toS.toFixed(2)} }.`,
  outside: (file: string, share: number, largestM: number) =>
    `${nameOf(file)}: ${(100 * share).toFixed(0)} % of its loaded samples have their centre of pressure outside the corners, by up to ${mm(largestM)}, where no foot can press: corners, calibration or offset are off.`,
  footOff: (file: string, foot: string, point: string, farM: number) =>
    `${nameOf(file)}: the ${point.replaceAll('_', ' ')} lies ${mm(farM)} outside its corners while the ${foot} foot stands on it: part of the force may go to the floor beside it.`,
  footOnOther: (file: string, foot: string, point: string, other: string) =>
    `${nameOf(file)}: the ${point.replaceAll('_', ' ')} stands on ${nameOf(other)}: part of the ${foot} foot's force is counted there.`,
  underOtherFoot: (file: string, foot: string) =>
    `${nameOf(file)}: stated as foot: ${foot}, but its centre of pressure lies under the other foot.`,
  heights: (loM: number, hiM: number) =>
    `The surfaces of the force plates lie at different heights (${mm(loM)} to ${mm(hiM)}): one plane at their mean is used for the total centre of pressure.`,
  sole: (surfaceM: number, thicknessM: number) =>
    `Centres of pressure are given at the sole, ${mm(thicknessM)} above the surface (at ${mm(surfaceM)}): they differ from those on the surface by horizontal over vertical force times that. Moments do not depend on it.`,
  surfaceApart: (apartM: number) =>
    `The floor found from the feet lies ${mm(Math.abs(apartM))} ${apartM > 0 ? 'above' : 'below'} the surface of the force plates: centres of pressure are given at the floor's height. Check the heights of points and force plates.`,
  matched: (cutoffHz: number, legsHz: number | null) =>
    `Force plates: force and moment low-passed at ${cutoffHz.toFixed(2)} Hz (zero lag), as the trunk's points, and resampled to the frames.${
      legsHz === null
        ? ''
        : ` The legs' points keep ${legsHz.toFixed(2)} Hz: in moments of the legs their own inertia is of the wider band, the measured force of the narrower.`
    }`,
  clockApplied: (offsetS: number, sdS: number) =>
    `Clock of the force plates: shifted by ${ms(offsetS)} (± ${ms(sdS)} standard error), estimated from the vertical force against the movement.`,
  clockOff: (offsetS: number, sdS: number) =>
    `The clock of the force plates seems off by ${ms(offsetS)} (± ${ms(sdS)} standard error) against the movement. Nothing is shifted; write force_clock: estimate to take it, or correct offset_s.`,
} as const;

/** Why the clock of the force plates cannot be estimated. */
export const forceClockReasons = {
  noUpperBody: () => 'the upper body is not known, so no force is predicted from the movement',
  oneFoot: () => 'only one foot is on a force plate, so the total force is not measured',
  tooShort: (frames: number, least: number) => `movement and force share ${frames} frames (${least} needed)`,
  still: () => 'the vertical force hardly changes: a movement up and down is needed',
  atEnd: (rangeS: number) =>
    `the best agreement lies at the end of the range that is searched (${rangeS.toFixed(1)} s)`,
  poor: (r: number) => `movement and force do not resemble each other (correlation ${r.toFixed(2)})`,
} as const;
