import { frameTime, nearestFrame } from '../capture/frame-time.ts';
import type { KeypointTrack } from '../capture/recording.ts';
import { SampleStatus } from '../capture/sample-status.ts';
import { keypointNeverMoves, reconstructionNotes, viewFrozen } from '../messages/reconstruction.ts';
import { FROZEN_LONGEST_S, FROZEN_SHARE, STUCK_TRAVEL_PX } from './limits.ts';

/** Fewest landmarks that can tell. Common practice, no source. */
const LEAST_LANDMARKS = 3;
/** A repeat counts as a stalled video only where another view moves in at least this share of its frames meanwhile. Common practice, no source. */
const LEAST_MOVING_ELSEWHERE = 0.5;

/** A picture is the same where this share of its landmarks repeats, another where less than the second does. Common practice, no source. */
const REPEATED_SHARE = 0.8;
const MOVED_SHARE = 0.5;

/** A frame against the one before. */
const UNKNOWN = 0;
const REPEATED = 1;
const MOVED = 2;

/**
 * The views without the frames in which a video stood still: nearly every keypoint repeats to the last digit while
 * another view goes on. Such frames are set missing, with a note; one stall of FROZEN_LONGEST_S, or more than FROZEN_SHARE of the
 * frames, is refused, and so is a keypoint of one view that never moves while another view sees it move.
 * Exact data of a lifter who stands still repeat in all views and stay.
 * Errors: view-frozen, keypoint-never-moves.
 */
export function withoutFrozenFrames(file: string, tracks: readonly KeypointTrack[], notes: string[]): KeypointTrack[] {
  const changes = tracks.map(changesOf);
  const thawed = tracks.map((track, v) => {
    if (!changes[v].includes(REPEATED)) return track;
    const frozen = frozenFrames(tracks, changes, v);
    const { total, longest } = runsOf(frozen);
    if (total === 0) return track;
    const longestS = longest / track.frameRateHz;
    const share = total / track.frames;
    if (longestS >= FROZEN_LONGEST_S || share > FROZEN_SHARE) {
      throw viewFrozen(file, track.camera, track.files, longestS, share, FROZEN_LONGEST_S, FROZEN_SHARE);
    }
    notes.push(reconstructionNotes.frozenFrames(track.camera, total, longestS));
    return without(track, frozen);
  });
  checkStuckKeypoints(file, thawed);
  return thawed;
}

/**
 * Per frame: REPEATED where nearly all landmarks seen before and now are in the same place to the last digit, MOVED where most
 * are elsewhere. Nearly all: the ends of the bar may come from a file of their own.
 */
function changesOf({ frames, landmarks, pixel, status }: KeypointTrack): Uint8Array {
  const count = landmarks.length;
  const changes = new Uint8Array(frames);
  for (let k = 1; k < frames; k++) {
    let both = 0;
    let same = 0;
    for (let s = k * count; s < (k + 1) * count; s++) {
      const before = s - count;
      if (status[s] !== SampleStatus.seen || status[before] !== SampleStatus.seen) continue;
      both++;
      if (pixel[2 * s] === pixel[2 * before] && pixel[2 * s + 1] === pixel[2 * before + 1]) same++;
    }
    if (both < LEAST_LANDMARKS) changes[k] = UNKNOWN;
    else if (same >= REPEATED_SHARE * both) changes[k] = REPEATED;
    else if (same < MOVED_SHARE * both) changes[k] = MOVED;
  }
  return changes;
}

/** Runs of repeats of view v during which some other view mostly moves. */
function frozenFrames(tracks: readonly KeypointTrack[], changes: readonly Uint8Array[], v: number): Uint8Array {
  const frozen = new Uint8Array(tracks[v].frames);
  for (let first = 0; first < frozen.length; first++) {
    if (changes[v][first] !== REPEATED) continue;
    let end = first;
    while (end < frozen.length && changes[v][end] === REPEATED) end++;
    const goesOn = tracks.some((other, o) => {
      if (o === v) return false;
      const from = Math.max(0, nearestFrame(other, frameTime(tracks[v], first - 1)));
      const to = Math.min(other.frames - 1, nearestFrame(other, frameTime(tracks[v], end - 1)));
      let moved = 0;
      for (let k = from + 1; k <= to; k++) if (changes[o][k] === MOVED) moved++;
      return to > from && moved >= LEAST_MOVING_ELSEWHERE * (to - from);
    });
    if (goesOn) frozen.fill(1, first, end);
    first = end;
  }
  return frozen;
}

function runsOf(flags: Uint8Array): { total: number; longest: number } {
  let total = 0;
  let longest = 0;
  let run = 0;
  for (const flag of flags) {
    run = flag === 1 ? run + 1 : 0;
    total += flag;
    if (run > longest) longest = run;
  }
  return { total, longest };
}

function without(track: KeypointTrack, frames: Uint8Array): KeypointTrack {
  const { pixel } = track;
  const count = track.landmarks.length;
  const status = track.status.slice();
  for (let s = 0; s < status.length; s++) {
    const isRepeat = pixel[2 * s] === pixel[2 * (s - count)] && pixel[2 * s + 1] === pixel[2 * (s - count) + 1];
    if (frames[Math.floor(s / count)] === 1 && isRepeat) status[s] = SampleStatus.occluded;
  }
  return { ...track, status };
}

/** A keypoint that never changes in one view while it wanders in another. */
function checkStuckKeypoints(file: string, tracks: readonly KeypointTrack[]): void {
  for (const track of tracks) {
    track.landmarks.forEach((landmark, column) => {
      const own = travelPx(track, column);
      if (own.seen < 2 || own.px > 0) return;
      for (const other of tracks) {
        const there = other === track ? -1 : other.landmarks.indexOf(landmark);
        if (there < 0) continue;
        const { px } = travelPx(other, there);
        if (px > STUCK_TRAVEL_PX) throw keypointNeverMoves(file, track.camera, track.files, landmark, other.camera, px);
      }
    });
  }
}

/** Diagonal of the box that holds a track, px, and the frames it is seen in. */
function travelPx({ frames, landmarks, pixel, status }: KeypointTrack, column: number): { px: number; seen: number } {
  let left = Number.POSITIVE_INFINITY;
  let right = Number.NEGATIVE_INFINITY;
  let top = Number.POSITIVE_INFINITY;
  let bottom = Number.NEGATIVE_INFINITY;
  let seen = 0;
  for (let k = 0; k < frames; k++) {
    const s = k * landmarks.length + column;
    if (status[s] !== SampleStatus.seen) continue;
    seen++;
    const u = pixel[2 * s];
    const v = pixel[2 * s + 1];
    if (u < left) left = u;
    if (u > right) right = u;
    if (v < top) top = v;
    if (v > bottom) bottom = v;
  }
  return { px: seen === 0 ? 0 : Math.hypot(right - left, bottom - top), seen };
}
