import { DataError } from '../errors.ts';
import { foldRefused, tooFewToLeaveOut } from '../messages/acceptance.ts';
import { pointFromViews } from './point-from-views.ts';
import type { Camera, MeasuredQuality } from './rig.ts';

/** One known length as a rig that never saw it measures it, metres. */
export interface HeldOutPair {
  readonly measuredM: number;
  readonly trueM: number;
}

export interface HeldOutLength {
  /** null where nothing could be left out; `notes` say why. */
  readonly figure: MeasuredQuality['heldOutLength'];
  /** Mean of (measured − true) / true: a common error of scale, which the r.m.s. cannot tell from scatter. NaN without figure. */
  readonly meanShare: number;
  readonly notes: readonly string[];
}

/**
 * Leaves out each part in turn, fits again without it, and measures the known lengths of that part with the result
 * (cross-validation; Stone 1974, J. R. Stat. Soc. B 36:111).
 *
 * `parts`: what is left out in turn. `refit` returns the cameras fitted to everything but one part; where it throws a
 * DataError (too little is left) that part is noted and not counted. `lengths`: the known lengths of that part as those
 * cameras measure it; `nameOf`: how a note calls it.
 */
export async function heldOutLength<Part>(
  what: string,
  parts: readonly Part[],
  refit: (leftOut: Part) => readonly Camera[] | Promise<readonly Camera[]>,
  lengths: (cameras: readonly Camera[], leftOut: Part) => readonly HeldOutPair[],
  nameOf: (part: Part) => string,
): Promise<HeldOutLength> {
  const pairs: HeldOutPair[] = [];
  const notes: string[] = [];
  for (const part of parts) {
    try {
      pairs.push(...lengths(await refit(part), part));
    } catch (error) {
      if (!(error instanceof DataError)) throw error;
      notes.push(foldRefused(nameOf(part), error.code));
    }
  }
  return lengthFigure(what, pairs, notes);
}

/** The figure from all pairs: r.m.s. in metres, and of the relative errors. */
export function lengthFigure(
  what: string,
  pairs: readonly HeldOutPair[],
  notes: readonly string[] = [],
): HeldOutLength {
  if (pairs.length === 0) return { figure: null, meanShare: Number.NaN, notes: [...notes, tooFewToLeaveOut()] };
  let squares = 0;
  let shares = 0;
  let sum = 0;
  for (const { measuredM, trueM } of pairs) {
    const error = measuredM - trueM;
    squares += error ** 2;
    shares += (error / trueM) ** 2;
    sum += error / trueM;
  }
  const count = pairs.length;
  return {
    figure: { what, rmsM: Math.sqrt(squares / count), share: Math.sqrt(shares / count), count },
    meanShare: sum / count,
    notes,
  };
}

/** A stick or bar at one moment: pixels of both ends, 2 × cameras each (NaN where not seen), and its length, metres. */
export interface SeenRod {
  readonly ends: readonly [Float64Array, Float64Array];
  readonly lengthM: number;
}

/** Lengths of rods as the cameras measure them; those whose ends no two cameras see are left out. */
export function rodLengths(cameras: readonly Camera[], rods: readonly SeenRod[]): HeldOutPair[] {
  return rods.flatMap(({ ends, lengthM }) => {
    const [a, b] = ends.map((pixels) => pointFromViews(cameras, pixels));
    if (a === null || b === null) return [];
    return [{ measuredM: Math.hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]), trueM: lengthM }];
  });
}

/** Items dealt out to `count` parts in turn, so that neighbours of one sweep fall into different parts. */
export function dealt<Item>(items: readonly Item[], count: number): Item[][] {
  const parts: Item[][] = Array.from({ length: Math.min(count, items.length) }, () => []);
  items.forEach((item, i) => {
    parts[i % parts.length].push(item);
  });
  return parts;
}
