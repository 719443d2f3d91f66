import { bottomOfSlope, type Candidate, type Candidates, holdsToEnd, topOfSlope, whyIgnored } from './candidate.ts';
import type { Extreme } from './extrema.ts';
import { type LiftSignal, plantedAround } from './lift-signal.ts';
import { BOUNCE_SHARE, PHASE_SHARE, PROMINENCE_SHARE, UNRACK_SHARE } from './limits.ts';

/** Repetitions that begin at the bottom, as a pull from the floor does: one to a top. `turns` begin with a bottom. */
export function ascentFirstCandidates(turns: readonly Extreme[], signal: LiftSignal): Candidates {
  const joined = joinDips(turns);
  const ignored: string[] = [];
  const candidates: Candidate[] = [];
  for (let k = 1; k < joined.length; k += 2) {
    const found = candidateOf(joined[k - 1], joined[k], joined[k + 1], joined[k + 2], joined[k - 2], signal);
    if (found) candidates.push(found);
    else {
      const last = joined[k + 1]?.frame ?? signal.frames;
      ignored.push(whyIgnored(signal, joined[k].frame, joined[k - 2]?.frame ?? 0, last));
    }
  }
  return { candidates, ignored };
}

/** A dip of less than BOUNCE_SHARE of the rise between two tops belongs to the one repetition. */
function joinDips(turns: readonly Extreme[]): readonly Extreme[] {
  const joined: Extreme[] = [];
  for (let k = 0; k < turns.length; k++) {
    const dip = joined[joined.length - 1];
    const first = joined[joined.length - 2];
    const start = joined[joined.length - 3];
    const turn = turns[k];
    if (turn.kind === 'top' && dip && first && start) {
      const rise = Math.max(first.value, turn.value) - Math.min(start.value, dip.value);
      if (Math.min(first.value, turn.value) - dip.value < BOUNCE_SHARE * rise) {
        joined.splice(joined.length - 2, 2, turn.value > first.value ? turn : first);
        continue;
      }
    }
    joined.push(turn);
  }
  return joined;
}

function candidateOf(
  before: Extreme,
  top: Extreme,
  next: Extreme | undefined,
  nextTop: Extreme | undefined,
  lastTop: Extreme | undefined,
  signal: LiftSignal,
): Candidate | null {
  const { height, frameRateHz } = signal;
  const [from, to] = plantedAround(signal, before.frame, lastTop?.frame ?? 0, next?.frame ?? signal.frames);
  const stand = topOfSlope(height, before.frame, before.frame + 1, to, frameRateHz);
  const start = stand && bottomOfSlope(height, stand.frame, from, stand.frame);
  if (!stand || !start) return null;
  const dropM = height[stand.frame] - height[start.frame];
  if (!(dropM >= PROMINENCE_SHARE * signal.legLengthM)) return null;

  const end = next && bottomOfSlope(height, stand.frame, stand.frame, nextTop?.frame ?? signal.frames);
  const lowered = end && height[stand.frame] - height[end.frame] >= UNRACK_SHARE * dropM;
  const leaving = lowered ? topOfSlope(height, end.frame, stand.frame, end.frame, frameRateHz) : null;
  return {
    order: 'ascent first',
    ascent: { from: start.edge, to: Math.max(stand.edge, start.edge + 1) },
    descent: lowered && leaving ? { from: leaving.edge, to: Math.max(end.edge, leaving.edge + 1) } : null,
    bottomFrame: start.frame,
    topFrame: stand.frame,
    dropM,
    regained: 1,
    endsBy: !next && holdsToEnd(signal, top.frame, PHASE_SHARE * dropM) ? 'end of recording' : 'standing',
    peakFrame: stand.frame,
  };
}
