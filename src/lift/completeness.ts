import type { LiftDescription } from '../capture/recording.ts';
import {
  beginsAtBottom,
  beginsInDescent,
  bottomMissing,
  endsAfterStall,
  endsAtBottom,
  endsInAscent,
  farFromParallel,
  fellBack,
  notLockedOut,
  notRegained,
  notStoodUp,
  shallow,
  topMissing,
} from '../messages.ts';
import { type Candidate, gapBeside, type Verdict } from './candidate.ts';
import type { LiftSignal } from './lift-signal.ts';
import {
  BOTTOM_GAP_S,
  LOCKOUT_LEAN_DEG,
  LOCKOUT_THIGH_DEG,
  NEAR_PARALLEL_DEG,
  PHASE_SHARE,
  REGAINED_SHARE,
  SHALLOW_SHARE,
  STALL_SHARE,
} from './limits.ts';

export interface Judged {
  readonly signal: LiftSignal;
  /** Thigh elevation of both legs and trunk lean, degrees a frame. */
  readonly thigh: Float64Array;
  readonly lean: Float64Array;
  readonly lift: LiftDescription;
  readonly isSquat: boolean;
}

const FULL: Verdict = { completeness: 'full', reason: '' };
const partial = (reason: string): Verdict => ({ completeness: 'partial', reason });
const failed = (reason: string): Verdict => ({ completeness: 'failed', reason });

/** What each candidate is, in order: whether the top was regained, whether all of it was seen, whether it was deep enough. */
export function judge(candidates: readonly Candidate[], judged: Judged): Verdict[] {
  const deepest = Math.max(...candidates.map(({ dropM }) => dropM));
  return candidates.map(
    (candidate, i) =>
      (candidate.order === 'ascent first' ? lockout : regaining)(candidate, judged, i === candidates.length - 1) ??
      seen(candidate, judged.signal) ??
      depth(candidate, judged, deepest) ??
      FULL,
  );
}

function regaining(candidate: Candidate, { signal, lift }: Judged, isLast: boolean): Verdict | null {
  const { regained, endsBy, ascent, peakFrame } = candidate;
  if (endsBy === 'standing') return null;
  const saidFailed = isLast && lift.outcome === 'failed';
  if (endsBy === 'end of recording') {
    if (saidFailed) return failed(notRegained(regained));
    if (!ascent || regained <= PHASE_SHARE) return partial(endsAtBottom());
    if (hasStalled(candidate, signal)) return failed(endsAfterStall(regained));
    return regained >= REGAINED_SHARE ? null : partial(endsInAscent(regained));
  }
  const gapS = gapBeside(signal, peakFrame);
  if (gapS > BOTTOM_GAP_S) return partial(topMissing(gapS));
  return endsBy === 'next descent' ? partial(notStoodUp(regained)) : failed(fellBack(regained));
}

/** True where the height has all but stopped rising before the recording ends, after having risen. */
function hasStalled({ ascent, regained }: Candidate, { height, frameRateHz }: LiftSignal): boolean {
  if (!ascent || regained >= REGAINED_SHARE) return false;
  const span = Math.max(1, Math.round(0.1 * frameRateHz));
  let fastest = 0;
  let last = Number.NaN;
  for (let f = ascent.from + span; f < height.length; f++) {
    const rise = height[f] - height[f - span];
    if (Number.isNaN(rise)) continue;
    fastest = Math.max(fastest, rise);
    last = rise;
  }
  return last < STALL_SHARE * fastest;
}

function lockout({ topFrame, endsBy }: Candidate, { thigh, lean }: Judged): Verdict | null {
  const upright = !(thigh[topFrame] < LOCKOUT_THIGH_DEG) && !(lean[topFrame] > LOCKOUT_LEAN_DEG);
  if (upright) return null;
  return endsBy === 'end of recording' ? partial(notLockedOut()) : failed(notLockedOut());
}

function seen(candidate: Candidate, signal: LiftSignal): Verdict | null {
  const gapS = gapBeside(signal, candidate.bottomFrame);
  if (gapS > BOTTOM_GAP_S) return partial(bottomMissing(gapS));
  if (candidate.order === 'ascent first') return null;
  if (!candidate.descent) return partial(beginsAtBottom());
  return candidate.regained > 2 - REGAINED_SHARE ? partial(beginsInDescent()) : null;
}

function depth({ dropM, bottomFrame }: Candidate, { thigh, isSquat }: Judged, deepest: number): Verdict | null {
  if (dropM < SHALLOW_SHARE * deepest) return partial(shallow(dropM / deepest));
  const elevation = thigh[bottomFrame];
  return isSquat && elevation > NEAR_PARALLEL_DEG ? partial(farFromParallel(elevation, NEAR_PARALLEL_DEG)) : null;
}
