import type { Column } from './page.ts';

/** Columns of a table by their titles; those at the positions `numeric` are right-aligned. */
export function columns(titles: readonly string[], numeric: readonly number[]): Column[] {
  return titles.map((title, i) => ({ title, numeric: numeric.includes(i) }));
}
