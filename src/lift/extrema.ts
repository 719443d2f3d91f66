export interface Extreme {
  readonly kind: 'top' | 'bottom';
  readonly frame: number;
  readonly value: number;
}

/**
 * Tops and bottoms of a series in turn, each at least `prominence` from the one before: the zig-zag that ignores every
 * smaller wiggle. NaN frames are passed over. The first and the last extreme may lie at the ends of the series.
 * Fewer than two are returned as none: nothing moved.
 */
export function zigZag(values: ArrayLike<number>, prominence: number): Extreme[] {
  const found: Extreme[] = [];
  let high = -1;
  let low = -1;
  let direction: 'unknown' | 'up' | 'down' = 'unknown';
  for (let f = 0; f < values.length; f++) {
    const v = values[f];
    if (Number.isNaN(v)) continue;
    if (high < 0 || v > values[high]) high = f;
    if (low < 0 || v < values[low]) low = f;
    if (direction !== 'down' && values[high] - v >= prominence && high < f) {
      found.push({ kind: 'top', frame: high, value: values[high] });
      direction = 'down';
      low = f;
      high = f;
    } else if (direction !== 'up' && v - values[low] >= prominence && low < f) {
      found.push({ kind: 'bottom', frame: low, value: values[low] });
      direction = 'up';
      high = f;
      low = f;
    }
  }
  if (found.length === 0) return [];
  const last =
    direction === 'down'
      ? ({ kind: 'bottom', frame: low, value: values[low] } as const)
      : ({ kind: 'top', frame: high, value: values[high] } as const);
  return [...found, last];
}

/** Frame of the largest value in [from, to), the last one among equals; −1 where all are NaN. */
export function highestFrame(values: ArrayLike<number>, from: number, to: number): number {
  let best = -1;
  for (let f = Math.max(0, from); f < Math.min(values.length, to); f++) {
    if (!Number.isNaN(values[f]) && (best < 0 || values[f] >= values[best])) best = f;
  }
  return best;
}

/** Frame of the smallest value in [from, to), the first one among equals; −1 where all are NaN. */
export function lowestFrame(values: ArrayLike<number>, from: number, to: number): number {
  let best = -1;
  for (let f = Math.max(0, from); f < Math.min(values.length, to); f++) {
    if (!Number.isNaN(values[f]) && (best < 0 || values[f] < values[best])) best = f;
  }
  return best;
}
