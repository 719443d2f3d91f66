import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from '@jest/globals';
import type { ComparisonFile } from '../../../src/capture/comparison-file.ts';
import type { KeptLift } from '../../../src/cli/study/kept-lift.ts';
import { packed } from '../../../src/cli/study/kept-lift.ts';
import { KEPT, recordingFolder } from '../../../src/cli/study/places.ts';
import { studyComparison } from '../../../src/cli/study/study-comparison.ts';
import type { WrittenStudy } from '../../../src/cli/study/study-tables.ts';
import { cohortComparison } from '../../../src/study/cohort/cohort-comparison.ts';
import { csvOf } from '../../../src/study/csv.ts';
import { madeDepthStudy } from '../../study/cohort/made-depth-study.ts';
import { madeComparison } from '../../study/cohort/made-study.ts';
import { plainFolder } from './made-lifts.ts';

/* From the kept lifts of a made study to the tables of its comparison, and away with them again. */

const out = mkdtempSync(join(tmpdir(), 'kneeward-comparison-'));
afterAll(() => rmSync(out, { recursive: true, force: true }));

const CURVE_FILES = ['cohort-curves.csv', 'cohort-group-curves.csv', 'cohort-curve-tests.csv'];
const recordings = madeDepthStudy({ athletes: 6, heelsMm: [0, 20], effect: -0.03, repetitions: 2 });

test('tables of curves are written from kept lifts, and removed where they are no longer asked for', async () => {
  for (const { recording, ...kept } of recordings) {
    mkdirSync(join(recordingFolder(out, recording.id), '.study'), { recursive: true });
    writeFileSync(join(recordingFolder(out, recording.id), KEPT), packed(kept as KeptLift));
  }
  const run = (block: ComparisonFile | null) =>
    studyComparison(
      {
        study: { file: 'study.yaml', seed: 5, ...(block && madeComparison(block)) },
        lifts: recordings.map(({ recording }) => ({ recording })),
        failures: [],
        out,
      } as unknown as WrittenStudy,
      plainFolder(out),
    );
  const there = (name: string) => existsSync(join(out, name));

  await run({ predictors: ['heel_height_mm'] });
  const tables = cohortComparison({ ...madeComparison({ predictors: ['heel_height_mm'] }), seed: 5 }, recordings)!;
  expect(readFileSync(join(out, CURVE_FILES[0]), 'utf8')).toBe(csvOf(tables.curves!));
  expect(readFileSync(join(out, CURVE_FILES[2]), 'utf8')).toContain('hip_share,both,heel_height_mm,20,0,paired,data');

  await run({ predictors: ['heel_height_mm'], curves: [] });
  expect([...CURVE_FILES, 'cohort-effects.csv'].map(there)).toEqual([false, false, false, true]);

  await run({ predictors: ['heel_height_mm'] });
  expect(CURVE_FILES.map(there)).toEqual([true, true, true]);
  await run(null);
  expect([...CURVE_FILES, 'cohort-effects.csv'].map(there)).toEqual([false, false, false, false]);
});
