import { DataError, UsageError } from '../errors.ts';

export const outputNotWritable = (folder: string, cause: string) =>
  new DataError(
    'output-not-writable',
    `${folder}: the results could not be written (${cause}). Nothing was left half-written. Choose another folder with --out, or make room there.`,
    { folder },
  );

export const unknownKindOfFile = (file: string) =>
  new DataError(
    'unknown-kind-of-file',
    `${file}: this is neither a recording (it would have "recording:" and "athlete:"), nor a study ("study:" and "recordings:"), ` +
      'nor a rig ("kind": "camera rig"). See docs/method/capture.md for the three kinds.',
    { file },
  );

export const noRecordingAnalysed = (file: string, count: number) =>
  new DataError(
    'no-recording-analysed',
    `${file}: none of its ${count} recordings could be analysed; the reasons stand above. Nothing was written.`,
    { file, count },
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
