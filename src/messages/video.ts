import { DataError } from '../errors.ts';

const decimals = (x: number, digits: number): string => String(Number(x.toFixed(digits)));
const frames = (count: number): string => (count === 1 ? '1 frame' : `${count} frames`);

/** Plain words for three systems; the last sentence is for a program that is there but not on the path. */
const INSTALL =
  'Install ffmpeg, which brings both programs: Debian or Ubuntu "sudo apt install ffmpeg"; macOS "brew install ffmpeg"; ' +
  'Windows "winget install ffmpeg", then open a new window. If it is installed elsewhere, name the programs in the ' +
  'environment variables KNEEWARD_FFMPEG and KNEEWARD_FFPROBE.';

export const ffmpegMissing = (program: string, path: string, variable: string | null, reason: string) =>
  new DataError(
    'ffmpeg-missing',
    variable === null
      ? `Reading a video needs the program ${program}, and this machine has none on its path. ${INSTALL}`
      : `Reading a video needs the program ${program}: the environment variable ${variable} names "${path}", which cannot ` +
          `be started (${reason}). Correct the variable, or remove it to use the ${program} on the path. ${INSTALL}`,
    { program, path, reason },
  );

export const videoProgramFailed = (file: string, program: string, exit: string, lastWords: string) =>
  new DataError(
    'video-program-failed',
    `${file}: ${program} gave up (${exit})${lastWords === '' ? '' : `. Its last words: ${lastWords}`}. Does the video play to its ` +
      'end in a player? If it does, convert it once ("ffmpeg -i old.mov new.mp4") and use the new file everywhere, for keypoints too.',
    { file, program, exit, lastWords },
  );

export const videoStalled = (file: string, program: string, limitS: number) =>
  new DataError(
    'video-stalled',
    `${file}: ${program} has given nothing for ${limitS} s and was ended. Copy the video to a local disk and try again.`,
    { file, program, limitS },
  );

export const videoMissing = (file: string) =>
  new DataError('video-missing', `${file}: there is no such video. Is the name spelled as in the folder, ending too?`, {
    file,
  });

export const videoIsFolder = (file: string) =>
  new DataError('video-is-folder', `${file}: this is a folder. Name one video in it.`, { file });

export const videoEmpty = (file: string) =>
  new DataError(
    'video-empty',
    `${file}: the file has no bytes. The copy from the phone was broken off: copy it again.`,
    { file },
  );

export const videoUnreadable = (file: string, lastWords: string) =>
  new DataError(
    'video-unreadable',
    `${file}: this is not a video that ffmpeg can read, or its copy from the phone was broken off before the end (ffprobe says: ` +
      `${lastWords}). Does it play? Copy the original file again; do not send it through a messenger.`,
    { file, lastWords },
  );

export const videoTruncated = (file: string, framesRead: number, framesStated: number, lastWords: string) =>
  new DataError(
    'video-truncated',
    `${file}: the file breaks off: it holds ${frames(framesRead)}${framesStated > 0 ? ` of the ${framesStated} it announces` : ''} ` +
      `(ffprobe says: ${lastWords}). Copy it from the phone again.`,
    { file, framesRead, framesStated },
  );

export const videoWithoutPicture = (file: string) =>
  new DataError(
    'video-without-picture',
    `${file}: there is sound in this file but no picture. Name the file that the camera wrote.`,
    { file },
  );

export const videoIsPicture = (file: string, format: string) =>
  new DataError(
    'video-is-picture',
    `${file}: this is a single picture (${format}), not a video. Pictures are given as images; a video is needed here.`,
    { file, format },
  );

export const videoWithoutFrames = (file: string) =>
  new DataError('video-without-frames', `${file}: the video has not one frame. Copy it from the phone again.`, {
    file,
  });

export const videoWithoutTimes = (file: string, without: number, count: number) =>
  new DataError(
    'video-without-times',
    `${file}: ${without} of ${count} frames carry no time stamp, so it is not known when they were taken. Use the file that the ` +
      'camera wrote (mp4, mov, mkv), not a bare stream cut out of it.',
    { file, without, count },
  );

export const videoTurnedOddly = (file: string, matrix: string) =>
  new DataError(
    'video-turned-oddly',
    `${file}: the file says that its picture is to be shown turned by an angle that is not a quarter turn (display matrix ` +
      `${matrix}). Use the file that the camera wrote; what an editing program turned is no longer the camera's picture.`,
    { file, matrix },
  );

export const videoSizeChanges = (file: string, frame: number, found: string, stated: string) =>
  new DataError(
    'video-size-changes',
    `${file}: frame ${frame} is ${found} px, the file announces ${stated} px. A camera that is measured must not change its ` +
      'picture size: film again in one fixed mode.',
    { file, frame, found, stated },
  );

export const videoTimesDisagree = (file: string, timeS: number) =>
  new DataError(
    'video-times-disagree',
    `${file}: ffmpeg gave a frame at ${decimals(timeS, 6)} s which ffprobe does not list. Convert the video once ("ffmpeg -i ` +
      'old.mov -fps_mode passthrough new.mp4") and use the new file everywhere, for keypoints too.',
    { file, timeS },
  );

export const videoFramesMissing = (file: string, missing: number, wanted: number, first: number) =>
  new DataError(
    'video-frames-missing',
    `${file}: ${missing} of ${frames(wanted)} could not be decoded, the first is frame ${first}. The file is damaged, or was cut ` +
      'without its leading key frame. Use the file that the camera wrote.',
    { file, missing, wanted, first },
  );

export const videoFrameOutside = (file: string, frame: number, count: number) =>
  new DataError(
    'video-frame-outside',
    `${file}: frame ${frame} is asked for; the video has ${frames(count)}, counted from 0.`,
    { file, frame, count },
  );

export const videoSpanEmpty = (file: string, fromS: number, toS: number, lengthS: number) =>
  new DataError(
    'video-span-empty',
    `${file}: no frame lies between ${decimals(fromS, 3)} and ${decimals(toS, 3)} s; the video runs from 0 to ` +
      `${decimals(lengthS, 3)} s. Ask for a span within it.`,
    { file, fromS, toS, lengthS },
  );

export const videoSlowMotion = (file: string, captureHz: number, playHz: number) =>
  new DataError(
    'video-slow-motion',
    `${file}: filmed at ${decimals(captureHz, 2)} frames a second but written to be played at ${decimals(playHz, 2)}: its time ` +
      `stamps run ${decimals(captureHz / playHz, 2)} times too slowly, and speeds and forces would be wrong. Export the video at ` +
      'its full frame rate, or film in the normal mode.',
    { file, captureHz, playHz },
  );

// Same video mode

const size = ({ width, height }: { readonly width: number; readonly height: number }): string =>
  `${width} × ${height} px`;

interface Sized {
  readonly width: number;
  readonly height: number;
}

const modeFacts = (made: string, lens: Sized, file: string, video: Sized) => ({
  made,
  file,
  lensWidth: lens.width,
  lensHeight: lens.height,
  videoWidth: video.width,
  videoHeight: video.height,
});

const FILM_AGAIN =
  'Film the board again in the mode of the lift (same size, frame rate, lens, zoom and phone position).';

export const modeTurned = (made: string, lens: Sized, file: string, video: Sized, scaled: boolean) =>
  new DataError(
    'video-mode-turned',
    `${file} is ${size(video)}, upright; the lens was calibrated from ${made} with ${size(lens)}: one is portrait, the other ` +
      `landscape${scaled ? ', and their sizes differ too' : ''}. A lens file holds for one way up. ${FILM_AGAIN} If the phone stood ` +
      'the same way both times, its portrait flag is missing in one of the files: use the files the phone wrote.',
    modeFacts(made, lens, file, video),
  );

export const modeUpsideDown = (made: string, lensDeg: number, file: string, videoDeg: number, image: Sized) =>
  new DataError(
    'video-mode-upside-down',
    `${file} was filmed with the phone turned by ${videoDeg}°, ${made}, from which the lens was calibrated, by ${lensDeg}°; both are ` +
      `${size(image)}. The picture's centre and distortion then lie half a turn apart. ${FILM_AGAIN}`,
    { made, file, lensDeg, videoDeg },
  );

export const modeAspect = (made: string, lens: Sized, file: string, video: Sized) =>
  new DataError(
    'video-mode-aspect',
    `${file} is ${size(video)} (${ratio(video)}); the lens was calibrated from ${made} with ${size(lens)} (${ratio(lens)}). The ` +
      'phone cuts these two pictures differently out of its sensor (photo against video, or another video size), so the lens does ' +
      `not hold. ${FILM_AGAIN}`,
    modeFacts(made, lens, file, video),
  );

export const modeScaled = (made: string, lens: Sized, file: string, video: Sized, factor: number) =>
  new DataError(
    'video-mode-scaled',
    `${file} is ${size(video)}; the lens was calibrated from ${made} with ${size(lens)}, ${decimals(factor, 4)} times its size. ` +
      'Nothing is scaled by itself: phones often use another part of the sensor at another size, which the numbers cannot show. ' +
      `${FILM_AGAIN} If one file is a copy of the other mode made smaller by you, make all copies the same size.`,
    { ...modeFacts(made, lens, file, video), factor },
  );

export const modePixelShape = (made: string, lensAspect: number, file: string, videoAspect: number) =>
  new DataError(
    'video-mode-pixel-shape',
    `${file} has pixels ${decimals(videoAspect, 4)} times as wide as high, ${made}, from which the lens was calibrated, ` +
      `${decimals(lensAspect, 4)} times. ${FILM_AGAIN}`,
    { made, file, lensAspect, videoAspect },
  );

/** Sentences that do not stop the work. */
export const videoNotes = {
  rateDiffers: (made: string, lensHz: number, file: string, videoHz: number) =>
    `${file} runs at ${decimals(videoHz, 2)} frames a second, ${made} at ${decimals(lensHz, 2)}: at a high frame rate many phones ` +
    'use a smaller part of the sensor. Compare the same scene in both, or film the board at the rate of the lift.',
  sameSizeOnly: (file: string) =>
    `${file}: size, shape and portrait flag agree with the lens. Zoom, another lens of the phone, and stabilisation cannot be seen ` +
    'from them.',
  variableRate: (file: string, deviationS: number, dropped: number) =>
    `${file}: the frames are not equally spaced (up to ${decimals(1000 * deviationS, 2)} ms off, ${frames(dropped)} left out). Give ` +
    'the recording its frame times (frame_times).',
  interlaced: (file: string) =>
    `${file}: interlaced: each frame holds two half pictures of two moments. Film in a progressive mode.`,
};

function ratio({ width, height }: Sized): string {
  for (const [w, h] of [
    [16, 9],
    [4, 3],
    [3, 2],
    [1, 1],
  ]) {
    if (Math.abs(width / height / (w / h) - 1) < 0.004) return `${w}:${h}`;
    if (Math.abs(width / height / (h / w) - 1) < 0.004) return `${h}:${w}`;
  }
  return `${decimals(width / height, 3)}:1`;
}

// Frame times of a recording

export const frameTimesNotInOrder = (file: string, line: number, frame: number, due: number) =>
  new DataError(
    'frame-times-not-in-order',
    `${file}, line ${line}: frame ${frame}, where frame ${due} is due. Every frame of the video has one row, from 0 up.`,
    { file, line, frame, due },
  );

export const frameTimesNotRising = (file: string, line: number, timeS: number, beforeS: number) =>
  new DataError(
    'frame-times-not-rising',
    `${file}, line ${line}: time ${timeS} s after ${beforeS} s. Each frame is later than the one before; times are in seconds.`,
    { file, line, timeS, beforeS },
  );

export const frameTimesRate = (file: string, measuredHz: number, statedHz: number, limit: number) =>
  new DataError(
    'frame-times-rate',
    `${file}: these times are of ${decimals(measuredHz, 3)} frames a second, the recording says frame_rate_hz: ` +
      `${statedHz} (they may differ by ${decimals(100 * limit, 0)} %). A slow-motion file is played slower than it was filmed: give ` +
      'the times at which the frames were taken, in seconds.',
    { file, measuredHz, statedHz, limit },
  );

export const frameTimesCount = (file: string, times: number, stated: number) =>
  new DataError(
    'frame-times-count',
    `${file}: ${frames(times)}, but the recording says frames: ${stated}. Leave "frames" out, or give the times of this video.`,
    { file, times, stated },
  );

export const frameTimesTooFew = (file: string, times: number, keypoints: string, lastFrame: number) =>
  new DataError(
    'frame-times-too-few',
    `${keypoints}: there is a frame ${lastFrame}, but ${file} has the times of ${frames(times)} (last frame ${times - 1}). Are both ` +
      'made from the same file? Do the frames in both count from 0 (first_image_id)?',
    { file, times, keypoints, lastFrame },
  );

export const viewLengthsUnequal = (
  file: string,
  cameraA: string,
  lengthAS: number,
  cameraB: string,
  lengthBS: number,
) =>
  new DataError(
    'view-lengths-unequal',
    `${file}: by its frame times view "${cameraA}" lasts ${lengthAS.toFixed(3)} s and view "${cameraB}" ${lengthBS.toFixed(3)} s, and no ` +
      'view states offset_s. If they did not start together, write offset_s for one of them (seconds added to its time; 0 for a ' +
      'view that is not shifted).',
    { file, cameraA, lengthAS, cameraB, lengthBS },
  );
