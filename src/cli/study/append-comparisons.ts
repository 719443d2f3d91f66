import type { ColumnTable } from 'arquero';
import { isOnIndex } from '../../report/comparison-part.ts';
import { COMPARISON_COLUMNS, comparisonsTable } from '../../study/comparisons.ts';
import { csvOf, tableOf } from '../../study/csv.ts';
import type { ThereLift } from './complete-lifts.ts';
import type { Appending } from './disk.ts';
import { readKept } from './kept-lift.ts';

/** Lifts whose means are held at once: of a lifter with many, each is compared with the one before and the first. */
const HELD = 8;

interface ComparisonRow extends Readonly<Record<string, unknown>> {
  readonly side: string;
  readonly measure: string;
  readonly at: string;
}

/**
 * `comparisons.csv`, one lifter in memory at a time. Returns its rows that the index shows.
 *
 * @param lifts by id
 */
export function appendComparisons(sink: Appending, out: string, lifts: readonly ThereLift[]): ColumnTable {
  const shown: ComparisonRow[] = [];
  const athletes = new Map<string, ThereLift[]>();
  for (const lift of lifts) {
    const id = lift.recording.athlete.id;
    athletes.set(id, [...(athletes.get(id) ?? []), lift]);
  }
  sink.append(csvOf(comparisonsTable([])));
  for (const own of athletes.values()) {
    const meansOf = heldMeans(out);
    const table = comparisonsTable(
      own.map(({ recording }) => ({
        recording,
        get means() {
          return meansOf(recording.id);
        },
      })),
    );
    if (table.numRows() === 0) continue;
    sink.append(withoutHeader(csvOf(table)));
    shown.push(...(table.objects({ limit: Infinity }) as ComparisonRow[]).filter(isOnIndex));
  }
  return tableOf(COMPARISON_COLUMNS, shown);
}

export const withoutHeader = (csv: string): string => csv.slice(csv.indexOf('\n') + 1);

/** Means by recording, the last few read kept. */
function heldMeans(out: string) {
  const held = new Map<string, ReturnType<typeof readKept>['means']>();
  return (id: string) => {
    const found = held.get(id) ?? readKept(out, id).means;
    // The map's order is that of last use.
    held.delete(id);
    held.set(id, found);
    if (held.size > HELD) held.delete(held.keys().next().value!);
    return found;
  };
}
