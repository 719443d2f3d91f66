import { sevenDigits } from './seven-digits.ts';

/** A copy for JSON: numbers to seven digits, as in the tables, NaN and ±Infinity null, typed arrays as lists, undefined left out. */
export function forJson(value: unknown): unknown {
  if (value === undefined) return undefined;
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) return null;
    return Number.isInteger(value) ? value + 0 : sevenDigits(value);
  }
  if (value === null || typeof value !== 'object') return value;
  if (ArrayBuffer.isView(value)) return Array.from(value as unknown as ArrayLike<number>, forJson);
  if (Array.isArray(value)) return value.map((entry) => forJson(entry) ?? null);
  return Object.fromEntries(
    Object.entries(value)
      .map(([name, entry]) => [name, forJson(entry)] as const)
      .filter(([, entry]) => entry !== undefined),
  );
}

/** JSON text, two spaces deep; lists of plain numbers stand on one line. LF at the end. */
export function jsonText(value: unknown): string {
  const text = JSON.stringify(forJson(value), null, 2);
  return `${text.replace(/\[\s+((?:-?[\d.eE+-]+|null)(?:,\s+(?:-?[\d.eE+-]+|null))*)\s+\]/g, (_, list: string) => `[${list.replace(/\s+/g, '')}]`)}\n`;
}
