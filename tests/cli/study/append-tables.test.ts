import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, test } from '@jest/globals';
import { type ColumnTable, table } from 'arquero';
import fc from 'fast-check';
import type { Recording } from '../../../src/capture/recording.ts';
import { appendComparisons } from '../../../src/cli/study/append-comparisons.ts';
import { appendLoadChanges } from '../../../src/cli/study/append-load-changes.ts';
import { appendTables } from '../../../src/cli/study/append-tables.ts';
import type { ThereLift } from '../../../src/cli/study/complete-lifts.ts';
import type { Appending } from '../../../src/cli/study/disk.ts';
import { digestOf } from '../../../src/cli/study/input-files.ts';
import { type KeptLift, packed } from '../../../src/cli/study/kept-lift.ts';
import { KEPT, recordingFolder } from '../../../src/cli/study/places.ts';
import { loadParts } from '../../../src/report/across-loads.ts';
import { isOnIndex } from '../../../src/report/comparison-part.ts';
import { loadChangesOf, loadChangesTable } from '../../../src/study/across-loads.ts';
import { comparisonsTable } from '../../../src/study/comparisons.ts';
import { combineTables, csvOf } from '../../../src/study/csv.ts';
import type { SetMean } from '../../../src/study/set-means.ts';
import { makeRecording } from '../../study/make-record.ts';

/* Tables put together one recording at a time, against those made of all recordings in memory. */

const out = mkdtempSync(join(tmpdir(), 'kneeward-append-'));
afterAll(() => rmSync(out, { recursive: true, force: true }));

function written(append: (sink: Appending) => void): string {
  let text = '';
  append({
    append: (content) => {
      text += typeof content === 'string' ? content : Buffer.from(content).toString('utf8');
    },
    close: () => {},
  });
  return text;
}

function keep(id: string, name: string, content: string | Uint8Array): string {
  mkdirSync(join(recordingFolder(out, id), '.study'), { recursive: true });
  writeFileSync(join(recordingFolder(out, id), name), content);
  return digestOf(content);
}

const cell = fc.oneof(
  fc.double(),
  fc.integer(),
  fc.constant(null),
  fc.boolean(),
  fc.constantFrom('', 'plain', 'a,b', 'say "so"', '"', 'two\nlines', 'ä – ü'),
);

describe('appended tables', () => {
  test('columns that differ, tables without rows, cells with commas, quotes and line ends', () => {
    const oneTable = fc.record({
      columns: fc.subarray(['a', 'b', 'c,d', 'e'], { minLength: 1 }),
      turned: fc.boolean(),
      rows: fc.array(fc.array(cell, { minLength: 4, maxLength: 4 }), { maxLength: 4 }),
    });
    fc.assert(
      fc.property(fc.array(oneTable, { minLength: 1, maxLength: 5 }), (drawn) => {
        const tables = drawn.map(({ columns, turned, rows }, i): ColumnTable => {
          const names = turned ? [...columns].reverse() : columns;
          const ids: [string, unknown[]] = ['recording_id', rows.map(() => `r${i}`)];
          return table([ids, ...names.map((name, c): [string, unknown[]] => [name, rows.map((row) => row[c])])]);
        });
        const files = tables.map((one, i) => ({
          id: `r${i}`,
          name: 't.csv',
          sha256: keep(`r${i}`, 't.csv', csvOf(one)),
        }));
        expect(written((sink) => appendTables(sink, out, files))).toBe(csvOf(combineTables(tables)));
      }),
      { numRuns: 200 },
    );
  });

  test('a file that is not as it was written is refused by name', () => {
    const sha256 = keep('r0', 't.csv', 'recording_id,a\nr0,1\n');
    keep('r0', 't.csv', 'recording_id,a\nr0,2\n');
    expect(() => written((sink) => appendTables(sink, out, [{ id: 'r0', name: 't.csv', sha256 }]))).toThrow(
      expect.objectContaining({ code: 'kept-result-damaged', facts: { recording: 'r0', file: 't.csv' } }),
    );
  });
});

const mean = (measure: string, at: string, value: number, own: number): SetMean => ({
  measure,
  side: measure === 'hip_share' ? 'both' : '',
  at,
  unit: measure === 'hip_share' ? '1' : 'deg',
  value,
  repetitions: 3,
  lower: value - 1,
  upper: value + 1,
  sd: 0.3,
  reason: '',
  shares: [],
  effects: new Map([
    ['shared', 0.2],
    ['own', own],
  ]),
  noiseVariance: 0.001,
  noiseFreedom: 3,
  drawn: null,
});

/** Lifters whose lifts stand between each other's; one with more lifts than are all compared, one with two places of the bar. */
function lifts(): { lift: ThereLift; kept: KeptLift }[] {
  return Array.from({ length: 14 }, (_, i) => {
    const id = `q${String(i).padStart(2, '0')}`;
    const made = makeRecording({ recordingId: id, athleteId: i % 2 === 0 ? 'many' : `few${i % 3}` });
    const recording: Recording = {
      ...made,
      date: `2026-03-${String(1 + ((5 * i) % 28)).padStart(2, '0')}`,
      load: {
        ...made.load,
        totalKg: 60 + 10 * (i % 4),
        bar: { ...made.load.bar, position: i % 4 === 2 ? 'low back' : 'high back' },
      },
    };
    const means = [
      mean('hip_share', 'parallel', 0.5 + 0.01 * i, 0.001 * i),
      mean('trunk_lean', 'parallel', 40 + i, 0.1),
    ];
    const kept: KeptLift = { means, record: { measures: [], repetitions: [] }, curves: [] };
    keep(id, KEPT, packed(kept));
    return { lift: { recording, key: id, grade: 'good', row: {} as ThereLift['row'], digests: {} }, kept };
  });
}

test('comparisons lifter by lifter are those of all at once, and so are the rows that the index shows', () => {
  const all = lifts();
  let shown: ColumnTable | null = null;
  const text = written((sink) => {
    shown = appendComparisons(
      sink,
      out,
      all.map(({ lift }) => lift),
    );
  });
  const whole = comparisonsTable(all.map(({ lift, kept }) => ({ recording: lift.recording, means: kept.means })));
  expect(whole.numRows()).toBeGreaterThan(30);
  expect(text).toBe(csvOf(whole));
  const rows = whole.objects({ limit: Number.POSITIVE_INFINITY }) as { side: string; measure: string; at: string }[];
  expect(shown!.objects({ limit: Number.POSITIVE_INFINITY })).toEqual(rows.filter(isOnIndex));
});

test('changes with the load group by group are those of all at once', async () => {
  const all = lifts();
  let text = '';
  const sink: Appending = {
    append: (content) => {
      text += String(content);
    },
    close: () => {},
  };
  const parts = await appendLoadChanges(
    sink,
    out,
    all.map(({ lift }) => lift),
  );
  const changes = loadChangesOf(all.map(({ lift, kept }) => ({ recording: lift.recording, ...kept })));
  expect(changes.length).toBeGreaterThan(3);
  expect(text).toBe(csvOf(loadChangesTable(changes)));
  expect(parts).toEqual(await loadParts(changes));
});
