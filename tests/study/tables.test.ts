import { describe, expect, test } from '@jest/globals';
import { findingsOf } from '../../src/lift/findings/findings.ts';
import { BUILT_IN_RULES } from '../../src/lift/findings/rules/index.ts';
import { causesTable } from '../../src/study/causes-table.ts';
import { csvOf } from '../../src/study/csv.ts';
import { type ColumnType, columnEntry } from '../../src/study/dictionary.ts';
import { findingsTable } from '../../src/study/findings-table.ts';
import { meansTable } from '../../src/study/means-table.ts';
import { setMeansOf } from '../../src/study/set-means.ts';
import {
  athletesTable,
  curvesTable,
  framesTable,
  measuresTable,
  recordingsTable,
  repetitionsTable,
} from '../../src/study/tables.ts';
import { expectClose } from '../expect-close.ts';
import { makeRecord, makeRecording } from './make-record.ts';
import { makeUncertainty } from './make-uncertainty.ts';
import { readCsv, recordsOf } from './read-csv.ts';

const uncertainty = makeUncertainty(makeRecord({ partialRepetition: 2, withFeet: false }));
const { record } = uncertainty;
const recording = makeRecording();
const findings = findingsOf(record, setMeansOf(uncertainty), recording, BUILT_IN_RULES);
const files = {
  'frames.csv': csvOf(framesTable(record)),
  'curves.csv': csvOf(curvesTable(record)),
  'repetitions.csv': csvOf(repetitionsTable(record)),
  'measures.csv': csvOf(measuresTable(record)),
  'means.csv': csvOf(meansTable(record, uncertainty)),
  'causes.csv': csvOf(causesTable(record, uncertainty)),
  'findings.csv': csvOf(findingsTable(record, findings)),
  'athletes.csv': csvOf(athletesTable([recording])),
  'recordings.csv': csvOf(recordingsTable([{ recording, grade: 'good' }])),
};

describe.each(Object.entries(files))('%s', (file, text) => {
  test('every column is in the dictionary', () => {
    const [header] = readCsv(text);
    expect(header.filter((column) => columnEntry(file, column) === undefined)).toEqual([]);
    expect(new Set(header).size).toBe(header.length);
  });

  test('every cell is of the type the dictionary says, and none is NaN or infinite', () => {
    const fits: Readonly<Record<ColumnType, (cell: string) => boolean>> = {
      text: () => true,
      whole: (cell) => /^-?\d+$/.test(cell),
      truth: (cell) => /^(true|false)$/.test(cell),
      number: (cell) => Number.isFinite(Number(cell)),
    };
    // One list of all that is wrong: an expectation a cell would take seconds.
    const wrong = recordsOf(text).flatMap((row) =>
      Object.entries(row).filter(
        ([column, cell]) =>
          /^(NaN|-?Infinity|undefined|null)$/.test(cell) ||
          (cell !== '' && !fits[columnEntry(file, column)!.type](cell)),
      ),
    );
    expect(wrong).toEqual([]);
  });
});

describe('frames.csv', () => {
  const rows = recordsOf(files['frames.csv']);

  test('has a row a frame, at frame / rate seconds', () => {
    expect(rows).toHaveLength(record.loads.frames);
    rows.forEach((row, frame) => {
      expect(row.frame).toBe(String(frame));
      expectClose(Number(row.time_s), frame / 60, 1e-5, `time of frame ${frame}`);
    });
  });

  test('reads back to the record: seven digits of every known value, empty where unknown', () => {
    for (const [column, values] of [
      ['hip_moment_both_nm', record.loads.fromAbove!.hip.total],
      ['hip_share_both', record.quantities.find((q) => q.quantity === 'hip_share' && q.side === 'both')!.values],
    ] as const) {
      rows.forEach((row, frame) => {
        if (Number.isNaN(values[frame])) expect(row[column]).toBe('');
        else
          expectClose(Number(row[column]), values[frame], 1e-6 * Math.abs(values[frame]), `${column} frame ${frame}`);
      });
    }
    expect(rows.some((row) => row.hip_share_both === '')).toBe(true);
  });
});

describe('curves.csv and measures.csv', () => {
  test('a value or a reason stands in every row, never both and never neither', () => {
    for (const row of [...recordsOf(files['curves.csv']), ...recordsOf(files['measures.csv'])]) {
      expect([row.value === '', row.reason === '']).toContain(true);
      expect(row.value === '').toBe(row.reason !== '');
    }
  });

  test('what needs feet says so', () => {
    const rows = recordsOf(files['measures.csv']).filter(
      ({ measure, at }) => measure === 'com_along_foot' && at === 'bottom',
    );
    expect(rows.length).toBeGreaterThan(0);
    for (const { value, reason } of rows) {
      expect(value).toBe('');
      expect(reason).toContain('heel');
    }
  });

  test('ids that look like numbers stay text', () => {
    expect(new Set(recordsOf(files['measures.csv']).map((row) => row.athlete_id))).toEqual(new Set(['007']));
  });
});

describe('repetitions.csv', () => {
  const rows = recordsOf(files['repetitions.csv']);

  test('says which repetition is not full and why', () => {
    expect(rows.map(({ completeness }) => completeness)).toEqual(['full', 'partial', 'full']);
    expect(rows[1].reason).not.toBe('');
    expect(rows[1].parallel_descent_frame).toBe('');
    expect(rows[1].parallel_descent_time_s).toBe('');
  });

  test('frames and times are of the record, the last frame of a phase being inside it', () => {
    record.repetitions.forEach((repetition, i) => {
      expect(rows[i].descent_last_frame).toBe(String(repetition.descent!.to - 1));
      expect(rows[i].bottom_frame).toBe(String(repetition.bottomFrame));
      expectClose(Number(rows[i].bottom_time_s), repetition.bottomFrame / 60, 1e-5, 'bottom time');
      expectClose(Number(rows[i].hip_drop_m), repetition.hipDropM, 1e-6, 'drop');
      expect(rows[i].moments_known_share).toBe('1');
    });
  });
});

test('athletes.csv has one row a description: a change of body mass makes a second one', () => {
  const heavier = { ...recording, athlete: { ...recording.athlete, massKg: 64 } };
  const rows = recordsOf(csvOf(athletesTable([recording, heavier, recording])));
  expect(rows.map(({ mass_kg, recordings }) => [mass_kg, recordings])).toEqual([
    ['63', '2'],
    ['64', '1'],
  ]);
});

test('recordings.csv has a column a condition, sorted by id', () => {
  const other = { ...recording, id: 'A00', condition: { belt: true } };
  const rows = recordsOf(
    csvOf(
      recordingsTable([
        { recording, grade: null },
        { recording: other, grade: 'poor' },
      ]),
    ),
  );
  expect(rows.map((row) => [row.recording_id, row.condition_belt, row.condition_heel, row.grade])).toEqual([
    ['A00', 'true', '', 'poor'],
    [recording.id, '', 'raised', ''],
  ]);
});

test('a recording without a repetition has headers and no rows', () => {
  const empty = makeRecord({ repetitions: 0 });
  expect(readCsv(csvOf(repetitionsTable(empty)))).toHaveLength(1);
  expect(readCsv(csvOf(curvesTable(empty)))).toHaveLength(1);
});
