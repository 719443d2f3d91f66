import type { Side } from '../both-sides.ts';
import { type InTime, largest, largestHeld, medianOver, smallest } from './in-time.ts';
import type { RepetitionInTime, SetInTime } from './repetition-in-time.ts';

/** The true value of a measure at a place; NaN where it does not apply. */
export interface TrueReading {
  readonly at: string;
  readonly side: Side | 'both' | '';
  readonly value: number;
}

export type RepetitionTruth = (repetition: RepetitionInTime) => readonly TrueReading[];
export type SetTruth = (set: SetInTime) => readonly TrueReading[];

export type Place =
  | 'start'
  | 'parallel'
  | 'bottom'
  | 'sticking point'
  | 'largest'
  | 'smallest'
  | 'held largest'
  | 'drive'
  | 'end';

/** How long an extreme is held, seconds, where its definition says so. */
export const HELD_S = 0.25;

/** When a place is reached; the drive is looked at after its first third. */
export function timeOfPlace(
  repetition: RepetitionInTime,
  place: Exclude<Place, 'parallel' | 'largest' | 'smallest' | 'held largest'>,
) {
  switch (place) {
    case 'start':
      return repetition.startS;
    case 'bottom':
      return repetition.bottomS;
    case 'sticking point':
      return repetition.sticking.slowestS;
    case 'drive':
      return repetition.passes('ascent', 2 / 3);
    default:
      return repetition.standsS;
  }
}

/** A function of time at the named places; at parallel on the way down, up, and the mean of the two. */
export function readingsOf(
  repetition: RepetitionInTime,
  f: InTime,
  places: readonly Place[],
  side: TrueReading['side'] = '',
  mean: (down: number, up: number) => number = (down, up) => (down + up) / 2,
): TrueReading[] {
  const at = (t: number) => (Number.isNaN(t) ? Number.NaN : f(t));
  return places.flatMap((place) => {
    switch (place) {
      case 'parallel': {
        const [down, up] = [at(repetition.parallelDescentS), at(repetition.parallelAscentS)];
        return [
          { at: 'parallel descent', side, value: down },
          { at: 'parallel ascent', side, value: up },
          { at: 'parallel', side, value: mean(down, up) },
        ];
      }
      case 'largest':
        return [{ at: place, side, value: largest(f, repetition.descendsS, repetition.standsS).value }];
      case 'smallest':
        return [{ at: place, side, value: smallest(f, repetition.descendsS, repetition.standsS).value }];
      case 'held largest': {
        const value = largestHeld(f, repetition.descendsS, repetition.standsS, HELD_S);
        return [{ at: 'largest', side, value }];
      }
      default:
        return [{ at: place, side, value: at(timeOfPlace(repetition, place)) }];
    }
  });
}

/** Left, right, and both = the same reading of the mean of the two. */
export function sided(
  repetition: RepetitionInTime,
  of: (side: Side) => InTime,
  places: readonly Place[],
): TrueReading[] {
  const [left, right] = [of('left'), of('right')];
  return [
    ...readingsOf(repetition, (t) => (left(t) + right(t)) / 2, places, 'both'),
    ...readingsOf(repetition, left, places, 'left'),
    ...readingsOf(repetition, right, places, 'right'),
  ];
}

/** Left, right, and both = the mean of the two readings (or another choice of them). */
export function sidedReadings(
  of: (side: Side) => readonly TrueReading[],
  both: (left: number, right: number) => number = (left, right) => (left + right) / 2,
): TrueReading[] {
  const [left, right] = [of('left'), of('right')];
  return [
    ...left.map(({ at, value }, k) => ({ at, side: 'both' as const, value: both(value, right[k].value) })),
    ...left.map((one) => ({ ...one, side: 'left' as const })),
    ...right.map((one) => ({ ...one, side: 'right' as const })),
  ];
}

/** Median over a quarter second on either side of the start. */
export function aroundStart(repetition: RepetitionInTime, f: InTime): number {
  const { startS } = repetition;
  return medianOver(f, Math.max(0, startS - 0.25), startS + 0.25);
}

/** A function less what it is around the start. */
export function sinceAroundStart(repetition: RepetitionInTime, f: InTime): InTime {
  let start = Number.NaN;
  return (t) => {
    if (Number.isNaN(start)) start = aroundStart(repetition, f);
    return f(t) - start;
  };
}
