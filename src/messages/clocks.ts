import { DataError } from '../errors.ts';

/** Why a clock cannot be told, and what to do about it. */
const REASONS = {
  'no-common-landmark': {
    text: () => 'no landmark is reported often enough in both pictures',
    remedy: 'Check that both views show the lifter and that their keypoints were found.',
  },
  'movements-unlike': {
    text: (f: Facts) =>
      `the movements in the two pictures do not match at any shift (correlation ${number(f.correlation, 2)}, at least ${number(f.limit, 2)} needed)`,
    remedy:
      'Give the whole set, with at least one full repetition in both views, filmed with the phones upright; a still recording cannot set a clock.',
  },
  'too-little-shared-time': {
    text: (f: Facts) => `the views share only ${number(f.sharedS, 2)} s (at least ${number(f.limitS, 1)} s needed)`,
    remedy: 'Start both phones before the set and stop them after it, or check that both files are of one set.',
  },
  'no-movement-across': {
    text: (f: Facts) =>
      `what the two views can check of each other hardly moves: the views agree about ${percent(f.agreement)} of the movement across the lines on which they are compared (at least ${percent(f.limit)} needed)`,
    remedy:
      'Nothing moves, or everything moves along the lines that the cameras draw in each other’s pictures. Film a full repetition: up and down movement serves cameras that stand at like height.',
  },
  'interval-too-wide': {
    text: (f: Facts) =>
      `its offset is uncertain by ± ${milliseconds(f.halfWidthS)} (95 %; at most ± ${milliseconds(f.limitS)}, half a frame of the slowest camera)`,
    remedy: 'There is too little movement, or the keypoints are too noisy. Use a set with full repetitions.',
  },
  'no-convergence': {
    text: () => 'no offset near the rough one brings the views together',
    remedy: 'Check that the rig belongs to this recording and that cameras are not exchanged.',
  },
  'repetitions-alike': {
    text: (f: Facts) =>
      `offsets of ${seconds(f.offsetS)} and ${seconds(f.rivalS)} fit about equally well (residuals ${number(f.scalePx, 2)} and ${number(f.rivalPx, 2)} px): the repetitions are too much alike`,
    remedy:
      'Start both phones before the first repetition and stop them after the last, or write offset_s to within 0.2 s into the recording file and start there (calibrate clocks --from stated).',
  },
} as const;

type Facts = Readonly<Record<string, string | number>>;
export type ClockReason = keyof typeof REASONS;

/** The clock of a camera cannot be told from the movement. */
export const clockNotDetermined = (camera: string, reason: ClockReason, facts: Facts = {}) =>
  new DataError(
    'clock-not-determined',
    `The clock of "${camera}" cannot be set by the movement: ${REASONS[reason].text(facts)}. ${REASONS[reason].remedy}`,
    { camera, reason, ...facts },
  );

/** A view has no camera in the rig. */
export const clockCameraMissing = (camera: string, known: readonly string[]) =>
  new DataError(
    'clock-camera-missing',
    `The view "${camera}" has no camera of that name in the rig (it has ${known.map((name) => `"${name}"`).join(', ')}). ` +
      'Write the name of its camera under views, or calibrate again with it.',
    { camera },
  );

/** One view cannot be compared with another. */
export const clockNeedsTwoViews = (file: string, views: number) =>
  new DataError(
    'clock-needs-two-views',
    `${file}: a clock is set by comparing views, and there ${views === 1 ? 'is only one' : 'are none'}. Name two or more under "views:".`,
    { views },
  );

/** Sentences that go with a found clock. */
export const clockNotes = {
  secondMaximum: (camera: string, offsetS: number, rivalS: number) =>
    `"${camera}": without a rig, an offset of ${seconds(rivalS)} fits nearly as well as ${seconds(offsetS)}: the repetitions are alike. The rig decides between them.`,
  driftBound: (camera: string, bound: number) =>
    `"${camera}": no drift is seen; it is taken as 0 and lies within ± ${perMillion(bound)} (95 %).`,
  driftFound: (camera: string, drift: number, halfWidth: number) =>
    `"${camera}": its clock runs ${perMillion(Math.abs(drift))} ${drift > 0 ? 'slower' : 'faster'} than the first camera's (± ${perMillion(halfWidth)}): is the stated frame rate right?`,
  readoutNotDetermined: (camera: string, halfWidthS: number, limitS: number) =>
    Number.isFinite(halfWidthS)
      ? `"${camera}": its readout time is not determined (± ${milliseconds(halfWidthS)}, at most ± ${milliseconds(limitS)} is of use); the stated value is kept. The offset holds for the rows in which the lifter moved.`
      : `"${camera}": its readout time is not determined by this movement; the stated value is kept. The offset holds for the rows in which the lifter moved.`,
  readoutFound: (camera: string, readoutS: number, halfWidthS: number) =>
    `"${camera}": readout ${milliseconds(readoutS)} ± ${milliseconds(halfWidthS)} from points in different rows. Offset and readout were found together and lean on each other: use both or neither.`,
  readoutNotStated: (camera: string) =>
    `"${camera}" states no readout_s: it is taken as 0, and the offset holds for the rows in which the lifter moved (--readout estimate tries to find it).`,
  unsteadyNoise: () =>
    'The keypoints are noisier in some parts of the recording than in others: the intervals are taken, wider, from the scatter of single seconds.',
  pictureMoves: (camera: string, amplitudePx: number, limitPx: number) =>
    `"${camera}": the whole picture moves by ${amplitudePx.toFixed(1)} px (r.m.s.; limit ${limitPx.toFixed(1)} px): stabilisation is on, or the phone moved. Film with stabilisation off and the phone clamped.`,
  pictureStands: (camera: string, limitPx: number) =>
    `"${camera}": no movement of the whole picture is seen (${limitPx.toFixed(1)} px or more would be).`,
  pictureUnknown: (camera: string, why: string) => `"${camera}": whether the picture moves is not known: ${why}.`,
};

const number = (value: string | number, digits: number) => Number(value).toFixed(digits);
const percent = (value: string | number) => `${(100 * Number(value)).toFixed(0)} %`;
const milliseconds = (value: string | number) => `${(1000 * Number(value)).toFixed(2)} ms`;
const seconds = (value: string | number) => `${Number(value).toFixed(3)} s`;
const perMillion = (value: number) => `${(1e6 * value).toFixed(0)} ppm`;
