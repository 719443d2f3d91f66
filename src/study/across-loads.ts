import type { ColumnTable } from 'arquero';
import type { Recording } from '../capture/recording.ts';
import { type ChangeVerdict, FALSE_ALARM } from '../lift/across-set/change-point.ts';
import { beyond, welchFreedom } from '../lift/across-set/welch.ts';
import type { LiftRecord } from '../lift/lift-record.ts';
import { MEASURES } from '../lift/measures/index.ts';
import { changeReasons } from '../messages/changes.ts';
import { uncertaintyReasons } from '../messages/uncertainty.ts';
import { mean } from '../numerics/statistics.ts';
import { studentQuantile } from '../numerics/student.ts';
import { tableOf } from './csv.ts';
import type { SetMean } from './set-means.ts';
import { taskWords } from './summary.ts';

export interface LoadedRecording {
  readonly recording: Recording;
  readonly record: Pick<LiftRecord, 'measures' | 'repetitions'>;
  readonly means: readonly SetMean[];
}

/** A measure at one load: mean over all full repetitions with it. */
export interface LoadPoint {
  readonly loadKg: number;
  readonly recordings: readonly string[];
  readonly repetitions: number;
  /** Mean of the efforts stated; null where none is. */
  readonly effortRpe: number | null;
  readonly value: number;
  /** 95 % interval of what tells this load from the others: errors common to all loads are left out, the scatter of repetitions is in it. */
  readonly lower: number;
  readonly upper: number;
  /** Against the mean of the lighter loads before a change; NaN for the lightest load. */
  readonly difference: number;
  readonly differenceLower: number;
  readonly differenceUpper: number;
  /** '' for the lightest load, and where there is no interval. */
  readonly verdict: ChangeVerdict | '';
  readonly reason: string;
}

export interface LoadChange {
  readonly athleteId: string;
  readonly liftKind: string;
  readonly barPosition: string;
  readonly condition: string;
  readonly measure: string;
  readonly side: string;
  readonly at: string;
  readonly unit: string;
  /** From the lightest load on, at least two. */
  readonly points: readonly LoadPoint[];
  /** Lightest load at which it is called changed; null where none is. */
  readonly changesFromKg: number | null;
}

/** Measures of a repetition, and what a set loses: what a body is does not change with the load. */
const WITH_LOAD: ReadonlySet<string> = new Set([
  ...MEASURES.flatMap(({ name, scope }) => (scope === 'repetition' ? [name] : [])),
  'velocity_loss',
  'depth_loss',
]);

/**
 * How technique goes with the load: the recordings of one athlete, kind of lift, place of the bar and condition, from light to
 * heavy, and the first load at which a measure lies beyond the mean of the lighter ones.
 *
 * Causes that recordings share (one key) cancel before they are squared, as in comparisons.ts. The scatter of repetitions is
 * pooled over the sets and enters with the number of repetitions; how a lifter varies from set to set is not in it. All loads but
 * the lightest are looked at, so each is judged at 5 % / (loads − 1): without a change, one is called in no more than 5 %.
 */
export function loadChangesOf(recordings: readonly LoadedRecording[]): LoadChange[] {
  const groups = new Map<string, LoadedRecording[]>();
  for (const one of recordings) {
    const key = loadGroup(one.recording);
    groups.set(key, [...(groups.get(key) ?? []), one]);
  }
  return [...groups.values()]
    .filter((group) => new Set(group.map(({ recording }) => recording.load.totalKg)).size >= 2)
    .flatMap(changesOfGroup);
}

/** Recordings of one group are alike but for their load and date: lifter, kind of lift, place of the bar, condition, heel of the shoe. */
export function loadGroup({ athlete, lift, load, condition, shoes }: LoadedRecording['recording']): string {
  const factors = Object.entries(condition).sort(([a], [b]) => (a < b ? -1 : 1));
  return JSON.stringify([athlete.id, lift.kind, load.bar.position, factors, shoes.heelHeightM]);
}

const nameOf = ({ measure, side, at }: Pick<SetMean, 'measure' | 'side' | 'at'>) => JSON.stringify([measure, side, at]);

function changesOfGroup(group: readonly LoadedRecording[]): LoadChange[] {
  const { athlete, lift, load } = group[0].recording;
  const names = new Map<string, SetMean>();
  for (const { means } of group) {
    for (const one of means) if (WITH_LOAD.has(one.measure) && !names.has(nameOf(one))) names.set(nameOf(one), one);
  }
  const byName = group.map(({ means }) => new Map(means.map((one) => [nameOf(one), one])));
  return [...names].flatMap(([name, { measure, side, at, unit }]): LoadChange[] => {
    const known = group.flatMap((one, i) => {
      const own = byName[i].get(name);
      return own ? [{ ...one, mean: own }] : [];
    });
    const weights = weightsOf(known);
    if (weights.length < 2) return [];
    const scatter = pooledScatter(known.map(({ record }) => valuesOf(record, measure, side, at)));
    const points = pointsOf(weights, scatter);
    return [
      {
        athleteId: athlete.id,
        liftKind: lift.kind,
        barPosition: load.bar.position,
        condition: taskWords(group[0].recording),
        measure,
        side,
        at,
        unit,
        points,
        changesFromKg: points.find(({ verdict }) => verdict === 'changed')?.loadKg ?? null,
      },
    ];
  });
}

/** A mean over repetitions, with what its doubt is made of. */
export interface DoubtfulMean {
  readonly value: number;
  readonly repetitions: number;
  readonly effects: ReadonlyMap<string, number>;
  readonly noiseVariance: number;
  readonly noiseFreedom: number;
  /** Why it has no interval; '' where it has one. */
  readonly reason: string;
}

interface Weight extends DoubtfulMean {
  readonly loadKg: number;
  readonly recordings: readonly string[];
  readonly effortRpe: number | null;
}

/** One mean a load, from light to heavy. */
function weightsOf(known: readonly (LoadedRecording & { readonly mean: SetMean })[]): Weight[] {
  const byLoad = new Map<number, (LoadedRecording & { readonly mean: SetMean })[]>();
  for (const one of known) {
    const { totalKg } = one.recording.load;
    byLoad.set(totalKg, [...(byLoad.get(totalKg) ?? []), one]);
  }
  return [...byLoad]
    .sort(([a], [b]) => a - b)
    .map(([loadKg, sets]) => {
      const efforts = sets.flatMap(({ recording }) => recording.lift.effortRpe ?? []);
      return {
        ...meanOfMeans(sets.map((set) => set.mean)),
        loadKg,
        recordings: sets.map(({ recording }) => recording.id).sort(),
        effortRpe: efforts.length > 0 ? mean(efforts) : null,
      };
    });
}

/** Mean over the repetitions of several means: each counts by its repetitions. */
export function meanOfMeans(means: readonly DoubtfulMean[]): DoubtfulMean {
  const repetitions = means.reduce((sum, one) => sum + one.repetitions, 0);
  const effects = new Map<string, number>();
  let [value, noiseVariance, perFreedom] = [0, 0, 0];
  for (const one of means) {
    const share = one.repetitions / repetitions;
    value += share * one.value;
    noiseVariance += share * share * one.noiseVariance;
    perFreedom += (share * share * one.noiseVariance) ** 2 / one.noiseFreedom;
    for (const [key, effect] of one.effects) effects.set(key, (effects.get(key) ?? 0) + share * effect);
  }
  return {
    value,
    repetitions,
    effects,
    noiseVariance,
    noiseFreedom: welchFreedom(noiseVariance, perFreedom),
    reason: means.find(({ reason }) => reason !== '')?.reason ?? '',
  };
}

function valuesOf(record: LoadedRecording['record'], measure: string, side: string, at: string): number[] {
  const full = new Set(record.repetitions.filter((r) => r.completeness === 'full').map((r) => r.number));
  return record.measures
    .filter((m) => m.measure === measure && m.side === side && m.at === at && full.has(m.repetition))
    .map(({ value }) => value)
    .filter(Number.isFinite);
}

/** Variance between repetitions of one set, pooled over sets, and its freedom; freedom 0 where no set has two. */
export interface Scatter {
  readonly variance: number;
  readonly freedom: number;
}

export function pooledScatter(sets: readonly (readonly number[])[]): Scatter {
  let [squares, freedom] = [0, 0];
  for (const values of sets) {
    const centre = mean(values);
    for (const value of values) squares += (value - centre) ** 2;
    freedom += Math.max(0, values.length - 1);
  }
  return { variance: freedom > 0 ? squares / freedom : Number.NaN, freedom };
}

interface Doubt {
  readonly sd: number;
  readonly freedom: number;
}

/**
 * Doubt of a less b (b null: of a alone), common causes cancelled: that of the measurement alone, and with the scatter of
 * repetitions in it, which holds their noise. NaN where scatter is not known.
 */
function doubtOf(
  a: DoubtfulMean,
  b: DoubtfulMean | null,
  scatter: Scatter,
): { readonly measured: Doubt; readonly whole: Doubt } {
  let common = 0;
  for (const key of new Set([...a.effects.keys(), ...(b?.effects.keys() ?? [])])) {
    common += ((a.effects.get(key) ?? 0) - (b?.effects.get(key) ?? 0)) ** 2;
  }
  const parts = [a, ...(b ? [b] : [])];
  const noise = parts.reduce((sum, one) => sum + one.noiseVariance, 0);
  const perFreedom = parts.reduce((sum, one) => sum + one.noiseVariance ** 2 / one.noiseFreedom, 0);
  const between = scatter.variance * parts.reduce((sum, one) => sum + 1 / one.repetitions, 0);
  const random = Math.max(between, noise);
  const measured = common + noise;
  return {
    measured: { sd: Math.sqrt(measured), freedom: welchFreedom(measured, perFreedom) },
    whole: { sd: Math.sqrt(common + random), freedom: welchFreedom(common + random, random ** 2 / scatter.freedom) },
  };
}

/** The loads judged in their order, from the second on. */
export function judgeLoads(
  loads: readonly DoubtfulMean[],
  scatter: Scatter,
): readonly Pick<LoadPoint, 'difference' | 'differenceLower' | 'differenceUpper' | 'verdict' | 'reason'>[] {
  const level = FALSE_ALARM / Math.max(1, loads.length - 1);
  // Loads from the change on are no part of what the heavier ones are compared with.
  let lighter: DoubtfulMean[] = [];
  return loads.map((load, j) => {
    const none = { difference: Number.NaN, differenceLower: Number.NaN, differenceUpper: Number.NaN };
    if (j === 0) {
      lighter = [load];
      return { ...none, verdict: '', reason: load.reason };
    }
    const before = meanOfMeans(lighter);
    const difference = load.value - before.value;
    const reason = load.reason || before.reason;
    if (reason !== '') return { ...none, difference, verdict: '', reason };
    const { measured, whole } = doubtOf(load, before, scatter);
    if (Number.isNaN(measured.sd)) return { ...none, difference, verdict: '', reason: uncertaintyReasons.noInterval() };
    const size = Math.abs(difference);
    const judged = scatter.freedom > 0;
    const changed = judged && beyond(size / whole.sd, whole.freedom) < level;
    const apart = beyond(size / measured.sd, measured.freedom) < level;
    const half = judged ? studentQuantile(1 - level / 2, whole.freedom) * whole.sd : Number.NaN;
    if (!changed) lighter.push(load);
    return {
      difference,
      differenceLower: difference - half,
      differenceUpper: difference + half,
      verdict: changed ? 'changed' : apart ? 'different' : 'cannot tell',
      reason: judged ? '' : changeReasons.loadScatterUnknown(),
    };
  });
}

function pointsOf(weights: readonly Weight[], scatter: Scatter): LoadPoint[] {
  const judged = judgeLoads(weights, scatter);
  const keys = new Set(weights.flatMap(({ effects }) => [...effects.keys()]));
  const common = new Map(
    [...keys].map((key) => [key, mean(weights.map(({ effects }) => effects.get(key) ?? 0))] as const),
  );
  return weights.map((weight, j) => {
    const apart = new Map([...keys].map((key) => [key, (weight.effects.get(key) ?? 0) - (common.get(key) ?? 0)]));
    const { measured, whole } = doubtOf({ ...weight, effects: apart }, null, scatter);
    const { sd, freedom } = scatter.freedom > 0 ? whole : measured;
    const half = weight.reason === '' && Number.isFinite(sd) ? studentQuantile(0.975, freedom) * sd : Number.NaN;
    const { loadKg, recordings, repetitions, effortRpe, value } = weight;
    return {
      loadKg,
      recordings,
      repetitions,
      effortRpe,
      value,
      lower: value - half,
      upper: value + half,
      ...judged[j],
    };
  });
}

export const LOAD_CHANGE_COLUMNS = [
  'athlete_id',
  'lift_kind',
  'bar_position',
  'condition',
  'measure',
  'side',
  'at',
  'load_kg',
  'recordings',
  'repetitions',
  'effort_rpe',
  'value',
  'lower',
  'upper',
  'unit',
  'difference',
  'difference_lower',
  'difference_upper',
  'verdict',
  'changes_from_kg',
  'reason',
] as const;

/** `load-changes.csv`: every measure at every load of an athlete, and from which load on it changes. Header only without intervals. */
export function loadChangesTable(changes: readonly LoadChange[]): ColumnTable {
  const rows = changes.flatMap((change) =>
    change.points.map((point) => ({
      athlete_id: change.athleteId,
      lift_kind: change.liftKind,
      bar_position: change.barPosition,
      condition: change.condition,
      measure: change.measure,
      side: change.side,
      at: change.at,
      load_kg: point.loadKg,
      recordings: point.recordings.join(' '),
      repetitions: point.repetitions,
      effort_rpe: point.effortRpe,
      value: point.value,
      lower: point.lower,
      upper: point.upper,
      unit: change.unit,
      difference: point.difference,
      difference_lower: point.differenceLower,
      difference_upper: point.differenceUpper,
      verdict: point.verdict,
      changes_from_kg: change.changesFromKg,
      reason: point.reason,
    })),
  );
  return tableOf(LOAD_CHANGE_COLUMNS, rows);
}
