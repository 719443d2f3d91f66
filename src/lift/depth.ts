import { missing, notMonotone, notReached, phaseMissing } from '../messages.ts';
import type { Repetition } from './lift-record.ts';
import { MONOTONE_TOLERANCE_DEG, MONOTONE_TOLERANCE_PCT, STANDING_WINDOW_S } from './limits.ts';
import { perFrame } from './per-frame.ts';
import { type Column, type QuantityTable, type Reading, reasonBetween, valueBetween } from './quantities.ts';

export type Phase = 'descent' | 'ascent';
export type Grid = 'thigh_elevation_deg' | 'drop_pct';

/** A depth that grows as the lifter sinks, and the frames of one phase from its shallow to its deep end (both included). */
export interface DepthStretch {
  /** One a frame; element 0 is frame `first`. */
  readonly depth: Float64Array;
  readonly first: number;
  readonly shallow: number;
  readonly deep: number;
  /** How far the depth may go back and still count as monotone. */
  readonly tolerance: number;
  /** True where the depth of a frame of the phase is missing. */
  readonly hasGaps: boolean;
}

export interface DepthCrossing {
  /** Fractional frames at which the depth is passed: one, or the first and the last where noise passes it more than once. */
  readonly at: readonly number[];
  readonly reason: string;
}

/** Where the repetitions of one recording pass a depth; each crossing is looked for once. */
export interface LiftDepths {
  /** The crossing of `level`, in the sense of the grid: degrees of thigh elevation, or per cent of the drop. */
  crossing(repetition: Repetition, phase: Phase, grid: Grid, level: number): DepthCrossing;
}

/** What was found of one repetition, by phase and grid, and by level. */
interface FoundDepths {
  readonly stretches: Map<string, DepthStretch | null>;
  readonly crossings: Map<string, DepthCrossing>;
}

/** `height`: the height the repetitions were found in, m a frame. */
export function liftDepths(table: QuantityTable, height: Float64Array, rateHz: number): LiftDepths {
  const elevation = table.find('thigh_elevation', 'both')!.values;
  /** Turned over, so that it grows as the lifter sinks. */
  const sinking = perFrame(elevation.length, (frame) => -elevation[frame]);
  const known = new Map<Repetition, FoundDepths>();

  const crossing = (repetition: Repetition, phase: Phase, grid: Grid, level: number): DepthCrossing => {
    const found = known.get(repetition) ?? { stretches: new Map(), crossings: new Map() };
    known.set(repetition, found);
    const way = `${phase} ${grid}`;
    let stretch = found.stretches.get(way);
    if (stretch === undefined) {
      stretch = depthStretch(repetition, phase, grid, sinking, height, rateHz);
      found.stretches.set(way, stretch);
    }
    let at = found.crossings.get(`${way} ${level}`);
    if (at === undefined) {
      at = stretch
        ? depthCrossing(stretch, grid === 'thigh_elevation_deg' ? -level : level)
        : { at: [], reason: phaseMissing(phase) };
      found.crossings.set(`${way} ${level}`, at);
    }
    return at;
  };

  return { crossing };
}

/** Per cent of the repetition's own drop at a frame, 0 at its top, 100 at its bottom, for a height series in metres. */
export function dropPct(height: Float64Array, { topFrame, bottomFrame }: Repetition, frame: number): number {
  // By definition; rounding must not put the bottom at 99.999…
  if (frame === bottomFrame) return 100;
  if (frame === topFrame) return 0;
  const top = height[topFrame];
  return (top - height[frame]) * (100 / (top - height[bottomFrame]));
}

/**
 * The frames of a phase to look for depths in; null where the phase is not in the recording. It reaches from the stand
 * to the bottom, so beyond the phase proper, which begins and ends 2 % of the drop inside.
 */
function depthStretch(
  repetition: Repetition,
  phase: Phase,
  grid: Grid,
  sinking: Float64Array,
  height: Float64Array,
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
          ascentFirst ? Math.max(topFrame, range.to - 1) : standAfter(height, repetition, range.to, rateHz),
          Math.min(bottomFrame, range.from),
        ];
  const first = Math.min(shallow, deep);
  const frames = Math.max(shallow, deep) + 1 - first;
  const depth =
    grid === 'drop_pct'
      ? perFrame(frames, (k) => dropPct(height, repetition, first + k))
      : sinking.subarray(first, first + frames);
  const tolerance = grid === 'drop_pct' ? MONOTONE_TOLERANCE_PCT : MONOTONE_TOLERANCE_DEG;
  return { depth, first, shallow, deep, tolerance, hasGaps: depth.some(Number.isNaN) };
}

/** First frame from `from` on, within STANDING_WINDOW_S, that is back at the repetition's top; the one before `from` where there is none. */
function standAfter(height: Float64Array, repetition: Repetition, from: number, rateHz: number): number {
  const to = Math.min(height.length, from + Math.round(STANDING_WINDOW_S * rateHz));
  for (let f = from; f < to; f++) if (dropPct(height, repetition, f) <= 0) return f;
  return from - 1;
}

/**
 * Where a phase passes `level` (in the sense of `depth`: growing downward), linear between frames.
 * Unknown where the level is not reached, where the depth goes back through it by more than the tolerance, and where the
 * frames around the crossing are missing.
 */
export function depthCrossing(stretch: DepthStretch, level: number): DepthCrossing {
  const { depth, first, shallow, deep, tolerance } = stretch;
  const none = (reason: string): DepthCrossing => ({ at: [], reason });
  if (stretch.hasGaps && gapHides(stretch, level)) return none(missing());
  // The bottom of a drop is 100 % by definition, though a frame beside it may lie lower by noise.
  for (const end of [shallow, deep]) if (depth[end - first] === level) return { at: [end], reason: '' };
  const step = deep < shallow ? -1 : 1;
  const sinks = passing(depth, first, level, shallow, deep, 1);
  if (Number.isNaN(sinks)) return none(notReached());
  const rises = passing(depth, first, level, deep, shallow, -1);
  if (Number.isNaN(rises) || Math.abs(rises - sinks) < 1e-9) return { at: [sinks], reason: '' };
  for (let f = step > 0 ? Math.ceil(sinks) : Math.floor(sinks); step * (rises - f) >= 0; f += step) {
    if (Math.abs(depth[f - first] - level) > tolerance) return none(notMonotone());
  }
  return { at: [sinks, rises], reason: '' };
}

/**
 * Fractional frame at which the depth first grows through `level` (`sign` 1) or shrinks through it (−1) on the way from
 * one frame to another, linear between frames; NaN where it does not. Missing frames pass nothing.
 */
function passing(depth: Float64Array, first: number, level: number, from: number, to: number, sign: 1 | -1): number {
  const step = to < from ? -1 : 1;
  for (let f = from; f !== to; f += step) {
    const here = depth[f - first] - level;
    const next = depth[f - first + step] - level;
    if (sign * here < 0 && sign * next >= 0) return f + (step * here) / (here - next);
  }
  return Number.NaN;
}

/** True where the level lies between the depths on either side of missing frames. */
function gapHides({ depth, first, shallow, deep }: DepthStretch, level: number): boolean {
  const step = deep < shallow ? -1 : 1;
  let before = Number.NaN;
  let gap = false;
  for (let f = shallow; f !== deep + step; f += step) {
    const here = depth[f - first];
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
export function readingAtCrossing(column: Column, crossing: DepthCrossing): Reading {
  const { at, reason } = crossing;
  if (reason !== '') return { value: Number.NaN, reason };
  let sum = 0;
  for (const index of at) sum += valueBetween(column, index);
  const value = sum / at.length;
  return { value, reason: Number.isNaN(value) ? reasonAtCrossing(column, crossing) : '' };
}

/** Why a quantity is unknown where a depth is passed. */
function reasonAtCrossing(column: Column, { at }: DepthCrossing): string {
  for (const index of at) {
    const reason = reasonBetween(column, index);
    if (reason !== '') return reason;
  }
  return '';
}
