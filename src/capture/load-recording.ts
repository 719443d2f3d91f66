import { dirname } from 'node:path';
import { DataError } from '../errors.ts';
import {
  duplicateForcePlate,
  fileMissingFor,
  forcePlateNoOverlap,
  identicalViews,
  unequalFrameCounts,
} from '../messages/capture.ts';
import { viewLengthsUnequal } from '../messages/video.ts';
import type { C3dFile } from './c3d/c3d-file.ts';
import { forcePlateFromC3d } from './c3d/c3d-force-plate.ts';
import { c3dUnit, pointsFromC3d } from './c3d/c3d-points.ts';
import { readC3d } from './c3d/read-c3d.ts';
import { type FindingsFile, readFindingsFile } from './findings-file.ts';
import { readForcePlate } from './force-plate-csv.ts';
import { frameTime } from './frame-time.ts';
import { besideFile, InputLedger } from './input-file.ts';
import { readJson } from './json-file.ts';
import { fieldName, fieldNaming, readManifest } from './manifest.ts';
import { checkPoints } from './point-checks.ts';
import { readPoints } from './points-csv.ts';
import {
  DEFAULT_SETTINGS,
  type ForcePlateSource,
  type ForcePlateTrack,
  type KeypointTrack,
  type PointsSource,
  type PointTrack,
  type Recording,
  type RecordingData,
  type Study,
} from './recording.ts';
import { readRecordingFile } from './recording-file.ts';
import { readView } from './view-track.ts';

/** A recording with the rules that its findings are made by. */
export interface LoadedRecording extends RecordingData {
  /** null: the built-in rules. */
  readonly findings: FindingsFile | null;
}

/**
 * Reads a recording file and every file it names: keypoints of each view (or 3D points), rig, force plates, rules for
 * findings. Paths are taken from the recording file's folder. Settings: defaults, overridden by the study's, overridden by
 * the recording's own; so are rules, and `findings` (a path) stands over all. A recording of a synthetic study is synthetic.
 * Throws a DataError at the first fault. The rig's contents are not looked at.
 */
export function loadRecording(file: string, study?: Study, findings?: string): LoadedRecording {
  try {
    return readAll(file, study, findings);
  } catch (error) {
    throw error instanceof DataError && error.code === 'file-missing' ? askedForBy(file, error) : error;
  }
}

/** Says which field of the recording file names a file that is not there. */
function askedForBy(file: string, missing: DataError): DataError {
  if (missing.facts.file === file) return missing;
  const manifest = readManifest(file, null);
  const field = fieldNaming(manifest, (value) => besideFile(file, value) === missing.facts.file);
  return field === null ? missing : fileMissingFor(file, manifest.lineOf(field), fieldName(field), missing);
}

function readAll(file: string, study: Study | undefined, findings: string | undefined): LoadedRecording {
  const ledger = new InputLedger(dirname(file));
  const read = readRecordingFile(file, study?.settings ?? DEFAULT_SETTINGS, ledger);
  const recording: Recording = { ...read, synthetic: read.synthetic || (study?.synthetic ?? false) };
  const { source } = recording;
  const tracks = source.kind === 'views' ? readViews(recording, ledger) : null;
  const rigJson = source.kind === 'views' ? readJson(source.rig, ledger) : null;
  const notes: string[] = [];
  const c3d = source.kind === 'landmarks_3d' && source.c3d ? readC3d(source.file, ledger) : null;
  const points = source.kind === 'landmarks_3d' ? pointsOf(source, c3d, ledger, notes) : null;
  if (points) checkPoints(points);
  const forcePlates = readForcePlates(recording, tracks, points, c3d, ledger, notes);
  const read3d = c3d && points ? withFileFacts(recording, c3d, points) : recording;
  const rules = findings ?? recording.findings ?? study?.findings ?? null;
  const own = rules === null ? null : readFindingsFile(rules, ledger);
  return { recording: read3d, tracks, rigJson, points, forcePlates, findings: own, inputs: ledger.list(), notes };
}

function pointsOf(source: PointsSource, c3d: C3dFile | null, ledger: InputLedger, notes: string[]): PointTrack {
  return c3d === null ? readPoints(source, ledger) : pointsFromC3d(c3d, source, notes);
}

/** The recording with the rates and the unit that only its C3D file states. */
function withFileFacts(recording: Recording, c3d: C3dFile, points: PointTrack): Recording {
  const source = recording.source as PointsSource;
  const unit = c3dUnit(c3d, source.c3d!.unit);
  return {
    ...recording,
    source: { ...source, frameRateHz: points.frameRateHz, unit },
    forcePlates: recording.forcePlates.map((forcePlate) =>
      forcePlate.c3d ? { ...forcePlate, frameRateHz: c3d.analog.rateHz, unit } : forcePlate,
    ),
  };
}

function readViews(recording: Recording, ledger: InputLedger): KeypointTrack[] {
  if (recording.source.kind !== 'views') return [];
  const { views } = recording.source;
  const tracks = views.map((view) => readView(view, recording.settings.minimumConfidence, ledger));
  const contents = views.map((view) => view.keypoints.map((path) => ledger.sha256(path)).join(' '));
  contents.forEach((digest, index) => {
    const other = contents.indexOf(digest);
    if (other !== index) throw identicalViews(recording.file, views[other].camera, views[index].camera);
  });
  if (!tracks.some((track) => track.offsetStated)) checkFrameCounts(recording.file, tracks);
  return tracks;
}

/** Views that run equally fast and start together end together; where they do not, somebody must say how they are shifted. */
function checkFrameCounts(file: string, tracks: readonly KeypointTrack[]): void {
  tracks.forEach((track, index) => {
    const other = tracks.slice(0, index).find((earlier) => earlier.frameRateHz === track.frameRateHz);
    if (!other) return;
    if (other.frameTimesS || track.frameTimesS) checkLengths(file, other, track);
    else if (other.frames !== track.frames) {
      throw unequalFrameCounts(file, other.camera, other.frames, track.camera, track.frames);
    }
  });
}

/** With time stamps the numbers of frames may differ, the lengths in time may not: by more than one and a half intervals. */
function checkLengths(file: string, other: KeypointTrack, track: KeypointTrack): void {
  const [otherS, lengthS] = [other, track].map((view) => frameTime(view, view.frames - 1) - view.offsetS);
  if (Math.abs(otherS - lengthS) * track.frameRateHz > 1.5) {
    throw viewLengthsUnequal(file, other.camera, otherS, track.camera, lengthS);
  }
}

function readForcePlates(
  recording: Recording,
  tracks: readonly KeypointTrack[] | null,
  points: PointTrack | null,
  c3d: C3dFile | null,
  ledger: InputLedger,
  notes: string[],
): ForcePlateTrack[] {
  const [from, to] = timeSpan(tracks, points);
  const names = recording.forcePlates.map(nameOf);
  return recording.forcePlates.map((source, index) => {
    if (names.indexOf(names[index]) !== index) throw duplicateForcePlate(recording.file, names[index]);
    const track =
      c3d && source.c3d
        ? forcePlateFromC3d(c3d, source, c3dUnit(c3d, (recording.source as PointsSource).c3d!.unit), notes)
        : readForcePlate(source, ledger, notes);
    const first = track.timeS[0];
    const last = track.timeS[track.samples - 1];
    if (last < from || first > to) throw forcePlateNoOverlap(track.file, first, last, from, to);
    const { soleThicknessM: soleM, heelHeightM: heelM } = recording.shoes;
    // Half the heel: the mean of sole and heel; a horizontal force of 3 % moves the point by 0.3 mm over the rest.
    return soleM == null ? track : { ...track, soleThicknessM: soleM + 0.5 * (heelM ?? 0) };
  });
}

const nameOf = ({ file, c3d }: ForcePlateSource): string => (c3d ? `${file}, force plate ${c3d.number}` : file);

/** First and last instant of the frames on the common clock, seconds. */
function timeSpan(tracks: readonly KeypointTrack[] | null, points: PointTrack | null): [number, number] {
  if (points) return [0, (points.frames - 1) / points.frameRateHz];
  const starts = (tracks ?? []).map((track) => track.offsetS);
  const ends = (tracks ?? []).map((track) => frameTime(track, track.frames - 1));
  return [Math.min(...starts), Math.max(...ends)];
}
