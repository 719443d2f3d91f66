import { DataError, UsageError } from '../errors.ts';

/** `holder`: what runs there, in words; `lock`: its file. */
export const studyLocked = (folder: string, holder: string, lock: string) =>
  new DataError(
    'study-locked',
    `${folder}: ${holder} is writing there, and two runs would mix their results. Wait for it, or choose another folder with --out. (${lock})`,
    { folder, lock },
  );

export const studyLockedElsewhere = (folder: string, holder: string, host: string, lock: string) =>
  new DataError(
    'study-locked-elsewhere',
    `${folder}: ${holder} on the computer ${host} holds this folder, and whether it still runs cannot be seen from here. ` +
      `Wait for it; if it is known to have ended (the computer was switched off, the job was killed), remove ${lock} and run again.`,
    { folder, host, lock },
  );

/** `input`: the same file as the study or recording names it. */
export const outputIsInput = (path: string, input: string) =>
  new DataError(
    'output-is-input',
    `${path}: ${path === input ? 'this file is read for the analysis' : `this is ${input}, which is read for the analysis`}, ` +
      'and a result would be written over it. Nothing was written. Choose another --out.',
    { file: path, input },
  );

export const outputIsForeign = (path: string) =>
  new DataError(
    'output-is-foreign',
    `${path}: a result goes there, and the file that stands there was not written by Kneeward (no record of this folder names it). ` +
      'Nothing was written. Choose another --out, or move the file away.',
    { file: path },
  );

type Held = 'study' | 'recording';

export const outputOfAnother = (folder: string, held: Held, heldId: string, wanted: Held, wantedId: string) =>
  new DataError(
    'output-of-another',
    `${folder}: this folder holds the results of the ${held} "${heldId}", and this is the ${wanted} "${wantedId}". Nothing was written. ` +
      `Choose another --out${wanted === 'study' ? ', or let kneeward study --fresh replace them' : ''}.`,
    { folder, held: heldId, wanted: wantedId },
  );

export const earlierResultStays = (folder: string) =>
  `  The result in ${folder} is of an earlier run; it stays, and is in no table.`;

export const inputChangedMeanwhile = (recording: string) =>
  new DataError(
    'input-changed-meanwhile',
    `${recording}: one of its files was changed while it was analysed, so that the result would belong to neither version. Run the command again.`,
    { recording },
  );

export const keptDamaged = (recording: string, file: string) =>
  new DataError(
    'kept-result-damaged',
    `${recording}: ${file} is not as it was written (changed, or lost when the computer went down). The recording was marked as ` +
      'not analysed: run the command again, and it is computed anew.',
    { recording, file },
  );

/** How a result differs from what it would be made of now. */
export const liftDifferences = {
  setting: (name: string, then: string, now: string) => `${name} was ${then} and is ${now}`,
  changedInput: (file: string) => `${file} was changed`,
  newInput: (file: string) => `${file} was not used`,
  noInput: (file: string) => `${file} is used no more`,
  program: (then: string, now: string) =>
    then === now ? 'the program was changed' : `it was version ${then} of the program and is ${now}`,
  results: () => 'files of its result were removed or cut',
};

/** `difference`: from when it was analysed; '' where no more is known, null where it never was. */
export const recordingMissing = (recording: string, difference: string | null) =>
  difference === null
    ? `Missing: ${recording}: not analysed yet.`
    : `Missing: ${recording}: not as it was analysed: ${difference || 'its files, settings or the program changed'}.`;

export const recordingsMissing = (missing: number, total: number) =>
  `${missing} of ${total} recordings are missing in the tables; they are named above. Run the parts they belong to, then --merge again.`;

export const nothingToMerge = (file: string, count: number) =>
  new DataError(
    'nothing-to-merge',
    `${file}: none of its ${count} recordings has been analysed in this folder as it is now; no table was written. Run its parts first, with the same options.`,
    { file, count },
  );

export const noRecordingInPart = (part: number, of: number, count: number) =>
  `Part ${part} of ${of} has no recording: the study has ${count}.`;

export const partDone = (part: number, of: number, analysed: number, unchanged: number, failed: number) =>
  `Part ${part} of ${of}: ${analysed} recordings analysed, ${unchanged} unchanged, ${failed} failed. When all parts are through, --merge makes the tables.`;

export const recordingsUnchanged = (unchanged: number, total: number) =>
  `${unchanged} of ${total} recordings are unchanged since they were analysed in this folder, and are not computed again.`;

export const processEnded = (recording: string, how: string) =>
  new DataError(
    'process-ended',
    `${recording}: the process that analysed it ended (${how}). Was the memory full? Fewer --workers need less; run the command again.`,
    { recording, how },
  );

export const recordingUnforeseen = (recording: string, cause: string) =>
  `${recording}: Kneeward met an error it does not know: ${cause}. This is a fault of the program and not of the file; KNEEWARD_DEBUG=1 shows where it happened`;

export const studyInterrupted = () =>
  'Stopped. What was finished is kept: the same command goes on from there, --fresh starts anew.';

export const timeLeft = (seconds: number): string => {
  if (!Number.isFinite(seconds)) return '';
  const minutes = Math.ceil(seconds / 60);
  if (seconds < 90) return `, about ${Math.ceil(seconds)} s left`;
  return minutes < 90 ? `, about ${minutes} min left` : `, about ${(seconds / 3600).toFixed(1)} h left`;
};

/** What a run does, as another one is told. */
export const runInWords = (part: number | null, of: number | null, pid: number) =>
  part === null ? `another run (process ${pid})` : `a run of part ${part} of ${of} (process ${pid})`;

const usage = (text: string) => new UsageError('usage', text);

export const partNeedsBoth = () =>
  usage('--part and --of belong together: --part 3 --of 8 analyses the third of eight.');

export const partBeyond = (part: number, of: number) =>
  usage(`--part ${part} --of ${of}: the part must be a whole number from 1 to ${of}.`);

export const partOrMerge = () => usage('--part analyses, --merge only makes the tables: leave one of them out.');

export const mergeNotFresh = () =>
  usage('--merge computes no recording, so --fresh has nothing to do: leave one of them out.');

export const studyNeeded = (file: string) =>
  new DataError(
    'study-needed',
    `${file}: this is no study. A study file has "study:" and "recordings:"; kneeward analyse takes a single recording.`,
    { file },
  );
