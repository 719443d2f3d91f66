import type { LiftKind, Recording } from '../capture/recording.ts';
import { feetUnknown, noHeight, noRepetitions, outcomeContradicts, shouldersFollowed } from '../messages.ts';
import { ascentFirstCandidates } from './ascent-first.ts';
import type { Candidate, Verdict } from './candidate.ts';
import { judge } from './completeness.ts';
import { descentFirstCandidates } from './descent-first.ts';
import { type Extreme, zigZag } from './extrema.ts';
import type { FrameRange, Repetition, RepetitionOrder } from './lift-record.ts';
import type { LiftSignal } from './lift-signal.ts';
import { LEVEL_SHARE, PHASE_SHARE, PROMINENCE_SHARE, REGAINED_SHARE, REST_S, UNRACK_SHARE } from './limits.ts';
import type { QuantityTable } from './quantities.ts';
import { stickingFrame, stickingVelocity } from './sticking.ts';

export interface FoundRepetitions {
  readonly repetitions: readonly Repetition[];
  readonly notes: readonly string[];
}

/**
 * The repetitions of a recording, in three steps: tops and bottoms of the lift's height in turn; candidates with feet
 * that stand still, begun and ended by the rule of PHASE_SHARE; what each of them is (full, partial, failed) and why.
 */
export function findRepetitions(
  signal: LiftSignal | null,
  recording: Recording,
  table: QuantityTable,
): FoundRepetitions {
  if (!signal || signal.height.every(Number.isNaN)) return { repetitions: [], notes: [noHeight()] };
  const notes: string[] = [];
  if (signal.ankles.length === 0) notes.push(feetUnknown());
  if (signal.heightOf === 'shoulders') notes.push(shouldersFollowed());

  const limitM = PROMINENCE_SHARE * signal.legLengthM;
  const turns = zigZag(signal.height, limitM);
  if (turns.length === 0) return { repetitions: [], notes: [...notes, noRepetitions(range(signal.height), limitM)] };
  const { order, extremes } = orderOf(turns, signal);
  const { candidates, ignored } =
    order === 'ascent first' ? ascentFirstCandidates(extremes, signal) : descentFirstCandidates(extremes, signal);
  notes.push(...ignored);

  const thigh = table.find('thigh_elevation', 'both')!.values;
  const lean = table.find('trunk_lean')!.values;
  const velocity = stickingVelocity(table, signal.frameRateHz);
  const verdicts = judge(candidates, {
    signal,
    thigh,
    lean,
    lift: recording.lift,
    isSquat: isSquat(recording.lift.kind),
  });
  const failed = verdicts.some(({ completeness }) => completeness === 'failed');
  const { outcome } = recording.lift;
  if (verdicts.length > 0 && ((outcome === 'failed' && !failed) || (outcome === 'made' && failed))) {
    notes.push(outcomeContradicts(outcome));
  }
  return {
    repetitions: candidates.map((candidate, i) =>
      repetition(i + 1, outOfEdge(candidate, signal.height, table.edge), verdicts[i], signal, thigh, velocity),
    ),
    notes,
  };
}

/** Squats are judged by parallel as well; 'front squat', 'Back squat', 'pause squat' are. */
export function isSquat(kind: LiftKind): boolean {
  return /squat/i.test(kind);
}

/**
 * Ascent first where the recording begins at rest at the bottom, or where the bar is in the hands and the lifter is
 * already bent down. A low start that is not at rest, or much shallower than the set, is not the bottom of a repetition.
 */
function orderOf(
  turns: readonly Extreme[],
  signal: LiftSignal,
): { order: RepetitionOrder; extremes: readonly Extreme[] } {
  const [first, second] = turns;
  const largest = largestChange(turns);
  if (first.kind === 'bottom') {
    const rise = second.value - first.value;
    if (rise < UNRACK_SHARE * largest) return { order: 'descent first', extremes: turns.slice(1) };
    const rests = restingFrames(signal.height, first, PHASE_SHARE * rise) >= REST_S * signal.frameRateHz;
    return { order: rests ? 'ascent first' : 'descent first', extremes: turns };
  }
  const standing = turns.reduce((best, { value }) => Math.max(best, value), Number.NEGATIVE_INFINITY);
  const bentDown = first.value < standing - (1 - REGAINED_SHARE) * largest;
  return signal.heightOf === 'shoulders' && bentDown && turns.length > 2
    ? { order: 'ascent first', extremes: turns.slice(1) }
    : { order: 'descent first', extremes: turns };
}

function largestChange(turns: readonly Extreme[]): number {
  let largest = 0;
  for (let i = 1; i < turns.length; i++) largest = Math.max(largest, Math.abs(turns[i].value - turns[i - 1].value));
  return largest;
}

/** Frames from the start of the recording that stay within `toleranceM` of the first bottom. */
function restingFrames(height: Float64Array, bottom: Extreme, toleranceM: number): number {
  let resting = 0;
  for (const h of height) {
    if (Number.isNaN(h)) continue;
    if (h > bottom.value + toleranceM) break;
    resting++;
  }
  return resting;
}

function range(height: Float64Array): number {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const h of height) {
    if (h < low) low = h;
    if (h > high) high = h;
  }
  return high - low;
}

/**
 * A stand is level, and its highest frame lies wherever noise puts it: where that is beside the start of the recording, the
 * highest frame clear of it stands for the start, if the height there differs by noise only. Else all that is read at the start would be unknown.
 */
function outOfEdge(candidate: Candidate, height: Float64Array, edge: Uint8Array): Candidate {
  const { order, topFrame, descent, dropM } = candidate;
  if (order === 'ascent first' || descent === null || edge[topFrame] === 0) return candidate;
  let best = -1;
  for (let f = topFrame + 1; f <= descent.from; f++) {
    if (edge[f] === 0 && height[f] >= height[topFrame] - LEVEL_SHARE * dropM && !(height[f] <= height[best])) best = f;
  }
  return best < 0 ? candidate : { ...candidate, topFrame: best };
}

function repetition(
  number: number,
  candidate: Candidate,
  { completeness, reason }: Verdict,
  signal: LiftSignal,
  thigh: Float64Array,
  velocity: Float64Array,
): Repetition {
  const { order, descent, ascent, bottomFrame, topFrame } = candidate;
  return {
    number,
    order,
    completeness,
    reason,
    descent,
    ascent,
    bottomFrame,
    topFrame,
    hipDropM: signal.hipHeight[topFrame] - signal.hipHeight[bottomFrame],
    bottomThighElevationDeg: thigh[bottomFrame],
    parallelDescentFrame: firstAtOrBelowParallel(thigh, withBottom(descent, bottomFrame), 1),
    parallelAscentFrame: firstAtOrBelowParallel(thigh, ascent, -1),
    stickingFrame: stickingFrame(velocity, ascent),
  };
}

/** The descent up to and with the bottom frame, where the bottom ends it. */
function withBottom(descent: FrameRange | null, bottomFrame: number): FrameRange | null {
  return descent && descent.to === bottomFrame ? { from: descent.from, to: bottomFrame + 1 } : descent;
}

/** First frame (step 1) or last one (step −1) of the phase with the thighs at or below parallel; −1 where there is none. */
function firstAtOrBelowParallel(thigh: Float64Array, phase: FrameRange | null, step: 1 | -1): number {
  if (!phase) return -1;
  const [start, end] = step === 1 ? [phase.from, phase.to] : [phase.to - 1, phase.from - 1];
  for (let f = start; f !== end; f += step) if (thigh[f] <= 0) return f;
  return -1;
}
