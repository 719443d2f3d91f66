import type { MeasureValue, Repetition } from './lift-record.ts';
import { MEASURES } from './measures/index.ts';
import type { Lift, Measure, MeasureReading } from './measures/measure.ts';

/** Every measure of the registry: those of the set first (repetition 0), then those of each repetition. */
export function measureLift(lift: Lift): MeasureValue[] {
  const ofSet = MEASURES.flatMap((measure) => (measure.scope === 'set' ? values(measure, measure.of(lift), 0) : []));
  return [...ofSet, ...lift.repetitions.flatMap((repetition) => ofRepetition(repetition, lift))];
}

function ofRepetition(repetition: Repetition, lift: Lift): MeasureValue[] {
  return MEASURES.flatMap((measure) =>
    measure.scope === 'repetition' ? values(measure, measure.of(repetition, lift), repetition.number) : [],
  );
}

function values({ name, unit }: Measure, readings: readonly MeasureReading[], repetition: number): MeasureValue[] {
  return readings.map(({ side, at, value, reason, frameFirst, frameLast }) => ({
    repetition,
    measure: name,
    side,
    at,
    value,
    lower: Number.NaN,
    upper: Number.NaN,
    unit,
    frameFirst,
    frameLast,
    reason,
  }));
}
