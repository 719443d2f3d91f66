import type { CurvePoint, LiftRecord } from '../../../lift/lift-record.ts';
import { curvesOfTwoKinds, noCurveValues } from '../../../messages/curve-tests.ts';

/** One value of `curves.csv`: a full repetition at a depth. NaN where it is unknown. */
export interface CurveRow extends Pick<CurvePoint, 'repetition' | 'phase' | 'depth' | 'value'> {
  readonly recordingId: string;
  readonly athleteId: string;
}

/** What the curves are of; equal for all curves that one test compares. */
export interface CurveName extends Pick<CurvePoint, 'quantity' | 'side' | 'grid'> {}

/** Shares, angles and moments are averaged as they are; ratios, whose mean is not the ratio of anything, by their logarithm. */
export type CurveScale = 'as is' | 'logarithm';

/** A place along the curve. */
export interface CurvePlace extends Pick<CurvePoint, 'phase' | 'depth'> {}

/** One curve an athlete, all under one condition. */
export interface AthleteCurves extends CurveName {
  readonly scale: CurveScale;
  /** Ids, in alphabetical order: results do not hang on the order of rows. */
  readonly athletes: readonly string[];
  /** Way down first, then up; from the shallow end to the deep end in each. */
  readonly places: readonly CurvePlace[];
  /** `athlete * places + place`, on `scale`; NaN where the athlete has no mean there. */
  readonly values: Float64Array;
  /** Per athlete: recordings and repetitions behind the curve. */
  readonly recordings: readonly number[];
  readonly repetitions: readonly number[];
}

/** The scale on which a quantity or measure is averaged: names that end in `_ratio` by the logarithm. */
export const scaleOf = (quantity: string): CurveScale => (/_ratio$/.test(quantity) ? 'logarithm' : 'as is');

/** The rows of one curve of a recording: its full repetitions. */
export function curveRowsOf(record: LiftRecord, { quantity, side, grid }: CurveName): CurveRow[] {
  const full = new Set(record.repetitions.filter((r) => r.completeness === 'full').map((r) => r.number));
  const { recordingId, athleteId } = record;
  return record.curves
    .filter((p) => p.quantity === quantity && p.side === side && p.grid === grid && full.has(p.repetition))
    .map(({ repetition, phase, depth, value }) => ({ recordingId, athleteId, repetition, phase, depth, value }));
}

/**
 * One curve an athlete: repetitions are averaged within each recording, then recordings within the athlete, each counting
 * once. Athletes are the unit that is exchanged later; repetitions of one athlete are alike and would make a test see more
 * than there is.
 *
 * A mean has a depth only where every repetition (recording) that has this curve at all has a value there: else it would
 * jump where the shallowest one ends (as in mean-curves.csv). On the logarithm a value of 0 or less is unknown.
 *
 * @param rows one quantity, side and grid, one condition; full repetitions only. No known value: DataError
 */
export function athleteCurves(
  rows: readonly CurveRow[],
  name: CurveName,
  scale: CurveScale = scaleOf(name.quantity),
): AthleteCurves {
  const places = placesOf(rows, name.grid);
  const at = new Map(places.map((place, i) => [placeKey(place), i]));
  const byAthlete = new Map<string, Map<string, Map<number, Float64Array>>>();
  for (const row of rows) {
    const value = scale === 'as is' ? row.value : row.value > 0 ? Math.log(row.value) : Number.NaN;
    if (!Number.isFinite(value)) continue;
    const recordings = entry(byAthlete, row.athleteId, () => new Map<string, Map<number, Float64Array>>());
    const repetitions = entry(recordings, row.recordingId, () => new Map<number, Float64Array>());
    const curve = entry(repetitions, row.repetition, () => new Float64Array(places.length).fill(Number.NaN));
    curve[at.get(placeKey(row))!] = value;
  }
  if (byAthlete.size === 0) throw noCurveValues(name.quantity, name.side, name.grid);
  const athletes = [...byAthlete.keys()].sort();
  const values = new Float64Array(athletes.length * places.length);
  athletes.forEach((athlete, i) => {
    const recordings = [...byAthlete.get(athlete)!.values()].map((repetitions) => meanCurve([...repetitions.values()]));
    values.set(meanCurve(recordings), i * places.length);
  });
  const countOf = (athlete: string) => [...byAthlete.get(athlete)!.values()];
  return {
    ...name,
    scale,
    athletes,
    places,
    values,
    recordings: athletes.map((athlete) => countOf(athlete).length),
    repetitions: athletes.map((athlete) => countOf(athlete).reduce((sum, { size }) => sum + size, 0)),
  };
}

/** Both on the union of their places. Two quantities, sides, grids or scales: DataError. */
export function onOnePlaces(a: AthleteCurves, b: AthleteCurves): readonly [AthleteCurves, AthleteCurves] {
  for (const what of ['quantity', 'side', 'grid', 'scale'] as const)
    if (a[what] !== b[what]) throw curvesOfTwoKinds(what, a[what], b[what]);
  if (a.places === b.places) return [a, b];
  const known = new Set<string>();
  const union = [...a.places, ...b.places].filter((place) => {
    const key = placeKey(place);
    return known.has(key) ? false : known.add(key);
  });
  const places = sorted(union, a.grid);
  return [onPlaces(a, places), onPlaces(b, places)];
}

function onPlaces(curves: AthleteCurves, places: readonly CurvePlace[]): AthleteCurves {
  const from = new Map(curves.places.map((place, i) => [placeKey(place), i]));
  const values = new Float64Array(curves.athletes.length * places.length);
  curves.athletes.forEach((_, i) => {
    places.forEach((place, p) => {
      const own = from.get(placeKey(place));
      values[i * places.length + p] = own === undefined ? Number.NaN : curves.values[i * curves.places.length + own];
    });
  });
  return { ...curves, places, values };
}

/** Mean of curves place by place: NaN where one of them has no value. */
function meanCurve(curves: readonly Float64Array[]): Float64Array {
  return curves[0].map((_, p) => {
    let sum = 0;
    for (const curve of curves) sum += curve[p];
    return sum / curves.length;
  });
}

const placeKey = ({ phase, depth }: CurvePlace): string => `${phase} ${depth}`;

function placesOf(rows: readonly CurveRow[], grid: CurveName['grid']): CurvePlace[] {
  const places = new Map<string, CurvePlace>();
  for (const { phase, depth } of rows) places.set(placeKey({ phase, depth }), { phase, depth });
  return sorted([...places.values()], grid);
}

/** From shallow to deep: the thigh's elevation falls with depth, the drop rises. */
function sorted(places: readonly CurvePlace[], grid: CurveName['grid']): CurvePlace[] {
  const deeper = grid === 'thigh_elevation_deg' ? -1 : 1;
  const rank = ({ phase }: CurvePlace) => (phase === 'descent' ? 0 : 1);
  return [...places].sort((one, other) => rank(one) - rank(other) || deeper * (one.depth - other.depth));
}

function entry<K, V>(map: Map<K, V>, key: K, make: () => V): V {
  const known = map.get(key);
  if (known !== undefined) return known;
  const made = make();
  map.set(key, made);
  return made;
}
