import { dirname, resolve } from 'node:path';
import { DataError } from '../errors.ts';
import { duplicateRecordingId, noMatch, notARecordingOfStudy, wrongManifest } from '../messages/capture.ts';
import { studyComparison } from './comparison-file.ts';
import { byCodeUnit, matchFiles } from './file-pattern.ts';
import { besideFile } from './input-file.ts';
import { checkManifest, readManifest } from './manifest.ts';
import { type AnalysisSettings, DEFAULT_SETTINGS, type Recording, type Study } from './recording.ts';
import { readRecordingFile } from './recording-file.ts';
import { studyJsonSchema, studySchema } from './schema.ts';
import { applySettings } from './settings.ts';
import { checkAthletes, type StatedCard, studyRemarks } from './study-remarks.ts';

/**
 * Reads `study.yaml` and checks every recording file it lists (not the files those name): a misspelt recording is found
 * before hours of work. Names that differ only in the case of letters count as equal, since each becomes a folder.
 */
export function loadStudy(file: string): Study {
  const manifest = readManifest(file, null);
  if (manifest.contents.recording !== undefined && manifest.contents.study === undefined) {
    throw wrongManifest(file, 'recording', 'study');
  }
  const contents = checkManifest(manifest, studySchema, studyJsonSchema);
  const settings = applySettings({ ...DEFAULT_SETTINGS, seed: contents.seed ?? 1 }, contents.settings);
  const namedBy = new Map<string, number>();
  const recordings = contents.recordings.flatMap((pattern, index) => {
    const found = matchFiles(dirname(file), pattern).filter((path) => resolve(path) !== resolve(file));
    if (found.length === 0) throw noMatch(file, manifest.lineOf(['recordings', index]), pattern);
    for (const path of found) if (!namedBy.has(path)) namedBy.set(path, index);
    return found;
  });
  const unique = [...new Set(recordings)].sort(byCodeUnit);
  const fileOfId = new Map<string, string>();
  const conditions = new Set<string>();
  const stated: StatedCard[] = [];
  for (const path of unique) {
    const { id, date, athlete, lift, load, shoes, condition } = recordingOf(path, settings, (found) => {
      const index = namedBy.get(path)!;
      return notARecordingOfStudy(file, manifest.lineOf(['recordings', index]), contents.recordings[index], found);
    });
    const other = fileOfId.get(id.toLowerCase());
    if (other !== undefined) throw duplicateRecordingId(file, id, other, path);
    fileOfId.set(id.toLowerCase(), path);
    for (const name of Object.keys(condition)) conditions.add(name);
    stated.push({ file: path, card: { id, date, athlete, lift, load, shoes, condition } });
  }
  checkAthletes(stated);
  const remarks = studyRemarks(stated);
  return {
    file,
    id: contents.study,
    title: contents.title ?? contents.study,
    synthetic: contents.synthetic ?? false,
    seed: settings.seed,
    recordings: unique,
    ...(contents.findings !== undefined && { findings: besideFile(file, contents.findings) }),
    ...(contents.comparison && {
      comparison: studyComparison(contents.comparison, conditions, manifest.lineOf),
    }),
    ...(contents.comparison?.curves?.some(({ levels }) => levels !== undefined) && {
      cards: stated.map(({ card }) => card),
    }),
    ...(remarks.length > 0 && { remarks }),
    settings,
  };
}

/** @param inStudy what is said of a file that is no recording: the pattern is at fault then, and not the file that it names */
function recordingOf(path: string, settings: AnalysisSettings, inStudy: (found: DataError) => DataError): Recording {
  try {
    return readRecordingFile(path, settings, null);
  } catch (error) {
    throw error instanceof DataError && error.code === 'wrong-manifest' ? inStudy(error) : error;
  }
}

/** Whether a file is a recording, a study or a rig, by what it calls itself; null where it is none of them. */
export function manifestKind(file: string): 'recording' | 'study' | 'rig' | null {
  const { contents } = readManifest(file, null);
  if (contents.study !== undefined) return 'study';
  if (contents.kind === 'camera rig') return 'rig';
  return contents.recording !== undefined ? 'recording' : null;
}
