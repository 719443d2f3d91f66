import type { Landmark } from '../../capture/landmarks.ts';

/** A distance between two points that stays the same throughout a recording. */
export interface Rod {
  readonly segment: string;
  readonly from: Landmark;
  readonly to: Landmark;
  /** What it is a length of: chooses the prior; null = nothing is known beforehand. */
  readonly kind: RodKind | null;
  readonly side: 'left' | 'right' | null;
}

export type RodKind = 'pelvis' | 'thigh' | 'shank' | 'upper_arm' | 'forearm' | 'hand' | 'foot' | 'bar';

/** Points of a foot, and the points that carry most of the mass: their corrections are smoothed as they are. */
export const FOOT_POINTS = ['heel', 'big_toe', 'ankle'] as const;
export const HEAVY_POINTS: readonly Landmark[] = ['left_hip', 'right_hip', 'left_shoulder', 'right_shoulder'];

/**
 * Every rod of a lifter. The trunk and the width of the shoulders are none: a back that rounds and shoulders drawn forward
 * must stay visible. The small toe is left free: with it the foot's four points lie nearly in a plane, and their six
 * distances would say the same thing twice.
 */
const RODS: readonly Rod[] = [
  { segment: 'pelvis', from: 'left_hip', to: 'right_hip', kind: 'pelvis', side: null },
  ...(['left', 'right'] as const).flatMap((side): Rod[] => {
    const rod = (name: string, from: string, to: string, kind: RodKind | null): Rod => ({
      segment: `${side} ${name}`,
      from: `${side}_${from}` as Landmark,
      to: `${side}_${to}` as Landmark,
      kind,
      side,
    });
    return [
      rod('thigh', 'hip', 'knee', 'thigh'),
      rod('shank', 'knee', 'ankle', 'shank'),
      rod('ankle to heel', 'ankle', 'heel', null),
      rod('ankle to toe', 'ankle', 'big_toe', null),
      rod('foot', 'heel', 'big_toe', 'foot'),
      rod('upper arm', 'shoulder', 'elbow', 'upper_arm'),
      rod('forearm', 'elbow', 'wrist', 'forearm'),
      rod('hand', 'wrist', 'hand', 'hand'),
    ];
  }),
  { segment: 'bar', from: 'bar_left_end', to: 'bar_right_end', kind: 'bar', side: null },
];

/** The rods of a recording, sorted so that rods that hang together follow each other. */
export interface RodSystem {
  readonly rods: readonly Rod[];
  /** Columns of the end points among the landmarks. */
  readonly from: Int32Array;
  readonly to: Int32Array;
  /** First rod of each group that hangs together; one more entry at the end. */
  readonly groupStart: Int32Array;
  /** Largest number of rods in a group. */
  readonly largest: number;
  /** First pair of each group; one more entry at the end. */
  readonly pairStart: Int32Array;
  /** `4 * pair`: two rods i > j that share a point; whether that is the `to` end of i (1) or its `from` end (0); likewise of j. */
  readonly pairs: Int32Array;
}

/** Rods whose two points are known together in at least one frame. position: as in Trajectories. */
export function rodSystem(landmarks: readonly Landmark[], position: Float64Array, frames: number): RodSystem {
  const present = RODS.filter((rod) => {
    const [a, b] = [landmarks.indexOf(rod.from), landmarks.indexOf(rod.to)];
    return a >= 0 && b >= 0 && seenTogether(position, frames, landmarks.length, a, b);
  });
  const groups = groupsOf(present);
  const rods = groups.flat();
  const from = Int32Array.from(rods, (rod) => landmarks.indexOf(rod.from));
  const to = Int32Array.from(rods, (rod) => landmarks.indexOf(rod.to));
  const groupStart = [0];
  const pairStart = [0];
  const pairs: number[] = [];
  for (const group of groups) {
    const first = groupStart[groupStart.length - 1];
    const end = first + group.length;
    for (let i = first; i < end; i++) {
      for (let j = first; j < i; j++) {
        for (const [ofI, isToOfI] of [
          [to[i], 1],
          [from[i], 0],
        ]) {
          if (ofI === to[j]) pairs.push(i, j, isToOfI, 1);
          if (ofI === from[j]) pairs.push(i, j, isToOfI, 0);
        }
      }
    }
    groupStart.push(end);
    pairStart.push(pairs.length / 4);
  }
  return {
    rods,
    from,
    to,
    groupStart: Int32Array.from(groupStart),
    largest: Math.max(0, ...groups.map((group) => group.length)),
    pairStart: Int32Array.from(pairStart),
    pairs: Int32Array.from(pairs),
  };
}

function seenTogether(position: Float64Array, frames: number, count: number, a: number, b: number): boolean {
  for (let k = 0; k < frames; k++) {
    if (Number.isFinite(position[3 * (k * count + a)] + position[3 * (k * count + b)])) return true;
  }
  return false;
}

/** Rods joined through shared points, in the order of RODS. */
function groupsOf(rods: readonly Rod[]): Rod[][] {
  const groups: { points: Set<Landmark>; rods: Rod[] }[] = [];
  for (const rod of rods) {
    const touched = groups.filter(({ points }) => points.has(rod.from) || points.has(rod.to));
    const joined = { points: new Set<Landmark>([rod.from, rod.to]), rods: [] as Rod[] };
    for (const group of touched) {
      for (const point of group.points) joined.points.add(point);
      joined.rods.push(...group.rods);
      groups.splice(groups.indexOf(group), 1);
    }
    joined.rods.push(rod);
    groups.push(joined);
  }
  return groups.map((group) => group.rods);
}
