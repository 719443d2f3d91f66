import { DataError } from '../errors.ts';

const listed = (names: readonly string[]): string => names.map((name) => `"${name}"`).join(', ');

const shortNumber = (value: number): string => String(Number(value.toPrecision(4)));

// The file as a whole

export const c3dForeign = (file: string, found: string) =>
  new DataError(
    'c3d-foreign',
    `${file}: this is not a C3D file (${found}). Name the C3D file, or export the recording as C3D.`,
    { file, found },
  );

/** The file ends before what it promises. `place` says where. */
export const c3dTruncated = (file: string, place: string, bytes: number, needed: number) =>
  new DataError(
    'c3d-truncated',
    `${file}: the file ends after ${bytes} bytes, and ${place} reaches to byte ${needed}. It was copied or written only in part: copy it again.`,
    { file, place, bytes, needed },
  );

export const c3dFramesMissing = (file: string, frames: number, held: number) =>
  new DataError(
    'c3d-truncated',
    `${file}: ${frames} frames are promised and ${held} are there. The file was copied or written only in part: copy it again.`,
    { file, frames, held },
  );

export const c3dDamaged = (file: string, place: string, fault: string) =>
  new DataError('c3d-damaged', `${file}, ${place}: ${fault}. Export the file again.`, { file, place, fault });

/** Header and parameters (or two parameters) contradict each other. */
export const c3dDisagree = (file: string, what: string, first: string, second: string) =>
  new DataError(
    'c3d-disagree',
    `${file}: two places in the file disagree about ${what}: ${first}, and ${second}. Either may be the wrong one: export the file again.`,
    { file, what, first, second },
  );

export const c3dValue = (file: string, parameter: string, value: number, needed: string) =>
  new DataError(
    'c3d-value',
    `${file}, ${parameter}: ${shortNumber(value)}, and ${needed} is needed. Correct the parameter, or export the file again.`,
    { file, parameter, value },
  );

export const c3dMissing = (file: string, parameter: string, why: string) =>
  new DataError('c3d-missing', `${file}: there is no ${parameter} (${why}). Export the file with it.`, {
    file,
    parameter,
  });

export const c3dTooShort = (file: string, parameter: string, values: number, needed: number) =>
  new DataError(
    'c3d-too-short',
    `${file}, ${parameter}: ${values} values, and ${needed} are needed. Export the file again.`,
    { file, parameter, values, needed },
  );

export const c3dEmpty = (file: string, what: string) =>
  new DataError('c3d-empty', `${file}: there is no ${what} in this file. Name another file, or export it with them.`, {
    file,
    what,
  });

export const c3dTooLarge = (file: string, what: string, value: number, limit: number) =>
  new DataError(
    'c3d-too-large',
    `${file}: ${what}: ${value}, and at most ${limit} are taken. Cut the recording to one set.`,
    { file, what, value, limit },
  );

// Units

export const c3dUnitUnknown = (file: string, parameter: string, unit: string, known: readonly string[]) =>
  new DataError(
    'c3d-unit',
    `${file}, ${parameter}: ${unit === '' ? 'the unit is not stated' : `the unit "${unit}" is not known`}. Known: ${known.join(', ')}. ` +
      'For lengths write "unit: mm" (or cm, m) under c3d.',
    { file, parameter, unit },
  );

export const c3dUnitContradicted = (file: string, inFile: string, stated: string) =>
  new DataError(
    'c3d-unit-contradicted',
    `${file}: POINT:UNITS is ${inFile}, but the recording states ${stated}. Remove "unit" under c3d; if the file's unit is wrong, correct it there.`,
    { file, inFile, stated },
  );

export const c3dRate = (file: string, rateHz: number, low: number, high: number) =>
  new DataError(
    'c3d-rate',
    `${file}: the points have ${shortNumber(rateHz)} frames a second, outside ${low} to ${high} Hz. Export the file with its true rate (POINT:RATE).`,
    { file, rateHz, low, high },
  );

// The recording file

export const c3dBesideOthers = (file: string, line: number) =>
  new DataError(
    'both-sources',
    `${file}, line ${line}: c3d stands beside landmarks_3d, rig or views. Keep one: the points of the C3D file, or the others.`,
    { file, line },
  );

export const c3dWithForceAxes = (file: string, line: number) =>
  new DataError(
    'force-axes-with-points',
    `${file}, line ${line}: force_axes belongs beside views; force plates beside c3d use c3d.axes. Remove force_axes.`,
    { file, line },
  );

// Labels

export const c3dNoLabels = (file: string, line: number) =>
  new DataError(
    'c3d-no-labels',
    `${file}, line ${line}: c3d.labels names no point. Write which label of the file is which landmark, for instance left_hip: LHIP.`,
    { file, line },
  );

export const c3dLabelMissing = (
  file: string,
  landmark: string,
  label: string,
  nearest: readonly string[],
  known: readonly string[],
) =>
  new DataError(
    'c3d-label',
    `${file}: ${landmark} is to be "${label}", and no point has that label.` +
      `${nearest.length > 0 ? ` Nearest: ${listed(nearest)}.` : ''} The file has: ${known.length > 0 ? listed(known) : 'no labels'}. Correct c3d.labels.`,
    { file, landmark, label, suggestion: nearest[0] ?? '' },
  );

export const c3dLabelTwice = (file: string, landmark: string, label: string, numbers: readonly number[]) =>
  new DataError(
    'c3d-label-twice',
    `${file}: ${landmark} is to be "${label}", and ${numbers.length} points have that label (numbers ${numbers.join(', ')} of the file). ` +
      `Say which: "${label}#1" for the first, "${label}#2" for the second.`,
    { file, landmark, label, points: numbers.length },
  );

export const c3dPointShared = (file: string, label: string, first: string, second: string) =>
  new DataError(
    'c3d-point-shared',
    `${file}: the point "${label}" alone stands for ${first} and for ${second}. One of the two is wrong: correct c3d.labels.`,
    { file, label, first, second },
  );

export const c3dLandmarkUnknown = (
  file: string,
  line: number,
  landmark: string,
  suggestion: string | null,
  known: readonly string[],
) =>
  new DataError(
    'unknown-landmark',
    `${file}, line ${line}, c3d.labels: "${landmark}" is not a landmark.${suggestion === null ? '' : ` Did you mean "${suggestion}"?`} ` +
      `On the left stands Kneeward's name, on the right the label of the file. Known: ${known.join(', ')}.`,
    { file, line, landmark, suggestion: suggestion ?? '' },
  );

// Force plates

export const c3dForcePlateMissing = (file: string, number: number, count: number) =>
  new DataError(
    'c3d-force-plate-missing',
    `${file}: force plate ${number} is asked for, and the file has ${count === 0 ? 'none (FORCE_PLATFORM:USED)' : `${count}`}. Correct c3d.force_plates.`,
    { file, number, count },
  );

export const c3dForcePlateType = (file: string, number: number, type: number) =>
  new DataError(
    'c3d-force-plate-type',
    `${file}, force plate ${number}: FORCE_PLATFORM:TYPE is ${type}, and types 1 to 4 are read. Export it as type 2 (forces and moments), or give a CSV under force_plates.`,
    { file, number, type },
  );

export const c3dCorners = (file: string, number: number, fault: string) =>
  new DataError(
    'c3d-corners',
    `${file}, force plate ${number}: FORCE_PLATFORM:CORNERS are no rectangle (${fault}). They go round the force plate in the order +x+y, −x+y, −x−y, +x−y of its own axes: measure them again.`,
    { file, number, fault },
  );

export const c3dForceNotFinite = (file: string, number: number, channel: string, timeS: number) =>
  new DataError(
    'c3d-force-not-finite',
    `${file}, force plate ${number}, channel "${channel}": there is no number at ${timeS.toFixed(4)} s, and a force plate needs every sample. Cut the recording there, or leave out this force plate.`,
    { file, number, channel, timeS },
  );

export const c3dForceTooStrong = (file: string, number: number, timeS: number, forceN: number, limitN: number) =>
  new DataError(
    'force-plate-too-strong',
    `${file}, force plate ${number}: a force of ${shortNumber(forceN)} N at ${timeS.toFixed(4)} s, and no lifter gives more than ${limitN} N. ` +
      'Check ANALOG:SCALE, ANALOG:GEN_SCALE and the calibration matrix.',
    { file, number, timeS, forceN, limitN },
  );

export const c3dForceDownward = (file: string, number: number, downward: number, loaded: number) =>
  new DataError(
    'force-plate-downward',
    `${file}, force plate ${number}: the force points into the floor in ${downward} of ${loaded} loaded samples. If the file holds the force on the force plate ` +
      'instead of the force on the body, write "force: on the force plate" for it; else correct the up axis.',
    { file, number, downward, loaded },
  );

export const c3dForceUnloaded = (file: string, number: number, largestN: number, limitN: number) =>
  new DataError(
    'force-plate-unloaded',
    `${file}, force plate ${number}: nobody stands on it: the vertical force never exceeds ${shortNumber(largestN)} N (limit ${limitN} N). ` +
      'Remove it from c3d.force_plates; or its offset was taken while somebody stood on it ("unloaded").',
    { file, number, largestN, limitN },
  );

export const c3dForceOff = (file: string, number: number, distanceM: number, limitM: number) =>
  new DataError(
    'c3d-force-plate-off',
    `${file}, force plate ${number}: the centre of pressure lies ${shortNumber(distanceM)} m outside the force plate (median of the loaded samples; limit ${limitM} m). ` +
      'Check the units of its moments (ANALOG:UNITS), its corners, origin and calibration matrix.',
    { file, number, distanceM, limitM },
  );

export const c3dNoUnloadedFrames = (file: string, number: number) =>
  new DataError(
    'c3d-no-unloaded-frames',
    `${file}, force plate ${number}: "unloaded: file" asks for the frames of FORCE_PLATFORM:ZERO, and the file states none. Write "unloaded: { from_s: 0, to_s: 0.5 }" with times at which nothing stood on it.`,
    { file, number },
  );

export const c3dUnloadedOutside = (file: string, number: number, from: string, to: string, whole: string) =>
  new DataError(
    'c3d-unloaded-outside',
    `${file}, force plate ${number}: the unloaded stretch ${from} to ${to} is no part of the recording (${whole}). Correct "unloaded".`,
    { file, number, from, to },
  );

export const c3dUnloadedLoaded = (file: string, number: number, meanN: number, sdN: number, limits: string) =>
  new DataError(
    'c3d-unloaded-loaded',
    `${file}, force plate ${number}: in the unloaded stretch the vertical force is ${shortNumber(meanN)} ± ${shortNumber(sdN)} N, more than an offset can be (${limits}): somebody stands there. ` +
      'Choose another stretch, or leave out "unloaded".',
    { file, number, meanN, sdN },
  );

// Writing

export const c3dCannotHold = (what: string, value: number, limit: number) =>
  new DataError('c3d-cannot-hold', `A C3D file holds at most ${limit} ${what}, and there are ${value}.`, {
    what,
    value,
    limit,
  });

/** What was done with a C3D file that its reader should know; part of the notes of a recording. */
export const c3dNotes = {
  ignored: (labels: readonly string[]) =>
    `Points of the C3D file that were not used: ${labels.map((label) => (label === '' ? 'unnamed' : label)).join(', ')}.`,
  zeros: (label: string, frames: number) =>
    `The point "${label}" lies exactly at 0, 0, 0 in ${frames} frames: taken as not measured.`,
  mean: (landmark: string, labels: readonly string[]) => `${landmark} is the mean of ${labels.join(', ')}.`,
  originTurned: (number: number, z: number) =>
    `Force plate ${number}: the origin is stored the wrong way round (third component ${shortNumber(z)}, which points out of the floor); it was turned.`,
  momentUnit: (number: number, unit: string) =>
    `Force plate ${number}: the file does not state a unit of moments; N times the unit of length (${unit}) was taken.`,
  offset: (number: number, from: string, to: string, verticalN: number) =>
    `Force plate ${number}: its mean from ${from} to ${to} was taken off as offset (${verticalN.toFixed(1)} N vertically).`,
  turned: (number: number) =>
    `Force plate ${number}: the file holds the force on the force plate; its opposite was taken as the force on the body.`,
};

/** Descriptions inside a C3D file that is written: plain ASCII, at most 255 letters. */
export const c3dDescriptions = {
  landmark: (name: string) => `${name.replaceAll('_', ' ')}, as analysed (filled, smoothed)`,
  centreOfMass: 'Centre of mass of lifter and bar',
  bodyCentreOfMass: 'Centre of mass of the lifter without the bar',
  measuredCentreOfPressure: 'Centre of pressure of all force plates together, filtered like the movement',
  channel: (definition: string) => shortAscii(definition),
  known: (name: string) => `1 where ${name} is known; 0 where it is not and ${name} is written as 0`,
};

const ASCII: Readonly<Record<string, string>> = {
  '’': "'",
  '°': ' deg',
  '−': '-',
  '·': ' ',
  '–': '-',
  '²': '2',
  '`': '',
};

function shortAscii(text: string): string {
  const plain = [...text].map((letter) => ASCII[letter] ?? letter).join('');
  const ascii = plain.replace(/[^ -~]/g, '?');
  return ascii.length <= 255 ? ascii : `${ascii.slice(0, 252)}...`;
}
