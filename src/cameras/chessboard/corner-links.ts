import type { Candidates } from './corner-candidates.ts';
import { type PictureLevel, valueAt } from './picture-level.ts';

/** Taken out of the global object once: looked up per pixel it costs more than the arithmetic where globals are intercepted. */
const { hypot, max, min, sqrt } = Math;

/**
 * For each candidate and slot the candidate at the other end of that edge, 4 × count; −1 where there is none. Links are
 * mutual: `linked[4 n + backSlot]` is c where `linked[4 c + slot]` is n.
 */
export interface CornerLinks {
  readonly linked: Int32Array;
  /** Slot of the far end that looks back. */
  readonly backSlot: Int8Array;
}

/** An edge leaves its corner within this angle of the line to the far corner (22°). */
const ALONG_COS = Math.cos((22 * Math.PI) / 180);
/** Far corners tried per edge, nearest first. */
const TRIED = 4;
/** Places along an edge at which its two sides are compared. */
const PLACES = [0.2, 0.35, 0.5, 0.65, 0.8] as const;
/** Least difference of the two sides, as part of the weaker corner's amplitude. */
const LEAST_STEP = 0.5;

/** Links corners whose common edge is seen: dark on one side and bright on the other, all along. */
export function linkCorners(found: Candidates, level: PictureLevel): CornerLinks {
  const { count } = found;
  const linked = new Int32Array(4 * count).fill(-1);
  const backSlot = new Int8Array(4 * count).fill(-1);
  const near = new Int32Array(4 * TRIED);
  const nearBack = new Int8Array(4 * TRIED);
  const nearSquared = new Float64Array(4 * TRIED);
  for (let c = 0; c < count; c++) {
    near.fill(-1);
    nearSquared.fill(Number.POSITIVE_INFINITY);
    for (let n = 0; n < count; n++) {
      if (n !== c) consider(found, c, n, near, nearBack, nearSquared);
    }
    for (let slot = 0; slot < 4; slot++) {
      for (let k = TRIED * slot; k < TRIED * (slot + 1) && near[k] >= 0; k++) {
        if (!edgeSeen(found, level, c, near[k], slot)) continue;
        linked[4 * c + slot] = near[k];
        backSlot[4 * c + slot] = nearBack[k];
        break;
      }
    }
  }
  const mutual = linked.map((n, k) => (n >= 0 && linked[4 * n + backSlot[k]] === k >> 2 ? n : -1));
  return { linked: mutual, backSlot };
}

/** Enters n among the nearest ends of the edges of c where directions and sense of the edge fit. */
function consider(
  { x, y, direction }: Candidates,
  c: number,
  n: number,
  near: Int32Array,
  nearBack: Int8Array,
  nearSquared: Float64Array,
): void {
  const dx = x[n] - x[c];
  const dy = y[n] - y[c];
  const squared = dx * dx + dy * dy;
  // Where all four lists already hold nearer ones, nothing can change.
  const last = TRIED - 1;
  if (
    squared >= nearSquared[last] &&
    squared >= nearSquared[last + TRIED] &&
    squared >= nearSquared[last + 2 * TRIED] &&
    squared >= nearSquared[last + 3 * TRIED]
  )
    return;
  const least = ALONG_COS * sqrt(squared);
  for (let slot = 0; slot < 4; slot++) {
    const o = 8 * c + 2 * slot;
    if (dx * direction[o] + dy * direction[o + 1] < least) continue;
    // Seen from the far end the bright side lies on the other hand: an even slot meets an odd one.
    for (let back = (slot + 1) % 2; back < 4; back += 2) {
      const b = 8 * n + 2 * back;
      if (-dx * direction[b] - dy * direction[b + 1] < least) continue;
      insert(near, nearBack, nearSquared, TRIED * slot, n, back, squared);
      return;
    }
    return;
  }
}

function insert(
  near: Int32Array,
  nearBack: Int8Array,
  nearSquared: Float64Array,
  first: number,
  n: number,
  back: number,
  squared: number,
): void {
  let k = first + TRIED - 1;
  if (squared >= nearSquared[k]) return;
  for (; k > first && squared < nearSquared[k - 1]; k--) {
    near[k] = near[k - 1];
    nearBack[k] = nearBack[k - 1];
    nearSquared[k] = nearSquared[k - 1];
  }
  near[k] = n;
  nearBack[k] = back;
  nearSquared[k] = squared;
}

function edgeSeen({ x, y, amplitude }: Candidates, level: PictureLevel, c: number, n: number, slot: number): boolean {
  const dx = x[n] - x[c];
  const dy = y[n] - y[c];
  const length = hypot(dx, dy);
  const aside = min(6, max(1.5, 0.2 * length));
  // Towards growing angle, which is the bright side of even slots.
  const sx = (-dy / length) * aside;
  const sy = (dx / length) * aside;
  const least = LEAST_STEP * min(amplitude[c], amplitude[n]);
  const sign = slot % 2 === 0 ? 1 : -1;
  for (const t of PLACES) {
    const px = x[c] + t * dx;
    const py = y[c] + t * dy;
    if (!inside(level, px + sx, py + sy) || !inside(level, px - sx, py - sy)) return false;
    if (sign * (valueAt(level, px + sx, py + sy) - valueAt(level, px - sx, py - sy)) < least) return false;
  }
  return true;
}

const inside = ({ width, height }: PictureLevel, x: number, y: number) =>
  x >= 0 && y >= 0 && x <= width - 1 && y <= height - 1;
