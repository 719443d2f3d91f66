import { DataError } from '../errors.ts';

const list = (words: readonly string[]): string => (words.length === 0 ? 'none' : words.join(', '));
const percent = (share: number): string => `${(100 * share).toFixed(share < 0.1 ? 1 : 0)} %`;

/** Fewer than two views: no depth. */
export const tooFewViews = (file: string, views: number) =>
  new DataError(
    'too-few-views',
    `${file}: views has ${views} ${views === 1 ? 'entry' : 'entries'}; a point in space needs at least 2 cameras. ` +
      'Add a second view, or give 3D points under landmarks_3d.',
    { views, limit: 2 },
  );

/** Views without a rig. */
export const rigMissing = (file: string) =>
  new DataError(
    'rig-missing',
    `${file}: there are views but no camera rig. Name the rig file under "rig", or make one with "kneeward calibrate".`,
  );

/** A view names a camera that the rig does not have. */
export const cameraNotInRig = (file: string, camera: string, known: readonly string[]) =>
  new DataError(
    'camera-not-in-rig',
    `${file}: views names the camera "${camera}", which the rig does not have. The rig has: ${list(known)}.`,
    { camera, known: list(known) },
  );

/** Two views name one camera. */
export const cameraNamedTwice = (file: string, camera: string) =>
  new DataError(
    'camera-named-twice',
    `${file}: two views name the camera "${camera}". Each view needs a camera of its own; ` +
      'several keypoint files of one camera go into one view: keypoints: [first.json, second.csv].',
    { camera },
  );

/** Pixels that cannot come from this camera's image. */
export const keypointsOutsideImage = (
  file: string,
  camera: string,
  keypoints: readonly string[],
  image: { readonly width: number; readonly height: number },
  extent: { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number },
  share: number,
  limits: { readonly outside: number; readonly tolerated: number },
) =>
  new DataError(
    'keypoints-outside-image',
    `${file}: view "${camera}" (${list(keypoints)}): ${percent(share)} of the keypoints lie more than ` +
      `${percent(limits.outside)} outside the image (limit ${percent(limits.tolerated)} of them). The rig says the image ` +
      `is ${image.width} × ${image.height} px; the keypoints span ${extent.left.toFixed(0)} to ${extent.right.toFixed(0)} px ` +
      `across and ${extent.top.toFixed(0)} to ${extent.bottom.toFixed(0)} px down. Were they made on a larger, rotated or ` +
      'cropped copy of the video? Give keypoints of the size the camera was calibrated with.',
    {
      camera,
      imageWidth: image.width,
      imageHeight: image.height,
      left: extent.left,
      right: extent.right,
      top: extent.top,
      bottom: extent.bottom,
      share,
      limit: limits.tolerated,
    },
  );

/** A view without the lifter. */
export const lifterHardlySeen = (
  file: string,
  camera: string,
  keypoints: readonly string[],
  share: number,
  limit: number,
) =>
  new DataError(
    'lifter-hardly-seen',
    `${file}: view "${camera}" (${list(keypoints)}) sees hips, knees, ankles and shoulders in ${percent(share)} of the samples ` +
      `(at least ${percent(limit)} by two views). Is the lifter in the picture, and is the detector sure of it? ` +
      'Check the keypoints and settings.minimum_confidence.',
    { camera, share, limit },
  );

/** A video that stood still. */
export const viewFrozen = (
  file: string,
  camera: string,
  keypoints: readonly string[],
  longestS: number,
  share: number,
  limitS: number,
  limitShare: number,
) =>
  new DataError(
    'view-frozen',
    `${file}: view "${camera}" (${list(keypoints)}) stands still while another view moves: the same keypoints to the last ` +
      `digit for up to ${longestS.toFixed(1)} s (limit ${limitS} s), in ${percent(share)} of its frames (limit ${percent(limitShare)}). ` +
      'Did the camera or the conversion of its video stall, or was a slow video filled up with copies of its frames? ' +
      'Give keypoints of the video as it was filmed, with its own frame_rate_hz or frame_times, or leave the view out.',
    { camera, longestS, limitS, share, limitShare },
  );

/** One keypoint that is not tracked. */
export const keypointNeverMoves = (
  file: string,
  camera: string,
  keypoints: readonly string[],
  landmark: string,
  other: string,
  travelPx: number,
) =>
  new DataError(
    'keypoint-never-moves',
    `${file}: ${landmark} in view "${camera}" (${list(keypoints)}) has one and the same place in every frame, while it moves over ` +
      `${travelPx.toFixed(0)} px in view "${other}". It was not tracked: leave ${landmark} out of that file, or track it again.`,
    { camera, landmark, other, travelPx },
  );

/** A track that is mostly on someone else. */
export const personUnclear = (
  file: string,
  camera: string,
  keypoints: readonly string[],
  share: number,
  limit: number,
) =>
  new DataError(
    'person-unclear',
    `${file}: view "${camera}" (${list(keypoints)}) leaps between people: ${percent(share)} of its frames (limit ${percent(limit)}) do not go on ` +
      'from where the longest stretch is. Track one person only: crop the video to the lifter, or tell the detector whom to follow.',
    { camera, share, limit },
  );

/** The views share too little time. */
export const viewsDoNotOverlap = (
  file: string,
  spans: readonly { readonly camera: string; readonly firstS: number; readonly lastS: number }[],
  overlapS: number,
  limitS: number,
) =>
  new DataError(
    'views-do-not-overlap',
    `${file}: the views ${overlapS > 0 ? `overlap for only ${overlapS.toFixed(2)} s` : 'do not overlap in time'} ` +
      `(at least ${limitS} s needed): ${spans
        .map((span) => `"${span.camera}" from ${span.firstS.toFixed(2)} to ${span.lastS.toFixed(2)} s`)
        .join(', ')}. Check offset_s and frame_rate_hz of each view.`,
    { overlapS, limitS },
  );

/** Rays of the views miss each other everywhere. */
export const viewsDisagree = (
  file: string,
  share: number,
  missPx: number,
  limitPx: number,
  cameras: readonly string[],
) =>
  new DataError(
    'views-disagree',
    `${file}: the views do not fit together: ${percent(share)} of all points miss their keypoints by more than ${missPx.toFixed(0)} px ` +
      `(limit ${limitPx.toFixed(0)} px). Are the cameras swapped (views: ${list(cameras)}), is the rig from another set-up, ` +
      'was a camera moved after calibration, is offset_s wrong, or is a video rotated, mirrored or scaled?',
    { share, missPx, limitPx },
  );

/** Most rays meet behind a camera. */
export const pointsBehindCamera = (file: string, share: number, limit: number, cameras: readonly string[]) =>
  new DataError(
    'points-behind-camera',
    `${file}: ${percent(share)} of the points come out behind a camera (limit ${percent(limit)}). ` +
      `Are the cameras swapped (views: ${list(cameras)}), is the rig from another set-up, or is a video mirrored?`,
    { share, limit },
  );

/** No point at all. */
export const nothingReconstructed = (file: string, counts: Readonly<Record<string, number>>) => {
  const reasons = Object.entries(counts)
    .filter(([, count]) => count > 0)
    .map(([name, count]) => `${name} ${count}`);
  return new DataError(
    'nothing-reconstructed',
    `${file}: not one point could be placed in space. Samples by reason: ${list(reasons)}. ` +
      'Two cameras must see the same landmark in the same frame, from directions that differ by more than a few degrees, ' +
      'with a confidence above settings.minimum_confidence.',
    counts,
  );
};

/** Too short to filter. */
export const recordingTooShort = (file: string, durationS: number, limitS: number, reason: string) =>
  new DataError(
    'recording-too-short',
    `${file}: the recording is ${durationS.toFixed(2)} s long; at least ${limitS.toFixed(2)} s are needed (${reason}). ` +
      'Give the whole set, from standing still to standing still.',
    { durationS, limitS },
  );

/** Too few frames a second for the cut-off. */
export const frameRateTooLow = (file: string, frameRateHz: number, cutoffHz: number, limitHz: number) =>
  new DataError(
    'frame-rate-too-low',
    `${file}: the smoothing cut-off of ${cutoffHz} Hz needs more than the ${frameRateHz} frames a second there are ` +
      `(a cut-off must stay below ${limitHz.toFixed(2)} Hz). Film faster, or lower the cut-off under settings.smoothing.`,
    { frameRateHz, cutoffHz, limitHz },
  );

/** No left-right pair: the facing of the lifter is unknown. */
export const facingUnknown = (file: string) =>
  new DataError(
    'facing-unknown',
    `${file}: no left and right hip, knee, ankle or shoulder is seen in the same frame, so the direction the lifter faces ` +
      'is unknown. Give both sides of at least one of these joints.',
  );

/** Left-right lines that do not stand across the facing. */
export const sidesAcrossFacing = (file: string, angleDeg: number, limitDeg: number, evidence: string) =>
  new DataError(
    'sides-across-facing',
    `${file}: by the lines from left to right joints the lifter faces ${angleDeg.toFixed(0)}° away from where the ${evidence} ` +
      `${evidence === 'nose' ? 'points' : 'point'} (limit ${limitDeg}°). Are left and right exchanged in one of the views, or a video mirrored?`,
    { angleDeg, limitDeg, evidence },
  );

/** Stated axes that do not fit the lifter. */
export const facingAgainstAxes = (file: string, headingDeg: number, limitDeg: number) =>
  new DataError(
    'facing-against-axes',
    `${file}: by hips, knees, ankles and shoulders the lifter faces ${Math.abs(headingDeg).toFixed(0)}° away from the forward ` +
      `axis that is stated (limit ${limitDeg}°). Correct "axes: { forward: … }", or check that left and right are not exchanged.`,
    { headingDeg, limitDeg },
  );

/** Sentences for the quality record: what a reader must know of how the points were made. */
export const reconstructionNotes = {
  onlyOneView: (landmark: string, camera: string) =>
    `${landmark} is given by the view "${camera}" only and cannot be placed in space.`,
  offsetNotStated: (camera: string) => `The view "${camera}" states no offset_s: its clock is taken as the common one.`,
  resampled: (camera: string) => `The view "${camera}" was resampled onto the clock of the first view.`,
  trimmed: (startS: number, endS: number) =>
    `Only the time all views share is used: ${startS.toFixed(2)} to ${endS.toFixed(2)} s.`,
  outsideImage: (camera: string, samples: number, share: number) =>
    `${samples} keypoints of the view "${camera}" lie more than ${percent(share)} outside its image and are left out.`,
  frozenFrames: (camera: string, frames: number, longestS: number) =>
    `The view "${camera}" repeats its picture in ${frames} frames (up to ${longestS.toFixed(2)} s) while another view moves; they are left out.`,
  otherPerson: (camera: string, frames: number, stretches: number) =>
    `The view "${camera}" leaps to another person in ${stretches === 1 ? 'one stretch' : `${stretches} stretches`} (${frames} frames); these are left out.`,
  sidesPutRight: (camera: string, pairs: readonly { readonly pair: string; readonly frames: number }[]) =>
    `In the view "${camera}" left and right were exchanged for a while and were put right: ${pairs
      .map(({ pair, frames }) => `${pair} in ${frames} ${frames === 1 ? 'frame' : 'frames'}`)
      .join(', ')}.`,
  viewLeftOut: (camera: string, samples: number) =>
    `In ${samples} samples the view "${camera}" disagreed with the others and was left out.`,
  viewUnused: (camera: string) => `No point accepted rests on the view "${camera}".`,
  noiseBorrowed: (landmark: string) =>
    `${landmark} is seen too rarely to tell its own pixel noise; that of the whole recording is used.`,
  twoViews:
    'With two views one residual a point is redundant: an error along the line that the other camera draws in the image cannot be seen.',
  headingUnknown: 'No left-right pair of joints: the stated forward axis is taken as it is.',
  floorNoFeet: 'No ankle, heel or toe is seen: the floor is taken at the zero of the heights given.',
  floorEstimated: (heightM: number, from: string, ankleM: number | null) =>
    `The floor was estimated at ${heightM.toFixed(3)} m from ${from}${
      ankleM === null ? '' : `, because resting ankles stand ${ankleM.toFixed(3)} m above the zero of the heights given`
    }.`,
  shortStretch: (landmark: string, samples: number, limitS: number) =>
    `${landmark}: ${samples === 1 ? '1 sample stands' : `${samples} samples stand`} in stretches shorter than ${limitS.toFixed(2)} s between gaps, too short to filter, and ${samples === 1 ? 'is' : 'are'} left out.`,
  residualFallback: (landmark: string, cutoffHz: number) =>
    `${landmark}: no stretch is long enough for residual analysis; the cut-off is ${cutoffHz} Hz.`,
  landmarkEmpty: (landmark: string) => `${landmark} could not be placed in space in any frame.`,
};

/** Sentences of the noise model: what its numbers rest on and what cannot be told. */
export const noiseNotes = {
  views: (slowS: number) =>
    `Pixel noise: the part that is new in every frame comes from the fourth differences of each track, view by view; the part that stays for about ${slowS} s (a prior) from what the views contradict each other in.`,
  slowShared:
    'Two views have one redundant residual a point: their slow noise cannot be told apart and is shared out equally, and an error along the line that the other camera draws in the image is not seen at all.',
  residualsOnly:
    'No track has enough frames in a row to tell its frame-to-frame noise: it is what the views contradict each other in, taken as alike in all views.',
  slowDoubtful: (slowPx: number, whitePx: number) =>
    `The views contradict each other by ${slowPx.toFixed(1)} px for longer than a frame, though their tracks shake by only ${whitePx.toFixed(1)} px: is offset_s, frame_rate_hz or readout_s of a view wrong, was a camera moved after calibration, or does a view's detector place joints elsewhere?`,
  slowUnknown: 'Too few samples are seen by all views: slow pixel noise is unknown and counted as none.',
  scaled: (factor: number) =>
    `The views contradict each other ${factor > 1 ? 'more' : 'less'} than the frame-to-frame noise of their tracks says: its variance was multiplied by ${factor.toFixed(2)}.`,
  borrowed: (landmark: string, cameras: readonly string[]) =>
    `${landmark} is seen too rarely by ${list(cameras)} to tell its own pixel noise; it is taken from the other landmarks and views.`,
  pointsStated: 'The noise of the 3D points is the stated standard deviation.',
  pointsMeasured:
    'The noise of the 3D points comes from the fourth differences of each coordinate. Noise that stays for several frames looks like motion: it is unknown and counted as none.',
  pointsBorrowed: (landmark: string) =>
    `${landmark} is seen too rarely to tell its own noise; that of the other landmarks is used.`,
};
