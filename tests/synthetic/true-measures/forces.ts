import { GRAVITY_M_PER_S2 } from '../../../src/numerics/constants.ts';
import { centreOfMass } from '../bodies.ts';
import { type BothSides, middle } from '../both-sides.ts';
import { type DrawnPressing, trueLegsAt } from '../shared-truth.ts';
import { hipShare, type TrueLoads } from '../truth.ts';
import type { Vector } from '../vector.ts';
import { type InTime, integralOf, largest, onGrid, rateOf, ratesOf } from './in-time.ts';
import { type Place, type RepetitionTruth, readingsOf, type TrueReading } from './reading.ts';
import type { RepetitionInTime } from './repetition-in-time.ts';

const { sqrt } = Math;

const AT: readonly Place[] = ['parallel', 'bottom', 'sticking point'];
const ALONG_FOOT: readonly Place[] = ['start', 'parallel', 'bottom', 'sticking point'];

type Joint = 'hip' | 'knee' | 'ankle';

const loadsIn =
  ({ set }: RepetitionInTime, of: (loads: TrueLoads) => number): InTime =>
  (t) =>
    of(set.loads(t));

/** A load at the usual places, both legs together. */
const load =
  (of: (loads: TrueLoads) => number, mean?: (down: number, up: number) => number): RepetitionTruth =>
  (repetition) =>
    readingsOf(repetition, loadsIn(repetition, of), AT, 'both', mean);

/** Moments and powers of one repetition on a grid: worked out once for peaks, impulses and work. */
const grids = new WeakMap<RepetitionInTime, Map<string, InTime>>();

function onceOnGrid(repetition: RepetitionInTime, name: string, make: () => InTime): InTime {
  const known = grids.get(repetition) ?? new Map<string, InTime>();
  grids.set(repetition, known);
  const found = known.get(name) ?? onGrid(make());
  known.set(name, found);
  return found;
}

const momentOf = (repetition: RepetitionInTime, joint: Joint | 'support'): InTime =>
  onceOnGrid(repetition, `${joint} moment`, () =>
    loadsIn(repetition, ({ hip, knee, ankle }) =>
      joint === 'support' ? hip.total + knee.total + ankle.total : { hip, knee, ankle }[joint].total,
    ),
  );

const peakMoment =
  (joint: Joint | 'support'): RepetitionTruth =>
  (repetition) =>
    readingsOf(repetition, momentOf(repetition, joint), ['largest'], 'both');

/** Sums over the phases, a pause at the bottom halved between them. */
function overPhases(f: InTime, repetition: RepetitionInTime, side: 'both' | ''): TrueReading[] {
  const { descendsS, arrivesS, drivesS, standsS } = repetition;
  const halfway = (arrivesS + drivesS) / 2;
  return [
    { at: 'descent', side, value: integralOf(f, descendsS, halfway) },
    { at: 'ascent', side, value: integralOf(f, halfway, standsS) },
  ];
}

/** How fast a line turns as seen from the side, rad/s about +Z. */
function turnRate(line: (t: number) => readonly [Vector, Vector], t: number): number {
  const along = (axis: 0 | 1) => (at: number) => {
    const [from, to] = line(at);
    return to[axis] - from[axis];
  };
  const [x, y] = [along(0), along(1)];
  return (x(t) * rateOf(y, t) - y(t) * rateOf(x, t)) / (x(t) ** 2 + y(t) ** 2);
}
const ends = (body: BothSides) => ({
  trunk: [middle(body, 'hip'), middle(body, 'shoulder')] as const,
  thigh: [middle(body, 'knee'), middle(body, 'hip')] as const,
  shank: [middle(body, 'ankle'), middle(body, 'knee')] as const,
  foot: [middle(body, 'heel'), middle(body, 'bigToe')] as const,
});
const ABOVE_AND_BELOW = { hip: ['trunk', 'thigh'], knee: ['thigh', 'shank'], ankle: ['shank', 'foot'] } as const;
/** The knee is extended by −M_z on the part above. */
const EXTENDS = { hip: 1, knee: -1, ankle: 1 } as const;

/** Power of a joint as seen from the side: moment on the part above times how fast it turns against the part below. */
function powerOf(repetition: RepetitionInTime, joint: Joint): InTime {
  const [above, below] = ABOVE_AND_BELOW[joint];
  const line = (segment: typeof above | typeof below) => (t: number) => ends(repetition.set.body(t))[segment];
  const moment = momentOf(repetition, joint);
  return onceOnGrid(repetition, `${joint} power`, () => {
    const turn: InTime = (t) => turnRate(line(above), t) - turnRate(line(below), t);
    return (t) => EXTENDS[joint] * moment(t) * turn(t);
  });
}

const work =
  (joint: Joint): RepetitionTruth =>
  (repetition) =>
    overPhases(powerOf(repetition, joint), repetition, 'both');
const impulse =
  (joint: Joint): RepetitionTruth =>
  (repetition) =>
    overPhases(momentOf(repetition, joint), repetition, 'both');
const peakPower =
  (joint: Joint): RepetitionTruth =>
  (repetition) => [
    {
      at: 'largest',
      side: 'both',
      value: largest(powerOf(repetition, joint), repetition.bottomS, repetition.standsS).value,
    },
  ];

/** Power of the bar: force times velocity, fore–aft and upward. */
function barPower(repetition: RepetitionInTime): InTime {
  const { loadKg } = repetition.set.lift.setup.equipment;
  return onceOnGrid(repetition, 'bar power', () => (t) => {
    let sum = 0;
    for (const axis of [0, 1] as const) {
      const [velocity, acceleration] = ratesOf((at) => middle(repetition.set.body(at), 'barEnd')[axis], t);
      sum += loadKg * (acceleration + (axis === 1 ? GRAVITY_M_PER_S2 : 0)) * velocity;
    }
    return sum;
  });
}

/** Share of the line from heel to toe (mean of both feet) at the foot of the perpendicular, on the floor. */
function alongFoot(body: BothSides, point: Vector): number {
  const [heel, toe] = [middle(body, 'heel'), middle(body, 'bigToe')];
  const [x, z] = [toe[0] - heel[0], toe[2] - heel[2]];
  return ((point[0] - heel[0]) * x + (point[2] - heel[2]) * z) / (x * x + z * z);
}

const comIn =
  ({ set }: RepetitionInTime): InTime =>
  (t) =>
    alongFoot(set.body(t), centreOfMass(set.lift.postureAt(t).bodies));

export const FORCES: Readonly<Record<string, RepetitionTruth>> = {
  hip_share: load((loads) => hipShare(loads)),
  hip_share_gravity: load((loads) => hipShare(loads, 'gravity')),
  hip_minus_knee: load(({ hip, knee }) => hip.total - knee.total),
  hip_knee_ratio: load(
    ({ hip, knee }) => hip.total / knee.total,
    (down, up) => (down > 0 && up > 0 ? sqrt(down * up) : Number.NaN),
  ),
  hip_impulse_share: (repetition) => {
    const { descendsS, arrivesS, drivesS, standsS } = repetition;
    const halfway = (arrivesS + drivesS) / 2;
    const share = (from: number, to: number) => {
      const [hip, knee] = (['hip', 'knee'] as const).map((joint) => integralOf(momentOf(repetition, joint), from, to));
      return hip / (hip + knee);
    };
    return [
      { at: 'descent', side: 'both', value: share(descendsS, halfway) },
      { at: 'ascent', side: 'both', value: share(halfway, standsS) },
    ];
  },
  hip_moment_peak: peakMoment('hip'),
  knee_moment_peak: peakMoment('knee'),
  ankle_moment_peak: peakMoment('ankle'),
  support_moment_peak: peakMoment('support'),
  hip_work: work('hip'),
  knee_work: work('knee'),
  ankle_work: work('ankle'),
  hip_impulse: impulse('hip'),
  knee_impulse: impulse('knee'),
  ankle_impulse: impulse('ankle'),
  hip_power_peak: peakPower('hip'),
  knee_power_peak: peakPower('knee'),
  bar_work: (repetition) => overPhases(barPower(repetition), repetition, ''),
  bar_power_peak: (repetition) => [
    { at: 'largest', side: '', value: largest(barPower(repetition), repetition.bottomS, repetition.standsS).value },
  ],
  com_along_foot: (repetition) => readingsOf(repetition, comIn(repetition), ALONG_FOOT),
  cop_along_foot: (repetition) =>
    readingsOf(
      repetition,
      (t) => alongFoot(repetition.set.body(t), repetition.set.loads(t).centreOfPressure),
      ALONG_FOOT,
    ),
  com_rear_shift: (repetition) => {
    const com = comIn(repetition);
    const start = com(repetition.startS);
    return readingsOf(repetition, (t) => start - com(t), ['largest']);
  },
};

/** Load on the left foot of a lifter who presses as drawn; the two legs' moments only where both sides move alike. */
export function pressingTruths(pressing: DrawnPressing): Readonly<Record<string, RepetitionTruth>> {
  const legs =
    (of: 'shareLeft' | 'hipDifference' | 'kneeDifference', places: readonly Place[]): RepetitionTruth =>
    (repetition) =>
      readingsOf(repetition, (t) => trueLegsAt(repetition.set.lift, t, pressing)[of], places);
  return {
    vertical_share_left: legs('shareLeft', ['start', 'parallel', 'bottom']),
    hip_moment_shared_left_minus_right: legs('hipDifference', ['parallel', 'bottom']),
    knee_moment_shared_left_minus_right: legs('kneeDifference', ['parallel', 'bottom']),
  };
}
