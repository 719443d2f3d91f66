/** Rows taken at a time: as many as keep the columns' places in the nearest cache. */
const BLOCK = 32;

/**
 * The transpose of a rows × columns array, row-major, to `out` (not `x`). In blocks: for long recordings a plain walk along
 * columns misses the cache at every step and costs several times more per element than for short ones.
 */
export function transposeInto(out: Float64Array, x: Float64Array, rows: number, columns: number): void {
  const { min } = Math;
  for (let from = 0; from < rows; from += BLOCK) {
    const to = min(from + BLOCK, rows);
    for (let fromColumn = 0; fromColumn < columns; fromColumn += BLOCK) {
      const toColumn = min(fromColumn + BLOCK, columns);
      for (let r = from; r < to; r++) {
        for (let c = fromColumn; c < toColumn; c++) out[c * rows + r] = x[r * columns + c];
      }
    }
  }
}
