import type { ColumnTable } from 'arquero';
import type { Recording } from '../capture/recording.ts';
import { uncertaintyReasons } from '../messages/uncertainty.ts';
import { studentQuantile } from '../numerics/student.ts';
import { LARGEST_UNKNOWN_SHARE, quantileOfSorted } from '../uncertainty/intervals.ts';
import { tableOf } from './csv.ts';
import type { SetMean } from './set-means.ts';

export { type SetMean, setMeansOf } from './set-means.ts';

export interface Difference {
  readonly value: number;
  readonly sd: number;
  readonly lower: number;
  readonly upper: number;
  /** Part of the variance of both together that cancels because both share its causes, 0–1. */
  readonly cancelled: number;
}

/**
 * Mean of `a` less mean of `b`, with a 95 % interval in which common causes cancel: an unknown with one key is one and the
 * same in both, so its effects subtract before they are squared. From joint draws where both have as many of them.
 */
export function differenceOf(a: SetMean, b: SetMean): Difference {
  const value = a.value - b.value;
  let variance = a.noiseVariance + b.noiseVariance;
  let apart = variance;
  for (const key of new Set([...a.effects.keys(), ...b.effects.keys()])) {
    const [ea, eb] = [a.effects.get(key) ?? 0, b.effects.get(key) ?? 0];
    variance += (ea - eb) ** 2;
    apart += ea * ea + eb * eb;
  }
  const sd = Math.sqrt(variance);
  const cancelled = apart > 0 ? 1 - variance / apart : 0;
  if (a.drawn && b.drawn && a.drawn.length === b.drawn.length) {
    const differences = a.drawn.map((drawn, d) => drawn - b.drawn![d]).filter((d) => !Number.isNaN(d));
    if (differences.length >= (1 - LARGEST_UNKNOWN_SHARE) * a.drawn.length) {
      differences.sort();
      const [low, high] = [quantileOfSorted(differences, 0.025), quantileOfSorted(differences, 0.975)];
      return { value, sd, lower: 2 * value - high, upper: 2 * value - low, cancelled };
    }
  }
  // A number that has no interval of its own, or none with one of the causes, has none in a difference.
  if (Number.isNaN(variance) || a.reason !== '' || b.reason !== '')
    return { value, sd, lower: Number.NaN, upper: Number.NaN, cancelled };
  const noise = a.noiseVariance ** 2 / a.noiseFreedom + b.noiseVariance ** 2 / b.noiseFreedom;
  const freedom = noise > 0 ? Math.max(1, Math.min(1e6, variance ** 2 / noise)) : 1e6;
  const half = studentQuantile(0.975, freedom) * sd;
  return { value, sd, lower: value - half, upper: value + half, cancelled };
}

export const COMPARISON_COLUMNS = [
  'athlete_id',
  'recording_id',
  'against_recording_id',
  'measure',
  'side',
  'at',
  'value',
  'against_value',
  'difference',
  'lower',
  'upper',
  'sd',
  'cancelled_share',
  'unit',
  'verdict',
  'reason',
] as const;

export interface ComparedRecording {
  readonly recording: Recording;
  readonly means: readonly SetMean[];
}

/** An athlete's recordings compared each with each up to this many; beyond, each with the one before and the first. */
const ALL_PAIRS_UP_TO = 6;

/**
 * `comparisons.csv`: set means of two recordings of one athlete, later less earlier (by date, then set, then id). Verdict: `different`
 * where the interval leaves out 0, else `cannot tell`.
 */
export function comparisonsTable(recordings: readonly ComparedRecording[]): ColumnTable {
  const rows = pairsOf(recordings).flatMap(([later, earlier]) => {
    const before = new Map(earlier.means.map((mean) => [nameOf(mean), mean]));
    return later.means.map((mean) => {
      const other = before.get(nameOf(mean));
      const difference = other ? differenceOf(mean, other) : null;
      const known = difference !== null && Number.isFinite(difference.lower);
      return {
        athlete_id: later.recording.athlete.id,
        recording_id: later.recording.id,
        against_recording_id: earlier.recording.id,
        measure: mean.measure,
        side: mean.side,
        at: mean.at,
        value: mean.value,
        against_value: other?.value,
        difference: difference?.value,
        lower: known ? difference.lower : null,
        upper: known ? difference.upper : null,
        sd: known ? difference.sd : null,
        cancelled_share: known ? difference.cancelled : null,
        unit: mean.unit,
        verdict: known ? (difference.lower > 0 || difference.upper < 0 ? 'different' : 'cannot tell') : '',
        reason: other ? (known ? '' : uncertaintyReasons.noInterval()) : uncertaintyReasons.unknownInOther(),
      };
    });
  });
  return tableOf(COMPARISON_COLUMNS, rows);
}

const nameOf = ({ measure, side, at }: SetMean) => JSON.stringify([measure, side, at]);

/** By date, those without one first, then by the number of the set, then by id. */
export function isBefore(a: Recording, b: Recording): boolean {
  const [dayA, dayB] = [a.date ?? '', b.date ?? ''];
  if (dayA !== dayB) return dayA < dayB;
  const [setA, setB] = [a.lift.set ?? 0, b.lift.set ?? 0];
  return setA === setB ? a.id < b.id : setA < setB;
}

/** Pairs [later, earlier] of recordings of one athlete. */
function pairsOf<T extends ComparedRecording>(recordings: readonly T[]): [T, T][] {
  const byAthlete = new Map<string, T[]>();
  for (const one of recordings) {
    const id = one.recording.athlete.id;
    byAthlete.set(id, [...(byAthlete.get(id) ?? []), one]);
  }
  return [...byAthlete.values()].flatMap((own) => {
    const sorted = [...own].sort((a, b) => (isBefore(a.recording, b.recording) ? -1 : 1));
    return sorted.flatMap((later, i): [T, T][] =>
      sorted
        .slice(0, i)
        .filter((_, j) => sorted.length <= ALL_PAIRS_UP_TO || j === i - 1 || j === 0)
        .map((earlier): [T, T] => [later, earlier]),
    );
  });
}
