import { csvOf } from '../../study/csv.ts';
import { WATCHED } from '../../study/set-changes.ts';
import { sessionMeasuresOf } from '../../study/weeks/from-recordings.ts';
import type { SessionMeasure } from '../../study/weeks/session-measure.ts';
import { weekChangesTable, weeksTable } from '../../study/weeks/tables.ts';
import { type WeekChanges, weekChanges } from '../../study/weeks/week-changes.ts';
import type { ThereLift } from './complete-lifts.ts';
import { readKept } from './kept-lift.ts';

/** What is followed from week to week: what is watched over a set, and the hip share at parallel. Few: each can show the more. */
const FOLLOWED = new Set(
  [...WATCHED, { measure: 'hip_share', side: 'both', at: 'parallel' }].map(({ measure, side, at }) =>
    JSON.stringify([measure, side, at]),
  ),
);

/** The weeks of a study. Of a lift a few numbers stay in memory: the followed measures. */
export function weeksOf(out: string, lifts: readonly ThereLift[]): WeekChanges {
  const rows: SessionMeasure[] = [];
  for (const { recording } of lifts) {
    const sessions = sessionMeasuresOf([{ recording, ...readKept(out, recording.id) }]);
    rows.push(...sessions.filter(({ measure, side, at }) => FOLLOWED.has(JSON.stringify([measure, side, at]))));
  }
  return weekChanges(rows);
}

export const weeksCsv = (changes: WeekChanges): string => csvOf(weeksTable(changes));
export const weekChangesCsv = (changes: WeekChanges): string => csvOf(weekChangesTable(changes));
