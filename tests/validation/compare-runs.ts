import type { LiftRecord } from '../../src/lift/lift-record.ts';
import { hashSeed } from '../../src/numerics/random.ts';
import { mean, standardDeviation } from '../../src/numerics/statistics.ts';
import { compareLifts, type Difference, type LiftComparison } from '../../src/study/compare/compare-lifts.ts';
import type { ComparedLift } from '../../src/study/compare/compared-lift.ts';
import { CAUSE_GROUPS, type CauseGroup } from '../../src/uncertainty/causes/cause.ts';
import { liftUncertainty } from '../../src/uncertainty/lift-uncertainty.ts';
import { analysedData } from '../synthetic/analysed.ts';
import { equipmentOf } from '../synthetic/demo.ts';
import { CAUSES_OF_GROUP, type DrawnCause, type DrawnWorld, drawnWorld } from '../synthetic/drawn-world.ts';
import { recordingOf } from '../synthetic/in-memory.ts';
import { JUDGED, type JudgedName, judgedTruth } from '../synthetic/judged.ts';
import type { VirtualLift } from '../synthetic/lift.ts';
import { type DrawnStyle, drawnStyle, liftOfStyle, reasonAgainst } from '../synthetic/styles.ts';
import { loadsAt, thighElevationDeg, trunkLeanDeg } from '../synthetic/truth.ts';

const NORMAL_95 = 1.959963984540054;

/** What one recording has to itself: drawn anew for the second lift of a pair. */
const OWN: readonly DrawnCause[] = ['noise', 'offsets', 'load'];

/** A pair of lifts of one athlete with what is truly different between them. */
export interface Pair {
  readonly worldA: DrawnWorld;
  readonly worldB: DrawnWorld;
}

export interface PairSetting {
  readonly styles: number;
  readonly seeds: number;
  readonly firstStyle?: number;
  /** False: B is A lifted again exactly alike; whatever reads 'different' is wrong. */
  readonly changed: boolean;
  /** Values across depth and their band too; several times as slow. */
  readonly curves: boolean;
  /** Kinds of doubt drawn and known to the intervals; all where left out. */
  readonly groups?: readonly CauseGroup[];
  /** Draws of the noise alone; those of the analysis where left out. */
  readonly noiseDraws?: number;
}

/**
 * Two films of one athlete: body, tables, keypoint offsets, cameras, vertical, readouts and body mass are drawn once for
 * both, noise, clock offset and load anew. Changed: the other heel, other unevenness of the course; where that cannot be
 * lifted, a tenth more on the bar.
 */
export function drawnPair(
  style: DrawnStyle,
  seed: number,
  changed: boolean,
  groups: readonly CauseGroup[] = CAUSE_GROUPS,
): Pair {
  // A load drawn anew would be a true difference.
  const drawn = groups.flatMap((group) => CAUSES_OF_GROUP[group]);
  const causes = new Set(drawn.filter((cause) => changed || cause !== 'load'));
  const styleB = changed ? changedStyle(style) : style;
  const worldA = drawnWorld(style, seed, causes);
  const shared = drawnWorld(styleB, seed, causes);
  const own = drawnWorld(
    styleB,
    hashSeed('second lift of the pair', seed),
    new Set(OWN.filter((one) => causes.has(one))),
  );
  const { lifter } = shared.lift.setup;
  return {
    worldA,
    worldB: {
      ...shared,
      lift: liftOfStyle(styleB, lifter, own.lift.setup.equipment.loadKg),
      filming: {
        ...shared.filming,
        seed: own.filming.seed,
        views: shared.filming.views.map((view, v) => ({ ...view, offsetS: own.filming.views[v].offsetS })),
      },
    },
  };
}

function changedStyle(style: DrawnStyle): DrawnStyle {
  const { equipment, lifter } = style.setup;
  const courseSeed = hashSeed('second course', style.courseSeed);
  const other = (loadKg: number, heel: 'flat' | 'raised'): DrawnStyle => ({
    ...style,
    courseSeed,
    setup: { ...style.setup, equipment: equipmentOf(lifter.build.sex, loadKg, heel) },
  });
  const raised = equipment.heelHeightM > 0;
  const tried = [
    other(equipment.loadKg, raised ? 'flat' : 'raised'),
    other(Math.round(1.1 * equipment.loadKg), raised ? 'raised' : 'flat'),
    other(Math.round(0.9 * equipment.loadKg), raised ? 'raised' : 'flat'),
  ];
  return tried.find((one) => reasonAgainst(one) === '') ?? { ...style, courseSeed };
}

/** The analyser's comparison of the first repetitions. */
export function comparedPair(
  { worldA, worldB }: Pair,
  seed: number,
  curves: boolean,
  groups: readonly CauseGroup[] = CAUSE_GROUPS,
  noiseDraws?: number,
): LiftComparison {
  const side = (world: DrawnWorld, id: string): ComparedLift => {
    const { data, rig } = recordingOf(world.lift, world.filming, { stated: world.stated, rig: world.rig });
    const recording = { ...data.recording, id };
    const run = analysedData(world.lift, world.filming, { ...data, recording }, rig);
    const uncertainty = liftUncertainty(run, { mode: 'linear', draws: 0, seed, curves, groups, noiseDraws });
    const record: LiftRecord = curves ? uncertainty.record : { ...uncertainty.record, curves: [] };
    return { recording, record, uncertainty, repetition: 1, source: id };
  };
  return compareLifts(side(worldA, 'first'), side(worldB, 'second'));
}

/** What became of one result over all pairs. */
export interface PairsOf {
  readonly name: JudgedName;
  readonly unit: string;
  readonly pairs: number;
  /** Share of the intervals that hold the true difference. */
  readonly covered: number;
  readonly different: number;
  readonly sdZ: number;
  /** Mean half width, and mean half width of A and B if they shared nothing. */
  readonly half: number;
  readonly apart: number;
  readonly unknown: number;
}

/** A curve's band: whether it holds the whole true difference. */
export interface BandOf {
  readonly name: string;
  readonly pairs: number;
  readonly covered: number;
  readonly different: number;
  /** The same by the intervals of each depth: what looking at every depth would do without a band. */
  readonly eachDepth: number;
}

interface Tally {
  readonly z: number[];
  readonly half: number[];
  readonly apart: number[];
  covered: number;
  different: number;
  unknown: number;
}

const BANDS = [
  { name: 'hip share across depth', quantity: 'hip_share', side: 'both', truth: shareAt },
  { name: 'trunk lean across depth', quantity: 'trunk_lean', side: '', truth: leanAt },
] as const;

export function pairsCoverage(
  { styles, seeds, firstStyle = 0, changed, curves, groups, noiseDraws }: PairSetting,
  progress: (done: number, total: number) => void,
): { readonly results: readonly PairsOf[]; readonly bands: readonly BandOf[] } {
  const tallies = JUDGED.map((): Tally => ({ z: [], half: [], apart: [], covered: 0, different: 0, unknown: 0 }));
  const bands = BANDS.map(() => ({ pairs: 0, covered: 0, different: 0, eachDepth: 0 }));
  for (let number = 0; number < styles; number++) {
    const style = drawnStyle(firstStyle + number);
    for (let s = 0; s < seeds; s++) {
      progress(number * seeds + s, styles * seeds);
      const pair = drawnPair(style, s + 1, changed, groups);
      const comparison = comparedPair(pair, 1000 * number + s + 1, curves, groups, noiseDraws);
      const [truthA, truthB] = [pair.worldA, pair.worldB].map(({ lift }) => judgedTruth(lift, 0));
      JUDGED.forEach((judged, j) => {
        judgeInto(tallies[j], rowOf(comparison, judged.found), truthB[judged.name] - truthA[judged.name]);
      });
      if (!curves) continue;
      BANDS.forEach((band, i) => {
        judgeBandInto(bands[i], comparison, pair, band);
      });
    }
  }
  return {
    results: JUDGED.map(({ name, unit }, j): PairsOf => {
      const { z, half, apart, covered, different, unknown } = tallies[j];
      return {
        name,
        unit,
        pairs: z.length,
        covered: covered / z.length,
        different: different / z.length,
        sdZ: standardDeviation(Float64Array.from(z)),
        half: mean(Float64Array.from(half)),
        apart: mean(Float64Array.from(apart)),
        unknown,
      };
    }),
    bands: BANDS.map(({ name }, i) => ({
      name,
      pairs: bands[i].pairs,
      covered: bands[i].covered / bands[i].pairs,
      different: bands[i].different / bands[i].pairs,
      eachDepth: bands[i].eachDepth / bands[i].pairs,
    })),
  };
}

function rowOf({ measures, curves }: LiftComparison, found: (typeof JUDGED)[number]['found']) {
  if ('measure' in found) {
    const row = measures.find((one) => one.measure === found.measure && one.at === found.at && one.side === found.side);
    return row && { row, apart: row.apartOf.reduce((sum, part) => sum + part, 0) };
  }
  const row = curves.find(
    (one) =>
      one.quantity === found.quantity &&
      one.phase === found.phase &&
      one.grid === 'thigh_elevation_deg' &&
      one.depth === 0 &&
      one.side === 'both',
  );
  return row && { row, apart: (row.sd * row.sd) / (1 - row.cancelled) };
}

function judgeInto(tally: Tally, of: { row: Difference; apart: number } | undefined, truth: number): void {
  if (!of || Number.isNaN(of.row.lower + truth)) {
    tally.unknown++;
    return;
  }
  const { lower, upper } = of.row;
  const half = (upper - lower) / 2;
  tally.half.push(half);
  tally.apart.push(NORMAL_95 * Math.sqrt(of.apart));
  tally.z.push((NORMAL_95 * ((upper + lower) / 2 - truth)) / half);
  if (lower <= truth && truth <= upper) tally.covered++;
  if (lower > 0 || upper < 0) tally.different++;
}

function judgeBandInto(
  tally: { pairs: number; covered: number; different: number; eachDepth: number },
  { curves }: LiftComparison,
  { worldA, worldB }: Pair,
  { quantity, side, truth }: (typeof BANDS)[number],
): void {
  const points = curves.filter(
    (one) =>
      one.quantity === quantity &&
      one.side === side &&
      one.grid === 'thigh_elevation_deg' &&
      Number.isFinite(one.bandLower),
  );
  if (points.length === 0) return;
  let [inBand, inEach, different] = [true, true, false];
  for (const point of points) {
    const [timeA, timeB] = [worldA, worldB].map(({ lift }) => timeAtDepth(lift, point.phase, point.depth));
    const difference = truth(worldB.lift, timeB) - truth(worldA.lift, timeA);
    if (Number.isNaN(difference)) continue;
    inBand &&= point.bandLower <= difference && difference <= point.bandUpper;
    inEach &&= point.lower <= difference && difference <= point.upper;
    different ||= point.verdict === 'different';
  }
  tally.pairs++;
  if (inBand) tally.covered++;
  if (different) tally.different++;
  if (inEach) tally.eachDepth++;
}

function shareAt(lift: VirtualLift, timeS: number): number {
  if (Number.isNaN(timeS)) return Number.NaN;
  const { hip, knee } = loadsAt(lift, timeS);
  return hip.total / (hip.total + knee.total);
}

function leanAt(lift: VirtualLift, timeS: number): number {
  return Number.isNaN(timeS) ? Number.NaN : trunkLeanDeg(lift.postureAt(timeS));
}

/** Time at which the first repetition passes a thigh angle on its way down or up, by bisection; NaN where it does not. */
function timeAtDepth(lift: VirtualLift, phase: 'descent' | 'ascent', depthDeg: number): number {
  const { startS, descentS, pauseS, ascentS } = lift.course.repetitions[0];
  const lowest = startS + descentS + pauseS / 2;
  const [stand, deep] = phase === 'descent' ? [startS, lowest] : [startS + descentS + pauseS + ascentS, lowest];
  const above = (t: number) => thighElevationDeg(lift.postureAt(t)) - depthDeg;
  let [high, low] = [stand, deep];
  if (!(above(high) > 0 && above(low) <= 0)) return Number.NaN;
  for (let i = 0; i < 40; i++) {
    const middle = (high + low) / 2;
    if (above(middle) > 0) high = middle;
    else low = middle;
  }
  return (high + low) / 2;
}
