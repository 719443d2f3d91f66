import type { JointLoads } from '../mechanics/joint-loads.ts';
import { edgeOfRecording, missing } from '../messages.ts';
import { edgeFrames } from './landmark-points.ts';
import type { FrameQuantity, Side } from './lift-record.ts';
import { momentQuantities } from './moment-quantities.ts';
import { postureQuantities } from './posture-quantities.ts';

/** Every frame quantity of a recording, in the order of the columns of frames.csv. */
export function frameQuantities(loads: JointLoads): FrameQuantity[] {
  return [...momentQuantities(loads), ...postureQuantities(loads)];
}

/** Column name in frames.csv: `<quantity>[_<side>][_<unit>]`, for instance `hip_moment_both_nm`, `com_along_foot`. */
export function columnName({ quantity, side, unit }: Pick<FrameQuantity, 'quantity' | 'side' | 'unit'>): string {
  return [quantity, side, unit].filter((part) => part !== null && part !== '').join('_');
}

export interface Reading {
  /** NaN where unknown. */
  readonly value: number;
  /** '' where known. */
  readonly reason: string;
}

/** The quantities by name and side, with the reason where a value is unknown. */
export interface QuantityTable {
  readonly list: readonly FrameQuantity[];
  /** 1 where a frame is kept out of curves and measures. */
  readonly edge: Uint8Array;
  find(quantity: string, side?: Side | null): FrameQuantity | null;
  /** Value at a frame; unknown at edges. */
  at(quantity: string, side: Side | null, frame: number): Reading;
  /** Value between frame `f` and the next: `share` 0 is `f`, 1 the next. */
  between(quantity: string, side: Side | null, f: number, share: number): Reading;
}

/** Which quantities must be known for a derived one to be judged by its own limit. */
const MADE_OF: Readonly<Record<string, readonly string[]>> = {
  hip_share: ['hip_moment', 'knee_moment'],
  hip_share_gravity: ['hip_moment_gravity', 'knee_moment_gravity'],
  hip_knee_ratio: ['hip_share'],
  ankle_share: ['support_moment'],
};

export function quantityTable(
  loads: JointLoads,
  list: readonly FrameQuantity[] = frameQuantities(loads),
): QuantityTable {
  const byName = new Map(list.map((found) => [`${found.quantity}/${found.side ?? ''}`, found]));
  const edge = edgeFrames(loads.motion);
  const find = (quantity: string, side: Side | null = null) => byName.get(`${quantity}/${side ?? ''}`) ?? null;

  /** The reason of the innermost part that is unknown: a share lacks its moment before it lacks its floor. */
  const reasonAt = (quantity: string, side: Side | null, frame: number): string => {
    for (const part of MADE_OF[quantity] ?? []) {
      const found = find(part, side);
      if (found && Number.isNaN(found.values[frame])) return reasonAt(part, side, frame);
    }
    return find(quantity, side)?.reason ?? missing();
  };

  const at = (quantity: string, side: Side | null, frame: number): Reading => {
    const found = find(quantity, side);
    if (!found || frame < 0 || frame >= loads.frames) return { value: Number.NaN, reason: missing() };
    const value = found.values[frame];
    if (edge[frame]) {
      // What can never be known says so, also at the edge.
      const known = found.values.some((v) => !Number.isNaN(v));
      return { value: Number.NaN, reason: known ? edgeOfRecording() : reasonAt(quantity, side, frame) };
    }
    return Number.isNaN(value) ? { value, reason: reasonAt(quantity, side, frame) } : { value, reason: '' };
  };

  const between = (quantity: string, side: Side | null, f: number, share: number): Reading => {
    const first = at(quantity, side, f);
    if (share === 0 || first.reason !== '') return first;
    const second = at(quantity, side, f + 1);
    if (second.reason !== '') return second;
    return { value: first.value + share * (second.value - first.value), reason: '' };
  };

  return { list, edge, find, at, between };
}
