import { DataError } from '../errors.ts';

/** "Did you mean …?", or nothing where no known name is near. */
const didYouMean = (suggestion: string | null): string => (suggestion === null ? '' : ` Did you mean "${suggestion}"?`);

const listed = (names: readonly string[]): string => names.join(', ');

const suggested = (suggestion: string | null): { suggestion: string } => ({ suggestion: suggestion ?? '' });

// Files

export const fileMissing = (file: string, suggestion: string | null) =>
  new DataError(
    'file-missing',
    `${file}: there is no such file.${didYouMean(suggestion)} Paths in a recording or study file are taken from that file's own folder, those on the command line from the folder you are in.`,
    { file, ...suggested(suggestion) },
  );

/** The same with the field of the recording file that asks for it. */
export const fileMissingFor = (recording: string, line: number, field: string, missing: DataError) =>
  new DataError(missing.code, `${recording}, line ${line}: ${field}: ${missing.message}`, {
    ...missing.facts,
    recording,
    line,
    field,
  });

export const fileIsFolder = (file: string) =>
  new DataError('file-is-folder', `${file}: this is a folder. Name the file inside it.`, { file });

export const fileUnreadable = (file: string, reason: string) =>
  new DataError('file-unreadable', `${file}: the file cannot be read (${reason}). Check its permissions.`, {
    file,
    reason,
  });

export const fileEmpty = (file: string) =>
  new DataError('file-empty', `${file}: the file is empty. Write it again from its source.`, { file });

export const fileTooLarge = (file: string, limitMb: number) =>
  new DataError(
    'file-too-large',
    `${file}: the file holds more than ${limitMb} MB. Cut the recording to one set, or leave out the points that are not used.`,
    { file, limitMb },
  );

export const fileNotText = (file: string) =>
  new DataError(
    'file-not-text',
    /\.c3d(\.gz)?$/i.test(file)
      ? `${file}: this is a C3D file, and a text file is needed here. A recording file names it under "c3d:" (docs/method/c3d.md).`
      : `${file}: this is not text in UTF-8. Save it again as UTF-8 (spreadsheets call it "CSV UTF-8"), or name the right file.`,
    { file },
  );

export const fileNotGzip = (file: string) =>
  new DataError(
    'file-not-gzip',
    `${file}: the name ends in .gz but the file is not compressed by gzip. Rename it without .gz, or compress it.`,
    { file },
  );

export const gzipTruncated = (file: string, bytes: number) =>
  new DataError(
    'gzip-truncated',
    `${file}: the compressed file ends too early (after ${bytes} bytes). It was copied or written only in part: copy it again.`,
    { file, bytes },
  );

export const gzipDamaged = (file: string, reason: string) =>
  new DataError('gzip-damaged', `${file}: the compressed file is damaged (${reason}). Copy it again from its source.`, {
    file,
    reason,
  });

// JSON

export const jsonTruncated = (file: string, line: number, characters: number) =>
  new DataError(
    'json-truncated',
    `${file}, line ${line}: the JSON text ends in the middle, after ${characters} characters. The file was copied or written only in part: copy it again.`,
    { file, line, characters },
  );

export const jsonSyntax = (file: string, line: number, near: string) =>
  new DataError(
    'json-syntax',
    `${file}, line ${line}: this is not JSON, near "${near}". Look for a missing comma or quote, or name the right file.`,
    { file, line, near },
  );

export const jsonNotANumber = (file: string, line: number, word: string) =>
  new DataError(
    'json-not-a-number',
    `${file}, line ${line}: ${word} is not a JSON number. Write null where a value is missing.`,
    { file, line, word },
  );

// Recording and study files

export const manifestSyntax = (file: string, line: number, reason: string) =>
  new DataError(
    'manifest-syntax',
    `${file}, line ${line}: this is not YAML (${reason}). Look at the indentation, brackets and quotes of that line.`,
    { file, line },
  );

export const fieldTwice = (file: string, line: number, field: string) =>
  new DataError(
    'field-twice',
    `${file}, line ${line}: "${field}" stands twice. Remove one, or indent it under the field it belongs to.`,
    { file, line, field },
  );

export const decimalComma = (file: string, line: number, field: string, meant: string) =>
  new DataError(
    'decimal-comma',
    `${file}, line ${line}: ${field} is written with a decimal comma. Write a decimal point: ${meant}. (Within { } a comma begins the next field.)`,
    { file, line, field, meant },
  );

export const manifestNotAMap = (file: string) =>
  new DataError(
    'manifest-not-a-map',
    `${file}: expected fields such as "kneeward: 1" and "recording: name". Is this a recording or study file?`,
    { file },
  );

export const manifestVersion = (file: string, line: number, version: string) =>
  new DataError(
    'manifest-version',
    `${file}, line ${line}: kneeward is ${version}, but this program reads version 1. Write "kneeward: 1".`,
    { file, line, version },
  );

export const wrongManifest = (file: string, found: 'recording' | 'study', expected: 'recording' | 'study') =>
  new DataError('wrong-manifest', `${file}: this is a ${found} file, and a ${expected} file is needed here.`, {
    file,
    found,
    expected,
  });

export const fieldUnknown = (
  file: string,
  line: number,
  field: string,
  suggestion: string | null,
  known: readonly string[],
) =>
  new DataError(
    'unknown-field',
    `${file}, line ${line}: ${field} is not a field of this file.${didYouMean(suggestion)} Known here: ${listed(known)}.`,
    { file, line, field, ...suggested(suggestion) },
  );

export const fieldMissing = (file: string, line: number, field: string, description: string) =>
  new DataError('missing-field', `${file}, line ${line}: ${field} is missing. Add it (${description}).`, {
    file,
    line,
    field,
  });

export const loadMissing = (file: string) =>
  new DataError(
    'load-missing',
    `${file}: the recording does not say what was lifted: load is missing. ` +
      'Write "load: { total_kg: 80, bar: { position: front rack } }" with bar, discs and collars together, or "load: { total_kg: 0 }" if nothing was carried.',
    { file, field: 'load' },
  );

export const fieldWrongType = (file: string, line: number, field: string, value: string, description: string) =>
  new DataError(
    'wrong-type',
    `${file}, line ${line}: ${field} is ${value}. Expected: ${description || 'text, a number, true or false'}. ` +
      'A number stands without quotes; a name made of digits needs them.',
    { file, line, field, value },
  );

export const fieldNotAList = (file: string, line: number, field: string, value: string, description: string) =>
  new DataError(
    'not-a-list',
    `${file}, line ${line}: ${field} is ${value}. Write a list, also of one: ${field}: [${value}]. Expected: ${description}.`,
    { file, line, field, value },
  );

export const fieldOutOfRange = (
  file: string,
  line: number,
  field: string,
  value: number,
  low: number,
  high: number,
  description: string,
) =>
  new DataError(
    'out-of-range',
    `${file}, line ${line}: ${field} is ${value}, outside ${low} to ${high}. Correct it (${description}).`,
    { file, line, field, value, low, high },
  );

export const fieldNotAChoice = (
  file: string,
  line: number,
  field: string,
  value: string,
  allowed: readonly string[],
  suggestion: string | null,
) =>
  new DataError(
    'not-a-choice',
    `${file}, line ${line}: ${field} is ${value}.${didYouMean(suggestion)} Write one of: ${listed(allowed)}.`,
    { file, line, field, value, ...suggested(suggestion) },
  );

export const fieldNotAName = (file: string, line: number, field: string, value: string, description: string) =>
  new DataError(
    'not-a-name',
    `${file}, line ${line}: ${field} (${value}) is not written as it must be. Expected: ${description}.`,
    { file, line, field, value },
  );

export const loadWithoutPosition = (file: string, line: number, totalKg: number) =>
  new DataError(
    'load-without-position',
    `${file}, line ${line}: ${totalKg} kg are carried but load.bar.position does not say where. ` +
      'Write front rack, high back, low back, overhead or hands; or "total_kg: 0" if nothing was carried.',
    { file, line, totalKg },
  );

export const barHeavierThanLoad = (file: string, line: number, barKg: number, totalKg: number) =>
  new DataError(
    'bar-heavier-than-load',
    `${file}, line ${line}: load.bar.mass_kg is ${barKg}, more than load.total_kg (${totalKg}). total_kg is bar, discs and collars together.`,
    { file, line, barKg, totalKg },
  );

export const noSource = (file: string) =>
  new DataError(
    'no-source',
    `${file}: there are no points. Name the rig and the views (rig, views), or the file of 3D points (landmarks_3d, or c3d).`,
    { file },
  );

export const besidesRig = (file: string, line: number, missing: 'rig' | 'views') =>
  new DataError(
    'rig-and-views',
    `${file}, line ${line}: rig and views go together, and ${missing} is missing. Add it.`,
    { file, line, missing },
  );

export const bothSources = (file: string, line: number) =>
  new DataError(
    'both-sources',
    `${file}, line ${line}: landmarks_3d stands beside rig or views. Keep one: 3D points that were measured, or views from which they are computed.`,
    { file, line },
  );

export const sameAxis = (file: string, line: number, field: string, forward: string, up: string) =>
  new DataError(
    'same-axis',
    `${file}, line ${line}: ${field} has forward ${forward} and up ${up}, on one axis. Choose two different axes of the file.`,
    { file, line, field, forward, up },
  );

export const forceAxesWithPoints = (file: string, line: number) =>
  new DataError(
    'force-axes-with-points',
    `${file}, line ${line}: force_axes belongs beside views; force plates beside landmarks_3d use landmarks_3d.axes. Remove force_axes.`,
    { file, line },
  );

export const duplicateCamera = (file: string, line: number, camera: string) =>
  new DataError(
    'duplicate-view',
    `${file}, line ${line}: camera "${camera}" has two views. Join their files in one keypoints list, or correct the name.`,
    { file, line, camera },
  );

export const duplicateKeypointFile = (
  file: string,
  line: number,
  keypoints: string,
  cameraA: string,
  cameraB: string,
) =>
  new DataError(
    'duplicate-view',
    `${file}, line ${line}: ${keypoints} is named twice (views "${cameraA}" and "${cameraB}"). Each view has files of its own.`,
    { file, line, keypoints, camera: cameraB },
  );

export const identicalViews = (file: string, cameraA: string, cameraB: string) =>
  new DataError(
    'duplicate-view',
    `${file}: the keypoint files of views "${cameraA}" and "${cameraB}" have the same contents. One was copied over the other: name the right file.`,
    { file, camera: cameraB },
  );

export const unequalFrameCounts = (file: string, cameraA: string, framesA: number, cameraB: string, framesB: number) =>
  new DataError(
    'unequal-frame-counts',
    `${file}: view "${cameraA}" has ${framesA} frames and view "${cameraB}" ${framesB}, at the same frame rate, and no view states offset_s. ` +
      'If they did not start together, write offset_s for one of them (seconds added to its time; 0 for a view that is not shifted). ' +
      'If the lifter was only not found in the last images, write frames (the length of the video) in both.',
    { file, framesA, framesB },
  );

export const duplicateForcePlate = (file: string, forcePlate: string) =>
  new DataError('duplicate-force-plate', `${file}: force plate file ${forcePlate} is named twice. Remove one.`, {
    file,
    forcePlate,
  });

export const noMatch = (file: string, line: number, pattern: string) =>
  new DataError(
    'no-match',
    `${file}, line ${line}: no file matches "${pattern}". Paths are taken from the study file's folder; * stands for part of a name, ** for folders.`,
    { file, line, pattern },
  );

export const duplicateRecordingId = (file: string, id: string, fileA: string, fileB: string) =>
  new DataError(
    'duplicate-recording',
    `${file}: two recordings are called "${id}": ${fileA} and ${fileB}. Give each its own name in "recording:".`,
    { file, id, fileA, fileB },
  );

export const athleteIdsByCase = (file: string, line: number, id: string, otherFile: string, otherId: string) =>
  new DataError(
    'athlete-ids-by-case',
    `${file}, line ${line}: athlete.id is "${id}", and "${otherId}" in ${otherFile}. They differ only in capital letters and would count as two lifters: write one of them in all files.`,
    { file, line, id, otherFile, otherId },
  );

export const athleteTwoSexes = (
  file: string,
  line: number,
  id: string,
  sex: string,
  otherFile: string,
  otherSex: string,
) =>
  new DataError(
    'athlete-two-sexes',
    `${file}, line ${line}: athlete "${id}" is ${sex}, and ${otherSex} in ${otherFile}. Correct the one that is wrong, or give two lifters two ids.`,
    { file, line, id, sex, otherFile, otherSex },
  );

/** What is said and not refused of the recording files of a study. */
export const studyRemarkTexts = {
  factorOnce: (file: string, line: number, name: string, near: string) =>
    `${file}, line ${line}: condition.${name} stands in this recording alone, and other recordings have "${near}". Is that meant?`,
  levelsAlike: (file: string, line: number, name: string, value: string, usual: string) =>
    `${file}, line ${line}: condition.${name} is "${value}", and "${usual}" in other recordings. They differ only in capital letters or spaces and count as two levels.`,
  wordAmongNumbers: (file: string, line: number, name: string, value: string) =>
    `${file}, line ${line}: condition.${name} is "${value}", and a number in all other recordings. All of them count as words for it.`,
  athleteDiffers: (
    file: string,
    line: number,
    id: string,
    field: string,
    value: number,
    other: number,
    otherFile: string,
  ) => `${file}, line ${line}: athlete.${field} of "${id}" is ${value}, and ${other} in ${otherFile}. Are both right?`,
};

/** A pattern took in another file; `found` says which one and what it is. */
export const notARecordingOfStudy = (file: string, line: number, pattern: string, found: DataError) =>
  new DataError(
    found.code,
    `${file}, line ${line}: "${pattern}" also names a file that is no recording. ${found.message}`,
    { ...found.facts, study: file, line, pattern },
  );

// CSV

export const csvSeparator = (file: string, found: 'semicolons' | 'tabs') =>
  new DataError(
    'csv-separator',
    `${file}, line 1: the columns are separated by ${found}. Save the file with commas between columns and decimal points (1.5, not 1,5).`,
    { file, found },
  );

export const csvColumnMissing = (file: string, column: string, found: readonly string[], suggestion: string | null) =>
  new DataError(
    'csv-column-missing',
    `${file}, line 1: there is no column "${column}"; found: ${listed(found)}.${suggestion === null ? '' : ` Is it "${suggestion}"? Then rename it.`}`,
    { file, column, ...suggested(suggestion) },
  );

export const csvColumnUnknown = (file: string, column: string, known: readonly string[], suggestion: string | null) =>
  new DataError(
    'csv-column-unknown',
    `${file}, line 1: column "${column}" is not known here.${didYouMean(suggestion)} Remove or rename it; known: ${listed(known)}.`,
    { file, column, ...suggested(suggestion) },
  );

export const csvColumnRepeated = (file: string, column: string) =>
  new DataError('csv-column-repeated', `${file}, line 1: column "${column}" stands twice. Remove one.`, {
    file,
    column,
  });

export const csvNoRows = (file: string) =>
  new DataError(
    'csv-no-rows',
    `${file}: there is a header but no row under it. Write the file again from its source.`,
    {
      file,
    },
  );

export const csvRowLength = (file: string, line: number, cells: number, expected: number) =>
  new DataError(
    'csv-row-length',
    `${file}, line ${line}: ${cells} ${cells === 1 ? 'cell' : 'cells'}, but the header has ${expected}. ` +
      'A file cut off in the middle ends so; decimal commas (1,5) do it too: write decimal points (1.5).',
    { file, line, cells, expected },
  );

export const csvOpenQuote = (file: string, line: number) =>
  new DataError('csv-open-quote', `${file}, line ${line}: a quoted cell is never closed. Add the missing ".`, {
    file,
    line,
  });

export const csvQuoteInField = (file: string, line: number) =>
  new DataError(
    'csv-quote',
    `${file}, line ${line}: text follows a closing quote. A quote inside a quoted cell is written twice ("").`,
    { file, line },
  );

type Empty = 'is NaN' | 'refused';

export const csvCellNotNumber = (file: string, line: number, column: string, value: string, empty: Empty) =>
  new DataError(
    'csv-not-a-number',
    `${file}, line ${line}, column ${column}: "${value}" is not a number. ` +
      (/^[+-]?\d+,\d+$/.test(value)
        ? 'Write a decimal point instead of the comma.'
        : empty === 'refused'
          ? 'Write a number.'
          : 'Write a number, or leave the cell empty where a coordinate is missing.'),
    { file, line, column, value },
  );

export const csvCellInfinite = (file: string, line: number, column: string, value: string, empty: Empty) =>
  new DataError(
    'csv-infinite',
    `${file}, line ${line}, column ${column}: "${value}" is not finite. ` +
      (empty === 'refused' ? 'Write a number.' : 'Leave the cell empty where a coordinate is missing.'),
    { file, line, column, value },
  );

export const csvCellManyLines = (file: string, line: number, column: string) =>
  new DataError(
    'csv-many-lines',
    `${file}, line ${line}, column ${column}: a quoted cell runs over several lines. Remove the quote (") that opens it, or close it in its line.`,
    { file, line, column },
  );

export const csvCellMissing = (file: string, line: number, column: string, value: string) =>
  new DataError(
    'csv-cell-missing',
    `${file}, line ${line}, column ${column}: the cell ${value === '' ? 'is empty' : `holds ${value}`}, and a number is needed in every row. Fill it, or cut the rows.`,
    { file, line, column },
  );

export const csvCellNotInteger = (file: string, line: number, column: string, value: number) =>
  new DataError(
    'csv-not-a-count',
    `${file}, line ${line}, column ${column}: ${value} is not a whole number from 0 up. Frames count 0, 1, 2 …`,
    { file, line, column, value },
  );

// Points and keypoints

export const unknownLandmark = (
  file: string,
  line: number,
  name: string,
  suggestion: string | null,
  known: readonly string[],
) =>
  new DataError(
    'unknown-landmark',
    `${file}, line ${line}, column landmark: "${name}" is not a landmark.${didYouMean(suggestion)} Known: ${listed(known)}.`,
    { file, line, name, ...suggested(suggestion) },
  );

export const duplicateSample = (file: string, line: number, firstLine: number, frame: number, landmark: string) =>
  new DataError(
    'duplicate-sample',
    `${file}, line ${line}: frame ${frame} has ${landmark} a second time (first on line ${firstLine}). Remove one of the rows.`,
    { file, line, firstLine, frame, landmark },
  );

export const tooManyFrames = (file: string, place: string, frame: number, limit: number) =>
  new DataError(
    'too-many-frames',
    `${file}, ${place}: frame ${frame}, and a recording has at most ${limit}. Does the numbering start elsewhere than 0? ` +
      'For keypoint JSON write first_image_id in the view; in CSV number the frames from 0.',
    { file, frame, limit },
  );

export const nothingSeen = (file: string) =>
  new DataError(
    'nothing-seen',
    `${file}: every coordinate is empty or NaN: there is no point in any frame. Export the points again.`,
    { file },
  );

export const notAnArrayOfResults = (file: string, found: string) =>
  new DataError(
    'not-keypoint-results',
    `${file}: expected a list of keypoint results, [{ "image_id": …, "keypoints": […], "score": … }, …], but found ${found}. ` +
      'Write COCO keypoint results (one entry a person and image), not annotations or another format.',
    { file, found },
  );

export const noDetections = (file: string) =>
  new DataError(
    'no-detections',
    `${file}: the list of keypoint results is empty: nobody was found in any image. Check the video and the detector.`,
    { file },
  );

export const keypointsMissing = (file: string, entry: number) =>
  new DataError(
    'keypoints-missing',
    `${file}, entry ${entry + 1}: there is no "keypoints" list. Write [x, y, score, x, y, score, …] in COCO order.`,
    { file, entry: entry + 1 },
  );

export const keypointCount = (file: string, entry: number, numbers: number, accepted: readonly number[]) =>
  new DataError(
    'keypoint-count',
    `${file}, entry ${entry + 1}: "keypoints" has ${numbers} numbers. Expected three for each of ${accepted.join(', ')} keypoints ` +
      '(17 COCO; 23 with feet; 133 COCO-WholeBody), the same in every entry.',
    { file, entry: entry + 1, numbers },
  );

export const keypointNotANumber = (file: string, entry: number, landmark: string, value: string) =>
  new DataError(
    'keypoint-not-a-number',
    `${file}, entry ${entry + 1}, ${landmark}: ${value} is no coordinate or score. Write a number, or null where it is missing.`,
    { file, entry: entry + 1, landmark, value },
  );

/** `value`: as the file has it; null where there is none. */
export const imageIdNotANumber = (file: string, entry: number, value: string | null) =>
  new DataError(
    'image-id',
    `${file}, entry ${entry + 1}: ${value === null ? 'there is no image_id' : `image_id ${value} gives no frame`}. Write a whole number, or a name that ends in one (left_000123.png).`,
    { file, entry: entry + 1, value: value ?? '' },
  );

export const frameBeforeFirst = (file: string, entry: number, imageId: number, firstImageId: number) =>
  new DataError(
    'frame-before-first',
    `${file}, entry ${entry + 1}: image_id ${imageId} lies before first_image_id (${firstImageId}). Write the smallest image id of the video as first_image_id.`,
    { file, entry: entry + 1, imageId, firstImageId },
  );

export const confidenceOutOfRange = (file: string, place: string, value: number) =>
  new DataError(
    'confidence-range',
    `${file}, ${place}: confidence ${value}. Confidence runs from 0 to 1; divide it by its largest value.`,
    { file, value },
  );

export const confidenceMissing = (file: string, line: number) =>
  new DataError(
    'confidence-missing',
    `${file}, line ${line}, column confidence: empty beside a point. Write 1 for points marked by hand.`,
    { file, line },
  );

export const keypointFileKind = (file: string) =>
  new DataError(
    'keypoint-file-kind',
    `${file}: keypoint files end in .json (COCO keypoint results) or .csv (frame,landmark,x_px,y_px,confidence), with or without .gz. Rename or convert it.`,
    { file },
  );

export const landmarkTwice = (landmark: string, fileA: string, fileB: string) =>
  new DataError(
    'landmark-twice',
    `${fileB}: ${landmark} is already given by ${fileA}. Files of one view add landmarks; remove it from one of them.`,
    { landmark, fileA, file: fileB },
  );

export const framesBeyondStated = (file: string, lastFrame: number, frames: number) =>
  new DataError(
    'frames-beyond-stated',
    `${file}: there is a frame ${lastFrame}, but the recording states frames: ${frames} (last frame ${frames - 1}). Correct frames, or first_image_id.`,
    { file, lastFrame, frames },
  );

export const noConfidentLandmark = (files: string, camera: string, best: number, limit: number) =>
  new DataError(
    'no-confident-landmark',
    `${files}: view "${camera}" has no landmark with confidence ${limit} or more (best: ${best.toFixed(3)}). ` +
      'Is the lifter in the picture? Check the keypoints, or lower settings.minimum_confidence.',
    { file: files, camera, best, limit },
  );

export const keypointsNormalised = (files: string, camera: string, largest: number) =>
  new DataError(
    'keypoints-normalised',
    `${files}: no keypoint of view "${camera}" lies beyond ${largest.toFixed(3)}: these are shares of the image, not pixels. Multiply x by the image width and y by its height.`,
    { file: files, camera, largest },
  );

// Force plates

export const forcePlateUnit = (file: string, inFile: string, stated: string) =>
  new DataError(
    'force-plate-unit',
    `${file}, line 1: the centre of pressure is in ${inFile} (copx_${inFile}), but the recording states ${stated}. Write "unit: ${inFile}" for this force plate.`,
    { file, inFile, stated },
  );

export const forcePlateTime = (
  file: string,
  line: number,
  timeS: number,
  dueS: number,
  rateHz: number,
  limit: number,
) =>
  new DataError(
    'force-plate-time',
    `${file}, line ${line}, column time_s: ${timeS} s, where ${dueS.toFixed(5)} s is due at ${rateHz} Hz (limit: ${limit} of a sample). ` +
      'Samples are missing, or frame_rate_hz is not the rate of this file.',
    { file, line, timeS, dueS, rateHz, limit },
  );

export const forcePlateDownward = (file: string, downward: number, loaded: number) =>
  new DataError(
    'force-plate-downward',
    `${file}: the vertical force points down in ${downward} of ${loaded} loaded samples. Give the force on the body (upward when standing): ` +
      'multiply the forces by −1, or correct the up axis.',
    { file, downward, loaded },
  );

export const forcePlateUnloaded = (file: string, largestN: number, limitN: number) =>
  new DataError(
    'force-plate-unloaded',
    `${file}: nobody stands on this force plate: the vertical force never exceeds ${largestN.toFixed(1)} N (limit ${limitN} N). Remove it from force_plates, or correct the up axis.`,
    { file, largestN, limitN },
  );

export const forcePlateNoOverlap = (file: string, firstS: number, lastS: number, fromS: number, toS: number) =>
  new DataError(
    'force-plate-no-overlap',
    `${file}: the force plate runs from ${firstS.toFixed(2)} to ${lastS.toFixed(2)} s, the frames from ${fromS.toFixed(2)} to ${toS.toFixed(2)} s: they never meet. ` +
      'Write offset_s for the force plate (seconds added to its time).',
    { file, firstS, lastS, fromS, toS },
  );

export const forcePlateTooStrong = (file: string, line: number, forceN: number, limitN: number) =>
  new DataError(
    'force-plate-too-strong',
    `${file}, line ${line}: a force of ${shortNumber(forceN)} N, and no lifter gives more than ${limitN} N. Give the forces in newtons, and correct that row.`,
    { file, line, forceN, limitN },
  );

export const forcePlateTooFar = (file: string, line: number, distanceM: number, limitM: number, unit: string) =>
  new DataError(
    'force-plate-too-far',
    `${file}, line ${line}: the centre of pressure lies ${shortNumber(distanceM)} m from the origin (limit ${limitM} m). ` +
      (unit === 'mm'
        ? 'Correct it, or leave its cells empty.'
        : `Are these millimetres, not ${unit}? Then name the columns copx_mm, copy_mm, copz_mm and write "unit: mm"; else correct that row, or leave its cells empty.`),
    { file, line, distanceM, limitM },
  );

const shortNumber = (value: number): string => String(Number(value.toPrecision(3)));

// A lifter that cannot be

export const segmentOutsideHumanRange = (
  file: string,
  segment: string,
  lengthM: number,
  lowM: number,
  highM: number,
  source: 'points' | 'views',
  units: { readonly stated: string; readonly meant: string } | null,
) =>
  new DataError(
    'segment-outside-human-range',
    `${file}: the ${segment} measures ${Number(lengthM.toPrecision(3))} m, and humans' lie between ${lowM} and ${highM} m. ` +
      scaleRemedy(source, units),
    { file, segment, lengthM, lowM, highM, unit: units?.meant ?? '' },
  );

function scaleRemedy(source: 'points' | 'views', units: { stated: string; meant: string } | null): string {
  if (source === 'views') {
    return "Check the rig's scale (square size or control points in metres) and that each view names its own camera.";
  }
  if (units === null) return 'Check the unit, and whether two landmark names are exchanged.';
  return `Are the coordinates in ${units.meant}, not ${units.stated}? Then write "unit: ${units.meant}" under landmarks_3d (a C3D file states its own in POINT:UNITS).`;
}

export const upsideDownAxes = (file: string, part: string, heightM: number, source: 'points' | 'views') =>
  new DataError(
    'upside-down-axes',
    `${file}: the ${part} lie ${Math.abs(heightM).toFixed(2)} m below the ankles (median of the recording): up points down. ` +
      (source === 'points'
        ? 'Turn the sign of axes.up under landmarks_3d or c3d.'
        : "Turn the rig's world so that Y points up, or check that pixel rows count downward."),
    { file, part, heightM },
  );

export const sidewaysAxes = (file: string, part: string, heightM: number, limitM: number, source: 'points' | 'views') =>
  new DataError(
    'sideways-axes',
    `${file}: the ${part} are only ${heightM.toFixed(2)} m above the ankles (median of the recording; limit ${limitM} m): the up axis does not point up. ` +
      (source === 'points' ? 'Correct axes under landmarks_3d or c3d.' : "Turn the rig's world so that Y points up."),
    { file, part, heightM, limitM },
  );

export const markersExchanged = (file: string, what: string, names: readonly string[]) =>
  new DataError(
    'markers-exchanged',
    `${file}: ${what} are exchanged: by the joints, ${names.join(' and ')} stand for each other. ` +
      'Exchange the two names; if all markers of the pelvis, knees or ankles are so, exchange all.',
    { file, what, names: names.join(', ') },
  );

export const markerFarFromJoint = (
  file: string,
  marker: string,
  joint: string,
  distanceM: number,
  limitM: number,
  nearOther: boolean,
) =>
  new DataError(
    'marker-far-from-joint',
    `${file}: ${marker} lies ${shortNumber(distanceM)} m from ${joint} (median of the recording; limit ${limitM} m). ` +
      (nearOther
        ? 'It lies beside the joint of the other side: exchange left and right in the names of the markers.'
        : 'Are its coordinates in another unit than those of the joints, or is its name that of another marker?'),
    { file, marker, joint, distanceM, limitM },
  );

export const mirroredSides = (
  file: string,
  part: string,
  evidence: 'feet' | 'knees' | 'nose',
  source: 'points' | 'views',
) =>
  new DataError(
    'mirrored-sides',
    `${file}: left and right are exchanged: the right ${part} is on the left of where the ${evidence} point. ` +
      (source === 'points'
        ? 'Exchange the names left_ and right_, or the sign of one horizontal axis if the file is left-handed.'
        : 'Was the video mirrored (front camera), or are two views exchanged? Give the unmirrored keypoints, each under its own camera.'),
    { file, part, evidence },
  );
