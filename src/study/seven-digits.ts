/** Digits kept of a number that is not an integer. Seven are finer than any measurement here and survive every reader. */
const DIGITS = 7;

const POWER_OF_TEN = Float64Array.from({ length: 18 }, (_, exponent) => Number(`1e${exponent}`));

/**
 * A number rounded to seven significant digits: the double nearest to `value.toPrecision(7)`.
 *
 * In the usual range without text: the digits as a whole number over a power of ten, both exact, so that their quotient is
 * the nearest double. Where rounding the product could decide between two last digits, the text decides.
 */
export function sevenDigits(value: number): number {
  const magnitude = Math.abs(value);
  if (magnitude >= 1e-9 && magnitude < 1e7) {
    let decimals = DIGITS - 1 - Math.floor(Math.log10(magnitude));
    // A logarithm beside a whole number may fall on either side of it.
    if (decimals > 0 && magnitude * POWER_OF_TEN[decimals] >= 1e7) decimals--;
    const scaled = magnitude * POWER_OF_TEN[decimals];
    const whole = Math.floor(scaled);
    const rest = scaled - whole;
    if (scaled >= 1e6 && Math.abs(rest - 0.5) > 1e-6) {
      const digits = rest < 0.5 ? whole : whole + 1;
      return (value < 0 ? -digits : digits) / POWER_OF_TEN[decimals];
    }
  }
  return Number(value.toPrecision(DIGITS));
}
