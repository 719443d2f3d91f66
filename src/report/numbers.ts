import type { Spread } from '../study/spread.ts';

/** How a value is shown to a reader: scaled, with its unit and so many decimals. */
export interface Shown {
  readonly factor: number;
  readonly unit: string;
  readonly decimals: number;
}

/** By the unit of the tables. A share is shown as per cent only where the caller says so. */
const SHOWN: Readonly<Record<string, Shown>> = {
  deg: { factor: 1, unit: '°', decimals: 0 },
  m: { factor: 100, unit: 'cm', decimals: 1 },
  s: { factor: 1, unit: 's', decimals: 2 },
  nm: { factor: 1, unit: 'N·m', decimals: 0 },
  m_per_s: { factor: 1, unit: 'm/s', decimals: 2 },
  '1': { factor: 1, unit: '', decimals: 2 },
};

export const PER_CENT: Shown = { factor: 100, unit: '%', decimals: 0 };
export const TIMES: Shown = { factor: 1, unit: '×', decimals: 2 };

export function shownAs(unit: string): Shown {
  return SHOWN[unit] ?? { factor: 1, unit, decimals: 2 };
}

/** A number with a true minus sign and without a negative zero; 'unknown' for NaN. */
export function numberText(value: number, decimals: number): string {
  if (!Number.isFinite(value)) return 'unknown';
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? (0).toFixed(decimals) : text.replace('-', '−');
}

/** To so many significant digits, without an exponent where it is short: for numbers of any size. */
export function digitsText(value: number, digits = 3): string {
  if (!Number.isFinite(value)) return 'unknown';
  return String(Number(value.toPrecision(digits))).replace('-', '−');
}

export function withUnit(value: number, { factor, unit, decimals }: Shown): string {
  const text = numberText(value * factor, decimals);
  return unit === '' || text === 'unknown' ? text : unit === '°' ? `${text}°` : `${text} ${unit}`;
}

/** Lowest to highest, '54–58', or 'the same' where they print alike; '' for one value. */
export function rangeText({ lowest, highest, n }: Spread, { factor, decimals }: Shown): string {
  if (n < 2) return '';
  const [low, high] = [numberText(lowest * factor, decimals), numberText(highest * factor, decimals)];
  if (low === high) return 'the same';
  return low.startsWith('−') || high.startsWith('−') ? `${low} to ${high}` : `${low}–${high}`;
}
