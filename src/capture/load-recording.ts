import { dirname } from 'node:path';
import { duplicateForcePlate, forcePlateNoOverlap, identicalViews, unequalFrameCounts } from '../messages/capture.ts';
import { viewLengthsUnequal } from '../messages/video.ts';
import { readForcePlate } from './force-plate-csv.ts';
import { frameTime } from './frame-time.ts';
import { InputLedger } from './input-file.ts';
import { readJson } from './json-file.ts';
import { checkPoints } from './point-checks.ts';
import { readPoints } from './points-csv.ts';
import {
  DEFAULT_SETTINGS,
  type ForcePlateTrack,
  type KeypointTrack,
  type PointTrack,
  type Recording,
  type RecordingData,
  type Study,
} from './recording.ts';
import { readRecordingFile } from './recording-file.ts';
import { readView } from './view-track.ts';

/**
 * Reads a recording file and every file it names: keypoints of each view (or 3D points), rig, force plates. Paths are taken
 * from the recording file's folder. Settings: defaults, overridden by the study's, overridden by the recording's own.
 * A recording of a synthetic study is synthetic. Throws a DataError at the first fault. The rig's contents are not looked at.
 */
export function loadRecording(file: string, study?: Study): RecordingData {
  const ledger = new InputLedger(dirname(file));
  const read = readRecordingFile(file, study?.settings ?? DEFAULT_SETTINGS, ledger);
  const recording: Recording = { ...read, synthetic: read.synthetic || (study?.synthetic ?? false) };
  const { source } = recording;
  const tracks = source.kind === 'views' ? readViews(recording, ledger) : null;
  const rigJson = source.kind === 'views' ? readJson(source.rig, ledger) : null;
  const points = source.kind === 'landmarks_3d' ? readPoints(source, ledger) : null;
  if (points) checkPoints(points);
  const forcePlates = readForcePlates(recording, tracks, points, ledger);
  return { recording, tracks, rigJson, points, forcePlates, inputs: ledger.list() };
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
  ledger: InputLedger,
): ForcePlateTrack[] {
  const [from, to] = timeSpan(tracks, points);
  return recording.forcePlates.map((source, index) => {
    const earlier = recording.forcePlates.findIndex((other) => other.file === source.file);
    if (earlier !== index) throw duplicateForcePlate(recording.file, source.file);
    const track = readForcePlate(source, ledger);
    const first = track.timeS[0];
    const last = track.timeS[track.samples - 1];
    if (last < from || first > to) throw forcePlateNoOverlap(source.file, first, last, from, to);
    return track;
  });
}

/** First and last instant of the frames on the common clock, seconds. */
function timeSpan(tracks: readonly KeypointTrack[] | null, points: PointTrack | null): [number, number] {
  if (points) return [0, (points.frames - 1) / points.frameRateHz];
  const starts = (tracks ?? []).map((track) => track.offsetS);
  const ends = (tracks ?? []).map((track) => frameTime(track, track.frames - 1));
  return [Math.min(...starts), Math.max(...ends)];
}
