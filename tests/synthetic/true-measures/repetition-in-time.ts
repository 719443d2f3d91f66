import { type BothSides, bothSidesOf, type Half, middle, type Side } from '../both-sides.ts';
import { allMoved, reshaped, turnAbout } from '../faults/reshaped.ts';
import type { VirtualLift } from '../lift.ts';
import type { Posture } from '../posture.ts';
import { loadsAt, type TrueLoads } from '../truth.ts';
import { subtract, type Vector } from '../vector.ts';
import { firstNotAbove, type InTime, largest, rateOf, smallest, turnsOf } from './in-time.ts';

const DEG = 180 / Math.PI;
const { atan2, hypot, max, min } = Math;

/** A set of squats that can be asked for any point of both sides at any time; each instant is worked out once. */
export interface SetInTime {
  readonly lift: VirtualLift;
  body(t: number): BothSides;
  loads(t: number): TrueLoads;
  readonly repetitions: readonly RepetitionInTime[];
}

/** One repetition's events, seconds on the recording's clock; NaN where there is none. */
export interface RepetitionInTime {
  readonly index: number;
  readonly set: SetInTime;
  /** The last moment of the stand before the descent. */
  readonly startS: number;
  /** 2 % of the drop off the stand, off the bottom (both ways), off the stand again. */
  readonly descendsS: number;
  readonly arrivesS: number;
  readonly drivesS: number;
  readonly standsS: number;
  /** Lowest hips: the middle of a pause. */
  readonly bottomS: number;
  readonly parallelDescentS: number;
  readonly parallelAscentS: number;
  /** Height of the hips, metres, and how far they sink. */
  readonly height: InTime;
  readonly dropM: number;
  /** When a phase passes a share of the drop, 1 = bottom. */
  passes(phase: 'descent' | 'ascent', dropShare: number): number;
  /** Slowest of the drive between two peaks of upward bar velocity (hips without a bar), and those peaks. */
  readonly sticking: { readonly firstS: number; readonly slowestS: number; readonly secondS: number };
}

/** A phase has begun or ended by this share of the drop. */
const PHASE = 0.02;
/** The stand is looked for within this time of leaving the top tenth of the drop. */
const STAND_S = 1;

export function setInTime(filmed: VirtualLift): SetInTime {
  const given = facingAhead(filmed);
  const postures = new Map<number, Posture>();
  // Differences of neighbouring instants ask for the same times but for rounding: a tenth of a nanosecond.
  const lift: VirtualLift = {
    ...given,
    postureAt: (t) => once(postures, Math.round(1e10 * t), () => given.postureAt(t)),
  };
  const bodies = new Map<number, BothSides>();
  const loads = new Map<number, TrueLoads>();
  const body = (t: number) => once(bodies, t, () => bothSidesOf(lift.postureAt(t), lift.setup.equipment.barLengthM));
  const set: SetInTime = {
    lift,
    body,
    loads: (t) => once(loads, t, () => loadsAt(lift, t)),
    repetitions: lift.course.repetitions.map((_, index) => repetitionOf(index, () => set)),
  };
  return set;
}

/**
 * The lift in the lifter's own axes: forward is what stands square to the left-to-right lines of hips, ankles, shoulders and
 * knees on the floor, mean over the recording. Where both sides move alike it is the lab's already.
 */
function facingAhead(lift: VirtualLift): VirtualLift {
  const { durationS } = lift.course;
  if (!lift.postureAt(0).sides) return lift;
  let [x, z] = [0, 0];
  for (let t = 0; t <= durationS; t += 0.02) {
    const { left, right } = bothSidesOf(lift.postureAt(t), lift.setup.equipment.barLengthM);
    for (const part of ['hip', 'ankle', 'shoulder', 'knee'] as const) {
      const [dx, dz] = [right[part][0] - left[part][0], right[part][2] - left[part][2]];
      x += dx / hypot(dx, dz);
      z += dz / hypot(dx, dz);
    }
  }
  const turn = turnAbout([0, 0, 0], [0, 1, 0], atan2(-x, z));
  return reshaped(lift, (sides) => allMoved(sides, turn));
}

function once<T>(known: Map<number, T>, t: number, make: () => T): T {
  let found = known.get(t);
  if (found === undefined) {
    found = make();
    known.set(t, found);
  }
  return found;
}

/** Events are worked out when they are first asked for: a fault is tuned by one measure only. */
function repetitionOf(index: number, set: () => SetInTime): RepetitionInTime {
  const lazy = <T>(make: () => T) => {
    let found: { value: T } | null = null;
    return () => {
      if (found === null) found = { value: make() };
      return found.value;
    };
  };
  const height: InTime = (t) => middle(set().body(t), 'hip')[1];
  const plan = lazy(() => {
    const { repetitions, durationS } = set().lift.course;
    const { startS, descentS, pauseS, ascentS } = repetitions[index];
    const before = repetitions[index - 1];
    return {
      from: before ? before.startS + before.descentS + before.pauseS + before.ascentS : 0,
      startS,
      endS: startS + descentS + pauseS + ascentS,
      to: repetitions[index + 1]?.startS ?? durationS,
    };
  });
  const bottom = lazy(() => lowest(height, plan().startS, plan().endS));
  const bottomHeight = lazy(() => height(bottom()));
  const start = lazy(() => {
    const { from } = plan();
    const top = largest(height, from, bottom()).value;
    const near = firstNotAbove((t) => top - 0.1 * (top - bottomHeight()) - height(t), bottom(), from);
    return lastHighest(height, max(from, near - STAND_S), near);
  });
  const drop = lazy(() => height(start()) - bottomHeight());
  const off = (share: number) => (t: number) => height(start()) - share * drop() - height(t);
  const descends = lazy(() => firstNotAbove(off(PHASE), bottom(), start()));
  const stands = lazy(() => firstNotAbove(off(PHASE), bottom(), plan().to));
  const passes = (phase: 'descent' | 'ascent', share: number) =>
    phase === 'descent'
      ? firstNotAbove((t) => -off(share)(t), start(), bottom())
      : firstNotAbove(off(share), bottom(), plan().to);
  const arrives = lazy(() => firstNotAbove((t) => -off(1 - PHASE)(t), descends(), bottom()));
  const drives = lazy(() => firstNotAbove((t) => -off(1 - PHASE)(t), stands(), bottom()));
  const elevation: InTime = (t) => bothOf((side) => thighElevation(set().body(t), side));
  const parallelDescent = lazy(() => firstNotAbove(elevation, start(), bottom()));
  const parallelAscent = lazy(() =>
    elevation(bottom()) > 0 ? Number.NaN : firstNotAbove((t) => -elevation(t), bottom(), stands()),
  );
  const sticking = lazy(() => {
    const withBar = set().lift.setup.equipment.loadKg > 0;
    const y: InTime = (t) => (withBar ? middle(set().body(t), 'barEnd')[1] : height(t));
    return slowestOfDrive((t) => rateOf(y, t), bottom(), stands());
  });
  return {
    index,
    get set() {
      return set();
    },
    get startS() {
      return start();
    },
    get descendsS() {
      return descends();
    },
    get arrivesS() {
      return arrives();
    },
    get drivesS() {
      return drives();
    },
    get standsS() {
      return stands();
    },
    get bottomS() {
      return bottom();
    },
    get parallelDescentS() {
      return parallelDescent();
    },
    get parallelAscentS() {
      return parallelAscent();
    },
    height,
    get dropM() {
      return drop();
    },
    passes,
    get sticking() {
      return sticking();
    },
  };
}

/** Lowest moment; the middle of the time spent within a thousandth of a millimetre of it, where that is a pause. */
function lowest(height: InTime, from: number, to: number): number {
  const { timeS, value } = smallest(height, from, to);
  const still = (t: number) => value + 1e-6 - height(t);
  const left = firstNotAbove(still, timeS, max(from, timeS - 5));
  const right = firstNotAbove(still, timeS, min(to, timeS + 5));
  return (left + right) / 2;
}

/** The last moment within a thousandth of a millimetre of the highest. */
function lastHighest(height: InTime, from: number, to: number): number {
  const { value } = largest(height, from, to);
  return firstNotAbove((t) => value - 1e-6 - height(t), to, from);
}

/** A dip of the velocity counts from a tenth of its peak, and from 0.03 m/s. */
function slowestOfDrive(velocity: InTime, from: number, to: number): RepetitionInTime['sticking'] {
  const none = { firstS: Number.NaN, slowestS: Number.NaN, secondS: Number.NaN };
  const peak = largest(velocity, from, to).value;
  const turns = turnsOf(velocity, from, to, max(0.1 * peak, 0.03));
  const first = turns.findIndex(({ top, value }) => top && value > 0);
  if (first < 0 || !turns[first + 2]) return none;
  return { firstS: turns[first].timeS, slowestS: turns[first + 1].timeS, secondS: turns[first + 2].timeS };
}

/** The mean of the left and the right value. */
export const bothOf = (of: (side: Side) => number): number => (of('left') + of('right')) / 2;

export const outward = (side: Side) => (side === 'right' ? 1 : -1);

/** Angles of one instant, degrees. */
export function thighElevation(body: BothSides, side: Side): number {
  const [x, y, z] = subtract(body[side].hip, body[side].knee);
  return atan2(y, hypot(x, z)) * DEG;
}

/** Lean of a line from the vertical as seen from the side, forward positive. */
export function leanOf(lower: Vector, upper: Vector): number {
  return atan2(upper[0] - lower[0], upper[1] - lower[1]) * DEG;
}

export const trunkLean = (body: BothSides): number => leanOf(middle(body, 'hip'), middle(body, 'shoulder'));
export const shankLean = (body: BothSides, side: Side): number => leanOf(body[side].ankle, body[side].knee);

/** Mean of two midpoints' places along an axis. */
export const middleOf = (body: BothSides, part: keyof Half, axis: 0 | 1 | 2): number => middle(body, part)[axis];

export const degrees = (radians: number): number => radians * DEG;
