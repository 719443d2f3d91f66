/**
 * Fails when `actual` is further than `tolerance` from `expected`, printing case, actual, expected, difference and
 * tolerance. NaN never passes.
 */
export function expectClose(actual: number, expected: number, tolerance: number, what = ''): void {
  const difference = actual - expected;
  if (Math.abs(difference) <= tolerance) return;
  throw new Error(
    `${what || 'value'}: actual ${actual}, expected ${expected}, difference ${difference}, tolerance ${tolerance}`,
  );
}

/** `expectClose` for every element; the message names the index. */
export function expectAllClose(
  actual: ArrayLike<number>,
  expected: ArrayLike<number>,
  tolerance: number,
  what = '',
): void {
  if (actual.length !== expected.length) {
    throw new Error(`${what || 'array'}: ${actual.length} values, expected ${expected.length}`);
  }
  for (let i = 0; i < expected.length; i++) expectClose(actual[i], expected[i], tolerance, `${what}[${i}]`);
}
