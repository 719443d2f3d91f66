import { hashSeed, seededRandom } from '../../../src/numerics/random.ts';
import type { Side } from '../both-sides.ts';
import type { VirtualLift } from '../lift.ts';
import { FAULTS } from './all-faults.ts';
import { lowered, reshaped } from './reshaped.ts';

const DEG = Math.PI / 180;

/** A habit that a lifter may have: which fault, of which sides, and its sizes from small to large (the fault's own unit). */
interface Habit {
  readonly fault: string;
  readonly sides: readonly Side[];
  readonly from: number;
  readonly to: number;
  /** Share of lifters who have it. */
  readonly share: number;
}

const LEFT: readonly Side[] = ['left'];
const RIGHT: readonly Side[] = ['right'];
const BOTH_SIDES: readonly Side[] = ['left', 'right'];

/** Hips lower by this than the virtual lifter stands: a leg that is all but straight has no room for unlike sides. */
const SOFT_KNEES_M = 0.01;

/** Our own choice of what lifters do; no source. */
const HABITS: readonly Habit[] = [
  { fault: 'heel lifts', sides: LEFT, from: 0.005, to: 0.035, share: 0.5 },
  { fault: 'heel lifts', sides: RIGHT, from: 0.005, to: 0.035, share: 0.5 },
  { fault: 'toes lift', sides: LEFT, from: 0.004, to: 0.02, share: 0.3 },
  { fault: 'toes lift', sides: RIGHT, from: 0.004, to: 0.02, share: 0.3 },
  { fault: 'knees drift in', sides: LEFT, from: -0.03, to: 0.06, share: 0.8 },
  { fault: 'knees drift in', sides: RIGHT, from: -0.03, to: 0.06, share: 0.8 },
  { fault: 'feet step', sides: LEFT, from: 0, to: 0.03, share: 0.6 },
  { fault: 'feet step', sides: RIGHT, from: 0, to: 0.03, share: 0.6 },
  { fault: 'one foot ahead', sides: BOTH_SIDES, from: -0.03, to: 0.03, share: 1 },
  { fault: 'hips shift', sides: BOTH_SIDES, from: -0.03, to: 0.03, share: 1 },
  { fault: 'hips tilt', sides: BOTH_SIDES, from: -5 * DEG, to: 5 * DEG, share: 1 },
  { fault: 'hips stand tilted', sides: BOTH_SIDES, from: -2 * DEG, to: 2 * DEG, share: 1 },
  { fault: 'trunk tips in the drive', sides: BOTH_SIDES, from: -3 * DEG, to: 6 * DEG, share: 0.8 },
  { fault: 'back rounds', sides: BOTH_SIDES, from: -2 * DEG, to: 15 * DEG, share: 0.7 },
  { fault: 'trunk shortens', sides: BOTH_SIDES, from: 0, to: 0.05, share: 0.6 },
  { fault: 'shoulders tilt', sides: BOTH_SIDES, from: -3 * DEG, to: 3 * DEG, share: 1 },
  { fault: 'head held', sides: BOTH_SIDES, from: -20 * DEG, to: 20 * DEG, share: 1 },
  { fault: 'head tips', sides: BOTH_SIDES, from: -15 * DEG, to: 25 * DEG, share: 1 },
  { fault: 'wrists bend back', sides: LEFT, from: 20 * DEG, to: 70 * DEG, share: 1 },
  { fault: 'wrists bend back', sides: RIGHT, from: 20 * DEG, to: 70 * DEG, share: 1 },
  { fault: 'hands wide', sides: BOTH_SIDES, from: -0.03, to: 0.05, share: 1 },
  { fault: 'elbows held low', sides: LEFT, from: -10 * DEG, to: 20 * DEG, share: 1 },
  { fault: 'elbows held low', sides: RIGHT, from: -10 * DEG, to: 20 * DEG, share: 1 },
  { fault: 'elbows drop', sides: LEFT, from: -5 * DEG, to: 25 * DEG, share: 0.8 },
  { fault: 'elbows drop', sides: RIGHT, from: -5 * DEG, to: 25 * DEG, share: 0.8 },
  { fault: 'bar slips', sides: BOTH_SIDES, from: -0.005, to: 0.025, share: 0.7 },
  { fault: 'bar drifts', sides: BOTH_SIDES, from: -0.01, to: 0.02, share: 0.7 },
  { fault: 'bar tilts', sides: BOTH_SIDES, from: -2 * DEG, to: 2 * DEG, share: 1 },
  { fault: 'bar turns', sides: BOTH_SIDES, from: -3 * DEG, to: 3 * DEG, share: 1 },
];

/**
 * The lift of a lifter with habits that are not alike on both sides, drawn by number: the same each time. A habit that a limb is
 * too short for is left out. Without them heels never lift, backs never round and left is right: measures of these would be
 * judged at 0 only.
 */
export function withDrawnHabits(lift: VirtualLift, number: number): VirtualLift {
  let made = reshaped(lift, (sides) => lowered(sides, SOFT_KNEES_M));
  HABITS.forEach(({ fault, sides, from, to, share }, index) => {
    const random = seededRandom(hashSeed('drawn habit', number, index));
    const has = random.uniform() < share;
    const size = from + (to - from) * random.uniform();
    if (!has) return;
    try {
      const changed = FAULTS[fault].apply(made, size, sides);
      for (let t = 0; t <= lift.course.durationS; t += 0.05) changed.postureAt(t);
      made = changed;
    } catch {
      // This limb does not reach.
    }
  });
  return made;
}
