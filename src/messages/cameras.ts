import { DataError } from '../errors.ts';

// World axes

export const axesNotPerpendicular = (forward: string, up: string) =>
  new DataError(
    'axes-not-perpendicular',
    `The control points' axes have forward ${forward} and up ${up} along the same line. Name two different axes, for instance forward +x and up +z.`,
    { forward, up },
  );

// Control points

export const controlPointsTooFew = (camera: string, found: number, fewest: number) =>
  new DataError(
    'control-points-too-few',
    `camera ${camera}: pixels of ${found} control points, at least ${fewest} are needed. Measure and mark more points, not all in one plane; is the camera's name spelled alike in every row?`,
    { camera, found, fewest },
  );

export const controlPointsDuplicate = (camera: string, first: string, second: string) =>
  new DataError(
    'control-points-duplicate',
    `camera ${camera}: control points ${first} and ${second} have the same position. Correct one of them, or leave it out.`,
    { camera, first, second },
  );

export const controlPointsOnLine = (camera: string, ratio: number, limit: number) =>
  new DataError(
    'control-points-on-line',
    `camera ${camera}: its control points lie on one line (second extent ${percent(ratio)} of the first, at least ${percent(limit)} is needed). Spread them over width, height and depth.`,
    { camera, ratio, limit },
  );

export const controlPointsCoplanar = (camera: string, ratio: number, limit: number) =>
  new DataError(
    'control-points-coplanar',
    `camera ${camera}: its control points lie in one plane (third extent ${percent(ratio)} of the first, at least ${percent(limit)} is needed). Add points in front of or behind that plane.`,
    { camera, ratio, limit },
  );

export const controlPointsUndetermined = (camera: string, ratio: number, limit: number) =>
  new DataError(
    'control-points-undetermined',
    `camera ${camera}: its control points do not determine one camera (singular value ratio ${ratio.toExponential(1)}, at least ${limit.toExponential(0)} is needed). Move some points, or add points elsewhere.`,
    { camera, ratio, limit },
  );

export const controlPointsOneDepth = (camera: string, spread: number, limit: number) =>
  new DataError(
    'control-points-one-depth',
    `camera ${camera}: seen from it all control points are equally far away (depths differ by ${percent(spread)} of the distance, at least ${percent(limit)} is needed), so focal length and distance cannot be told apart. Add nearer or farther points.`,
    { camera, spread, limit },
  );

export const controlPointsBothSides = (camera: string, labels: readonly string[]) =>
  new DataError(
    'control-points-both-sides',
    `camera ${camera}: no camera can see the control points so: ${labels.join(', ')} would lie behind it. Check the labels in the pixel file against those in the point file.`,
    { camera, labels: labels.join(' ') },
  );

export const controlPointsMirrored = (camera: string) =>
  new DataError(
    'control-points-mirrored',
    `camera ${camera}: its control points fit only a mirrored picture. Either the labels are swapped left for right, or the picture was flipped, or its rows count upward, or the points' axes are left-handed.`,
    { camera },
  );

export const controlPointsDoNotFit = (camera: string, rmsPx: number, limitPx: number, suspicion: string) =>
  new DataError(
    'control-points-do-not-fit',
    `camera ${camera}: the best camera misses its control points by ${rmsPx.toFixed(1)} px r.m.s. (limit ${limitPx.toFixed(0)} px). ${suspicion === '' ? '' : `${suspicion} `}Check labels, positions and pixels.`,
    { camera, rmsPx, limitPx, suspicion },
  );

export const controlPointLabelUnknown = (camera: string, label: string, known: readonly string[]) =>
  new DataError(
    'control-point-label-unknown',
    `camera ${camera}: pixel of control point "${label}", which has no position. Known points: ${known.join(', ')}.`,
    { camera, label },
  );

export const controlPointTwice = (file: string, label: string, line: number) =>
  new DataError(
    'control-point-twice',
    `${file}, line ${line}: control point "${label}" a second time. Leave one of the two lines.`,
    { file, label, line },
  );

export const lensDoesNotCoverImage = (camera: string, distortion: readonly number[]) =>
  new DataError(
    'lens-does-not-cover-image',
    `camera ${camera}: the distortion (k1 ${distortion[0].toFixed(3)}, k2 ${distortion[1].toFixed(3)}) folds the picture before its border. Use other distortion terms, or points nearer to the border.`,
    { camera, k1: distortion[0], k2: distortion[1] },
  );

// Published coefficients

export const dltCountWrong = (camera: string, found: number) =>
  new DataError('dlt-count-wrong', `camera ${camera}: ${found} DLT coefficients, 11 are needed (L1 to L11).`, {
    camera,
    found,
  });

export const dltCoefficientMissing = (camera: string, number: number) =>
  new DataError('dlt-coefficient-missing', `camera ${camera}: coefficient L${number} is not a number. Fill it in.`, {
    camera,
    number,
  });

export const dltSingular = (camera: string) =>
  new DataError(
    'dlt-singular',
    `camera ${camera}: the 11 coefficients describe no camera (their left 3 × 3 part is singular). Check that they are in the order L1 to L11, one column a camera.`,
    { camera },
  );

export const dltNoCamera = () =>
  new DataError('dlt-no-camera', 'No DLT coefficients were given. Give one column of L1 to L11 for each camera.');

export const dltAllMirrored = (cameras: readonly string[], pixelY: string) =>
  new DataError(
    'dlt-all-mirrored',
    `cameras ${cameras.join(', ')}: the point taken as being in view lies behind every one of them. Either the pixel rows count the other way (given: --pixel-y ${pixelY}), or the coefficients' axes are left-handed, or the origin is not in view: then give a point that is (--point-in-view x,y,z).`,
    { cameras: cameras.join(' '), pixelY },
  );

export const dltRowsWrong = (file: string, rows: number) =>
  new DataError(
    'dlt-rows-wrong',
    `${file}: ${rows} rows of coefficients, 11 are needed (L1 to L11), below a header with the cameras' names.`,
    { file, rows },
  );

// Boards

export const boardSizeWrong = (columns: number, rows: number, squareSizeM: number) =>
  new DataError(
    'board-size-wrong',
    `A board of ${columns} × ${rows} inner corners with squares of ${squareSizeM * 1000} mm cannot be used: it needs at least 3 × 3 inner corners and squares larger than 0 mm.`,
    { columns, rows, squareSizeM },
  );

export const boardImagesTooFew = (camera: string, found: number, fewest: number) =>
  new DataError(
    'board-images-too-few',
    `camera ${camera}: ${found} usable board images, at least ${fewest} are needed. Film the board at more places and tilts.`,
    { camera, found, fewest },
  );

export const boardCornerOutside = (file: string, line: number, column: string, value: number, count: number) =>
  new DataError(
    'board-corner-outside',
    `${file}, line ${line}: ${column} ${value}, but the board has ${count} (0 to ${count - 1}). Check the numbers of inner corners given.`,
    { file, line, column, value, count },
  );

export const boardCornerNumberWrong = (file: string, line: number, corner: number, expected: number) =>
  new DataError(
    'board-corner-number-wrong',
    `${file}, line ${line}: corner ${corner}, but its column and row make it number ${expected} (row × columns + column). Check the numbers of inner corners given.`,
    { file, line, corner, expected },
  );

export const boardCornerTwice = (file: string, line: number, image: string, corner: number) =>
  new DataError(
    'board-corner-twice',
    `${file}, line ${line}: corner ${corner} of image ${image} a second time. Leave one of the two lines.`,
    { file, line, image, corner },
  );

export const boardImageUnnamed = (file: string) =>
  new DataError(
    'board-image-unnamed',
    `${file}: it has no columns "camera" and "image", and its name is not <camera>-<image>.csv. Add the columns, or rename the file, for instance left-01.csv.`,
    { file },
  );

export const boardFocalUncertain = (camera: string, focalPx: number, sdPx: number, limit: number) =>
  new DataError(
    'board-focal-uncertain',
    `camera ${camera}: the board images give a focal length of ${focalPx.toFixed(0)} px known only to ${sdPx.toFixed(0)} px (limit ${percent(limit)}). Film the board tilted by 20 to 45 degrees in several directions, not only facing the camera.`,
    { camera, focalPx, sdPx, limit },
  );

export const boardNotTilted = (camera: string, foundDeg: number, leastDeg: number) =>
  new DataError(
    'board-not-tilted',
    `camera ${camera}: the board is tilted alike in all its images (within ${foundDeg.toFixed(1)} degrees, at least ${leastDeg} are needed), so focal length and distance cannot be told apart. Film it tilted by 20 to 45 degrees in several directions.`,
    { camera, foundDeg, leastDeg },
  );

export const boardCamerasNotLinked = (first: string, others: readonly string[]) =>
  new DataError(
    'board-cameras-not-linked',
    `cameras ${others.join(', ')}: no board image is shared with camera ${first}, directly or through others. Film the board where both see it, and give both pictures the same image name.`,
    { first, others: others.join(' ') },
  );

export const boardCornersReversed = (camera: string, image: string, reference: string) =>
  new DataError(
    'board-corners-reversed',
    `camera ${camera}, image ${image}: its corners are counted from the opposite end of the board than in camera ${reference}. Count both from the same corner.`,
    { camera, image, reference },
  );

export const boardPicturesExchanged = (image: string, cameras: readonly [string, string]) =>
  new DataError(
    'board-pictures-exchanged',
    `image ${image}: the pictures of cameras ${cameras[0]} and ${cameras[1]} are exchanged. Exchange the two files' names.`,
    { image, first: cameras[0], second: cameras[1] },
  );

export const boardViewsDisagree = (
  camera: string,
  image: string,
  reference: string,
  angleDeg: number,
  distanceM: number,
) =>
  new DataError(
    'board-views-disagree',
    `image ${image}: it puts camera ${camera} ${angleDeg.toFixed(1)} degrees and ${(1000 * distanceM).toFixed(0)} mm away from where the other images put it relative to camera ${reference}. Was the board or a camera moving? Leave the image out.`,
    { camera, image, reference, angleDeg, distanceM },
  );

export const boardDoesNotFit = (rmsPx: number, limitPx: number, camera: string, image: string) =>
  new DataError(
    'board-does-not-fit',
    `The board images fit one rig only to ${rmsPx.toFixed(1)} px r.m.s. (limit ${limitPx} px); farthest off: camera ${camera}, image ${image}. Check the corners, the square size and that no camera moved.`,
    { rmsPx, limitPx, camera, image },
  );

export const boardUpImageMissing = (image: string, known: readonly string[]) =>
  new DataError(
    'board-up-image-missing',
    `No usable image "${image}" to tell the vertical from. Images: ${known.join(', ')}.`,
    { image },
  );

export const boardUpUnclear = (image: string, angleDeg: number) =>
  new DataError(
    'board-up-unclear',
    `Image ${image}: the board's columns lie ${angleDeg.toFixed(0)} degrees from the first camera's own vertical (limit 60), so up cannot be told from down. Name an image in which the columns run up and down in its picture, or one where the board lies on the floor.`,
    { image, angleDeg },
  );

export const openCvFailed = (what: string, reason: string) =>
  new DataError('opencv-failed', `${what}: the calibration library refused: ${reason}`, { what, reason });

export const openCvUnfit = (reason: string) =>
  new DataError(
    'opencv-unfit',
    `The installed calibration library (@techstark/opencv-js) does not do what is needed: ${reason}. Install the version named in package.json.`,
    { reason },
  );

// Options of kneeward calibrate

export const imageSizeMissing = (camera: string) =>
  new DataError(
    'image-size-missing',
    `camera ${camera}: its image size is not given. Add --image-size ${camera}=WIDTHxHEIGHT, or one --image-size for all cameras.`,
    { camera },
  );

export const calibrationPixelOutside = (
  file: string,
  camera: string,
  u: number,
  v: number,
  width: number,
  height: number,
) =>
  new DataError(
    'calibration-pixel-outside',
    `${file}: camera ${camera}: the pixel (${u}, ${v}) lies outside its picture of ${width} × ${height} px. Correct --image-size (width x height, as filmed), or that pixel.`,
    { file, camera, u, v, width, height },
  );

export const lensMissingInRig = (file: string, camera: string, known: readonly string[]) =>
  new DataError(
    'lens-missing-in-rig',
    `${file}: it has no camera "${camera}" to take the lens from. Its cameras: ${known.join(', ')}.`,
    { file, camera },
  );

// Rigs

export const rigFieldWrong = (file: string, field: string, reason: string) =>
  new DataError('rig-field-wrong', `${file}, ${field}: ${reason}. See docs/rig.schema.json.`, { file, field });

export const rigVersionUnknown = (file: string, found: string) =>
  new DataError(
    'rig-version-unknown',
    `${file}: "kneeward": ${found}; this version reads "kneeward": 1. Write the rig again with kneeward calibrate.`,
    { file, found },
  );

export const rigRotationNotOrthonormal = (file: string, camera: string, error: number, limit: number) =>
  new DataError(
    'rig-rotation-not-orthonormal',
    `${file}, camera ${camera}, camera_from_world.rotation: its rows are not perpendicular unit vectors (off by ${error.toExponential(1)}, limit ${limit}). Copy the matrix with at least 7 digits.`,
    { file, camera, error, limit },
  );

export const rigRotationMirrored = (file: string, camera: string) =>
  new DataError(
    'rig-rotation-mirrored',
    `${file}, camera ${camera}, camera_from_world.rotation: its determinant is −1, a mirror and not a rotation. Turn the sign of the axis that was flipped.`,
    { file, camera },
  );

export const rigCameraNamedTwice = (file: string, camera: string) =>
  new DataError('rig-camera-named-twice', `${file}: two cameras are called "${camera}". Give each its own name.`, {
    file,
    camera,
  });

export const rigWithoutCamera = (file: string) =>
  new DataError('rig-without-camera', `${file}: no camera. At least one is needed, two for 3D points.`, { file });

const percent = (part: number) => `${(100 * part).toPrecision(2)} %`;
