import type { Recording } from '../capture/recording.ts';
import { loadGroup } from '../study/across-loads.ts';
import { differenceOf, isBefore } from '../study/comparisons.ts';
import type { SetMean } from '../study/set-means.ts';
import { PER_CENT, type Shown, shownAs } from '../study/shown.ts';
import { SAME_LOAD_SHARE } from '../study/weeks/same-load.ts';
import type { ScenePayload } from '../web/scene/payload.ts';
import { type Task, taskOf } from './task.ts';

export type Verdict = 'different' | 'cannot tell' | '';

/** One measure of this lift against the one before. */
export interface PreviousDifference {
  readonly measure: string;
  readonly title: string;
  /** This lift less the earlier one, in `unit` of the tables; interval NaN where there is none. */
  readonly difference: number;
  readonly lower: number;
  readonly upper: number;
  readonly unit: string;
  readonly verdict: Verdict;
  readonly shown: Shown;
}

/** The lifter's earlier recording of the same kind of lift that this one is held against. */
export interface PreviousLift extends Task {
  readonly recordingId: string;
  /** ISO day; null where not stated. */
  readonly date: string | null;
  /** Its report, from this report's folder; null where there is none. */
  readonly report: string | null;
  readonly differences: readonly PreviousDifference[];
  /** To be drawn pale beside this lift; null where there is none. */
  readonly scene: ScenePayload | null;
}

/** What a later lift needs of an earlier one. */
export interface EarlierLift {
  readonly recording: Recording;
  readonly means: readonly SetMean[];
  readonly scene: ScenePayload | null;
}

/** A share differs by points, not by per cent. */
const POINTS: Shown = { ...PER_CENT, unit: 'points' };

/** What a coach holds against last time, in this order. */
export const AGAINST_LAST_TIME: readonly {
  readonly measure: string;
  readonly at: string;
  readonly side: 'both' | '';
  readonly title: string;
  readonly shown: Shown;
}[] = [
  { measure: 'hip_share', at: 'parallel', side: 'both', title: 'Hips’ part at parallel', shown: POINTS },
  {
    measure: 'knee_share_of_start',
    at: 'descent',
    side: '',
    title: 'Knees’ part of the first movement',
    shown: POINTS,
  },
  { measure: 'trunk_lean', at: 'parallel', side: '', title: 'Lean at parallel', shown: shownAs('deg') },
  {
    measure: 'lean_gained_in_drive',
    at: 'ascent',
    side: '',
    title: 'Lean gained on the way up',
    shown: shownAs('deg'),
  },
  { measure: 'com_along_foot', at: 'parallel', side: '', title: 'Weight over the foot at parallel', shown: POINTS },
  { measure: 'knee_over_toe', at: 'bottom', side: 'both', title: 'Knee ahead of the toe, bottom', shown: shownAs('m') },
  {
    measure: 'bottom_thigh_elevation',
    at: 'bottom',
    side: 'both',
    title: 'Thigh angle at the bottom (plus: less deep)',
    shown: shownAs('deg'),
  },
  {
    measure: 'bar_velocity_mean',
    at: 'ascent',
    side: '',
    title: 'Mean bar speed on the way up',
    shown: shownAs('m_per_s'),
  },
];

/** This lift held against an earlier one; common causes of doubt cancel. Measures that one of the two lacks are left out. */
export function previousLift(
  now: Pick<EarlierLift, 'means'>,
  earlier: EarlierLift,
  report: string | null,
): PreviousLift {
  const { recording } = earlier;
  const meanOf = (means: readonly SetMean[], one: (typeof AGAINST_LAST_TIME)[number]) =>
    means.find(({ measure, at, side }) => measure === one.measure && at === one.at && side === one.side);
  return {
    recordingId: recording.id,
    date: recording.date,
    ...taskOf(recording),
    report,
    scene: earlier.scene,
    differences: AGAINST_LAST_TIME.flatMap((one) => {
      const [a, b] = [meanOf(now.means, one), meanOf(earlier.means, one)];
      if (!a || !b) return [];
      const { value, lower, upper } = differenceOf(a, b);
      const known = Number.isFinite(upper - lower);
      const verdict: Verdict = !known ? '' : lower > 0 || upper < 0 ? 'different' : 'cannot tell';
      return [
        {
          measure: one.measure,
          title: one.title,
          difference: value,
          lower,
          upper,
          unit: a.unit,
          verdict,
          shown: one.shown,
        },
      ];
    }),
  };
}

/**
 * Of earlier recordings the one to hold a recording against: of the same lifter and kind of lift those of the same condition, place of
 * the bar and heel where there are any, of these those with the nearest load, of these the latest by date, then by set, then by id.
 * null where there is none. A recording without a date stands before all that have one.
 */
export function heldAgainst<T extends EarlierLift>(now: Recording, others: readonly T[]): T | null {
  const earlier = others.filter(
    ({ recording }) =>
      recording.athlete.id === now.athlete.id && recording.lift.kind === now.lift.kind && isBefore(recording, now),
  );
  const task = loadGroup(now);
  const alike = earlier.filter(({ recording }) => loadGroup(recording) === task);
  const among = alike.length > 0 ? alike : earlier;
  const nearest = Math.min(...among.map(({ recording }) => loadApart(recording, now)));
  return among
    .filter(({ recording }) => loadApart(recording, now) === nearest)
    .reduce<T | null>((last, one) => (last === null || isBefore(last.recording, one.recording) ? one : last), null);
}

/** How far the loads are apart, kg; 0 where they count as the same. */
function loadApart(a: Recording, b: Recording): number {
  const apart = Math.abs(a.load.totalKg - b.load.totalKg);
  // A trace of rounding: 102.5 kg is 2.5 % above 100 kg.
  return apart <= SAME_LOAD_SHARE * Math.min(a.load.totalKg, b.load.totalKg) * (1 + 1e-12) ? 0 : apart;
}
