import { CURVE_QUANTITIES } from '../../lift/curves.ts';
import type { LiftRecord } from '../../lift/lift-record.ts';
import type { LiftUncertainty } from '../../uncertainty/lift-uncertainty.ts';
import { type CurvePlace, scaleOf } from '../statistics/curves/athlete-curves.ts';
import { sideOfCurve } from './checked-curves.ts';

/** What a comparison across depth needs of one curve of a recording: its full repetitions, and what moves their mean. */
export interface KeptCurve {
  readonly quantity: string;
  readonly side: 'both' | '';
  readonly grid: 'thigh_elevation_deg';
  readonly unit: string;
  readonly places: readonly CurvePlace[];
  /** Numbers of the full repetitions. */
  readonly repetitions: readonly number[];
  /** `repetition * places + place`, in the unit; NaN where unknown. */
  readonly values: Float64Array;
  /**
   * What one standard deviation of each unknown of the measurement does to the mean over the repetitions, by its key; one number a
   * place, on the scale of the mean (`scaleOf`), NaN where there is no mean. null: intervals were switched off.
   */
  readonly effects: ReadonlyMap<string, Float32Array> | null;
}

/**
 * The curves of a recording over thigh elevation, legs together: what is compared over a whole study.
 *
 * Effects are first order: on a ratio's logarithm the effect on the ratio by the ratio. Single precision holds them: they are
 * standard deviations, of which two digits count.
 */
export function keptCurvesOf(
  record: Pick<LiftRecord, 'curves' | 'measures' | 'repetitions'>,
  uncertainty: Pick<LiftUncertainty, 'outputs' | 'causes' | 'effects'> | null,
): KeptCurve[] {
  const repetitions = record.repetitions.filter((r) => r.completeness === 'full').map((r) => r.number);
  const withEffects = uncertainty !== null && uncertainty.outputs.curves.length === record.curves.length;
  return CURVE_QUANTITIES.flatMap((quantity): KeptCurve[] => {
    const side = sideOfCurve(quantity);
    const own = [...record.curves.keys()].filter((i) => {
      const point = record.curves[i];
      return point.quantity === quantity && point.side === side && point.grid === 'thigh_elevation_deg';
    });
    if (own.length === 0) return [];
    const places: CurvePlace[] = [];
    const at = new Map<string, number>();
    for (const i of own) {
      const { phase, depth } = record.curves[i];
      const key = `${phase} ${depth}`;
      if (at.has(key)) continue;
      at.set(key, places.length);
      places.push({ phase, depth });
    }
    const values = new Float64Array(repetitions.length * places.length).fill(Number.NaN);
    const outputs = new Int32Array(values.length).fill(-1);
    for (const i of own) {
      const { repetition, phase, depth, value } = record.curves[i];
      const row = repetitions.indexOf(repetition);
      if (row < 0) continue;
      const cell = row * places.length + at.get(`${phase} ${depth}`)!;
      values[cell] = value;
      outputs[cell] = record.measures.length + i;
    }
    const { unit } = record.curves[own[0]];
    const effects = withEffects ? effectsOn(values, outputs, places.length, quantity, uncertainty) : null;
    return [{ quantity, side, grid: 'thigh_elevation_deg', unit, places, repetitions, values, effects }];
  });
}

function effectsOn(
  values: Float64Array,
  outputs: Int32Array,
  places: number,
  quantity: string,
  { causes, effects }: Pick<LiftUncertainty, 'causes' | 'effects'>,
): ReadonlyMap<string, Float32Array> {
  const byLogarithm = scaleOf(quantity) === 'logarithm';
  const known = (value: number) => Number.isFinite(value) && (!byLogarithm || value > 0);
  const starts = Array.from({ length: values.length / places }, (_, row) => row * places);
  // As in the mean: a repetition that has the curve nowhere does not take part.
  const rows = starts.filter((start) => values.subarray(start, start + places).some(known));
  const hasMean = Array.from(
    { length: places },
    (_, p) => rows.length > 0 && rows.every((start) => known(values[start + p])),
  );
  const byKey = new Map<string, Float32Array>();
  causes.forEach(({ key }, k) => {
    const own = Float32Array.from(hasMean, (has, p) => {
      if (!has) return Number.NaN;
      let sum = 0;
      for (const start of rows) {
        const effect = effects[outputs[start + p] * causes.length + k];
        sum += byLogarithm ? effect / values[start + p] : effect;
      }
      return sum / rows.length;
    });
    if (own.every((effect, p) => effect === 0 || !hasMean[p])) return;
    // Causes of one key are one unknown: what they do adds up.
    const before = byKey.get(key);
    byKey.set(key, before ? before.map((effect, p) => effect + own[p]) : own);
  });
  return byKey;
}
