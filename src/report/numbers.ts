import { numberText, type Shown } from '../study/shown.ts';
import type { Spread } from '../study/spread.ts';

/** To so many significant digits, without an exponent where it is short: for numbers of any size. */
export function digitsText(value: number, digits = 3): string {
  if (!Number.isFinite(value)) return 'unknown';
  return String(Number(value.toPrecision(digits))).replace('-', '−');
}

/** Lowest to highest, '54–58', or 'the same' where they print alike; '' for one value. `decimals`: in the shown unit. */
export function rangeText({ lowest, highest, n }: Spread, { factor, decimals }: Shown): string {
  if (n < 2) return '';
  const [low, high] = [numberText(lowest * factor, decimals), numberText(highest * factor, decimals)];
  if (low === high) return 'the same';
  return low.startsWith('−') || high.startsWith('−') ? `${low} to ${high}` : `${low}–${high}`;
}
