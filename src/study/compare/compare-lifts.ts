import type { Side } from '../../lift/lift-record.ts';
import { compareReasons } from '../../messages/compare.ts';
import { uncertaintyReasons } from '../../messages/uncertainty.ts';
import { CAUSE_GROUPS } from '../../uncertainty/causes/cause.ts';
import { outputsOf } from '../../uncertainty/outputs.ts';
import { doubtOfMeans } from '../doubt-of-means.ts';
import { intervalsOfMeans, meansInto } from '../mean-intervals.ts';
import { whyNoInterval } from '../why-no-interval.ts';
import type { ComparedLift } from './compared-lift.ts';
import { checkRepetition } from './compared-lift.ts';
import { type DifferenceSide, type Differences, differencesOf } from './differences.ts';
import {
  type CurvePlace,
  curveNumbers,
  type MeasurePlace,
  measureNumbers,
  type NamedNumber,
  type NamedNumbers,
} from './named-numbers.ts';
import { simultaneousBand } from './simultaneous.ts';

export type Verdict = 'different' | 'cannot tell' | 'unknown';

/** A number of a side with its own 95 % interval; NaN where unknown. */
export interface SideValue {
  readonly value: number;
  readonly lower: number;
  readonly upper: number;
  /** Number of values in the mean; 0 where it is unknown. */
  readonly averaged: number;
}

/** What a measure and a point of a curve have in common once they are compared. Every difference is B − A. */
export interface Difference {
  readonly a: SideValue;
  readonly b: SideValue;
  readonly difference: number;
  readonly lower: number;
  readonly upper: number;
  readonly sd: number;
  /** Part of the variance of both together that cancels because they share causes; below 0 where shared causes add up. */
  readonly cancelled: number;
  readonly verdict: Verdict;
  /** Why there is no difference, or no interval of it; '' where there is one. */
  readonly reason: string;
}

export interface MeasureDifference extends Difference {
  readonly measure: string;
  readonly side: Side | '';
  readonly at: string;
  readonly unit: string;
  /** By kind of doubt, in the order of CAUSE_GROUPS: variance of A and B together if they shared nothing, and of the difference. */
  readonly apartOf: readonly number[];
  readonly leftOf: readonly number[];
}

export interface CurveDifference extends Difference, CurvePlace {
  /** The band that holds the whole curve (both ways, all depths of the grid) 19 times out of 20; the verdict rests on it. */
  readonly bandLower: number;
  readonly bandUpper: number;
}

export interface LiftComparison {
  readonly a: ComparedLift;
  readonly b: ComparedLift;
  /** Two repetitions of one recording. */
  readonly sameRecording: boolean;
  readonly measures: readonly MeasureDifference[];
  readonly curves: readonly CurveDifference[];
}

/**
 * Two lifts (or repetitions) against each other, B − A: every measure, and every value at equal depth. What both share cancels
 * in the intervals (docs/method/compare.md).
 */
export function compareLifts(a: ComparedLift, b: ComparedLift): LiftComparison {
  checkRepetition(a, 'a');
  checkRepetition(b, 'b');
  const sameRecording = a.source === b.source;
  return {
    a,
    b,
    sameRecording,
    measures: measureDifferences(a, b, sameRecording),
    curves: curveDifferences(a, b),
  };
}

function measureDifferences(a: ComparedLift, b: ComparedLift, sameRecording: boolean): MeasureDifference[] {
  const pairs = paired<MeasurePlace>(measureNumbers(a, !sameRecording), measureNumbers(b, !sameRecording));
  const { rows, differences } = compared(a, b, pairs);
  const groups = CAUSE_GROUPS.length;
  return rows.map((row, i): MeasureDifference => {
    const { measure, side, at, unit } = pairs[i].place;
    const parts = (of: Float64Array | undefined) => CAUSE_GROUPS.map((_, g) => of?.[i * groups + g] ?? Number.NaN);
    return {
      ...row,
      measure,
      side,
      at,
      unit,
      verdict: verdictOf(row.lower, row.upper),
      apartOf: parts(differences?.apartOf),
      leftOf: parts(differences?.varianceOf),
    };
  });
}

function curveDifferences(a: ComparedLift, b: ComparedLift): CurveDifference[] {
  // A depth that neither reaches is no news; one that only one reaches is.
  const pairs = paired<CurvePlace>(curveNumbers(a), curveNumbers(b)).filter(
    (pair) => pair.a.members.length + pair.b.members.length > 0,
  );
  const { rows, differences } = compared(a, b, pairs);
  const bandLower = new Float64Array(pairs.length).fill(Number.NaN);
  const bandUpper = bandLower.slice();
  if (differences) {
    const curves = new Map<string, number[]>();
    pairs.forEach(({ place: { grid, quantity, side } }, i) => {
      const name = `${grid}/${quantity}/${side}`;
      curves.set(name, [...(curves.get(name) ?? []), i]);
    });
    for (const members of curves.values()) {
      const band = simultaneousBand(differences, members);
      members.forEach((i, m) => {
        bandLower[i] = band.lower[m];
        bandUpper[i] = band.upper[m];
      });
    }
  }
  return rows.map((row, i): CurveDifference => {
    const { phase, grid, depth, quantity, side, unit } = pairs[i].place;
    return {
      ...row,
      phase,
      grid,
      depth,
      quantity,
      side,
      unit,
      bandLower: bandLower[i],
      bandUpper: bandUpper[i],
      verdict: verdictOf(bandLower[i], bandUpper[i]),
    };
  });
}

const verdictOf = (lower: number, upper: number): Verdict =>
  Number.isFinite(lower) && Number.isFinite(upper) ? (lower > 0 || upper < 0 ? 'different' : 'cannot tell') : 'unknown';

interface Pair<Place> {
  readonly place: Place;
  readonly a: NamedNumber<Place>;
  readonly b: NamedNumber<Place>;
}

/** Numbers of both sides by name: those of A in their order, then those that only B has. */
function paired<Place>(ofA: NamedNumbers<Place>, ofB: NamedNumbers<Place>): Pair<Place>[] {
  const absent = (place: Place): NamedNumber<Place> => ({ place, members: [], reason: compareReasons.notThere() });
  const pairs = [...ofA].map(([name, a]) => ({ place: a.place, a, b: ofB.get(name) ?? absent(a.place) }));
  const onlyB = [...ofB].filter(([name]) => !ofA.has(name));
  return [...pairs, ...onlyB.map(([, b]) => ({ place: b.place, a: absent(b.place), b }))];
}

type Row = Omit<Difference, 'verdict'>;

function compared<Place>(
  a: ComparedLift,
  b: ComparedLift,
  pairs: readonly Pair<Place>[],
): { readonly rows: readonly Row[]; readonly differences: Differences | null } {
  const sideA = numbersOf(
    a,
    pairs.map((pair) => pair.a.members),
  );
  const sideB = numbersOf(
    b,
    pairs.map((pair) => pair.b.members),
  );
  const differences = sideA.side && sideB.side ? differencesOf(sideA.side, sideB.side) : null;
  const rows = pairs.map((pair, i): Row => {
    const [known, reason] = whyUnknown(pair, sideA.whyNone(i), sideB.whyNone(i), differences?.lower[i] ?? Number.NaN);
    return {
      a: sideA.valueAt(i),
      b: sideB.valueAt(i),
      difference: sideB.valueAt(i).value - sideA.valueAt(i).value,
      lower: known ? differences!.lower[i] : Number.NaN,
      upper: known ? differences!.upper[i] : Number.NaN,
      sd: known ? differences!.sd[i] : Number.NaN,
      cancelled: known && differences!.apart[i] > 0 ? 1 - differences!.variance[i] / differences!.apart[i] : Number.NaN,
      reason,
    };
  });
  return { rows, differences };
}

/** Whether the difference has an interval, and why not. */
function whyUnknown<Place>(
  { a, b }: Pair<Place>,
  noneA: string,
  noneB: string,
  lower: number,
): readonly [known: boolean, reason: string] {
  if (a.members.length === 0 && b.members.length === 0)
    return [false, a.reason === b.reason ? a.reason : compareReasons.inBoth(a.reason, b.reason)];
  if (a.members.length === 0) return [false, compareReasons.inA(a.reason)];
  if (b.members.length === 0) return [false, compareReasons.inB(b.reason)];
  if (Number.isFinite(lower)) return [true, ''];
  if (noneA !== '') return [false, noneA === noneB ? noneA : compareReasons.inA(noneA)];
  return [false, noneB === '' ? uncertaintyReasons.noInterval() : compareReasons.inB(noneB)];
}

/** The means of a side, their own intervals and doubt. */
function numbersOf(lift: ComparedLift, members: readonly (readonly number[])[]) {
  const { record, uncertainty, source } = lift;
  const all = outputsOf(record);
  const values = new Float64Array(members.length);
  meansInto(values, 0, all.values, 0, 1, members, all.scales);
  const own = uncertainty && intervalsOfMeans(uncertainty, members).intervals;
  const side: DifferenceSide | null = uncertainty && {
    values,
    lower: own!.lower,
    doubt: doubtOfMeans(uncertainty, members),
    source,
  };
  return {
    side,
    valueAt: (i: number): SideValue => ({
      value: values[i],
      lower: own?.lower[i] ?? Number.NaN,
      upper: own?.upper[i] ?? Number.NaN,
      averaged: members[i].length,
    }),
    whyNone: (i: number): string => (own ? whyNoInterval(own, i) : uncertaintyReasons.switchedOff()),
  };
}
