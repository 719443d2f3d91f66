import type { Recording } from '../../capture/recording.ts';
import { type LoadPart, loadParts } from '../../report/across-loads.ts';
import {
  type LoadChange,
  type LoadedRecording,
  loadChangesOf,
  loadChangesTable,
  loadGroup,
} from '../../study/across-loads.ts';
import { csvOf } from '../../study/csv.ts';
import { taskWords } from '../../study/summary.ts';
import { withoutHeader } from './append-comparisons.ts';
import type { ThereLift } from './complete-lifts.ts';
import type { Appending } from './disk.ts';
import { readKept } from './kept-lift.ts';

/**
 * `load-changes.csv`, one group (athlete, kind of lift, place of the bar, condition, heel) in memory at a time. Returns what the
 * index says of them.
 *
 * @param lifts by id
 */
export async function appendLoadChanges(
  sink: Appending,
  out: string,
  lifts: readonly ThereLift[],
): Promise<LoadPart[]> {
  sink.append(csvOf(loadChangesTable([])));
  const groups = grouped(lifts, ({ recording }) => loadGroup(recording));
  // The index has one part for groups that read alike: it is made when the last of them is through.
  const parts = new Map<string, { changes: LoadChange[]; made: LoadPart[] }>();
  const open = new Map<string, number>();
  for (const [first] of groups) open.set(partKey(first), (open.get(partKey(first)) ?? 0) + 1);
  for (const group of groups) {
    const key = partKey(group[0]);
    open.set(key, open.get(key)! - 1);
    const changes = hasTwoLoads(group) ? loadChangesOf(group.map(({ recording }) => loaded(out, recording))) : [];
    if (changes.length > 0) {
      sink.append(withoutHeader(csvOf(loadChangesTable(changes))));
      parts.set(key, { changes: [...(parts.get(key)?.changes ?? []), ...changes], made: [] });
    }
    const part = parts.get(key);
    if (part && open.get(key) === 0) parts.set(key, { changes: [], made: await loadParts(part.changes) });
  }
  return [...parts.values()].flatMap(({ made }) => made);
}

/** Without means a lift is compared with none: its measures are not held. */
function loaded(out: string, recording: Recording): LoadedRecording {
  const { means, record } = readKept(out, recording.id);
  return { recording, means, record: means.length > 0 ? record : { measures: [], repetitions: [] } };
}

/** Groups without two loads have no change: their lifts need not be read. */
const hasTwoLoads = (group: readonly ThereLift[]): boolean =>
  new Set(group.map(({ recording }) => recording.load.totalKg)).size >= 2;

/** The parts of src/report/across-loads.ts. */
const partKey = ({ recording }: ThereLift): string =>
  JSON.stringify([recording.athlete.id, recording.lift.kind, recording.load.bar.position, taskWords(recording)]);

function grouped(lifts: readonly ThereLift[], key: (lift: ThereLift) => string): ThereLift[][] {
  const groups = new Map<string, ThereLift[]>();
  for (const lift of lifts) groups.set(key(lift), [...(groups.get(key(lift)) ?? []), lift]);
  return [...groups.values()];
}
