import { DataError, UsageError } from '../errors.ts';

/** What the operating system's codes mean to somebody who only wants the results. */
const WRITE_FAULTS: Readonly<Record<string, string>> = {
  EACCES: 'there is no permission to write there',
  EPERM: 'there is no permission to write there',
  EROFS: 'this disk can only be read',
  ENOSPC: 'the disk is full',
  EDQUOT: 'the disk quota is used up',
  EEXIST: 'a file stands where a folder must be',
  ENOTDIR: 'a file stands where a folder must be',
  EISDIR: 'a folder stands where a file must be',
  ENAMETOOLONG: 'the name is too long',
  ENOENT: 'no folder can be made there',
};

/** `code`: of the operating system; `path`: the file or folder at which writing failed. */
export const outputNotWritable = (folder: string, code: string, path: string) =>
  new DataError(
    'output-not-writable',
    `${folder}: the results could not be written: ${path}: ${WRITE_FAULTS[code] ?? `the system refused it (${code})`}. ` +
      'Nothing was left half-written. Choose another place with --out, or make room there.',
    { folder, path, reason: code },
  );

export const drawsWithoutIntervals = () =>
  usage('--draws and --no-intervals exclude each other: draws are made for intervals. Leave one of them out.');

export const rigIsNotARecording = (file: string) =>
  new DataError(
    'rig-is-not-a-recording',
    `${file}: this is a rig, and a recording or a study file is needed. Name the rig under "rig:" in the recording file, and give that.`,
    { file },
  );

export const unknownKindOfFile = (file: string) =>
  new DataError(
    'unknown-kind-of-file',
    `${file}: this is neither a recording (it would have "recording:" and "athlete:"), nor a study ("study:" and "recordings:"), ` +
      'nor a rig ("kind": "camera rig"). See docs/method/capture.md for the three kinds.',
    { file },
  );

/** `earlier`: the output folder where tables of an earlier run stand in it; null where none do. */
export const noRecordingAnalysed = (file: string, count: number, earlier: string | null) =>
  new DataError(
    'no-recording-analysed',
    `${file}: none of its ${count} recordings could be analysed; the reasons stand above. ` +
      (earlier === null
        ? 'Nothing was written.'
        : `No table was written: those in ${earlier} are of an earlier run, and not of the files as they are now.`),
    { file, count, earlier: earlier ?? '' },
  );

export const demoDataMissing = (folder: string) =>
  new DataError(
    'demo-data-missing',
    `${folder}: the demo study is not there. It belongs to the package; install Kneeward again or clone it whole.`,
    { folder },
  );

export const usage = (text: string) => new UsageError('usage', text);

/** What is printed when something happens that no message foresaw; the details go into a bug report, not onto the screen. */
export const unforeseen = (cause: string) =>
  `Kneeward met an error it does not know: ${cause}\nThis is a fault of the program and not of your files. ` +
  'Run the command again with KNEEWARD_DEBUG=1 to see where it happened, and report it with that text.';

export const rigWritten = (file: string) => `Rig written to ${file}. Name it under "rig:" in a recording file.`;

export const recordingNotAnalysed = (message: string) => `Not analysed: ${message}`;

export const resultsWritten = (folder: string, page: string, seconds: number) =>
  `Results in ${folder} (${seconds.toFixed(1)} s). Open ${page} in a browser.`;

export const recordingsLeftOut = (failed: number, total: number) =>
  `${failed} of ${total} recordings could not be analysed; their messages stand above, and the results hold the others.`;

export const usedPoorly = (why: readonly string[]) =>
  `The file can be read, but its result will be graded poor: ${why.join('; ')}. ` +
  'Are offset_s, the rig and the names of the cameras right? Was a camera moved after calibration?';

export const viewsExchanged = (first: string, second: string, asNamedPx: number, exchangedPx: number) =>
  `The views of ${first} and ${second} are exchanged: as they are named the points miss by ${asNamedPx.toFixed(0)} px, exchanged by ${exchangedPx.toFixed(1)} px. Exchange the two keypoint files (or the two names) in the recording file, or the cameras' names in the rig.`;
