import { median } from '../../numerics/statistics.ts';
import type { CornerGrid } from './corner-grid.ts';

export interface GridInPicture {
  /** Corners in pixels of the full picture. */
  readonly grid: CornerGrid;
  readonly scale: number;
}

/** Part of a board's corners that must be seen. The rest is NaN. Common practice, no source. */
export const LEAST_PART_SEEN = 0.9;
/** An outer row or column of a grid counts where at least this part of it is seen. */
const LEAST_PART_OF_RIM = 0.5;

/** The grid without outer rows and columns of which less than half is seen. */
export function withoutRaggedRims(grid: CornerGrid): CornerGrid {
  let [c0, c1, r0, r1] = [0, grid.columns - 1, 0, grid.rows - 1];
  const seen = (c: number, r: number) => Number.isFinite(grid.corners[2 * (r * grid.columns + c)]);
  const columnPart = (c: number) => {
    let n = 0;
    for (let r = r0; r <= r1; r++) if (seen(c, r)) n++;
    return n / (r1 - r0 + 1);
  };
  const rowPart = (r: number) => {
    let n = 0;
    for (let c = c0; c <= c1; c++) if (seen(c, r)) n++;
    return n / (c1 - c0 + 1);
  };
  while (c0 < c1 && r0 < r1) {
    const parts = [columnPart(c0), columnPart(c1), rowPart(r0), rowPart(r1)];
    const worst = parts.indexOf(Math.min(...parts));
    if (parts[worst] >= LEAST_PART_OF_RIM) break;
    if (worst === 0) c0++;
    else if (worst === 1) c1--;
    else if (worst === 2) r0++;
    else r1--;
  }
  return cutGrid(grid, c0, r0, c1 - c0 + 1, r1 - r0 + 1);
}

function cutGrid(grid: CornerGrid, c0: number, r0: number, columns: number, rows: number): CornerGrid {
  const corners = new Float64Array(2 * columns * rows);
  let filled = 0;
  for (let k = 0; k < columns * rows; k++) {
    const o = 2 * ((r0 + Math.floor(k / columns)) * grid.columns + c0 + (k % columns));
    corners[2 * k] = grid.corners[o];
    corners[2 * k + 1] = grid.corners[o + 1];
    if (Number.isFinite(corners[2 * k])) filled++;
  }
  return { columns, rows, corners, filled, firstBright: grid.firstBright === ((c0 + r0) % 2 === 0) };
}

/** A quarter turn of the counting, still right-handed: new columns run along old rows. */
function quarterTurned({ columns, rows, corners, filled, firstBright }: CornerGrid): CornerGrid {
  const turned = new Float64Array(corners.length);
  for (let b = 0; b < columns; b++) {
    for (let a = 0; a < rows; a++) {
      const from = 2 * (a * columns + columns - 1 - b);
      turned[2 * (b * rows + a)] = corners[from];
      turned[2 * (b * rows + a) + 1] = corners[from + 1];
    }
  }
  // The new first square was the last of its row.
  return { columns: rows, rows: columns, corners: turned, filled, firstBright: firstBright === (columns % 2 === 0) };
}

/** Whether a grid has the size of the board, either way round, with enough corners. */
export function hasBoardSize(grid: CornerGrid, columns: number, rows: number): boolean {
  const fits = (grid.columns === columns && grid.rows === rows) || (grid.columns === rows && grid.rows === columns);
  return fits && grid.filled >= LEAST_PART_SEEN * columns * rows;
}

/**
 * The grid counted as the board is: `columns` along a row, beginning where the square outside the first corner is dark
 * (the same colour as the one between the first corners of rows one and two). Where that leaves a choice, the first
 * corner is the one nearest to the picture's top-left corner.
 */
export function inBoardOrder(grid: CornerGrid, columns: number): CornerGrid {
  const counted: CornerGrid[] = [];
  let turned = grid;
  for (let quarter = 0; quarter < 4; quarter++) {
    if (turned.columns === columns) counted.push(turned);
    turned = quarterTurned(turned);
  }
  const dark = counted.filter((one) => !one.firstBright);
  const cost = ({ corners }: CornerGrid) =>
    Number.isNaN(corners[0]) ? Number.POSITIVE_INFINITY : corners[0] + corners[1];
  return (dark.length > 0 ? dark : counted).reduce((best, one) => (cost(one) < cost(best) ? one : best));
}

/** Median distance of neighbours along a row, px. */
export function spacingOf({ columns, corners }: CornerGrid): number {
  const steps: number[] = [];
  for (let k = 0; 2 * k + 2 < corners.length; k++) {
    const step = Math.hypot(corners[2 * k + 2] - corners[2 * k], corners[2 * k + 3] - corners[2 * k + 1]);
    if ((k + 1) % columns !== 0 && Number.isFinite(step)) steps.push(step);
  }
  return steps.length === 0 ? 0 : median(steps);
}
