import { smallIgnored, walkIgnored } from '../messages.ts';
import { mean } from '../numerics/statistics.ts';
import { highestFrame, lowestFrame } from './extrema.ts';
import type { Completeness, FrameRange, RepetitionOrder } from './lift-record.ts';
import { feetLeave, type LiftSignal } from './lift-signal.ts';
import {
  NEAR_TOP_SHARE,
  ONSET_MARK_SHARE,
  ONSET_PER_MARKS,
  PHASE_SHARE,
  PROMINENCE_SHARE,
  REST_SHARE,
  SLOW_START_STEP_S,
  STANDING_WINDOW_S,
} from './limits.ts';

/** A repetition by its heights, before it is judged. Heights in metres. */
export interface Candidate {
  readonly order: RepetitionOrder;
  readonly descent: FrameRange | null;
  readonly ascent: FrameRange | null;
  readonly bottomFrame: number;
  readonly topFrame: number;
  /** Height of the top above the bottom, m. */
  readonly dropM: number;
  /** Share of the drop that the ascent wins back, 1: 1 and a little more or less is a stand. */
  readonly regained: number;
  readonly endsBy: 'standing' | 'falling back' | 'next descent' | 'end of recording';
  /** Highest frame of the ascent. */
  readonly peakFrame: number;
}

export interface Candidates {
  readonly candidates: readonly Candidate[];
  /** Notes on what was seen and not counted. */
  readonly ignored: readonly string[];
}

export interface Verdict {
  readonly completeness: Completeness;
  readonly reason: string;
}

/** The far end of a slope, and where the phase begins or ends beside it. */
export interface SlopeEnd {
  /** Where the slope begins: the last frame of a rest, or the one nearest to the other end that is at its level. */
  readonly frame: number;
  /** Frame nearest to the other end that is still within PHASE_SHARE of the drop of its level: where the phase begins or ends. */
  readonly edge: number;
}

/**
 * The stand at the far end of a slope that leads from `bottom` to somewhere in [from, to): before it (to ≤ bottom) or
 * after it. Standing is looked for within STANDING_WINDOW_S of the top tenth of the drop only, so that a lifter who
 * stretches or steps long before the descent does not begin it; further only while the height is still rising there.
 */
export function topOfSlope(
  height: Float64Array,
  bottom: number,
  from: number,
  to: number,
  rateHz: number,
): SlopeEnd | null {
  const highest = highestFrame(height, from, to);
  if (highest < 0) return null;
  const step = highest < bottom ? -1 : 1;
  const far = step < 0 ? from : to - 1;
  const near = towards(height, bottom, far, height[highest] - NEAR_TOP_SHARE * (height[highest] - height[bottom]));
  const reach = Math.round(STANDING_WINDOW_S * rateHz);
  const within = (a: number, b: number) =>
    highestFrame(height, Math.max(from, Math.min(a, b)), Math.min(to, Math.max(a, b) + 1));
  let frame = within(near, near + step * reach);
  // Still rising where the window ends: a slow start. On to where it does not.
  if (frame === near + step * reach) {
    const further = step * Math.max(1, Math.round(SLOW_START_STEP_S * rateHz));
    let next = within(frame, frame + further);
    while (height[next] > height[frame]) {
      frame = next;
      next = within(frame, frame + further);
    }
  }
  const drop = height[frame] - height[bottom];
  // The highest frame of a level stand lies wherever noise puts it, and higher than the stand: its level is that of many frames.
  const [first, last] = [Math.max(from, frame - reach), Math.min(to, frame + reach + 1)];
  const level = Math.min(height[frame], restingHeight(height, frame, first, last, PHASE_SHARE * drop));
  const below = (share: number) => towards(height, bottom, far, level - share * (level - height[bottom]));
  const edge = below(PHASE_SHARE);
  const onset = edge + step * Math.ceil(ONSET_PER_MARKS * Math.abs(edge - below(ONSET_MARK_SHARE)));
  // A turn without a rest has no onset: the frame nearest to the slope that is at the level.
  const rests = height[onset] >= level - REST_SHARE * drop && step * (far - onset) >= 0;
  return { frame: rests ? onset : below(0), edge };
}

/**
 * Height at which the frames around `frame` rest that stay within `within` metres of it: mean of the closer half of them (the
 * shorth of Andrews et al. 1972, from memory). A slow start of the slope beside a stand is not in it.
 */
function restingHeight(height: Float64Array, frame: number, from: number, to: number, within: number): number {
  const [first, last] = stretchAround(height, frame, from, to, within);
  const sorted = height.slice(first, last + 1).sort();
  const half = Math.ceil(sorted.length / 2);
  let lowest = 0;
  for (let i = 1; i + half <= sorted.length; i++) {
    if (sorted[i + half - 1] - sorted[i] < sorted[lowest + half - 1] - sorted[lowest]) lowest = i;
  }
  return mean(sorted.subarray(lowest, lowest + half));
}

/**
 * The middle of the frames around a lowest one that stay within `within` metres of it: in a pause the lowest frame lies wherever
 * noise puts it. The lowest frame itself where points are missing beside them: it may lie among these.
 */
export function middleOfBottom(height: Float64Array, lowest: number, from: number, to: number, within: number): number {
  const [first, last] = stretchAround(height, lowest, from, to, within);
  const gap = Number.isNaN(height[first - 1]) || Number.isNaN(height[last + 1]);
  return gap ? lowest : Math.round((first + last) / 2);
}

/** First and last of the frames in [from, to) around `frame` that stay within `within` metres of its height. */
function stretchAround(
  height: Float64Array,
  frame: number,
  from: number,
  to: number,
  within: number,
): readonly [first: number, last: number] {
  const near = (f: number) => Math.abs(height[f] - height[frame]) <= within;
  let [first, last] = [frame, frame];
  while (first > from && near(first - 1)) first--;
  while (last + 1 < to && near(last + 1)) last++;
  return [first, last];
}

/** The bottom of a slope: lowest frame in [from, to), and the frame nearest to `top` still within PHASE_SHARE of the drop of it. */
export function bottomOfSlope(height: Float64Array, top: number, from: number, to: number): SlopeEnd | null {
  const frame = lowestFrame(height, from, to);
  if (frame < 0) return null;
  const limit = height[frame] + PHASE_SHARE * (height[top] - height[frame]);
  const step = frame < top ? -1 : 1;
  for (let f = top; f !== frame; f += step) if (height[f] <= limit) return { frame, edge: f };
  return { frame, edge: frame };
}

/** First frame at or above `level` on the way from `bottom` to `far`; `far` where there is none. */
function towards(height: Float64Array, bottom: number, far: number, level: number): number {
  const step = far < bottom ? -1 : 1;
  for (let f = bottom; f !== far; f += step) if (height[f] >= level) return f;
  return far;
}

/** Time of a frame, s. */
export function timeOf(signal: LiftSignal, frame: number): number {
  return signal.startS + frame / signal.frameRateHz;
}

/** Why a change of height at `frame`, within [first, last), is no repetition: walking, or too little of it. */
export function whyIgnored(signal: LiftSignal, frame: number, first: number, last: number): string {
  const timeS = timeOf(signal, frame);
  return feetLeave(signal, frame, first, last)
    ? walkIgnored(timeS)
    : smallIgnored(timeS, PROMINENCE_SHARE * signal.legLengthM);
}

/** Length of the run of unknown frames that touches `frame` on either side, s. */
export function gapBeside(signal: LiftSignal, frame: number): number {
  let longest = 0;
  for (const step of [-1, 1]) {
    let run = 0;
    for (let f = frame + step; f >= 0 && f < signal.frames && Number.isNaN(signal.height[f]); f += step) run++;
    // What is unknown up to the end of the recording is no gap.
    const inside = frame + step * (run + 1);
    if (inside >= 0 && inside < signal.frames) longest = Math.max(longest, run);
  }
  return longest / signal.frameRateHz;
}

/** True where the last height known is that of `frame`, within `toleranceM`: what happened next was not recorded. */
export function holdsToEnd({ height }: LiftSignal, frame: number, toleranceM: number): boolean {
  let last = height.length - 1;
  while (last > frame && Number.isNaN(height[last])) last--;
  return height[last] >= height[frame] - toleranceM;
}
