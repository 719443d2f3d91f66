import type { CurvePoint, LiftRecord, MeasureValue, Repetition } from '../lift/lift-record.ts';
import { isPlaneLength, scaleOf } from '../lift/measures/index.ts';
import type { Scale } from '../numerics/scale.ts';

/**
 * The numbers of a lift that get an interval: its measures, then its curve points, in the order of the record. A draw's
 * record is read in the same order, number by number the same thing, also where a draw finds other repetitions.
 */
export interface Outputs {
  readonly measures: readonly MeasureValue[];
  readonly curves: readonly CurvePoint[];
  readonly count: number;
  /** The values of the record itself; NaN where unknown. */
  readonly values: Float64Array;
  /** Scale of each number that is a ratio, else null; absent: there is none. */
  readonly scales?: readonly (Scale | null)[];
  /** Numbers that are the length of a vector on the floor; absent: there is none. */
  readonly planeLengths?: ReadonlySet<number>;
  /** Reads a draw's record; NaN where the draw does not know the number. */
  readInto(out: Float64Array, o: number, drawn: LiftRecord): void;
}

export function outputsOf(record: LiftRecord): Outputs {
  const { measures, curves } = record;
  const count = measures.length + curves.length;
  const readInto = (out: Float64Array, o: number, drawn: LiftRecord): void => {
    if (isSameShape(record, drawn)) {
      for (let i = 0; i < measures.length; i++) out[o + i] = drawn.measures[i].value;
      for (let i = 0; i < curves.length; i++) out[o + measures.length + i] = drawn.curves[i].value;
    } else {
      readByNameInto(out, o, record, drawn);
    }
  };
  const values = new Float64Array(count);
  readInto(values, 0, record);
  const scales = [
    ...measures.map(({ measure }) => scaleOf(measure)),
    // A curve of a ratio bears the name of the measure.
    ...curves.map(({ quantity }) => scaleOf(quantity)),
  ];
  const planeLengths = new Set(measures.flatMap(({ measure }, i) => (isPlaneLength(measure) ? [i] : [])));
  return { measures, curves, count, values, scales, planeLengths, readInto };
}

/** Whether both list the same numbers in the same order, of the same repetitions. */
function isSameShape(record: LiftRecord, drawn: LiftRecord): boolean {
  const { measures, curves, repetitions } = record;
  if (drawn === record) return true;
  if (drawn.measures.length !== measures.length || drawn.curves.length !== curves.length) return false;
  if (drawn.repetitions.length !== repetitions.length) return false;
  for (let i = 0; i < repetitions.length; i++) {
    if (!isSameRepetition(repetitions[i], drawn.repetitions[i])) return false;
  }
  for (let i = 0; i < measures.length; i++) {
    const [a, b] = [measures[i], drawn.measures[i]];
    if (a.measure !== b.measure || a.at !== b.at || a.side !== b.side || a.repetition !== b.repetition) return false;
  }
  for (let i = 0; i < curves.length; i++) {
    const [a, b] = [curves[i], drawn.curves[i]];
    if (a.quantity !== b.quantity || a.depth !== b.depth || a.side !== b.side || a.phase !== b.phase) return false;
    if (a.repetition !== b.repetition || a.grid !== b.grid) return false;
  }
  return true;
}

/** Repetitions are the same one where they share more than half of the shorter: the lowest frame of a pause is anywhere. */
function isSameRepetition(a: Repetition, b: Repetition): boolean {
  if (a.order !== b.order) return false;
  const [fromA, toA] = spanOf(a);
  const [fromB, toB] = spanOf(b);
  return Math.min(toA, toB) - Math.max(fromA, fromB) > 0.5 * Math.min(toA - fromA, toB - fromB);
}

function spanOf({ descent, ascent, bottomFrame }: Repetition): readonly [from: number, to: number] {
  return [
    Math.min(bottomFrame, descent?.from ?? bottomFrame, ascent?.from ?? bottomFrame),
    Math.max(bottomFrame, descent?.to ?? bottomFrame, ascent?.to ?? bottomFrame),
  ];
}

function readByNameInto(out: Float64Array, o: number, record: LiftRecord, drawn: LiftRecord): void {
  const numberOf = new Map<number, number>([[0, 0]]);
  for (const repetition of record.repetitions) {
    const same = drawn.repetitions.find((other) => isSameRepetition(repetition, other));
    if (same) numberOf.set(same.number, repetition.number);
  }
  const found = new Map<string, number>();
  for (const measure of drawn.measures) {
    const repetition = numberOf.get(measure.repetition);
    if (repetition !== undefined) found.set(measureName(measure, repetition), measure.value);
  }
  for (const point of drawn.curves) {
    const repetition = numberOf.get(point.repetition);
    if (repetition !== undefined) found.set(curveName(point, repetition), point.value);
  }
  record.measures.forEach((measure, i) => {
    out[o + i] = found.get(measureName(measure, measure.repetition)) ?? Number.NaN;
  });
  record.curves.forEach((point, i) => {
    out[o + record.measures.length + i] = found.get(curveName(point, point.repetition)) ?? Number.NaN;
  });
}

export function measureName({ measure, side, at }: MeasureValue, repetition: number): string {
  return `${repetition}/${measure}/${side}/${at}`;
}

function curveName({ phase, grid, depth, quantity, side }: CurvePoint, repetition: number): string {
  return `${repetition}/${phase}/${grid}/${depth}/${quantity}/${side}`;
}
