import { frameTime } from '../capture/frame-time.ts';
import type { KeypointTrack } from '../capture/recording.ts';
import { SampleStatus } from '../capture/sample-status.ts';
import { median } from '../numerics/statistics.ts';
import { heightPx } from './picture-scale.ts';

/** A jump moves at least this share of the lifter's height in the picture, more the longer nothing was seen (heights/s). Common practice, no source. */
const JUMP_OF_HEIGHT = 0.2;
const TRAVEL_HEIGHTS_PER_S = 2;
/** Fewest landmarks, seen before and after, that say the person moved. Common practice, no source. */
const LEAST_LANDMARKS = 5;

/** Frames of a view that belong to someone else, from `first` up to, not including, `end`. */
export interface Elsewhere {
  readonly first: number;
  readonly end: number;
}

/** Frames in which most landmarks go on from where they were: a run ends where all leap together. */
interface Run extends Elsewhere {
  /** Frames with anything seen. */
  readonly seen: number;
}

/**
 * Stretches in which a view's track is on another person: the frames are cut into runs where the median shift of the
 * landmarks, frame to frame, is too large to be a movement. The longest run is the lifter; going out from it, a run belongs
 * to the lifter if it takes up where the last such run ended, else to someone else. An exchange of left and right is no
 * jump: its shifts cancel in the median.
 */
export function framesOfOthers(track: KeypointTrack): Elsewhere[] {
  const height = heightPx(track);
  if (!(height > 0)) return [];
  const runs = runsOf(track, height);
  if (runs.length < 2) return [];
  const main = runs.reduce((best, run, i) => (run.seen > runs[best].seen ? i : best), 0);
  const others: Elsewhere[] = [];
  let last = runs[main];
  for (let i = main + 1; i < runs.length; i++) {
    if (goesOn(track, last.end - 1, runs[i].first, height)) last = runs[i];
    else others.push({ first: runs[i].first, end: runs[i].end });
  }
  let next = runs[main];
  for (let i = main - 1; i >= 0; i--) {
    if (goesOn(track, runs[i].end - 1, next.first, height)) next = runs[i];
    else others.push({ first: runs[i].first, end: runs[i].end });
  }
  return others.sort((a, b) => a.first - b.first);
}

function runsOf(track: KeypointTrack, height: number): Run[] {
  const runs: Run[] = [];
  let first = -1;
  let last = -1;
  let seen = 0;
  for (let k = 0; k < track.frames; k++) {
    if (seenIn(track, k) < LEAST_LANDMARKS) continue;
    if (last >= 0 && !goesOn(track, last, k, height)) {
      runs.push({ first, end: last + 1, seen });
      first = -1;
      seen = 0;
    }
    if (first < 0) first = k;
    last = k;
    seen++;
  }
  if (first >= 0) runs.push({ first, end: last + 1, seen });
  return runs;
}

function seenIn({ landmarks, status }: KeypointTrack, frame: number): number {
  let seen = 0;
  for (let s = frame * landmarks.length; s < (frame + 1) * landmarks.length; s++) {
    if (status[s] === SampleStatus.seen) seen++;
  }
  return seen;
}

/** Whether the landmarks seen in both frames have on the whole moved no further than a person can. */
function goesOn(track: KeypointTrack, from: number, to: number, height: number): boolean {
  const { landmarks, pixel, status } = track;
  const count = landmarks.length;
  const limit =
    height * (JUMP_OF_HEIGHT + TRAVEL_HEIGHTS_PER_S * Math.abs(frameTime(track, to) - frameTime(track, from)));
  let near = 0;
  let both = 0;
  for (let l = 0; l < count; l++) {
    const a = from * count + l;
    const b = to * count + l;
    if (status[a] !== SampleStatus.seen || status[b] !== SampleStatus.seen) continue;
    both++;
    const du = pixel[2 * b] - pixel[2 * a];
    const dv = pixel[2 * b + 1] - pixel[2 * a + 1];
    if (du * du + dv * dv < limit * limit) near++;
  }
  // Enough points that stay near: no jump, and no median is needed.
  if (both < LEAST_LANDMARKS || 2 * near > both) return true;
  return Math.hypot(...medianShift(track, from, to)) < limit;
}

function medianShift({ landmarks, pixel, status }: KeypointTrack, from: number, to: number): [number, number] {
  const count = landmarks.length;
  const du: number[] = [];
  const dv: number[] = [];
  for (let l = 0; l < count; l++) {
    const a = from * count + l;
    const b = to * count + l;
    if (status[a] !== SampleStatus.seen || status[b] !== SampleStatus.seen) continue;
    du.push(pixel[2 * b] - pixel[2 * a]);
    dv.push(pixel[2 * b + 1] - pixel[2 * a + 1]);
  }
  return [median(du), median(dv)];
}
