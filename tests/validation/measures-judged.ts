import type { MeasureValue } from '../../src/lift/lift-record.ts';
import { scaleOf } from '../../src/lift/measures/index.ts';
import { hashSeed, seededRandom } from '../../src/numerics/random.ts';
import type { DrawnWorld } from '../synthetic/drawn-world.ts';
import { withDrawnHabits } from '../synthetic/faults/drawn-habits.ts';
import type { FoundValue } from '../synthetic/judged.ts';
import { drawnPressing } from '../synthetic/shared-truth.ts';
import { type DrawnStyle, drawnStyle, liftOfStyle } from '../synthetic/styles.ts';
import { type TrueValue, trueMeasureValues } from '../synthetic/true-measures/true-measures.ts';
import { BACK_AND_HANDS } from '../synthetic/write.ts';
import type { Results } from './coverage-runs.ts';

/** Measures that have no truth here, and why. */
export const NOT_JUDGED: Readonly<Record<string, string>> = {
  knee_onset_lead: 'known only where the lead exceeds its own noise, so its value hangs on the noise',
  hip_crease_above_knee: 'the virtual lifter has no flesh: the offsets are assumed, not drawn',
  pelvic_tuck: 'needs points of the pelvis, which are not filmed',
  thigh_percentile: 'unknown without a sourced offset',
  shank_percentile: 'unknown without a sourced offset',
  stall_height: 'no repetition of these sets fails',
  placed_bar_velocity_mean: 'the ends of the bar are tracked',
  placed_bar_velocity_peak: 'the ends of the bar are tracked',
  hip_moment_shared_left_minus_right: 'judged by leg-sharing, on lifters alike on both sides',
  knee_moment_shared_left_minus_right: 'judged by leg-sharing, on lifters alike on both sides',
  knee_moment_shared_peak: 'the moment of one leg of an unlike pair has no truth here',
  knee_abductor_moment_shared: 'the moment of one leg of an unlike pair has no truth here',
};

/** A measure at a place, as a result that intervals are judged by. */
export const nameOf = ({ measure, at, side }: Pick<TrueValue, 'measure' | 'at' | 'side'>): string =>
  [measure, at, ...(side === '' ? [] : [side])].join(', ');

const keyOf = (one: {
  readonly measure: string;
  readonly at: string;
  readonly side: string;
  readonly repetition: number;
}) => `${one.measure}|${one.at}|${one.side}|${one.repetition}`;

/** The world of a style in which the lifter has habits unlike on both sides, and back and hands are filmed too. */
export function withHabits(world: DrawnWorld, { number }: DrawnStyle): DrawnWorld {
  return {
    ...world,
    lift: withDrawnHabits(world.lift, number),
    filming: { ...world.filming, landmarks: [...world.filming.landmarks, ...BACK_AND_HANDS] },
  };
}

/** Every measure whose truth is known, by measure, place and side; units as the analyser gives them. */
export function measureResults(units: ReadonlyMap<string, string>): Results<string> {
  const lift = withDrawnHabits(liftOfStyle(drawnStyle(0)), 0);
  const every = trueMeasureValues(lift, { pressing: drawnPressing(seededRandom(0)) }).filter(
    ({ measure, repetition }) => repetition < 2 && !(measure in NOT_JUDGED),
  );
  const list = every.map((one) => ({
    name: nameOf(one),
    unit: units.get(one.measure) ?? '',
    scale: scaleOf(one.measure),
  }));
  const placeOf = new Map(list.map(({ name }, result) => [name, result]));
  const known = new WeakMap<object, Map<string, MeasureValue>>();
  return {
    list,
    truths: (world, style, seed) => {
      const pressing = drawnPressing(seededRandom(hashSeed('pressing', style.number, seed)));
      return trueMeasureValues(world.lift, { pressing }).flatMap((one) => {
        const result = placeOf.get(nameOf(one));
        // Where the truth has no such event there is nothing to hold.
        return result === undefined || Number.isNaN(one.value)
          ? []
          : [{ result, repetition: one.repetition, value: one.value }];
      });
    },
    found: (record, result, repetition): FoundValue => {
      let rows = known.get(record);
      if (!rows) {
        rows = new Map(record.measures.map((row) => [keyOf(row), row]));
        known.set(record, rows);
      }
      const { measure, at, side } = every[result];
      return (
        rows.get(keyOf({ measure, at, side, repetition })) ?? {
          value: Number.NaN,
          lower: Number.NaN,
          upper: Number.NaN,
        }
      );
    },
  };
}
