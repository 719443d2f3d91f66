import { DataError } from '../errors.ts';

const percent = (share: number): string => `${(100 * share).toFixed(2)} %`;

// A rig from moving points

export const movingPointsFewCameras = (found: number) =>
  new DataError(
    'moving-points-few-cameras',
    `Tracks of ${found} camera${found === 1 ? '' : 's'} were given; moving points need two cameras or more that film the same movement. Add the other camera's tracks.`,
    { found, fewest: 2 },
  );

export const trackWithoutLens = (camera: string, known: readonly string[]) =>
  new DataError(
    'track-without-lens',
    `camera ${camera}: there are tracks, but no lens of that name (lenses: ${known.join(', ') || 'none'}). Calibrate its lens first, in the same video mode, or correct the name.`,
    { camera, known: known.join(' ') },
  );

export const rodEndsMissing = (end: string, cameras: readonly string[]) =>
  new DataError(
    'rod-ends-missing',
    `The point ${end} is tracked by fewer than two cameras (missing in ${cameras.join(', ')}). Both ends of the bar or stick must be seen by two cameras at least: they give the scale.`,
    { end, cameras: cameras.join(' ') },
  );

export const rodNeverSeen = (first: string, second: string) =>
  new DataError(
    'rod-never-seen',
    `cameras ${first} and ${second} never see both ends of the bar or stick at one moment, so the distance between them has no scale. Move so that both ends stay in both pictures.`,
    { first, second },
  );

export const movingPointsFewMoments = (found: number, fewest: number) =>
  new DataError(
    'moving-points-few-moments',
    `The cameras share ${found} moments (at least ${fewest} are needed). Are the offsets between their clocks right (offset_s), and do the recordings overlap? Film some ten seconds of movement.`,
    { found, fewest },
  );

export const movingPointsNoCommon = (first: string, alone: readonly string[]) =>
  new DataError(
    'moving-points-no-common',
    `No points are seen at one moment by both ${first} (or a camera linked to it) and ${alone.join(', ')}. Let the movement pass where their views overlap.`,
    { first, alone: alone.join(' ') },
  );

export const movingPointsNoPose = (first: string, second: string, pairs: number, fewest: number) =>
  new DataError(
    'moving-points-no-pose',
    `cameras ${first} and ${second}: from ${pairs} shared points (at least ${fewest}) no place of the cameras was found with the points in front of both. Check that both films show the same movement at the same time, and that each track belongs to its camera's lens.`,
    { first, second, pairs, fewest },
  );

export const rigAmbiguous = (turnDeg: number, deviance: number, limit: number, onlyRods: boolean) =>
  new DataError(
    'rig-ambiguous',
    `Two different rigs fit these points alike: a camera turned by ${turnDeg.toFixed(1)}° fits nearly as well (deviance ${deviance.toFixed(1)}, at least ${limit.toFixed(1)} is needed). The points lie nearly in one plane. ${
      onlyRods
        ? 'Use the joints too, or wave the bar (unloaded) through the space, or turn with it by 30° and do some repetitions more.'
        : 'Let the movement fill depth as well: turn by 30° and do some repetitions more, or wave a stick through the space.'
    }`,
    { turnDeg, deviance, limit },
  );

export const rigUndetermined = (
  directionDeg: number,
  limitDeg: number,
  scaleShare: number,
  scaleLimit: number,
  onlyRods: boolean,
) =>
  new DataError(
    'rig-undetermined',
    `The points do not hold the cameras firmly: direction known to ${directionDeg.toFixed(2)}° (limit ${limitDeg}°), scale to ${percent(scaleShare)} (limit ${percent(scaleLimit)}), one standard deviation. ${
      onlyRods
        ? 'The ends of a bar that goes straight up and down lie nearly in one plane: use the joints too, or turn with the bar by 30° and do some repetitions more, or wave a stick through the space.'
        : 'Film longer, use all joints, turn by 30° for some repetitions, and let the movement fill more of both pictures; rays should meet at 60 to 120°.'
    }`,
    { directionDeg, limitDeg, scaleShare, scaleLimit },
  );

// Names exchanged

export const pointsOutsideImage = (
  camera: string,
  share: number,
  [u, v]: readonly number[],
  width: number,
  height: number,
) =>
  new DataError(
    'points-outside-image',
    `camera ${camera}: ${percent(share)} of its points lie outside its picture (for instance at ${u.toFixed(0)}, ${v.toFixed(0)}; the lens is of ${width} × ${height} px). Is this another camera's track, or were the pictures turned or resized after the lens was calibrated?`,
    { camera, share, width, height },
  );

export const barEndsExchanged = (camera: string, ends: readonly string[]) =>
  new DataError(
    'bar-ends-exchanged',
    `camera ${camera}: the two ends of the bar (${ends.join(', ')}) are exchanged against the lifter's sides. Filmed from behind, the lifter's left is on the left of the picture; in a mirrored film sides are wrong throughout. Exchange the two names in this camera's track.`,
    { camera, ends: ends.join(' ') },
  );

export const sidesExchanged = ([first, second]: readonly [string, string]) =>
  new DataError(
    'sides-exchanged',
    `cameras ${first} and ${second}: their rays meet only when left and right are exchanged in one of them. One film is mirrored, or its points were named by the picture's sides and not by the lifter's. Exchange left and right in that camera's track.`,
    { first, second },
  );

export const sidesMirrored = (camera: string) =>
  new DataError(
    'sides-exchanged',
    `camera ${camera}: left and right are exchanged. By the feet the lifter faces this camera (or turns the back to it), and then the right side must be on the other side of the picture. The film is mirrored, or its points were named by the picture's sides and not by the lifter's. Exchange left and right in this camera's track.`,
    { camera },
  );

export const lensesExchanged = ([first, second]: readonly [string, string], deviance: number, limit: number) =>
  new DataError(
    'cameras-exchanged',
    `The tracks of ${first} and ${second} fit clearly better with each other's lens (deviance lower by ${deviance.toFixed(0)}, limit ${limit.toFixed(1)}): the two cameras' tracks, or their lenses, carry each other's names. Exchange them.`,
    { first, second, deviance, limit },
  );

/** A note: where a camera is called after a side it does not stand on. */
export const cameraNamesMirrored = (camera: string): string =>
  `camera ${camera} stands on the lifter's other side than its name says; if the name means the lifter's side, two cameras' tracks are exchanged`;

// Notes

export const noteNoise = (sdPx: number, rodTime: number, longestTime: number, moments: number): string =>
  `noise of the points ${sdPx.toFixed(2)} px after taking frames together; of ${moments} moments ${rodTime.toFixed(1)} in a row count as one for the bar or stick${longestTime > rodTime ? `, ${longestTime.toFixed(1)} for the other points` : ''}; all standard deviations are widened for it${longestTime > moments / 10 ? '. Points that are not the same spot from two sides err all the time: turn with the bar by 30° for some repetitions, so that the bar alone holds the rig' : ''}`;

export const noteOutliers = (camera: string, wild: number, seen: number): string =>
  `camera ${camera}: ${wild} of ${seen} points lie far off and count little`;

export const noteNoVertical = (): string =>
  'vertical unknown: moving points do not tell it, and the first camera is taken to be level; lean, depth and moments are wrong by its tilt. Add a plumb line, a level board or a thrown object';

export const noteVertical = (from: string, halfWidthDeg: number): string =>
  `vertical from ${from}: ± ${halfWidthDeg.toFixed(2)}° (95 %)`;

export const noteVerticalWide = (from: string, halfWidthDeg: number, limitDeg: number): string =>
  `vertical from ${from}: ± ${halfWidthDeg.toFixed(2)}° (95 %), more than ${limitDeg}°: 1° moves the hip share of a posture by about 0.013. Add a plumb line or a level board`;

// Vertical

export const plumbLinesTooFew = (what: string, planes: number, angleDeg: number, leastDeg: number) =>
  new DataError(
    'plumb-lines-too-few',
    `${what}: ${planes} marked line${planes === 1 ? '' : 's'} whose planes differ by ${angleDeg.toFixed(1)}° (two lines, ${leastDeg}° are needed). Mark the string in two cameras that stand apart, or two uprights in one picture.`,
    { what, planes, angleDeg, leastDeg },
  );

export const plumbLineShort = (camera: string, points: number, spanPx: number, leastPx: number) =>
  new DataError(
    'plumb-line-short',
    `camera ${camera}: a plumb line with ${points} point${points === 1 ? '' : 's'} over ${spanPx.toFixed(0)} px (two points, ${leastPx} px apart, are needed). Mark its upper and lower end.`,
    { camera, points, spanPx, leastPx },
  );

export const plumbLineCameraUnknown = (camera: string, known: readonly string[]) =>
  new DataError(
    'plumb-line-camera-unknown',
    `A plumb line is marked in camera ${camera}, which the rig does not have (cameras: ${known.join(', ')}). Correct the name.`,
    { camera, known: known.join(' ') },
  );

export const levelSurfaceUndetermined = (what: string, points: number, widthM: number, leastM: number) =>
  new DataError(
    'level-surface-undetermined',
    `${what}: ${points} marks seen by two cameras, ${(100 * widthM).toFixed(0)} cm wide across (three marks, ${(100 * leastM).toFixed(0)} cm are needed, not on one line). Spread the marks over the floor.`,
    { what, points, widthM, leastM },
  );

export const freeFallShort = (what: string, moments: number, lastedS: number, fewest: number, shortestS: number) =>
  new DataError(
    'free-fall-short',
    `${what}: ${moments} moments in flight over ${lastedS.toFixed(2)} s in two cameras (at least ${fewest} moments and ${shortestS} s are needed). Throw it higher, and mark every frame between leaving the hand and touching anything.`,
    { what, moments, lastedS, fewest, shortestS },
  );

export const freeFallWrong = (what: string, foundMPerS2: number, limitShare: number) =>
  new DataError(
    'free-fall-wrong',
    `${what}: its acceleration is ${foundMPerS2.toFixed(2)} m/s², more than ${percent(limitShare)} off 9.81 m/s². It was touched, or frames are missing, or the frame rate or the rod's length is wrong.`,
    { what, foundMPerS2, limitShare },
  );

export const athleteStandsTooShort = (found: number, fewest: number) =>
  new DataError(
    'standing-too-short',
    `The standing lifter's ankles and shoulders are seen at ${found} moments of the stated time (at least ${fewest} are needed). State a longer time of standing still.`,
    { found, fewest },
  );

export const verticalsDisagree = (source: string, others: readonly string[], angleDeg: number, halfWidthDeg: number) =>
  new DataError(
    'verticals-disagree',
    `The vertical from ${source} is ${angleDeg.toFixed(2)}° off that from ${others.join(' and ')}, more than their uncertainties allow (its own ± ${halfWidthDeg.toFixed(2)}°). One of them is wrong: check the marks, and whether the string hung free or the board lay level.`,
    { source, others: others.join(', '), angleDeg, halfWidthDeg },
  );

// Tables of a waved stick

export const stickTimeMissing = (file: string) =>
  new DataError('stick-time-missing', `${file}: a table of a stick needs a column "frame" or a column "time_s".`, {
    file,
  });

export const stickRateMissing = (file: string, camera: string) =>
  new DataError(
    'stick-rate-missing',
    `${file}: frames of camera ${camera} cannot be turned into times without its frame rate. Give the rate, or a column time_s.`,
    { file, camera },
  );

export const stickRowTwice = (file: string, line: number, camera: string, end: string) =>
  new DataError(
    'stick-row-twice',
    `${file}, line ${line}: end ${end} in camera ${camera} a second time at that moment. Leave one of the two lines.`,
    { file, line, camera, end },
  );
