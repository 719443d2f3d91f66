import type { LiftRecord, Repetition } from '../../lift/lift-record.ts';
import { noRepetitionToCompare, repetitionsAmbiguous } from '../../messages/validate.ts';
import { crossingIndex } from '../../numerics/interpolation.ts';
import { mean, standardDeviation } from '../../numerics/statistics.ts';

/** Which repetition of A is which of B. */
export interface PairedRepetitions {
  readonly pairs: readonly (readonly [a: Repetition, b: Repetition])[];
  readonly unpairedA: readonly Repetition[];
  readonly unpairedB: readonly Repetition[];
  /** Seconds to add to a time of A to give the time of B, from the middles of the pairs; NaN where matched by order. */
  readonly clockOffsetS: number;
  /** Standard error of that; NaN for fewer than two pairs. */
  readonly clockOffsetSeS: number;
}

/** Most that the middles of a pair may be apart once the clocks are matched, seconds: far less than a repetition lasts. Common practice, no source. */
export const MOST_APART_S = 0.5;

/** Another way to match must fit this much worse to be ruled out: rms of the middles, factor and seconds. Common practice, no source. */
const CLEARLY_WORSE = { factor: 3, s: 0.05 } as const;

/**
 * Pairs the repetitions of the same set measured twice. By 'clock': the shift in time that brings most of their middles together,
 * of equally many the one that leaves them least apart; evenly done sets of unequal length, in which another shift fits as
 * well, are refused ('validate-repetitions-ambiguous'). By 'order': first with first. Throws 'validate-no-repetitions'.
 */
export function pairRepetitions(a: LiftRecord, b: LiftRecord, by: 'clock' | 'order' = 'clock'): PairedRepetitions {
  for (const record of [a, b]) if (record.repetitions.length === 0) throw noRepetitionToCompare(record.recordingId);
  const [ofA, ofB] = [a.repetitions, b.repetitions];
  if (by === 'order') {
    const count = Math.min(ofA.length, ofB.length);
    const pairs = ofA.slice(0, count).map((one, i) => [one, ofB[i]] as const);
    return {
      pairs,
      unpairedA: ofA.slice(count),
      unpairedB: ofB.slice(count),
      clockOffsetS: Number.NaN,
      clockOffsetSeS: Number.NaN,
    };
  }
  const [timesA, timesB] = [a, b].map(middleTimes);
  const ways = waysToMatch(timesA, timesB);
  const [best, next] = ways;
  if (next && next.pairs.length === best.pairs.length && !isClearlyWorse(next, best))
    throw repetitionsAmbiguous(a.recordingId, b.recordingId, ofA.length, ofB.length);
  const apart = best.pairs.map(([i, j]) => timesB[j] - timesA[i]);
  const usedA = new Set(best.pairs.map(([i]) => i));
  const usedB = new Set(best.pairs.map(([, j]) => j));
  return {
    pairs: best.pairs.map(([i, j]) => [ofA[i], ofB[j]] as const),
    unpairedA: ofA.filter((_, i) => !usedA.has(i)),
    unpairedB: ofB.filter((_, j) => !usedB.has(j)),
    clockOffsetS: mean(apart),
    clockOffsetSeS: standardDeviation(apart) / Math.sqrt(apart.length),
  };
}

/**
 * When each repetition is in its middle, seconds: midway between passing half its thigh travel on the way down and on the
 * way up. The lowest frame of a pause is anywhere; where one of the passages is not known it serves.
 */
function middleTimes({ repetitions, loads, quantities }: LiftRecord): number[] {
  const thigh = quantities.find(({ quantity, side }) => quantity === 'thigh_elevation' && side === 'both')?.values;
  return repetitions.map(({ descent, ascent, bottomFrame, topFrame }) => {
    let middle = Number.NaN;
    if (thigh && descent && ascent && topFrame >= 0) {
      const half = 0.5 * (thigh[topFrame] + thigh[bottomFrame]);
      const down = crossingIndex(thigh, half, descent.from, descent.to - 1, 'falling');
      const up = crossingIndex(thigh, half, ascent.from, ascent.to - 1, 'rising');
      middle = 0.5 * (down + up);
    }
    return loads.startS + (Number.isNaN(middle) ? bottomFrame : middle) / loads.frameRateHz;
  });
}

interface Way {
  readonly pairs: readonly (readonly [number, number])[];
  /** rms of the middles' distance in time, seconds. */
  readonly rmsS: number;
}

/** All ways, best first; in each the repetitions follow each other without one skipped in both. */
function waysToMatch(timesA: readonly number[], timesB: readonly number[]): Way[] {
  const found = new Map<string, Way>();
  for (const from of timesA) {
    for (const to of timesB) {
      const way = matched(timesA, timesB, to - from);
      found.set(JSON.stringify(way.pairs), way);
    }
  }
  return [...found.values()].sort((x, y) => y.pairs.length - x.pairs.length || x.rmsS - y.rmsS);
}

/** Nearest middles at a shift, each used once, in the order of time; the shift is then that of the pairs' mean. */
function matched(timesA: readonly number[], timesB: readonly number[], shiftS: number): Way {
  const pairs: [number, number][] = [];
  let from = 0;
  timesA.forEach((time, i) => {
    let nearest = -1;
    for (let j = from; j < timesB.length; j++) {
      const apart = Math.abs(timesB[j] - time - shiftS);
      if (apart <= MOST_APART_S && (nearest < 0 || apart < Math.abs(timesB[nearest] - time - shiftS))) nearest = j;
    }
    if (nearest < 0) return;
    pairs.push([i, nearest]);
    from = nearest + 1;
  });
  const apart = pairs.map(([i, j]) => timesB[j] - timesA[i]);
  const centre = mean(apart);
  return { pairs, rmsS: Math.sqrt(mean(apart.map((each) => (each - centre) ** 2))) };
}

function isClearlyWorse(other: Way, best: Way): boolean {
  return other.rmsS > CLEARLY_WORSE.factor * best.rmsS + CLEARLY_WORSE.s;
}
