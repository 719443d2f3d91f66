import type { LiftRecord, Repetition } from '../../lift/lift-record.ts';
import { type Point, partsAt, type SideView, shownRepetition, sideView } from '../postures.ts';
import type { ComparedLift } from './compared-lift.ts';

/** Where two lifters are drawn over each other: at equal thigh angle, never at equal time. */
export const COMPARED_POSTURES = ['standing', '45°', 'parallel', 'bottom of the shallower'] as const;
export type ComparedPosture = (typeof COMPARED_POSTURES)[number];

/** A lifter from the right side at one depth: chains of points, metres, forward of mid-foot and above the floor. */
export interface DrawnPosture {
  readonly repetition: number;
  /** By part, as in posturesTable. NaN breaks a chain. */
  readonly parts: ReadonlyMap<string, readonly Point[]>;
}

export interface PosturePair {
  readonly posture: ComparedPosture;
  /** Thigh elevation both are shown at, degrees; NaN for standing. */
  readonly depthDeg: number;
  readonly a: DrawnPosture;
  readonly b: DrawnPosture;
  /** What lies over each other: the middle of the feet, or the ankles where toes or heels are not known. */
  readonly alignedBy: 'mid-foot' | 'ankles';
}

/** Half way down between standing and parallel, and parallel, degrees of thigh elevation. */
const LEVELS = { '45°': 45, parallel: 0 } as const;
/** A bottom so near to parallel would draw the same picture twice, degrees. */
const AS_GOOD_AS_PARALLEL_DEG = 3;

/**
 * Both sides at the depths that both reach, on the way down (on the way up where a side has no way down). A mean over
 * repetitions is drawn as the repetition in its middle. Between frames the points are interpolated.
 */
export function posturePairs(a: ComparedLift, b: ComparedLift): PosturePair[] {
  const [one, other] = [shownOf(a), shownOf(b)];
  if (!one || !other) return [];
  const bottom = Math.max(one.repetition.bottomThighElevationDeg, other.repetition.bottomThighElevationDeg);
  return COMPARED_POSTURES.flatMap((posture): PosturePair[] => {
    const depthDeg =
      posture === 'standing' ? Number.NaN : posture === 'bottom of the shallower' ? bottom : LEVELS[posture];
    if (posture === 'bottom of the shallower' && !(Math.abs(bottom) > AS_GOOD_AS_PARALLEL_DEG)) return [];
    const [ofA, ofB] = [one, other].map((shown) =>
      posture === 'standing' ? shown.repetition.topFrame : frameAtDepth(shown.record, shown.repetition, depthDeg),
    );
    if (!(ofA >= 0 && ofB >= 0)) return [];
    const [drawnA, drawnB] = [chainsAt(one, ofA), chainsAt(other, ofB)];
    const feet = [drawnA, drawnB].map(midFoot);
    const alignedBy = feet.every(Number.isFinite) ? 'mid-foot' : 'ankles';
    const [zeroA, zeroB] = alignedBy === 'mid-foot' ? feet : [0, 0];
    return [{ posture, depthDeg, alignedBy, a: movedBack(one, drawnA, zeroA), b: movedBack(other, drawnB, zeroB) }];
  });
}

interface Shown {
  readonly record: LiftRecord;
  readonly repetition: Repetition;
  readonly view: SideView;
}

function shownOf({ record, repetition: number }: ComparedLift): Shown | null {
  const repetition =
    number === null ? shownRepetition(record) : record.repetitions.find((one) => one.number === number);
  return repetition ? { record, repetition, view: sideView(record, repetition.topFrame) } : null;
}

/** Fractional frame at which the thighs pass an angle: the first of the way down, else the last of the way up; NaN for none. */
function frameAtDepth(record: LiftRecord, { descent, ascent, bottomFrame }: Repetition, depthDeg: number): number {
  const elevation = record.quantities.find((q) => q.quantity === 'thigh_elevation' && q.side === 'both')?.values;
  if (!elevation) return Number.NaN;
  const above = (frame: number) => elevation[frame] - depthDeg;
  if (descent) {
    for (let f = descent.from; f < bottomFrame; f++) {
      if (above(f) > 0 && above(f + 1) <= 0) return f + above(f) / (above(f) - above(f + 1));
    }
  } else if (ascent) {
    for (let f = ascent.to - 1; f > bottomFrame; f--) {
      if (above(f) > 0 && above(f - 1) <= 0) return f - above(f) / (above(f) - above(f - 1));
    }
  }
  // The shallower one's own bottom is not passed but touched.
  return Math.abs(above(bottomFrame)) < 1e-9 ? bottomFrame : Number.NaN;
}

type Chains = ReadonlyMap<string, readonly Point[]>;

/** The parts between two frames, linear; of the nearer frame where a part is cut differently in the two. */
function chainsAt({ record, view }: Shown, frame: number): Chains {
  const below = Math.floor(frame);
  const share = frame - below;
  const here = new Map(partsAt(record, below, view));
  if (share === 0) return here;
  const next = new Map(partsAt(record, below + 1, view));
  const nearer = share < 0.5 ? here : next;
  return new Map(
    [...nearer].map(([part, chain]): [string, readonly Point[]] => {
      const [from, to] = [here.get(part), next.get(part)];
      if (!from || !to || from.length !== to.length) return [part, chain];
      return [part, from.map(([x, y], i): Point => [x + share * (to[i][0] - x), y + share * (to[i][1] - y)])];
    }),
  );
}

const midFoot = (parts: Chains): number => {
  const span = parts.get('foot on the floor');
  return span ? (span[0][0] + span[1][0]) / 2 : Number.NaN;
};

function movedBack({ repetition }: Shown, parts: Chains, zero: number): DrawnPosture {
  return {
    repetition: repetition.number,
    parts: new Map([...parts].map(([part, chain]) => [part, chain.map(([x, y]): Point => [x - zero, y])])),
  };
}
