import { dropPct } from '../depth.ts';
import type { Repetition } from '../lift-record.ts';
import { PHASE_SHARE } from '../limits.ts';
import type { Lift } from './measure.ts';

/** Where the two per cent come from at which a phase begins and ends, for the measures of time and speed. */
export const TWO_PER_CENT = '2 %: common practice, no source';

/** The moments that part standing, moving and the bottom of a repetition, in fractional frames; NaN without the phase. */
export interface PhaseTimes {
  /** The descent leaves the stand, and reaches the bottom. */
  readonly descends: number;
  readonly arrives: number;
  /** The ascent leaves the bottom, and reaches the stand. */
  readonly drives: number;
  readonly stands: number;
}

/**
 * When the height passes 2 % of the drop off the stand and off the bottom, linear between frames: whole frames would make
 * each phase one frame longer on average. The lowest frame itself is no landmark of time: in a pause at the bottom it
 * lies wherever noise puts it.
 */
export function phaseTimes(repetition: Repetition, lift: Lift): PhaseTimes {
  const { descent, ascent, topFrame, bottomFrame } = repetition;
  const { height } = lift;
  const margin = PHASE_SHARE * (height[topFrame] - height[bottomFrame]);
  const high = height[topFrame] - margin;
  const low = height[bottomFrame] + margin;
  const { arrives, leaves } = atTheBottom(repetition, lift);
  return {
    descends: descent ? passing(height, descent.from, high) : Number.NaN,
    arrives: descent ? passing(height, arrives - 1, low) : Number.NaN,
    drives: ascent ? passing(height, leaves, low) : Number.NaN,
    stands: ascent ? passing(height, ascent.to - 1, high) : Number.NaN,
  };
}

/** First and last frame within PHASE_SHARE of the drop of the bottom; a phase that comes after a stand begins and ends with its range. */
export function atTheBottom(repetition: Repetition, lift: Lift): { arrives: number; leaves: number } {
  const { descent, ascent, bottomFrame, order } = repetition;
  if (order === 'ascent first') return { arrives: descent?.to ?? -1, leaves: ascent?.from ?? -1 };
  const limit = 100 * (1 - PHASE_SHARE);
  let arrives = bottomFrame;
  for (let f = descent?.from ?? bottomFrame; f < bottomFrame; f++) {
    if (dropPct(lift.height, repetition, f) >= limit) {
      arrives = f;
      break;
    }
  }
  let leaves = bottomFrame;
  for (let f = (ascent?.to ?? bottomFrame) - 1; f > bottomFrame; f--) {
    if (dropPct(lift.height, repetition, f) >= limit) {
      leaves = f;
      break;
    }
  }
  return { arrives, leaves };
}

/**
 * Where between `frame` and the next the height passes `level`; midway where a frame is missing, or where the level was
 * another one (a stand or a bottom of its own height at the far end of a phase), so that no time is systematically long.
 */
function passing(height: Float64Array, frame: number, level: number): number {
  const share = (level - height[frame]) / (height[frame + 1] - height[frame]);
  return frame + (share >= 0 && share <= 1 ? share : 0.5);
}
