import {
  edgeOfRecording,
  noStickingPoint,
  notReached,
  parallelNotReached,
  phaseMissing,
  ratioNotPositive,
} from '../../messages.ts';
import { type DepthCrossing, type Phase, readingAtCrossing } from '../depth.ts';
import type { FrameRange, Repetition, Side } from '../lift-record.ts';
import { DRIVE_START_SHARE } from '../limits.ts';
import type { Column } from '../quantities.ts';
import type { Lift, MeasureReading } from './measure.ts';

/** `drive`: after the first third of the way up; `end`: last frame of the ascent; `largest`, `smallest`: within the repetition. */
export type Place = 'start' | 'parallel' | 'bottom' | 'sticking point' | 'drive' | 'end' | 'largest' | 'smallest';

/** How two values at parallel are averaged: ratios by their logarithm. */
export type Averaging = 'arithmetic' | 'logarithmic';

export function known(
  at: string,
  side: Side | null,
  value: number,
  frameFirst: number,
  frameLast = frameFirst,
): MeasureReading {
  return { side: side ?? '', at, value, reason: '', frameFirst, frameLast };
}

export function unknown(
  at: string,
  side: Side | null,
  reason: string,
  frameFirst = -1,
  frameLast = frameFirst,
): MeasureReading {
  return { side: side ?? '', at, value: Number.NaN, reason, frameFirst, frameLast };
}

/** What `readAt` gives at these places, unknown for one reason. */
export function unknownAt(places: readonly Place[], side: Side | null, reason: string): MeasureReading[] {
  const names = (place: Place) => (place === 'parallel' ? ['parallel descent', 'parallel ascent', place] : [place]);
  return places.flatMap(names).map((at) => unknown(at, side, reason));
}

/** The frame a repetition starts from: standing, or at the bottom where the ascent comes first. */
export function startFrame({ order, topFrame, ascent }: Repetition): number {
  return order === 'ascent first' && ascent ? ascent.from : topFrame;
}

/** Both phases together, half-open. */
export function wholeRange({ descent, ascent, bottomFrame }: Repetition): FrameRange {
  const phases = [descent, ascent].filter((phase) => phase !== null);
  if (phases.length === 0) return { from: bottomFrame, to: bottomFrame + 1 };
  return { from: Math.min(...phases.map(({ from }) => from)), to: Math.max(...phases.map(({ to }) => to)) };
}

/** A frame quantity at the named places of a repetition. `parallel` gives descent, ascent and their mean. */
export function readAt(
  lift: Lift,
  repetition: Repetition,
  quantity: string,
  side: Side | null,
  places: readonly Place[],
  averaging: Averaging = 'arithmetic',
): MeasureReading[] {
  return places.flatMap((place) => {
    switch (place) {
      case 'start':
        return [atFrame(lift, quantity, side, place, startFrame(repetition))];
      case 'bottom':
        return [atFrame(lift, quantity, side, place, repetition.bottomFrame)];
      case 'sticking point':
        return repetition.stickingFrame < 0
          ? [unknown(place, side, noStickingPoint())]
          : [atFrame(lift, quantity, side, place, repetition.stickingFrame)];
      case 'drive':
        return [atCrossing(lift, quantity, side, place, driveCrossing(lift, repetition))];
      case 'end':
        return [
          repetition.ascent
            ? atFrame(lift, quantity, side, place, repetition.ascent.to - 1)
            : unknown(place, side, phaseMissing('ascent')),
        ];
      case 'largest':
      case 'smallest':
        return [extreme(lift, repetition, quantity, side, place, place)];
      case 'parallel':
        return atParallel(lift, repetition, quantity, side, averaging);
      default:
        return [];
    }
  });
}

export function atFrame(lift: Lift, quantity: string, side: Side | null, at: string, frame: number): MeasureReading {
  const { value, reason } = lift.table.at(quantity, side, frame);
  return { side: side ?? '', at, value, reason, frameFirst: frame, frameLast: frame };
}

/** A frame quantity where a depth is passed. */
export function atCrossing(
  lift: Lift,
  quantity: string,
  side: Side | null,
  at: string,
  crossing: DepthCrossing,
): MeasureReading {
  const { value, reason } = readingAtCrossing(lift.table.column(quantity, side), crossing);
  const frame = crossing.at.length > 0 ? Math.round(crossing.at[0]) : -1;
  return { side: side ?? '', at, value, reason, frameFirst: frame, frameLast: frame };
}

/** Largest or smallest value of a quantity within a repetition, edges left out. */
export function extreme(
  lift: Lift,
  repetition: Repetition,
  quantity: string,
  side: Side | null,
  at: string,
  which: 'largest' | 'smallest',
  range: FrameRange = wholeRange(repetition),
): MeasureReading {
  const column = lift.table.column(quantity, side);
  const sign = which === 'largest' ? 1 : -1;
  let best = -1;
  for (let f = range.from; f < range.to; f++) {
    const here = column.values[f];
    if (!Number.isNaN(here) && (best < 0 || sign * here > sign * column.values[best])) best = f;
  }
  return best < 0
    ? unknown(at, side, reasonThroughout(column, range), range.from, range.to - 1)
    : known(at, side, column.values[best], best);
}

/** Why no frame of the range is known: the first reason that is not merely an edge; '' where the range is empty. */
export function reasonThroughout(column: Column, { from, to }: FrameRange): string {
  let reason = '';
  for (let f = from; f < to && (reason === '' || reason === edgeOfRecording()); f++) reason = column.reasonAt(f);
  return reason;
}

/** Where one phase of a repetition passes parallel (thigh elevation 0). */
export function parallelCrossing(lift: Lift, repetition: Repetition, phase: Phase): DepthCrossing {
  const crossing = lift.depths.crossing(repetition, phase, 'thigh_elevation_deg', 0);
  return crossing.reason === notReached() && !(repetition.bottomThighElevationDeg <= 0)
    ? { at: [], reason: parallelNotReached(repetition.bottomThighElevationDeg) }
    : crossing;
}

/** Where one phase passes a per cent of the repetition's drop. */
export function dropCrossing(lift: Lift, repetition: Repetition, phase: Phase, pct: number): DepthCrossing {
  return lift.depths.crossing(repetition, phase, 'drop_pct', pct);
}

/** Where the first third of the way up ends. */
export function driveCrossing(lift: Lift, repetition: Repetition): DepthCrossing {
  return dropCrossing(lift, repetition, 'ascent', 100 * (1 - DRIVE_START_SHARE));
}

function atParallel(
  lift: Lift,
  repetition: Repetition,
  quantity: string,
  side: Side | null,
  averaging: Averaging,
): MeasureReading[] {
  const [down, up] = (['descent', 'ascent'] as const).map((phase) =>
    atCrossing(lift, quantity, side, `parallel ${phase}`, parallelCrossing(lift, repetition, phase)),
  );
  return [down, up, meanOfTwo(down, up, averaging)];
}

/** The mean of the descent's and the ascent's value; unknown where one of them is. */
export function meanOfTwo(
  down: MeasureReading,
  up: MeasureReading,
  averaging: Averaging = 'arithmetic',
): MeasureReading {
  const side = down.side === '' ? null : down.side;
  const first =
    down.frameFirst < 0
      ? up.frameFirst
      : up.frameFirst < 0
        ? down.frameFirst
        : Math.min(down.frameFirst, up.frameFirst);
  const last = Math.max(down.frameLast, up.frameLast);
  if (down.reason !== '' || up.reason !== '') return unknown('parallel', side, down.reason || up.reason, first, last);
  if (averaging === 'arithmetic') return known('parallel', side, (down.value + up.value) / 2, first, last);
  return down.value > 0 && up.value > 0
    ? known('parallel', side, Math.sqrt(down.value * up.value), first, last)
    : unknown('parallel', side, ratioNotPositive(), first, last);
}

/** What left has more than right: a reading of the whole lifter; unknown where either is. */
export function leftLessRight(left: MeasureReading, right: MeasureReading): MeasureReading {
  return { ...less(left, right), side: '' };
}

/** The reading less another one; unknown where either is. */
export function less(reading: MeasureReading, reference: MeasureReading): MeasureReading {
  const reason = reading.reason || reference.reason;
  return { ...reading, value: reason === '' ? reading.value - reference.value : Number.NaN, reason };
}
