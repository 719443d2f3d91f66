import type { CurvePoint, MeasureValue } from '../../lift/lift-record.ts';
import { compareReasons } from '../../messages/compare.ts';
import { type ComparedLift, repetitionsOf } from './compared-lift.ts';

/** A number of one side of a comparison: the mean of some outputs of the recording (one, for a single repetition). */
export interface NamedNumber<Place> {
  readonly place: Place;
  /** Indices among the outputs of the recording (measures, then curve points); empty where it is unknown. */
  readonly members: readonly number[];
  /** Why it is unknown; '' where it is known. */
  readonly reason: string;
}

export type MeasurePlace = Pick<MeasureValue, 'measure' | 'side' | 'at' | 'unit'>;
export type CurvePlace = Pick<CurvePoint, 'phase' | 'grid' | 'depth' | 'quantity' | 'side' | 'unit'>;

/** By name, in the order of the record. */
export type NamedNumbers<Place> = ReadonlyMap<string, NamedNumber<Place>>;

/**
 * The measures of a side: over those of its repetitions that know the measure, as in means.csv.
 *
 * @param withSet false: measures of the whole set are left out; two repetitions of one set do not differ in them
 */
export function measureNumbers(lift: ComparedLift, withSet: boolean): NamedNumbers<MeasurePlace> {
  const wanted = new Set([...(withSet ? [0] : []), ...repetitionsOf(lift)]);
  const places = new Map<string, { place: MeasurePlace; members: number[]; reason: string }>();
  lift.record.measures.forEach((measure, i) => {
    if (!wanted.has(measure.repetition)) return;
    const name = measureKey(measure);
    const known = places.get(name) ?? { place: measure, members: [], reason: '' };
    places.set(name, known);
    if (Number.isFinite(measure.value)) known.members.push(i);
    else known.reason ||= measure.reason;
  });
  for (const number of places.values()) if (number.members.length > 0) number.reason = '';
  return places;
}

/**
 * Values across depth of a side. A mean over repetitions has a depth only where every one of them that has the curve at all
 * has a value there: otherwise it would jump where the shallowest one ends.
 */
export function curveNumbers(lift: ComparedLift): NamedNumbers<CurvePlace> {
  const wanted = new Set(repetitionsOf(lift));
  const first = lift.record.measures.length;
  const places = new Map<string, { place: CurvePlace; members: number[]; reason: string; of: Set<number> }>();
  const withCurve = new Map<string, Set<number>>();
  lift.record.curves.forEach((point, i) => {
    if (!wanted.has(point.repetition)) return;
    const name = depthKey(point);
    const known = places.get(name) ?? { place: point, members: [], reason: '', of: new Set<number>() };
    places.set(name, known);
    if (Number.isFinite(point.value)) {
      known.members.push(first + i);
      known.of.add(point.repetition);
      const curve = curveKey(point);
      withCurve.set(curve, (withCurve.get(curve) ?? new Set()).add(point.repetition));
    } else known.reason ||= point.reason;
  });
  for (const number of places.values()) {
    const expected = withCurve.get(curveKey(number.place))?.size ?? 0;
    if (number.of.size === expected && expected > 0) number.reason = '';
    else {
      if (number.of.size > 0)
        number.reason = compareReasons.notEveryRepetition(number.of.size, expected, number.reason);
      number.members = [];
    }
  }
  return places;
}

export const measureKey = ({ measure, side, at }: Pick<MeasurePlace, 'measure' | 'side' | 'at'>) =>
  `${measure}/${side}/${at}`;

const depthKey = (place: Omit<CurvePlace, 'unit'>) => `${curveKey(place)}/${place.depth}`;

const curveKey = ({ phase, grid, quantity, side }: Omit<CurvePlace, 'depth' | 'unit'>) =>
  `${phase}/${grid}/${quantity}/${side}`;
