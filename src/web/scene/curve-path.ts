/** How a value becomes a height in a chart, px from the top. */
export interface Scale {
  readonly low: number;
  readonly high: number;
  readonly top: number;
  readonly height: number;
}

export const heightOf = ({ low, high, top, height }: Scale, value: number): number =>
  top + height * (1 - (value - low) / (high - low));

/**
 * A line through one value a frame as an SVG path; missing values break it. A frame's place is `left + step * (frame − first)`,
 * px. Lone values between missing ones become a short dash.
 */
export function curvePath(
  values: ArrayLike<number>,
  first: number,
  last: number,
  left: number,
  step: number,
  scale: Scale,
): string {
  const parts: string[] = [];
  let open = false;
  for (let f = first; f <= last; f++) {
    const value = values[f];
    if (Number.isNaN(value) || value === undefined) {
      open = false;
      continue;
    }
    const x = (left + step * (f - first)).toFixed(1);
    const y = heightOf(scale, value).toFixed(1);
    parts.push(`${open ? 'L' : 'M'}${x} ${y}`);
    const alone = !open && (f === last || Number.isNaN(values[f + 1]));
    if (alone) parts.push('h1');
    open = true;
  }
  return parts.join('');
}

/**
 * Lowest and highest tick and the step between them: round numbers (1, 2, 5, times a power of ten) that hold all values,
 * and `mustHold`. Null where no value is known.
 */
export function niceRange(
  series: readonly ArrayLike<number>[],
  mustHold: readonly number[],
  about: number,
): { low: number; high: number; step: number } | null {
  let low = Number.POSITIVE_INFINITY;
  let high = Number.NEGATIVE_INFINITY;
  for (const values of series) {
    for (let i = 0; i < values.length; i++) {
      const value = values[i];
      if (value < low) low = value;
      if (value > high) high = value;
    }
  }
  if (low > high) return null;
  for (const value of mustHold) {
    low = Math.min(low, value);
    high = Math.max(high, value);
  }
  const rough = Math.max(high - low, 1e-9) / about;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = power * ([1, 2, 5, 10].find((m) => m * power >= rough * 0.999) ?? 10);
  return { low: step * Math.floor(low / step + 1e-9), high: step * Math.ceil(high / step - 1e-9), step };
}
