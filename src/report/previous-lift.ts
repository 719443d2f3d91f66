import type { Recording } from '../capture/recording.ts';
import { differenceOf } from '../study/comparisons.ts';
import type { SetMean } from '../study/set-means.ts';
import { PER_CENT, type Shown, shownAs } from '../study/shown.ts';
import { conditionWords } from '../study/summary.ts';
import type { ScenePayload } from '../web/scene/payload.ts';

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

/** The lifter's latest earlier recording of the same kind of lift. */
export interface PreviousLift {
  readonly recordingId: string;
  /** ISO day; null where not stated. */
  readonly date: string | null;
  readonly loadKg: number;
  /** In words; '' where none is stated. */
  readonly condition: string;
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
    loadKg: recording.load.totalKg,
    condition: conditionWords(recording.condition),
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
 * Of earlier recordings the one to hold a recording against: the same lifter and kind of lift, the latest by date, then by id.
 * null where there is none. A recording without a date stands before all that have one.
 */
export function latestBefore<T extends EarlierLift>(now: Recording, others: readonly T[]): T | null {
  const order = ({ date, id }: Recording) => `${date ?? ''} ${id}`;
  const earlier = others.filter(
    ({ recording }) =>
      recording.athlete.id === now.athlete.id && recording.lift.kind === now.lift.kind && order(recording) < order(now),
  );
  return earlier.reduce<T | null>(
    (last, one) => (last === null || order(one.recording) > order(last.recording) ? one : last),
    null,
  );
}
