import type { Camera, CameraRig } from '../cameras/rig.ts';
import { MOMENT_LANDMARKS } from '../capture/landmarks.ts';
import type { KeypointTrack } from '../capture/recording.ts';
import { SampleStatus } from '../capture/sample-status.ts';
import {
  cameraNamedTwice,
  cameraNotInRig,
  keypointsOutsideImage,
  lifterHardlySeen,
  reconstructionNotes,
  tooFewViews,
} from '../messages/reconstruction.ts';
import { OUTSIDE_IMAGE_SHARE, OUTSIDE_IMAGE_TOLERATED, SEEN_SHARE } from './limits.ts';

/**
 * The camera of each view, in the order of the views.
 * Errors: too-few-views, camera-not-in-rig, camera-named-twice.
 */
export function camerasOfViews(file: string, tracks: readonly KeypointTrack[], rig: CameraRig): Camera[] {
  if (tracks.length < 2) throw tooFewViews(file, tracks.length);
  const taken = new Set<string>();
  return tracks.map(({ camera: name }) => {
    const camera = rig.cameras.find((candidate) => candidate.name === name);
    if (camera === undefined) {
      throw cameraNotInRig(
        file,
        name,
        rig.cameras.map((known) => known.name),
      );
    }
    if (taken.has(name)) throw cameraNamedTwice(file, name);
    taken.add(name);
    return camera;
  });
}

/**
 * Refuses views that hardly see the lifter: fewer than two in which hips, knees, ankles and shoulders are seen in
 * SEEN_SHARE of the samples, between the first and the last frame in which one of them is. Views that name none of them, or see
 * nothing at all, are judged elsewhere.
 * Errors: lifter-hardly-seen.
 */
export function checkLifterSeen(file: string, tracks: readonly KeypointTrack[]): void {
  const shares = tracks.map(seenShare);
  const enough = shares.filter((share) => share === null || share >= SEEN_SHARE).length;
  if (enough >= 2) return;
  const worst = shares.reduce<number>((least, share, v) => ((share ?? 1) < (shares[least] ?? 1) ? v : least), 0);
  throw lifterHardlySeen(file, tracks[worst].camera, tracks[worst].files, shares[worst] ?? 0, SEEN_SHARE);
}

function seenShare({ frames, landmarks, status }: KeypointTrack): number | null {
  const columns = MOMENT_LANDMARKS.map((name) => landmarks.indexOf(name)).filter((column) => column >= 0);
  if (columns.length === 0 || !status.includes(SampleStatus.seen)) return null;
  let first = -1;
  let last = -1;
  let seen = 0;
  for (let k = 0; k < frames; k++) {
    for (const column of columns) {
      if (status[k * landmarks.length + column] !== SampleStatus.seen) continue;
      if (first < 0) first = k;
      last = k;
      seen++;
    }
  }
  return first < 0 ? 0 : seen / ((last - first + 1) * columns.length);
}

/**
 * The track with keypoints far outside its camera's image marked `outlier`. A detector may place a hidden joint a
 * little beyond the border; many keypoints far beyond it mean another image size or a crop.
 * Errors: keypoints-outside-image.
 */
export function insideImage(file: string, track: KeypointTrack, camera: Camera, notes: string[]): KeypointTrack {
  const { imageWidth: width, imageHeight: height } = camera;
  const marginX = OUTSIDE_IMAGE_SHARE * width;
  const marginY = OUTSIDE_IMAGE_SHARE * height;
  const extent = { left: Infinity, right: -Infinity, top: Infinity, bottom: -Infinity };
  const outside: number[] = [];
  let seen = 0;
  for (let i = 0; i < track.status.length; i++) {
    if (track.status[i] !== SampleStatus.seen) continue;
    const u = track.pixel[2 * i];
    const v = track.pixel[2 * i + 1];
    seen++;
    extent.left = Math.min(extent.left, u);
    extent.right = Math.max(extent.right, u);
    extent.top = Math.min(extent.top, v);
    extent.bottom = Math.max(extent.bottom, v);
    const isInside = u >= -marginX && u <= width + marginX && v >= -marginY && v <= height + marginY;
    if (!isInside) outside.push(i);
  }
  if (outside.length === 0) return track;
  const share = outside.length / seen;
  if (share > OUTSIDE_IMAGE_TOLERATED) {
    throw keypointsOutsideImage(file, track.camera, track.files, { width, height }, extent, share, {
      outside: OUTSIDE_IMAGE_SHARE,
      tolerated: OUTSIDE_IMAGE_TOLERATED,
    });
  }
  const status = track.status.slice();
  for (const i of outside) status[i] = SampleStatus.outlier;
  notes.push(reconstructionNotes.outsideImage(track.camera, outside.length, OUTSIDE_IMAGE_SHARE));
  return { ...track, status };
}
