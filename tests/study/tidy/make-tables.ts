import type { ColumnTable } from 'arquero';
import { causesTable } from '../../../src/study/causes-table.ts';
import { combineTables, csvOf } from '../../../src/study/csv.ts';
import { meansTable } from '../../../src/study/means-table.ts';
import { spatialTables } from '../../../src/study/moments-table.ts';
import {
  athletesTable,
  curvesTable,
  framesTable,
  measuresTable,
  recordingsTable,
  repetitionsTable,
} from '../../../src/study/tables.ts';
import { makeRecord, makeRecording } from '../make-record.ts';
import { makeUncertainty } from '../make-uncertainty.ts';

/** A small study as CSV texts: two lifters, 007 and 08, a set each; the second with a partial repetition and without feet. */
export function makeTables(): Map<string, string> {
  const chosen = [
    { recordingId: '0012', athleteId: '007', repetitions: 2 },
    { recordingId: '2e3', athleteId: '08', repetitions: 2, partialRepetition: 2, withFeet: false },
  ];
  const lifts = chosen.map((options) => {
    const uncertainty = makeUncertainty(makeRecord(options));
    return { uncertainty, record: uncertainty.record, recording: makeRecording(options) };
  });
  const all = (tableOf: (lift: (typeof lifts)[number]) => ColumnTable) => csvOf(combineTables(lifts.map(tableOf)));
  const recordings = lifts.map(({ recording }, i) => ({
    recording: i === 0 ? recording : { ...recording, date: null, condition: {}, shoes: { heelHeightM: 0 } },
    grade: null,
  }));
  return new Map([
    ['frames.csv', all(({ record }) => framesTable(record))],
    ['moments.csv', all(({ record, recording }) => spatialTables(record, recording).moments)],
    ['moment-axes.csv', all(({ record, recording }) => spatialTables(record, recording).axes)],
    ['curves.csv', all(({ record }) => curvesTable(record))],
    ['repetitions.csv', all(({ record }) => repetitionsTable(record))],
    ['measures.csv', all(({ record }) => measuresTable(record))],
    ['means.csv', all(({ record, uncertainty }) => meansTable(record, uncertainty))],
    ['causes.csv', all(({ record, uncertainty }) => causesTable(record, uncertainty))],
    ['athletes.csv', csvOf(athletesTable(recordings.map(({ recording }) => recording)))],
    ['recordings.csv', csvOf(recordingsTable(recordings as Parameters<typeof recordingsTable>[0]))],
  ]);
}
