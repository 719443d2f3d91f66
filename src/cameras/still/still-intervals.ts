import { type BoardTrack, LONGEST_BLINK_S, medianShift } from './board-track.ts';

/** A stretch of one camera's looked-at frames in which the board stood still. */
export interface StillInterval {
  /** First and last sample, and their times on the camera's own clock, seconds. */
  readonly first: number;
  readonly last: number;
  readonly fromS: number;
  readonly toS: number;
}

/** Times that differ by less are equal: half a millisecond, below any frame interval. */
const SLACK_S = 5e-4;

/**
 * Stretches in which the board stands still: the union of all windows of `leastS` in which the corners stay within
 * `mostWobblePx` (median over the corners) of their place in the window's middle frame. The board must be found in every
 * frame looked at; frames more than LONGEST_BLINK_S apart end a stretch.
 */
export function stillIntervals(track: BoardTrack, leastS: number, mostWobblePx: number): StillInterval[] {
  const { timesS, corners } = track;
  const found: { first: number; last: number }[] = [];
  let last = 0;
  for (let first = 0; first < timesS.length; first++) {
    last = Math.max(last, first);
    while (last < timesS.length && timesS[last] - timesS[first] < leastS - SLACK_S) last++;
    if (last === timesS.length) break;
    if (last === first || !isStill(timesS, corners, first, last, mostWobblePx)) continue;
    const open = found.at(-1);
    if (open && first <= open.last) open.last = last;
    else found.push({ first, last });
  }
  return found.map((run) => ({ ...run, fromS: timesS[run.first], toS: timesS[run.last] }));
}

function isStill(
  timesS: Float64Array,
  corners: BoardTrack['corners'],
  first: number,
  last: number,
  mostWobblePx: number,
): boolean {
  const middle = corners[(first + last) >> 1];
  for (let i = first; i <= last; i++) {
    const here = corners[i];
    if (!middle || !here) return false;
    if (i > first && timesS[i] - timesS[i - 1] > LONGEST_BLINK_S) return false;
    if (!(medianShift(middle, here) <= mostWobblePx)) return false;
  }
  return true;
}

/**
 * Speed at which the board creeps in samples `first` … `last`, px/s: root mean square over the corners of the slope of a
 * line through (time, place). Corners missing in one of the frames do not count; NaN without any.
 */
export function creepSpeed({ timesS, corners }: BoardTrack, first: number, last: number): number {
  let meanS = 0;
  for (let i = first; i <= last; i++) meanS += timesS[i] / (last - first + 1);
  let spread = 0;
  for (let i = first; i <= last; i++) spread += (timesS[i] - meanS) ** 2;
  let sum = 0;
  let count = 0;
  for (let o = 0; o < (corners[first]?.length ?? 0); o += 2) {
    let u = 0;
    let v = 0;
    for (let i = first; i <= last; i++) {
      u += (timesS[i] - meanS) * (corners[i]?.[o] ?? Number.NaN);
      v += (timesS[i] - meanS) * (corners[i]?.[o + 1] ?? Number.NaN);
    }
    if (!Number.isFinite(u + v)) continue;
    sum += (u * u + v * v) / spread ** 2;
    count++;
  }
  return Math.sqrt(sum / count);
}
