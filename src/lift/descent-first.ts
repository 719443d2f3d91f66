import { unrackIgnored } from '../messages.ts';
import {
  type Candidate,
  type Candidates,
  holdsToEnd,
  middleOfBottom,
  timeOf,
  topOfSlope,
  whyIgnored,
} from './candidate.ts';
import { type Extreme, highestFrame } from './extrema.ts';
import { feetTravel, type LiftSignal, plantedAround } from './lift-signal.ts';
import {
  BOUNCE_LONGEST_S,
  BOUNCE_SHARE,
  FEET_TRAVEL_M,
  LEVEL_SHARE,
  PHASE_SHARE,
  PROMINENCE_SHARE,
  REGAINED_SHARE,
  UNRACK_SHARE,
} from './limits.ts';

/** A bottom, and the frames [from, to) that belong to it and to no other. */
interface Valley {
  bottom: Extreme;
  from: number;
  to: number;
  fellBack: boolean;
}

/** Repetitions that go down and come up: one to a valley of the height. */
export function descentFirstCandidates(turns: readonly Extreme[], signal: LiftSignal): Candidates {
  const ignored: string[] = [];
  const candidates: Candidate[] = [];
  const beginsLow = turns[0]?.kind === 'bottom';
  valleys(turns, signal).forEach((valley, i, all) => {
    const found = candidateOf(valley, signal, beginsLow && i === 0, i + 1 < all.length);
    if (found) candidates.push(found);
    else ignored.push(whyIgnored(signal, valley.bottom.frame, valley.from, valley.to));
  });
  const kept = withoutUnrack(candidates, signal);
  for (const candidate of candidates) {
    if (!kept.includes(candidate)) ignored.push(unrackIgnored(timeOf(signal, candidate.bottomFrame)));
  }
  return { candidates: kept, ignored };
}

/**
 * The bottoms that count. A second bottom belongs to the repetition of the first where the rise between them is no stand,
 * and either wins less than BOUNCE_SHARE of the drop or is never followed by a stand: as a bounce if it is quick and a
 * stand follows, else as a rise that fell back.
 */
function valleys(turns: readonly Extreme[], signal: LiftSignal): Valley[] {
  const found: Valley[] = [];
  let open: Valley | null = null;
  let stand: Extreme | null = null;
  let top: Extreme | null = null;
  let lastBottom = 0;
  for (let k = 0; k < turns.length; k++) {
    const turn = turns[k];
    if (turn.kind === 'top') {
      top = turn;
      continue;
    }
    if (open && stand && top) {
      const drop = stand.value - Math.min(open.bottom.value, turn.value);
      const regainedLevel = stand.value - (1 - REGAINED_SHARE) * drop;
      const share = (top.value - Math.max(open.bottom.value, turn.value)) / drop;
      const standsLater = turns.slice(k + 1).some((t) => t.kind === 'top' && t.value >= regainedLevel);
      if (top.value < regainedLevel && (share < BOUNCE_SHARE || !standsLater)) {
        const quick = (turn.frame - open.bottom.frame) / signal.frameRateHz <= BOUNCE_LONGEST_S;
        if (quick && (turns[k + 1]?.value ?? Number.NEGATIVE_INFINITY) >= regainedLevel && !open.fellBack) {
          if (turn.value < open.bottom.value) open.bottom = turn;
        } else if (!open.fellBack) {
          open.fellBack = true;
          open.to = turn.frame;
        }
        lastBottom = turn.frame;
        continue;
      }
    }
    if (open && !open.fellBack) open.to = turn.frame;
    open = { bottom: turn, from: found.length === 0 ? 0 : lastBottom, to: signal.frames, fellBack: false };
    found.push(open);
    stand = top;
    lastBottom = turn.frame;
  }
  return found;
}

/** The valley cut down to where the feet stand still; null where that leaves less than a change of height that counts. */
function candidateOf(valley: Valley, signal: LiftSignal, beginsLow: boolean, hasNext: boolean): Candidate | null {
  const { height, frameRateHz } = signal;
  const lowest = valley.bottom.frame;
  const [from, to] = plantedAround(signal, lowest, valley.from, valley.to);
  const enough = PROMINENCE_SHARE * signal.legLengthM;
  const highest = height[highestFrame(height, from, beginsLow ? to : lowest)];
  const bottom = middleOfBottom(height, lowest, from, to, LEVEL_SHARE * (highest - height[lowest]));
  const before = beginsLow ? null : topOfSlope(height, bottom, from, bottom, frameRateHz);
  const after = topOfSlope(height, bottom, bottom + 1, to, frameRateHz);
  const reference = before ?? (beginsLow ? after : null);
  if (!reference) return null;
  const dropM = height[reference.frame] - height[bottom];
  if (!(dropM >= enough)) return null;

  const peakFrame = Math.max(bottom, highestFrame(height, bottom, to));
  const regained = (height[peakFrame] - height[bottom]) / dropM;
  const stands = regained >= REGAINED_SHARE && after !== null && !valley.fellBack;
  const ascentEnd = stands ? after.edge : peakFrame + 1;
  return {
    order: 'descent first',
    descent: before ? { from: before.edge, to: bottom } : null,
    ascent: regained > PHASE_SHARE ? { from: bottom, to: ascentEnd } : null,
    bottomFrame: bottom,
    topFrame: reference.frame,
    dropM,
    regained,
    endsBy: stands
      ? 'standing'
      : !valley.fellBack && !hasNext && holdsToEnd(signal, peakFrame, PHASE_SHARE * dropM)
        ? 'end of recording'
        : !valley.fellBack && hasNext
          ? 'next descent'
          : 'falling back',
    peakFrame,
  };
}

/** Without the shallow dips at the ends of a set that a walk (or nothing more) parts from it: unrack and re-rack. */
function withoutUnrack(candidates: readonly Candidate[], signal: LiftSignal): readonly Candidate[] {
  const deepest = Math.max(...candidates.map(({ dropM }) => dropM));
  const shallow = ({ dropM }: Candidate) => dropM < UNRACK_SHARE * deepest;
  const walked = (a: Candidate, b: Candidate) => feetTravel(signal, a.bottomFrame, b.bottomFrame) > FEET_TRAVEL_M;
  let kept = candidates;
  while (kept.length > 1 && shallow(kept[0]) && walked(kept[0], kept[1])) kept = kept.slice(1);
  while (kept.length > 1) {
    const last = kept[kept.length - 1];
    if (!shallow(last) || !(walked(last, kept[kept.length - 2]) || last.regained < REGAINED_SHARE)) break;
    kept = kept.slice(0, -1);
  }
  return kept;
}
