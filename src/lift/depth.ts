import { missing, notMonotone, notReached } from '../messages.ts';
import { crossingIndex } from '../numerics/interpolation.ts';
import type { Repetition, Side } from './lift-record.ts';
import { MONOTONE_TOLERANCE_DEG, MONOTONE_TOLERANCE_PCT, STANDING_WINDOW_S } from './limits.ts';
import type { QuantityTable, Reading } from './quantities.ts';

export type Phase = 'descent' | 'ascent';
export type Grid = 'thigh_elevation_deg' | 'drop_pct';

/** A depth that grows as the lifter sinks, and the frames of one phase from its shallow to its deep end (both included). */
export interface DepthStretch {
  readonly depth: Float64Array;
  readonly shallow: number;
  readonly deep: number;
  /** How far the depth may go back and still count as monotone. */
  readonly tolerance: number;
}

export interface DepthCrossing {
  /** Fractional frames at which the depth is passed: one, or the first and the last where noise passes it more than once. */
  readonly at: readonly number[];
  readonly reason: string;
}

/** Per cent of the repetition's own drop, 0 at its top, 100 at its bottom, for a height series in metres. */
export function dropPct(height: Float64Array, { topFrame, bottomFrame }: Repetition): Float64Array {
  const top = height[topFrame];
  const scale = 100 / (top - height[bottomFrame]);
  const pct = height.map((h) => (top - h) * scale);
  // By definition; rounding must not put the bottom at 99.999…
  pct[topFrame] = 0;
  pct[bottomFrame] = 100;
  return pct;
}

/**
 * The frames of a phase to look for depths in; null where the phase is not in the recording. It reaches from the stand
 * to the bottom, so beyond the phase proper, which begins and ends 2 % of the drop inside.
 */
export function depthStretch(
  repetition: Repetition,
  phase: Phase,
  grid: Grid,
  table: QuantityTable,
  pct: Float64Array,
  rateHz: number,
): DepthStretch | null {
  const range = repetition[phase];
  if (!range) return null;
  const ascentFirst = repetition.order === 'ascent first';
  const { topFrame, bottomFrame } = repetition;
  const [shallow, deep] =
    phase === 'descent'
      ? [Math.min(topFrame < range.to ? topFrame : range.from, range.from), ascentFirst ? range.to - 1 : bottomFrame]
      : [
          ascentFirst ? Math.max(topFrame, range.to - 1) : standAfter(pct, range.to, rateHz),
          Math.min(bottomFrame, range.from),
        ];
  return grid === 'drop_pct'
    ? { depth: pct, shallow, deep, tolerance: MONOTONE_TOLERANCE_PCT }
    : { depth: sinking(table), shallow, deep, tolerance: MONOTONE_TOLERANCE_DEG };
}

/** Thigh elevation turned over, so that it grows as the lifter sinks. */
function sinking(table: QuantityTable): Float64Array {
  return table.find('thigh_elevation', 'both')!.values.map((deg) => -deg);
}

/** First frame from `from` on, within STANDING_WINDOW_S, that is back at the repetition's top; the one before `from` where there is none. */
function standAfter(pct: Float64Array, from: number, rateHz: number): number {
  const to = Math.min(pct.length, from + Math.round(STANDING_WINDOW_S * rateHz));
  for (let f = from; f < to; f++) if (pct[f] <= 0) return f;
  return from - 1;
}

/**
 * Where a phase passes `level` (in the sense of `depth`: growing downward), linear between frames.
 * Unknown where the level is not reached, where the depth goes back through it by more than the tolerance, and where the
 * frames around the crossing are missing.
 */
export function depthCrossing({ depth, shallow, deep, tolerance }: DepthStretch, level: number): DepthCrossing {
  const none = (reason: string): DepthCrossing => ({ at: [], reason });
  const step = deep < shallow ? -1 : 1;
  if (gapHides(depth, level, shallow, deep, step)) return none(missing());
  if (depth[shallow] === level) return { at: [shallow], reason: '' };
  const first = crossingIndex(depth, level, shallow, deep, 'rising');
  if (Number.isNaN(first)) return none(notReached());
  const last = crossingIndex(depth, level, deep, shallow, 'falling');
  if (Number.isNaN(last) || Math.abs(last - first) < 1e-9) return { at: [first], reason: '' };
  for (let f = step > 0 ? Math.ceil(first) : Math.floor(first); step * (last - f) >= 0; f += step) {
    if (Math.abs(depth[f] - level) > tolerance) return none(notMonotone());
  }
  return { at: [first, last], reason: '' };
}

/** True where the level lies between the depths on either side of missing frames. */
function gapHides(depth: Float64Array, level: number, shallow: number, deep: number, step: number): boolean {
  let before = Number.NaN;
  let gap = false;
  for (let f = shallow; f !== deep + step; f += step) {
    const here = depth[f];
    if (Number.isNaN(here)) {
      gap = true;
      continue;
    }
    if (gap && (Number.isNaN(before) ? here > level : (before - level) * (here - level) <= 0)) return true;
    before = here;
    gap = false;
  }
  return gap && (Number.isNaN(before) || before < level);
}

/** Value of a quantity where a depth is passed: linear between frames, mean over crossings that differ by noise only. */
export function readingAtCrossing(
  table: QuantityTable,
  quantity: string,
  side: Side | null,
  crossing: DepthCrossing,
): Reading {
  if (crossing.reason !== '') return { value: Number.NaN, reason: crossing.reason };
  let sum = 0;
  for (const index of crossing.at) {
    const frame = Math.floor(index);
    const found = table.between(quantity, side, frame, index - frame);
    if (found.reason !== '') return found;
    sum += found.value;
  }
  return { value: sum / crossing.at.length, reason: '' };
}
