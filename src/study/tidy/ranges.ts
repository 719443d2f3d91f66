import type { ColumnEntry } from '../dictionary.ts';

export interface Range {
  readonly minimum?: number;
  readonly maximum?: number;
}

/** By name. What a recording file states has the limits of src/capture/schema.ts. */
const STATED: Readonly<Record<string, Range>> = {
  mass_kg: { minimum: 20, maximum: 300 },
  effort_rpe: { minimum: 0, maximum: 10 },
  shoe_heel_height_m: { minimum: 0, maximum: 0.1 },
  stature_m: { minimum: 1, maximum: 2.5 },
  // Below 0 where what both sides share adds up in their difference: errors that work in opposite ways.
  cancelled_share: { maximum: 1 },
};

/** Shares and probabilities by name; others say "0–1" in their definition. */
const PARTS_OF_ONE = new Set(['probability', 'probability_adjusted', 'moments_known_share', 'covered_share']);
const SPREADS = /^(sd|sd_.*|.*_sd|rms|p95|mdc|freedom)$/;
const DURATIONS = new Set(['descent_s', 'ascent_s']);

/** The range that unit and definition of a column imply; {} where any number can stand. */
export function rangeOf({ column, type, unit, definition }: ColumnEntry): Range {
  if (column in STATED) return STATED[column];
  if (column === 'priority') return { minimum: 1, maximum: 5 };
  // Counts, and numbers of frames, repetitions and sets: none of them is negative.
  if (type === 'whole') return { minimum: 0 };
  if (type !== 'number') return {};
  if (PARTS_OF_ONE.has(column) || /\b0(–| to )1\b/.test(definition)) return { minimum: 0, maximum: 1 };
  if (SPREADS.test(column) || DURATIONS.has(column)) return { minimum: 0 };
  if (unit === 'kg') return { minimum: 0 };
  // Depth is a thigh's elevation, −90 to 90°, or a part of the drop, 0 to 100 %.
  if (column === 'depth') return { minimum: -90, maximum: 100 };
  if (unit === 'deg') return { minimum: -360, maximum: 360 };
  return {};
}
