import { fileURLToPath } from 'node:url';
import type { Figure } from '../src/figures/look.ts';
import { CONFIG } from '../src/figures/look.ts';
import { renderSvg } from '../src/figures/render-svg.ts';

/**
 * What notebooks show: values with a method `Symbol.for('Jupyter.display')`, as kernels of Jupyter for TypeScript read them.
 */
const DISPLAY = Symbol.for('Jupyter.display');

export interface Shown {
  readonly [DISPLAY]: () => Promise<Record<string, string>>;
}

/** A Vega-Lite figure in the look of the project, as SVG; `words` say what is to be seen to who does not see it. */
export function figure(specification: Figure, words: string): Shown {
  const drawn = () => renderSvg({ config: CONFIG, ...specification } as Figure);
  return { [DISPLAY]: async () => ({ 'image/svg+xml': await drawn(), 'text/plain': words }) };
}

/** Path of a file of the project from its own folder. Cells have no address of their own: kernels run them outside a module. */
export const projectFile = (path: string): string => fileURLToPath(new URL(`../${path}`, import.meta.url));

export type Value = string | number | null;

/** Rows as a table: Markdown for the reader, tab-separated text for programs. Numbers are shown as they are given. */
export function table(columns: readonly string[], rows: readonly (readonly Value[])[]): Shown {
  const word = (value: Value) => (value === null ? '' : String(value));
  const line = (values: readonly Value[]) => `| ${values.map(word).join(' | ')} |`;
  const rule = `|${columns.map((_, c) => (rows.every((row) => typeof row[c] === 'number') ? '---:' : '---')).join('|')}|`;
  const bundle = {
    'text/markdown': [line(columns), rule, ...rows.map(line)].join('\n'),
    'text/plain': [columns, ...rows].map((row) => row.map(word).join('\t')).join('\n'),
  };
  return { [DISPLAY]: async () => bundle };
}

/** A number with so many decimals, as a number: 0.30000000000000004 is nobody's result. */
export const rounded = (value: number, decimals: number): number => Number(value.toFixed(decimals));

/** One published result beside ours, as it stands in docs/reproduced.md. */
export interface Compared {
  readonly quantity: string;
  /** Value and source. */
  readonly published: string;
  readonly here: string;
  readonly sameDirection: 'yes' | 'no' | 'in part' | 'same value';
  readonly why: string;
}

/**
 * Verdict on printed numbers: 'same value' where each of ours rounds to the printed one, else 'no'.
 * halfUnit: half a unit of the last printed digit, one for all or one each.
 */
export function sameValue(
  printed: readonly number[],
  here: readonly number[],
  halfUnit: number | readonly number[],
): 'same value' | 'no' {
  if (printed.length === 0 || printed.length !== here.length) return 'no';
  const allowed = (k: number) => (typeof halfUnit === 'number' ? halfUnit : halfUnit[k]);
  // Binary fractions: 2.65 + 0.005 is not 2.655 to the last bit.
  const slack = 1e-9;
  return printed.every((value, k) => Math.abs(here[k] - value) <= allowed(k) * (1 + slack)) ? 'same value' : 'no';
}

export const COMPARED_COLUMNS = ['quantity', 'published', 'here', 'same direction', 'why it differs'] as const;

/** The last table of a notebook: the published results and ours. */
export function compared(rows: readonly Compared[]): Shown {
  return table(
    COMPARED_COLUMNS,
    rows.map(({ quantity, published, here, sameDirection, why }) => [quantity, published, here, sameDirection, why]),
  );
}
