import { middle } from '../both-sides.ts';
import { type InTime, largest, rateOf, turnsOf } from './in-time.ts';
import type { RepetitionTruth, TrueReading } from './reading.ts';
import type { RepetitionInTime } from './repetition-in-time.ts';

/** Rises smaller than this are none, metres. */
const BOUNCE_FLOOR_M = 0.005;

const one = (at: string, value: number): TrueReading[] => [{ at, side: '', value }];

const barHeight =
  ({ set }: RepetitionInTime): InTime =>
  (t) =>
    middle(set.body(t), 'barEnd')[1];

/** Rise over the drive divided by its time. */
const meanUp = (height: InTime, { drivesS, standsS }: RepetitionInTime) =>
  (height(standsS) - height(drivesS)) / (standsS - drivesS);

const peakUp = (height: InTime, { bottomS, standsS }: RepetitionInTime) =>
  largest((t) => rateOf(height, t), bottomS, standsS).value;

/** Largest rise that is followed by a fall before the hips leave the lowest 30 % of the drop for the last time. */
function doubleBounce(repetition: RepetitionInTime): number {
  const { height, bottomS, standsS, startS, dropM } = repetition;
  const level = height(bottomS) + 0.3 * dropM;
  const arrives = repetition.passes('descent', 0.7);
  let leaves = bottomS;
  for (let t = standsS; t > bottomS; t -= 0.002) {
    if (height(t) <= level) {
      leaves = t;
      break;
    }
  }
  const turns = turnsOf(height, Number.isNaN(arrives) ? startS : arrives, leaves, BOUNCE_FLOOR_M);
  let found = 0;
  // A top with a bottom before and after it is a rise that sank again.
  turns.forEach(({ top, value }, k) => {
    if (top && k > 0 && k + 1 < turns.length) found = Math.max(found, value - turns[k - 1].value);
  });
  return found;
}

const withBar =
  (truth: RepetitionTruth): RepetitionTruth =>
  (repetition) =>
    repetition.set.lift.setup.equipment.loadKg > 0 ? truth(repetition) : [];

/** Upward velocity that the sticking point is judged by. */
const stickingVelocity =
  (repetition: RepetitionInTime): InTime =>
  (t) =>
    rateOf(repetition.set.lift.setup.equipment.loadKg > 0 ? barHeight(repetition) : repetition.height, t);

export const TEMPO: Readonly<Record<string, RepetitionTruth>> = {
  descent_time: ({ descendsS, arrivesS }) => one('descent', arrivesS - descendsS),
  bottom_pause: ({ arrivesS, drivesS }) => one('bottom', drivesS - arrivesS),
  ascent_time: ({ drivesS, standsS }) => one('ascent', standsS - drivesS),
  bar_velocity_mean: withBar((repetition) => one('ascent', meanUp(barHeight(repetition), repetition))),
  bar_velocity_peak: withBar((repetition) => one('ascent', peakUp(barHeight(repetition), repetition))),
  hip_velocity_mean: (repetition) => one('ascent', meanUp(repetition.height, repetition)),
  hip_velocity_peak: (repetition) => one('ascent', peakUp(repetition.height, repetition)),
  descent_velocity_mean: ({ height, descendsS, arrivesS }) =>
    one('descent', (height(descendsS) - height(arrivesS)) / (arrivesS - descendsS)),
  descent_velocity_peak: ({ height, descendsS, bottomS }) =>
    one('descent', largest((t) => -rateOf(height, t), descendsS, bottomS).value),
  double_bounce: (repetition) => one('bottom', doubleBounce(repetition)),
  sticking_height: ({ height, sticking, bottomS, dropM }) =>
    one(
      'sticking point',
      Number.isNaN(sticking.slowestS) ? Number.NaN : (height(sticking.slowestS) - height(bottomS)) / dropM,
    ),
  sticking_duration: ({ sticking }) => one('ascent', sticking.secondS - sticking.firstS),
  sticking_speed_loss: (repetition) => {
    const velocity = stickingVelocity(repetition);
    const { slowestS, firstS } = repetition.sticking;
    return one('sticking point', Number.isNaN(slowestS) ? Number.NaN : 1 - velocity(slowestS) / velocity(firstS));
  },
};
