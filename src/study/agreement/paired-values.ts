import type { CurvePoint, LiftRecord, MeasureValue } from '../../lift/lift-record.ts';
import { uncertaintyReasons } from '../../messages/uncertainty.ts';
import { studentQuantile } from '../../numerics/student.ts';
import type { LiftUncertainty } from '../../uncertainty/lift-uncertainty.ts';
import type { PairedRepetitions } from './pair-repetitions.ts';

/** One lift as one means measured it. */
export interface MeasuredLift {
  readonly record: LiftRecord;
  /** null where intervals were switched off. */
  readonly uncertainty: LiftUncertainty | null;
}

/** What is compared: a measure at a place, or a quantity across depth. */
export interface ComparedNumber {
  readonly kind: 'measure' | 'curve';
  /** Of the measure or quantity. */
  readonly name: string;
  readonly side: string;
  /** Place of a measure, phase of a curve. */
  readonly at: string;
  /** '' for a measure. */
  readonly grid: string;
  /** NaN for a measure. */
  readonly depth: number;
  readonly unit: string;
}

/** The same number of the same repetition by both means. */
export interface PairedValue {
  readonly what: ComparedNumber;
  readonly athleteId: string;
  readonly recordingA: string;
  readonly recordingB: string;
  /** 0 for a measure of the whole set. */
  readonly repetitionA: number;
  readonly repetitionB: number;
  readonly a: number;
  readonly b: number;
  /** Standard deviation of the error of a − b as the two lifts state their errors; NaN without intervals. */
  readonly statedSd: number;
  /** Whether the stated 95 % interval of a − b holds 0; null without intervals. */
  readonly covered: boolean | null;
}

export const nameOfNumber = ({ kind, name, side, at, grid, depth }: ComparedNumber): string =>
  [kind, name, side, at, grid, Number.isNaN(depth) ? '' : depth].join('/');

/** A number of a pair of repetitions that not both know. */
export interface UnpairedValue {
  readonly what: ComparedNumber;
  readonly reason: string;
}

/** Every number that both know, of every pair of repetitions; measures of the set once. In the order of A's measures and curves. */
export function pairedValues(a: MeasuredLift, b: MeasuredLift, repetitions: PairedRepetitions): PairedValue[] {
  const doubt = a.uncertainty && b.uncertainty ? doubtOfDifference(a.uncertainty, b.uncertainty) : null;
  const found: PairedValue[] = [];
  eachPair(a.record, b.record, repetitions, (what, ofA, ofB, i, j) => {
    if (ofB === null || !Number.isFinite(ofA.value) || !Number.isFinite(ofB.value)) return;
    const stated = doubt?.(i, j) ?? { sd: Number.NaN, covered: null };
    found.push({
      what,
      athleteId: a.record.athleteId,
      recordingA: a.record.recordingId,
      recordingB: b.record.recordingId,
      repetitionA: ofA.repetition,
      repetitionB: ofB.repetition,
      a: ofA.value,
      b: ofB.value,
      statedSd: stated.sd,
      covered: stated.covered,
    });
  });
  return found;
}

/** What `pairedValues` leaves out, with the reason: of A where it does not know the number, else of B. */
export function unpairedValues(a: LiftRecord, b: LiftRecord, repetitions: PairedRepetitions): UnpairedValue[] {
  const found: UnpairedValue[] = [];
  eachPair(a, b, repetitions, (what, ofA, ofB) => {
    if (!Number.isFinite(ofA.value)) found.push({ what, reason: ofA.reason });
    else if (ofB === null) found.push({ what, reason: uncertaintyReasons.unknownInOther() });
    else if (!Number.isFinite(ofB.value)) found.push({ what, reason: ofB.reason });
  });
  return found;
}

type Value = MeasureValue | CurvePoint;

/** Measures, then values across depth, of A with the same of B (null where B has no such row), and both places in their lists. */
function eachPair(
  a: LiftRecord,
  b: LiftRecord,
  repetitions: PairedRepetitions,
  visit: (what: ComparedNumber, ofA: Value, ofB: Value | null, i: number, j: number) => void,
): void {
  const partner = new Map<number, number>([[0, 0]]);
  for (const [one, other] of repetitions.pairs) partner.set(one.number, other.number);
  const pairAll = <T extends Value>(
    ofA: readonly T[],
    ofB: readonly T[],
    firstA: number,
    firstB: number,
    describe: (value: T) => ComparedNumber,
  ) => {
    const indexB = new Map(ofB.map((value, j) => [`${value.repetition}/${nameOfNumber(describe(value))}`, j]));
    ofA.forEach((value, i) => {
      const repetitionB = partner.get(value.repetition);
      if (repetitionB === undefined) return;
      const what = describe(value);
      const j = indexB.get(`${repetitionB}/${nameOfNumber(what)}`);
      visit(what, value, j === undefined ? null : ofB[j], firstA + i, firstB + (j ?? 0));
    });
  };
  pairAll(a.measures, b.measures, 0, 0, describeMeasure);
  pairAll(a.curves, b.curves, a.measures.length, b.measures.length, describePoint);
}

const describeMeasure = ({ measure, side, at, unit }: MeasureValue): ComparedNumber => ({
  kind: 'measure',
  name: measure,
  side,
  at,
  grid: '',
  depth: Number.NaN,
  unit,
});

const describePoint = ({ quantity, side, phase, grid, depth, unit }: CurvePoint): ComparedNumber => ({
  kind: 'curve',
  name: quantity,
  side,
  at: phase,
  grid,
  depth,
  unit,
});

interface StatedDoubt {
  readonly sd: number;
  readonly covered: boolean | null;
}

/**
 * Error of a difference to first order: what the two lifts share (the lifter's segments, the stated mass and load, the same
 * rig or detector) moves both and cancels before it is squared; noise and what belongs to one means alone adds up.
 * NaN and null where one of the two has no interval.
 */
function doubtOfDifference(a: LiftUncertainty, b: LiftUncertainty): (i: number, j: number) => StatedDoubt {
  const keysA = a.causes.map(({ key }) => sharedKey(key, a.record.recordingId, 'A'));
  const placeInB = new Map(b.causes.map(({ key }, k) => [sharedKey(key, b.record.recordingId, 'B'), k]));
  const partners = keysA.map((key) => placeInB.get(key) ?? -1);
  const alone = b.causes.map((_, k) => !partners.includes(k));
  return (i, j) => {
    const centre = 0.5 * (a.intervals.lower[i] + a.intervals.upper[i] - b.intervals.lower[j] - b.intervals.upper[j]);
    if (Number.isNaN(centre)) return { sd: Number.NaN, covered: null };
    let variance = 0;
    for (let k = 0; k < partners.length; k++) {
      const inA = a.effects[i * partners.length + k];
      const inB = partners[k] < 0 ? 0 : b.effects[j * alone.length + partners[k]];
      variance += (inA - inB) ** 2;
    }
    for (let k = 0; k < alone.length; k++) if (alone[k]) variance += b.effects[j * alone.length + k] ** 2;
    const [noiseA, noiseB] = [noiseVariance(a, i), noiseVariance(b, j)];
    const sd = Math.sqrt(variance + noiseA + noiseB);
    if (Number.isNaN(sd)) return { sd, covered: null };
    const spread = noiseA ** 2 / Math.max(1, a.noiseDraws - 1) + noiseB ** 2 / Math.max(1, b.noiseDraws - 1);
    const freedom = spread > 0 ? Math.min(1e6, Math.max(1, sd ** 4 / spread)) : 1e6;
    return { sd, covered: Math.abs(centre) <= quantileOf(freedom) * sd };
  };
}

/** Student's 97.5 % quantile by whole freedoms, computed once each. */
const quantiles = new Map<number, number>();

function quantileOf(freedom: number): number {
  const whole = Math.floor(freedom);
  const known = quantiles.get(whole) ?? studentQuantile(0.975, whole);
  quantiles.set(whole, known);
  return known;
}

/**
 * Two means of measuring one lift share what belongs to the lifter, to a rig or detector that both used, and, of the
 * recording, the load on the bar; not its clocks, and not "no rig", which is no rig in common.
 */
function sharedKey(key: string, recordingId: string, means: 'A' | 'B'): string {
  const own = `recording/${recordingId}/`;
  if (key === `${own}load`) return 'this lift/load';
  return key.startsWith(own) || key.startsWith('rig/none/') ? `${means}/${key}` : key;
}

function noiseVariance({ noise, noiseDraws, outputs }: LiftUncertainty, i: number): number {
  let [count, sum, squares] = [0, 0, 0];
  for (let d = 0; d < noiseDraws; d++) {
    const value = noise[d * outputs.count + i] - outputs.values[i];
    if (Number.isNaN(value)) continue;
    count++;
    sum += value;
    squares += value * value;
  }
  return count > 1 ? Math.max(0, squares - (sum * sum) / count) / (count - 1) : 0;
}
