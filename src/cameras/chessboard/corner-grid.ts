import { addCandidate, type Candidates } from './corner-candidates.ts';
import type { CornerLinks } from './corner-links.ts';
import type { SaddleMap } from './saddle-points.ts';

/** Corners on a grid whose +column, +row are right-handed in the picture: from +column to +row is clockwise as seen. */
export interface CornerGrid {
  readonly columns: number;
  readonly rows: number;
  /** Level pixels, 2 × (row · columns + column); NaN where no corner was found. */
  readonly corners: Float64Array;
  readonly filled: number;
  /** Whether the square between corners (0, 0) and (1, 1) is the bright one. */
  readonly firstBright: boolean;
}

/** A corner in its place: `turn` is the grid direction (0 +column, 1 +row, 2 −column, 3 −row) of its slot 0. */
interface Placed {
  readonly candidate: number;
  readonly turn: number;
}

type Cells = Map<number, Placed>;

/** Cells are numbered from −HALF to HALF both ways. */
const HALF = 200;
const keyOf = (i: number, j: number) => (i + HALF) * (2 * HALF + 1) + j + HALF;
const columnOf = (key: number) => Math.floor(key / (2 * HALF + 1)) - HALF;
const rowOf = (key: number) => (key % (2 * HALF + 1)) - HALF;
const DIRECTIONS = [
  [1, 0],
  [0, 1],
  [-1, 0],
  [0, -1],
] as const;

/** Linked corners below which a group is no grid. */
const FEWEST_IN_GRID = 6;
/** Corners searched for beside those linked, per level. */
export const ROOM_FOR_GROWTH = 600;

/** Grids of linked corners, grown into their gaps and over their rims, largest first. */
export function cornerGrids(found: Candidates, links: CornerLinks, map: SaddleMap): CornerGrid[] {
  const taken = new Uint8Array(found.x.length);
  const grids: CornerGrid[] = [];
  const seeds = Array.from({ length: found.count }, (_, c) => c);
  const degree = seeds.map((c) => [0, 1, 2, 3].filter((slot) => links.linked[4 * c + slot] >= 0).length);
  seeds.sort((a, b) => degree[b] - degree[a]);
  for (const seed of seeds) {
    if (taken[seed] === 1 || degree[seed] < 2) continue;
    const cells = linkedCells(seed, links, taken);
    if (cells.size < FEWEST_IN_GRID) continue;
    growCells(cells, found, map, taken);
    grids.push(asGrid(cells, found));
  }
  return grids.sort((a, b) => b.filled - a.filled);
}

/** All corners linked to the seed, breadth first. A second corner for a cell is left out. */
function linkedCells(seed: number, { linked, backSlot }: CornerLinks, taken: Uint8Array): Cells {
  const cells: Cells = new Map([[keyOf(0, 0), { candidate: seed, turn: 0 }]]);
  taken[seed] = 1;
  const queue = [keyOf(0, 0)];
  for (let head = 0; head < queue.length; head++) {
    const key = queue[head];
    const { candidate, turn } = cells.get(key)!;
    for (let slot = 0; slot < 4; slot++) {
      const next = linked[4 * candidate + slot];
      if (next < 0 || taken[next] === 1) continue;
      const [di, dj] = DIRECTIONS[(slot + turn) % 4];
      const [i, j] = [columnOf(key) + di, rowOf(key) + dj];
      if (Math.abs(i) >= HALF || Math.abs(j) >= HALF || cells.has(keyOf(i, j))) continue;
      taken[next] = 1;
      // The slot that looks back has the opposite direction.
      cells.set(keyOf(i, j), { candidate: next, turn: (slot + turn + 2 - backSlot[4 * candidate + slot] + 8) % 4 });
      queue.push(keyOf(i, j));
    }
  }
  return cells;
}

interface Extent {
  readonly i0: number;
  readonly i1: number;
  readonly j0: number;
  readonly j1: number;
}

function extentOf(cells: Cells): Extent {
  let [i0, i1, j0, j1] = [HALF, -HALF, HALF, -HALF];
  for (const key of cells.keys()) {
    i0 = Math.min(i0, columnOf(key));
    i1 = Math.max(i1, columnOf(key));
    j0 = Math.min(j0, rowOf(key));
    j1 = Math.max(j1, rowOf(key));
  }
  return { i0, i1, j0, j1 };
}

/** Looks for the missing corners where their neighbours predict them, until nothing is added. */
function growCells(cells: Cells, found: Candidates, map: SaddleMap, taken: Uint8Array): void {
  for (let added = 1; added > 0; ) {
    added = 0;
    const { i0, i1, j0, j1 } = extentOf(cells);
    for (let i = Math.max(1 - HALF, i0 - 1); i <= Math.min(HALF - 1, i1 + 1); i++) {
      for (let j = Math.max(1 - HALF, j0 - 1); j <= Math.min(HALF - 1, j1 + 1); j++) {
        if (cells.has(keyOf(i, j))) continue;
        const placed = cornerAt(i, j, cells, found, map, taken);
        if (placed === null) continue;
        cells.set(keyOf(i, j), placed);
        taken[placed.candidate] = 1;
        added++;
      }
    }
  }
}

interface Prediction {
  readonly x: number;
  readonly y: number;
  readonly spacing: number;
  /** Unit vector of +column there. */
  readonly ux: number;
  readonly uy: number;
}

/** Furthest that a corner may lie from its prediction, in spacings. */
const NEAR_PREDICTION = 0.25;
/** Largest angle between an edge of the new corner and that of its neighbour (25°). */
const SAME_COS = Math.cos((25 * Math.PI) / 180);

function cornerAt(
  i: number,
  j: number,
  cells: Cells,
  found: Candidates,
  map: SaddleMap,
  taken: Uint8Array,
): Placed | null {
  const expected = predict(i, j, cells, found);
  if (expected === null) return null;
  const reach = NEAR_PREDICTION * expected.spacing;
  let candidate = nearestFree(found, taken, expected, reach);
  if (candidate < 0) candidate = addNear(found, map, expected, reach);
  if (candidate < 0) return null;
  const slot = slotAlong(found, candidate, expected.ux, expected.uy);
  if (slot < 0) return null;
  const turn = (4 - slot) % 4;
  // Colours alternate: the turn is even in the cells of one colour and odd in the others.
  const [key, placed] = cells.entries().next().value!;
  const parity = (placed.turn + columnOf(key) + rowOf(key) + i + j) % 2;
  return Math.abs(parity) === turn % 2 ? { candidate, turn } : null;
}

/** Mean of what each row or column with two or three corners beside the cell predicts; null where there is none. */
function predict(i: number, j: number, cells: Cells, found: Candidates): Prediction | null {
  let [x, y, count, spacing, ux, uy] = [0, 0, 0, Number.POSITIVE_INFINITY, 0, 0];
  const at = (k: number, l: number) => cells.get(keyOf(k, l))?.candidate ?? -1;
  for (const [di, dj] of DIRECTIONS) {
    const a = at(i + di, j + dj);
    const b = at(i + 2 * di, j + 2 * dj);
    if (a < 0 || b < 0) continue;
    const c = at(i + 3 * di, j + 3 * dj);
    // Through three corners a parabola: perspective and lens both bend the spacing.
    const along = (v: Float64Array) => (c < 0 ? 2 * v[a] - v[b] : 3 * v[a] - 3 * v[b] + v[c]);
    x += along(found.x);
    y += along(found.y);
    count++;
    spacing = Math.min(spacing, Math.hypot(found.x[a] - found.x[b], found.y[a] - found.y[b]));
    const { candidate, turn } = cells.get(keyOf(i + di, j + dj))!;
    const o = 8 * candidate + 2 * ((4 - turn) % 4);
    ux += found.direction[o];
    uy += found.direction[o + 1];
  }
  const length = Math.hypot(ux, uy);
  return count === 0 || length === 0 ? null : { x: x / count, y: y / count, spacing, ux: ux / length, uy: uy / length };
}

function nearestFree(found: Candidates, taken: Uint8Array, { x, y }: Prediction, reach: number): number {
  let best = -1;
  let bestSquared = reach * reach;
  for (let c = 0; c < found.count; c++) {
    const squared = (found.x[c] - x) ** 2 + (found.y[c] - y) ** 2;
    if (taken[c] === 1 || squared > bestSquared) continue;
    best = c;
    bestSquared = squared;
  }
  return best;
}

/** The strongest saddle within reach, if it is a corner: adds it to the candidates. */
function addNear(found: Candidates, { level, response }: SaddleMap, { x, y }: Prediction, reach: number): number {
  if (found.count >= found.x.length) return -1;
  const { width, height } = level;
  let best = -1;
  for (let v = Math.max(2, Math.ceil(y - reach)); v <= Math.min(height - 3, y + reach); v++) {
    for (let u = Math.max(2, Math.ceil(x - reach)); u <= Math.min(width - 3, x + reach); u++) {
      const o = v * width + u;
      if (response[o] > 0 && (best < 0 || response[o] > response[best])) best = o;
    }
  }
  return best < 0 ? -1 : addCandidate(found, level, best);
}

function slotAlong({ direction }: Candidates, c: number, ux: number, uy: number): number {
  for (let slot = 0; slot < 4; slot++) {
    const o = 8 * c + 2 * slot;
    if (direction[o] * ux + direction[o + 1] * uy > SAME_COS) return slot;
  }
  return -1;
}

function asGrid(cells: Cells, found: Candidates): CornerGrid {
  const { i0, i1, j0, j1 } = extentOf(cells);
  const [columns, rows] = [i1 - i0 + 1, j1 - j0 + 1];
  const corners = new Float64Array(2 * columns * rows).fill(Number.NaN);
  for (const [key, { candidate }] of cells) {
    const o = 2 * ((rowOf(key) - j0) * columns + columnOf(key) - i0);
    corners[o] = found.x[candidate];
    corners[o + 1] = found.y[candidate];
  }
  // The quarter between +column and +row is bright where slot 0 or 2 points along +column.
  const [key, { turn }] = cells.entries().next().value!;
  const firstBright = Math.abs(turn + columnOf(key) - i0 + rowOf(key) - j0) % 2 === 0;
  return { columns, rows, corners, filled: cells.size, firstBright };
}
