import { DataError, UsageError } from '../errors.ts';

// Sources of kneeward calibrate lens and rig

export const sourceMissing = (source: string, path: string) =>
  new DataError(
    'source-missing',
    `${source}: there is nothing at ${path}. Write CAMERA=FOLDER, CAMERA=VIDEO, CAMERA=PATTERN (quoted, for instance "left=photos/left*.jpg"), or picture files called left01.jpg, right01.jpg.`,
    { source, path },
  );

export const sourceWithoutPictures = (source: string, path: string) =>
  new DataError(
    'source-without-pictures',
    `${source}: ${path} holds no picture (.jpg, .jpeg, .png) and no video (.mp4, .mov, .m4v, .mkv, .avi, .webm).`,
    { source, path },
  );

export const sourceKindUnknown = (path: string) =>
  new DataError(
    'source-kind-unknown',
    `${path}: neither a picture (.jpg, .jpeg, .png) nor a video (.mp4, .mov, .m4v, .mkv, .avi, .webm) by its ending. Pictures of other kinds (.heic): export them as JPEG at full size.`,
    { path },
  );

export const pictureWithoutCamera = (path: string) =>
  new DataError(
    'picture-without-camera',
    `${path}: its name does not say which camera took it. Call pictures <camera><number>, for instance left01.jpg and right01.jpg (the same number = the same moment), or write CAMERA=FOLDER.`,
    { path },
  );

export const sourcesMixed = (camera: string) =>
  new DataError(
    'sources-mixed',
    `camera ${camera}: photographs and video together. A phone crops the two differently; give the mode in which the lift is filmed only.`,
    { camera },
  );

export const rodLengthWanted = () =>
  new UsageError(
    'usage',
    '--length-mm: how far apart are the two ends? Measure it, or write --bar men (2200 mm) or --bar women (2010 mm) for a competition bar.',
  );

export const barbellWithoutViews = (file: string) =>
  new DataError(
    'barbell-without-views',
    `${file}: this recording holds 3D points and no camera views, so there is no rig to be found. Name a recording with "views:".`,
    { file },
  );

export const stickEndsWrong = (file: string, ends: readonly string[]) =>
  new DataError(
    'stick-ends-wrong',
    `${file}: a stick has two ends, and the column "end" holds ${ends.length}: ${ends.join(', ')}. Call them, for instance, a and b.`,
    { file, ends: ends.join(' ') },
  );

export const timesNotAscending = (file: string, line: number, camera: string, timeS: number, beforeS: number) =>
  new DataError(
    'times-not-ascending',
    `${file}, line ${line}: camera ${camera} at ${timeS} s after ${beforeS} s. Sort the rows of each camera by time.`,
    { file, line, camera, timeS, beforeS },
  );

export const boardNotFoundAnywhere = (camera: string, images: number, reasons: string) =>
  new DataError(
    'board-not-found-anywhere',
    `camera ${camera}: the board was found in none of its ${images} pictures (${reasons}). Is it the board named with --board, whole in the picture, flat and evenly lit?`,
    { camera, images },
  );

export const tapeDisagrees = (
  [first, second]: readonly [string, string],
  tapeM: number,
  rigM: number,
  limitShare: number,
  squareMm: number | null,
) => {
  const share = rigM / tapeM;
  const remedy =
    squareMm === null
      ? `Measure the length that the rig was made from again: ${(100 / share).toFixed(1)} % of what was given would agree.`
      : `Measure the board again: squares of ${(squareMm / share).toFixed(2)} mm instead of ${squareMm} mm would agree.`;
  return new DataError(
    'tape-disagrees',
    `cameras ${first} and ${second}: ${tapeM.toFixed(2)} m apart by tape, ${rigM.toFixed(2)} m by the pictures (${(100 * (share - 1)).toFixed(1)} % off, limit ${(100 * limitShare).toFixed(0)} %). ${remedy} The tape goes from lens to lens.`,
    { first, second, tapeM, rigM },
  );
};

export const boardBlurred = (edgeWidthPx: number) =>
  `blurred: its edges are ${edgeWidthPx.toFixed(1)} px wide, much wider than in this camera's other pictures`;

export const imagesLeftOut = (camera: string, image: string, reason: string) =>
  `camera ${camera}, image ${image} left out: ${reason}`;

export const calibrationWritten = (folder: string) =>
  `Rig in ${folder}/rig.json; open ${folder}/report.html in a browser. Name the rig under "rig:" in a recording file.`;

export const lensesWritten = (file: string) =>
  `Lenses written to ${file}. Give the file to "kneeward calibrate rig" with --lenses.`;

export const picturesSummary = (camera: string, found: number, total: number) =>
  `camera ${camera}: board measured in ${found} of ${total} pictures`;

export const lensModeDiffers = (
  file: string,
  camera: string,
  lens: { readonly from: string; readonly width: number; readonly height: number },
  here: { readonly from: string; readonly width: number; readonly height: number },
) => {
  const says = `${file}: the lens of camera ${camera} was made from ${lens.from} of ${lens.width} × ${lens.height} px, and these are ${here.from} of ${here.width} × ${here.height} px. `;
  let why = 'A lens holds only for the size, crop and shape of picture that it was made from. ';
  if (lens.width === here.height && lens.height === here.width && lens.width !== lens.height) {
    why = 'One of the two was taken upright and the other across, or the turn noted in the file was lost. ';
  } else if (lens.from !== here.from) why = 'A phone crops photographs and video differently. ';
  return new DataError(
    'lens-mode-differs',
    `${says}${why}Calibrate the lens again from frames in the mode in which the lift is filmed.`,
    {
      file,
      camera,
      lensWidth: lens.width,
      lensHeight: lens.height,
      width: here.width,
      height: here.height,
    },
  );
};

export const tapeCameraUnknown = (camera: string, known: readonly string[]) =>
  new DataError('tape-camera-unknown', `--tape: there is no camera "${camera}". Cameras here: ${known.join(', ')}.`, {
    camera,
  });

export const photographsOnly = () =>
  'made from photographs: it holds for the lift only if that is filmed with the same crop, which phones do not do in video; make it from frames of a video in the mode of the lift';

export const rigVerdict = (grade: string, why: readonly string[]) =>
  why.length === 0
    ? `The cameras are ${grade}.`
    : `The cameras are ${grade}:\n${why.map((one) => `  - ${one}`).join('\n')}`;

export const videoTooSlow = (file: string, camera: string) =>
  new DataError(
    'video-slow-motion',
    `${file}: camera ${camera}: this video was filmed in slow motion, which phones crop differently. Film the board in the mode of the lift.`,
    { file, camera },
  );

export const clockFromMovement = (camera: string, first: string, offsetS: number) =>
  `the video of ${camera} was started ${Math.abs(offsetS).toFixed(2)} s ${offsetS >= 0 ? 'later' : 'earlier'} than that of ${first}, by the movement in the pictures (good enough to pair still moments, not for the lift: see "kneeward calibrate clocks")`;

export const frameTimesWritten = (file: string, frames: number, rateHz: number) =>
  `Times of ${frames} frames (${rateHz.toFixed(3)} a second on average) written to ${file}. Name the file under "frame_times:" of its view in recording.yaml.`;
