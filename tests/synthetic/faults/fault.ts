import type { Side } from '../both-sides.ts';
import type { VirtualLift } from '../lift.ts';
import { type Sought, trueValue } from '../true-measures/true-measures.ts';

/** A stated way in which a lifter departs from how they would lift. */
export interface Fault {
  /** What it does, in plain words. */
  readonly words: string;
  /** The measure that states its amount. */
  readonly measure: Omit<Sought, 'repetition'>;
  /**
   * 'moved': points are moved with limb lengths kept; the lifter need not balance then. 'balanced': the habit is another one, and
   * the posture solves the balance anew.
   */
  readonly kind: 'moved' | 'balanced';
  /** Least and largest size; its unit is the fault's own (metres, radians, shares). */
  readonly range: readonly [number, number];
  /** The lift with the fault; `sides` where it is of one side or both. A balanced fault begins from the lift's setup and course. */
  apply(lift: VirtualLift, size: number, sides: readonly Side[]): VirtualLift;
}

const BOTH_SIDES: readonly Side[] = ['left', 'right'];

/** The sides that a finding of a side asks for. */
export const sidesOf = (side: string): readonly Side[] => (side === 'left' || side === 'right' ? [side] : BOTH_SIDES);

/** What a fault is brought to. */
export interface Target extends Sought {
  readonly value: number;
}

/**
 * The lift with the fault as large as makes a true measure what is asked, to a ten-thousandth of it; null where no
 * size within the fault's range does, or where a limb is too short for it. The measure must change one way with the size.
 */
export function withFault(lift: VirtualLift, fault: Fault, target: Target): VirtualLift | null {
  const sides = sidesOf(target.side);
  const make = (size: number): VirtualLift | null => {
    try {
      return fault.apply(lift, size, sides);
    } catch {
      return null;
    }
  };
  const off = (size: number): number => {
    const made = make(size);
    try {
      return made ? trueValue(made, target) - target.value : Number.NaN;
    } catch {
      return Number.NaN;
    }
  };
  const bracket = bracketOf(off, fault.range);
  if (!bracket) return null;
  return make(root(off, bracket, 1e-4 * Math.max(1e-3, Math.abs(target.value))));
}

/** Where a function that changes sign between two sizes is 0 within `near`: false position, the end that stays halved (Illinois). */
function root(off: (size: number) => number, [from, to]: readonly [number, number], near: number): number {
  let [a, b] = [from, to];
  let [fa, fb] = [off(a), off(b)];
  let stayed = 0;
  for (let i = 0; i < 30; i++) {
    const c = (a * fb - b * fa) / (fb - fa);
    const fc = off(c);
    if (Math.abs(fc) <= near) return c;
    if (fc > 0 === fa > 0) {
      [a, fa] = [c, fc];
      if (stayed === 1) fb /= 2;
      stayed = 1;
    } else {
      [b, fb] = [c, fc];
      if (stayed === 2) fa /= 2;
      stayed = 2;
    }
  }
  return (a + b) / 2;
}

/** Two neighbouring sizes between which the measure passes the target; sizes that cannot be had are passed over. */
function bracketOf(off: (size: number) => number, [from, to]: Fault['range']): [number, number] | null {
  const steps = 8;
  let before: [size: number, off: number] | null = null;
  const sizes = Array.from({ length: steps + 1 }, (_, k) => from + ((to - from) * k) / steps);
  for (const size of sizes) {
    const here = off(size);
    if (Number.isNaN(here)) continue;
    if (before && before[1] > 0 !== here > 0) return [before[0], size];
    before = [size, here];
  }
  return null;
}
