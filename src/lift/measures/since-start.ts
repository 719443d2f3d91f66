import { ascentComesFirst, edgeOfRecording, missing } from '../../messages.ts';
import { median } from '../../numerics/statistics.ts';
import type { Repetition, Side } from '../lift-record.ts';
import { aroundStart } from './around-start.ts';
import { held } from './held.ts';
import type { Lift, MeasureReading } from './measure.ts';
import { known, less, type Place, readAt, reasonThroughout, unknown, unknownAt } from './readings.ts';

/** Median of a number of the posture around the start of a repetition; edges and frames that do not know it left out. */
export function medianAroundStart(
  lift: Lift,
  repetition: Repetition,
  valueAt: (frame: number) => number,
): { readonly value: number; readonly reason: string } {
  const { from, to } = aroundStart(repetition, lift);
  const { edge } = lift.table;
  const values: number[] = [];
  let reason = edgeOfRecording();
  for (let f = from; f < to; f++) {
    if (edge[f] !== 0) continue;
    const value = valueAt(f);
    if (Number.isNaN(value)) reason = missing();
    else values.push(value);
  }
  return values.length > 0 ? { value: median(values), reason: '' } : { value: Number.NaN, reason };
}

/** A frame quantity around the start: what the repetition changes is counted from here. */
export function quantityAroundStart(
  lift: Lift,
  repetition: Repetition,
  quantity: string,
  side: Side | null,
): MeasureReading {
  const column = lift.table.column(quantity, side);
  const range = aroundStart(repetition, lift);
  const { value, reason } = medianAroundStart(lift, repetition, (frame) => column.values[frame]);
  return reason === ''
    ? known('start', side, value, range.from, range.to - 1)
    : unknown('start', side, reasonThroughout(column, range) || reason, range.from, range.to - 1);
}

/** A frame quantity at the named places less its value around the stand before the repetition; `held largest`: as in held.ts. */
export function sinceStart(
  lift: Lift,
  repetition: Repetition,
  quantity: string,
  side: Side | null,
  places: readonly (Place | 'held largest')[],
): MeasureReading[] {
  if (repetition.order === 'ascent first') {
    return places.flatMap((place) =>
      unknownAt([place === 'held largest' ? 'largest' : place], side, ascentComesFirst()),
    );
  }
  const start = quantityAroundStart(lift, repetition, quantity, side);
  return places
    .flatMap((place) =>
      place === 'held largest'
        ? [held(lift, repetition, quantity, side, 'largest')]
        : readAt(lift, repetition, quantity, side, [place]),
    )
    .map((reading) => less(reading, start));
}
