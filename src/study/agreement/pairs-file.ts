import type { CsvTable } from '../../capture/csv.ts';
import { pairsRowWrong } from '../../messages/validate.ts';

/**
 * Pairs as a table with columns a and b (ids of recordings) states them, in its order. Throws 'validate-pairs-row' at an id
 * that is not there or stands twice.
 */
export function pairsOf<T>(
  table: CsvTable,
  ofA: ReadonlyMap<string, T>,
  ofB: ReadonlyMap<string, T>,
): (readonly [T, T])[] {
  const used = { a: new Set<string>(), b: new Set<string>() };
  return Array.from({ length: table.rows }, (_, row) => {
    const find = (column: 'a' | 'b', all: ReadonlyMap<string, T>): T => {
      const id = table.cells[row * table.header.length + table.header.indexOf(column)];
      const found = all.get(id);
      if (found === undefined) throw pairsRowWrong(table.file, table.lines[row], column, id, 'not there');
      if (used[column].has(id)) throw pairsRowWrong(table.file, table.lines[row], column, id, 'twice');
      used[column].add(id);
      return found;
    };
    return [find('a', ofA), find('b', ofB)] as const;
  });
}
