/** How a value is shown to a reader: scaled, with its unit and, where no interval says how many are worth it, so many decimals. */
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
  nms: { factor: 1, unit: 'N·m·s', decimals: 0 },
  j: { factor: 1, unit: 'J', decimals: 0 },
  w: { factor: 1, unit: 'W', decimals: 0 },
  m_per_s: { factor: 1, unit: 'm/s', decimals: 2 },
  '1': { factor: 1, unit: '', decimals: 2 },
};

export const PER_CENT: Shown = { factor: 100, unit: '%', decimals: 0 };
export const TIMES: Shown = { factor: 1, unit: '×', decimals: 2 };

export function shownAs(unit: string): Shown {
  return SHOWN[unit] ?? { factor: 1, unit, decimals: 2 };
}

/** A number with a true minus sign and without a negative zero; decimals below 0 round to tens, hundreds …; 'unknown' for NaN. */
export function numberText(value: number, decimals: number): string {
  if (!Number.isFinite(value)) return 'unknown';
  const rounded = decimals < 0 ? String(roundedTo(value, decimals)) : value.toFixed(decimals);
  return Number(rounded) === 0 ? (0).toFixed(Math.max(0, decimals)) : rounded.replace('-', '−');
}

/** No number of a lift is worth more decimals than this, however small its interval came out. */
const MOST_DECIMALS = 4;

/**
 * Decimals that a number with this half width is worth: the half width then reads with one or two digits, 2 to 19 units
 * of the last place, or up to 99 where that is whole (the GUM, JCGM 100:2008, 7.2.6: at most two digits of an uncertainty).
 * Negative: tens, hundreds. `otherwise` where there is no interval.
 */
export function decimalsFor(halfWidth: number, otherwise: number): number {
  if (!Number.isFinite(halfWidth)) return otherwise;
  if (!(halfWidth > 0)) return MOST_DECIMALS;
  if (halfWidth >= 100) return 1 - Math.floor(Math.log10(halfWidth));
  return Math.min(MOST_DECIMALS, Math.max(0, Math.ceil(-Math.log10(halfWidth / 2) - 1e-9)));
}

/** A value with its 95 % interval, unscaled; NaN ends where there is none. */
export interface Estimated {
  readonly value: number;
  readonly lower: number;
  readonly upper: number;
}

/**
 * How far the farther end of the interval lies from the value: value ± this holds the whole interval, also where it is not
 * symmetric. NaN without an interval.
 */
export function halfWidth({ value, lower, upper }: Estimated): number {
  return Math.max(upper - value, value - lower);
}

/** Digits beyond what the half width allows, at most, that keep the sign of an end. */
const MOST_FOR_SIGN = 2;

/**
 * The decimals that a value in its shown unit is worth. An interval that leaves out 0 gets one or two more where an end would
 * read 0: it would look as if it held it.
 */
export function decimalsOf(estimated: Estimated, { factor, decimals }: Shown): number {
  const worth = decimalsFor(factor * halfWidth(estimated), decimals);
  const nearest = factor * (estimated.lower > 0 ? estimated.lower : estimated.upper < 0 ? estimated.upper : Number.NaN);
  let enough = worth;
  while (enough < Math.min(worth + MOST_FOR_SIGN, MOST_DECIMALS) && roundedTo(nearest, enough) === 0) enough++;
  return roundedTo(nearest, enough) === 0 ? worth : enough;
}

function roundedTo(value: number, decimals: number): number {
  const step = 10 ** -decimals;
  return decimals < 0 ? step * Math.round(value / step) : Number(value.toFixed(decimals));
}

function withUnitText(text: string, unit: string): string {
  return unit === '' || text === 'unknown' ? text : unit === '°' ? `${text}°` : `${text} ${unit}`;
}

/** '64 %' or '0.774 m/s', to the digits that its interval allows. */
export function valueText(estimated: Estimated, shown: Shown): string {
  return withUnitText(numberText(estimated.value * shown.factor, decimalsOf(estimated, shown)), shown.unit);
}

/** '(59 to 69)', to the same digits; '' without an interval. */
export function intervalText(estimated: Estimated, shown: Shown): string {
  if (!Number.isFinite(halfWidth(estimated))) return '';
  const decimals = decimalsOf(estimated, shown);
  const [low, high] = [estimated.lower, estimated.upper].map((end) => numberText(end * shown.factor, decimals));
  return `(${low} to ${high})`;
}

/** '64 % (59 to 69)'. */
export function valueWithInterval(estimated: Estimated, shown: Shown): string {
  return `${valueText(estimated, shown)} ${intervalText(estimated, shown)}`.trim();
}

/** '± 5', in the shown unit without its name: the shown value ± this holds the shown ends. '' without an interval. */
export function plusMinusText(estimated: Estimated, shown: Shown): string {
  if (!Number.isFinite(halfWidth(estimated))) return '';
  const decimals = decimalsOf(estimated, shown);
  const [value, lower, upper] = [estimated.value, estimated.lower, estimated.upper].map((one) =>
    roundedTo(one * shown.factor, decimals),
  );
  return `± ${numberText(Math.max(upper - value, value - lower), decimals)}`;
}

/** '64 ± 5 %'; the value alone without an interval. */
export function plusMinusWithUnit(estimated: Estimated, shown: Shown): string {
  const value = numberText(estimated.value * shown.factor, decimalsOf(estimated, shown));
  return withUnitText(`${value} ${plusMinusText(estimated, shown)}`.trim(), shown.unit);
}
