import type { JointLoads } from '../mechanics/joint-loads.ts';
import type { LegSharing } from '../mechanics/leg-sharing/leg-sharing.ts';
import { edgeOfRecording, missing } from '../messages.ts';
import { jointAngleQuantities } from './joint-angle-quantities.ts';
import { edgeFrames, type LiftPoints, liftPoints } from './landmark-points.ts';
import { legSharingQuantities } from './leg-sharing-quantities.ts';
import type { FrameQuantity, Side } from './lift-record.ts';
import { momentQuantities } from './moment-quantities.ts';
import { postureQuantities } from './posture-quantities.ts';
import { powerQuantities } from './power-quantities.ts';
import { spineAndArmQuantities } from './spine-and-arm-quantities.ts';
import { techniqueQuantities } from './technique-quantities.ts';

/** Every frame quantity of a recording, in the order of the columns of frames.csv. */
export function frameQuantities(
  loads: JointLoads,
  points: LiftPoints = liftPoints(loads.motion),
  shared: LegSharing | null = null,
): FrameQuantity[] {
  const posture = postureQuantities(loads, points);
  return [
    ...momentQuantities(loads),
    ...spineAndArmQuantities(loads),
    ...powerQuantities(loads),
    ...legSharingQuantities(shared),
    ...posture,
    ...techniqueQuantities(loads, points, posture),
    ...jointAngleQuantities(loads),
  ];
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

/** One quantity as curves and measures see it: looked up once, read at many frames. */
export interface Column {
  /** One a frame; NaN where unknown, and at edges. */
  readonly values: Float64Array;
  /** Why the value at a frame is unknown; '' where it is known. */
  reasonAt(frame: number): string;
}

/** The quantities by name and side, with the reason where a value is unknown. */
export interface QuantityTable {
  readonly list: readonly FrameQuantity[];
  /** 1 where a frame is kept out of curves and measures. */
  readonly edge: Uint8Array;
  find(quantity: string, side?: Side | null): FrameQuantity | null;
  /** A quantity for many readings; unknown throughout where there is none of that name. */
  column(quantity: string, side: Side | null): Column;
  /** Value at a frame; unknown at edges. */
  at(quantity: string, side: Side | null, frame: number): Reading;
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
  const nameOf = (quantity: string, side: Side | null) => `${quantity}/${side ?? ''}`;
  const byName = new Map(list.map((found) => [nameOf(found.quantity, found.side), found]));
  const columns = new Map<string, Column>();
  const edge = edgeFrames(loads.motion);
  const find = (quantity: string, side: Side | null = null) => byName.get(nameOf(quantity, side)) ?? null;

  /** The reason of the innermost part that is unknown: a share lacks its moment before it lacks its floor. */
  const innermostReason = (quantity: string, side: Side | null, frame: number): string => {
    for (const part of MADE_OF[quantity] ?? []) {
      const found = find(part, side);
      if (found && Number.isNaN(found.values[frame])) return innermostReason(part, side, frame);
    }
    return find(quantity, side)?.reason ?? missing();
  };

  const newColumn = (quantity: string, side: Side | null): Column => {
    const found = find(quantity, side);
    if (!found) return { values: new Float64Array(loads.frames).fill(Number.NaN), reasonAt: missing };
    const values = found.values.slice();
    for (let frame = 0; frame < values.length; frame++) if (edge[frame] !== 0) values[frame] = Number.NaN;
    const isKnown = onDemand(() => found.values.some((value) => !Number.isNaN(value)));
    const reasonAt = (frame: number): string => {
      if (!(frame >= 0 && frame < loads.frames)) return missing();
      if (!Number.isNaN(values[frame])) return '';
      // What can never be known says so, also at the edge.
      return edge[frame] !== 0 && isKnown() ? edgeOfRecording() : innermostReason(quantity, side, frame);
    };
    return { values, reasonAt };
  };

  const column = (quantity: string, side: Side | null): Column => {
    const name = nameOf(quantity, side);
    const known = columns.get(name) ?? newColumn(quantity, side);
    columns.set(name, known);
    return known;
  };

  return { list, edge, find, column, at: (quantity, side, frame) => readingAt(column(quantity, side), frame) };
}

/** Value of a column at a frame. */
export function readingAt(column: Column, frame: number): Reading {
  const reason = column.reasonAt(frame);
  return { value: reason === '' ? column.values[frame] : Number.NaN, reason };
}

/** Value of a column at a fractional frame, linear between the frames beside it; unknown where one of them is. */
export function readingBetween(column: Column, index: number): Reading {
  const value = valueBetween(column, index);
  return { value, reason: Number.isNaN(value) ? reasonBetween(column, index) : '' };
}

/** `readingBetween` without its reason. */
export function valueBetween({ values }: Column, index: number): number {
  const f = Math.floor(index);
  const share = index - f;
  return share === 0 ? values[f] : values[f] + share * (values[f + 1] - values[f]);
}

/** Why `valueBetween` is unknown; '' where it is known. */
export function reasonBetween(column: Column, index: number): string {
  const f = Math.floor(index);
  const reason = column.reasonAt(f);
  return reason !== '' || index === f ? reason : column.reasonAt(f + 1);
}

/** A value computed when it is first asked for. */
function onDemand(make: () => boolean): () => boolean {
  let made: boolean | null = null;
  return () => {
    made ??= make();
    return made;
  };
}
