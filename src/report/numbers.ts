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

/** Number and unit, and the two ends of a range, held together at the end of a line. */
export function unbroken(text: string): string {
  return text
    .replace(/(?<=[\d±(]) (?=%|°|kg\b|cm\b|m\/s\b|N·m\b|points\b|to [−\d]|[\d])/g, '\u00a0')
    .replace(/(?<=\bto) (?=[−\d])/g, '\u00a0');
}
