import { mean } from '../../../src/numerics/statistics.ts';
import { BOTH, middle } from '../both-sides.ts';
import { norm, subtract } from '../vector.ts';
import { medianOver } from './in-time.ts';
import { distance } from './legs-and-feet.ts';
import type { SetTruth, TrueReading } from './reading.ts';
import { bothOf, type SetInTime, thighElevation } from './repetition-in-time.ts';

type Segment = 'femur' | 'tibia' | 'upper arm' | 'forearm' | 'foot';
const ENDS = {
  femur: ['hip', 'knee'],
  tibia: ['knee', 'ankle'],
  'upper arm': ['shoulder', 'elbow'],
  forearm: ['elbow', 'wrist'],
  foot: ['heel', 'bigToe'],
} as const;

const one = (value: number): TrueReading[] => [{ at: 'set', side: '', value }];

/** Median over the recording, mean of left and right. */
function length(set: SetInTime, segment: Segment): number {
  const [from, to] = ENDS[segment];
  return mean(
    BOTH.map((side) =>
      medianOver((t) => norm(subtract(set.body(t)[side][to], set.body(t)[side][from])), 0, set.lift.course.durationS),
    ),
  );
}

const trunk = (set: SetInTime) =>
  medianOver(
    (t) => norm(subtract(middle(set.body(t), 'shoulder'), middle(set.body(t), 'hip'))),
    0,
    set.lift.course.durationS,
  );

const width = (set: SetInTime, part: 'hip' | 'shoulder') =>
  medianOver((t) => distance(set.body(t), part), 0, set.lift.course.durationS);

/** Loss of the last repetition against the best one; NaN of fewer than two. */
function fromTheBest(set: SetInTime, of: (index: number) => number, loss: (last: number, all: number[]) => number) {
  const values = set.repetitions.map((_, index) => of(index));
  return one(values.length < 2 ? Number.NaN : loss(values[values.length - 1], values));
}

function meanVelocity(set: SetInTime, index: number): number {
  const { drivesS, standsS, height } = set.repetitions[index];
  const withBar = set.lift.setup.equipment.loadKg > 0;
  const y = (t: number) => (withBar ? middle(set.body(t), 'barEnd')[1] : height(t));
  return (y(standsS) - y(drivesS)) / (standsS - drivesS);
}

export const WHOLE_SET: Readonly<Record<string, SetTruth>> = {
  femur_per_trunk: (set) => one(length(set, 'femur') / trunk(set)),
  femur_per_tibia: (set) => one(length(set, 'femur') / length(set, 'tibia')),
  leg_per_trunk: (set) => one((length(set, 'femur') + length(set, 'tibia')) / trunk(set)),
  forearm_per_upper_arm: (set) => one(length(set, 'forearm') / length(set, 'upper arm')),
  foot_per_femur: (set) => one(length(set, 'foot') / length(set, 'femur')),
  hip_width: (set) => one(width(set, 'hip')),
  shoulder_width: (set) => one(width(set, 'shoulder')),
  velocity_loss: (set) =>
    fromTheBest(
      set,
      (index) => meanVelocity(set, index),
      (last, all) => 1 - last / Math.max(...all),
    ),
  depth_loss: (set) =>
    fromTheBest(
      set,
      (index) => {
        const body = set.body(set.repetitions[index].bottomS);
        return bothOf((side) => thighElevation(body, side));
      },
      (last, all) => last - Math.min(...all),
    ),
};
