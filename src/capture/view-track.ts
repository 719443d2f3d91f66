import {
  framesBeyondStated,
  keypointFileKind,
  keypointsNormalised,
  landmarkTwice,
  noConfidentLandmark,
} from '../messages/capture.ts';
import { frameTimesCount, frameTimesTooFew } from '../messages/video.ts';
import { readFrameTimes } from './frame-times-csv.ts';
import type { InputLedger } from './input-file.ts';
import { readKeypointCsv } from './keypoint-csv.ts';
import { readKeypointJson } from './keypoint-json.ts';
import type { KeypointSamples } from './keypoint-samples.ts';
import { LANDMARKS, type Landmark } from './landmarks.ts';
import type { KeypointTrack, ViewSource } from './recording.ts';
import { SampleStatus } from './sample-status.ts';

/** Reads the keypoint files of one view and joins them into one track; samples below `minimumConfidence` lose their place. */
export function readView(view: ViewSource, minimumConfidence: number, ledger: InputLedger | null): KeypointTrack {
  const files = view.keypoints.map((path) => readKeypoints(path, view.firstImageId ?? 0, ledger));
  const owner = landmarkOwners(files);
  const landmarks = LANDMARKS.filter((name) => owner.has(name));
  const frameTimesS = view.frameTimes ? readFrameTimes(view.frameTimes, view.frameRateHz, ledger) : null;
  const frames = frameCount(view, files, frameTimesS);
  const pixel = new Float64Array(2 * frames * landmarks.length).fill(Number.NaN);
  const confidence = new Float64Array(frames * landmarks.length);
  const status = new Uint8Array(frames * landmarks.length).fill(SampleStatus.occluded);
  landmarks.forEach((name, to) => {
    const file = owner.get(name)!;
    const from = file.landmarks.indexOf(name);
    for (let frame = 0; frame < file.frames; frame++) {
      const source = frame * file.landmarks.length + from;
      const sample = frame * landmarks.length + to;
      confidence[sample] = file.confidence[source];
      if (Number.isNaN(file.pixel[2 * source])) continue;
      const seen = confidence[sample] >= minimumConfidence;
      status[sample] = seen ? SampleStatus.seen : SampleStatus.lowConfidence;
      if (!seen) continue;
      pixel[2 * sample] = file.pixel[2 * source];
      pixel[2 * sample + 1] = file.pixel[2 * source + 1];
    }
  });
  const track: KeypointTrack = {
    camera: view.camera,
    files: view.keypoints,
    frameRateHz: view.frameRateHz,
    offsetS: view.offsetS ?? 0,
    offsetStated: view.offsetS !== null,
    readoutS: view.readoutS ?? 0,
    frames,
    ...(frameTimesS ? { frameTimesS } : {}),
    landmarks,
    pixel,
    confidence,
    status,
  };
  checkSeen(track, minimumConfidence);
  return track;
}

function readKeypoints(path: string, firstImageId: number, ledger: InputLedger | null): KeypointSamples {
  const name = path.toLowerCase().replace(/\.gz$/, '');
  if (name.endsWith('.json')) return readKeypointJson(path, firstImageId, ledger);
  if (name.endsWith('.csv')) return readKeypointCsv(path, ledger);
  throw keypointFileKind(path);
}

/** Which file gives which landmark; one landmark from two files is refused. */
function landmarkOwners(files: readonly KeypointSamples[]): Map<Landmark, KeypointSamples> {
  const owner = new Map<Landmark, KeypointSamples>();
  for (const file of files) {
    for (const landmark of file.landmarks) {
      const other = owner.get(landmark);
      if (other) throw landmarkTwice(landmark, other.file, file.file);
      owner.set(landmark, file);
    }
  }
  return owner;
}

/** As many frames as are stated, or have a time; else up to the last one in the files. */
function frameCount(view: ViewSource, files: readonly KeypointSamples[], timesS: Float64Array | null): number {
  const longest = files.reduce((a, b) => (b.frames > a.frames ? b : a));
  if (timesS && view.frames && view.frames !== timesS.length) {
    throw frameTimesCount(view.frameTimes!, timesS.length, view.frames);
  }
  if (timesS) {
    if (longest.frames <= timesS.length) return timesS.length;
    throw frameTimesTooFew(view.frameTimes!, timesS.length, longest.file, longest.frames - 1);
  }
  const stated = view.frames ?? null;
  if (stated !== null && longest.frames > stated) throw framesBeyondStated(longest.file, longest.frames - 1, stated);
  return stated ?? longest.frames;
}

function checkSeen(track: KeypointTrack, minimumConfidence: number): void {
  let best = 0;
  let farthest = 0;
  let seen = 0;
  for (let sample = 0; sample < track.status.length; sample++) {
    best = Math.max(best, track.confidence[sample]);
    if (track.status[sample] !== SampleStatus.seen) continue;
    seen++;
    farthest = Math.max(farthest, Math.abs(track.pixel[2 * sample]), Math.abs(track.pixel[2 * sample + 1]));
  }
  if (seen === 0) throw noConfidentLandmark(track.files.join(', '), track.camera, best, minimumConfidence);
  // A lifter who fills two pixels of an image cannot be measured: these are shares of the image size.
  if (farthest <= 2) throw keypointsNormalised(track.files.join(', '), track.camera, farthest);
}
