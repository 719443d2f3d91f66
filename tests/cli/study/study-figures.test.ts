import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, expect, test } from '@jest/globals';
import sharp from 'sharp';
import type { ComparisonFile } from '../../../src/capture/comparison-file.ts';
import { madeRecordings } from '../../figures/cohort/made-tables.ts';
import { resultsIn } from './made-lifts.ts';
import { madeStudyFolder } from './made-study-page.ts';

/* From the tables of an invented study to its figures, its page, and away with them again. */

const out = mkdtempSync(join(tmpdir(), 'kneeward-figures-'));
afterAll(() => rmSync(out, { recursive: true, force: true }));

const recordings = madeRecordings({ athletes: 4 });
const block: ComparisonFile = {
  outcomes: [{ measure: 'trunk_lean', at: 'parallel' }],
  predictors: ['heel_height_mm'],
  curves: [],
};

test('figures and page from the tables, the same bytes twice; what can no longer be made is removed', async () => {
  const run = madeStudyFolder(out, recordings);
  const page = () => readFileSync(join(out, 'index.html'), 'utf8');
  const made = (name: string) =>
    ['svg', 'png', 'vl.json'].map((ending) => existsSync(join(out, 'figures', `${name}.${ending}`)));

  await run(block);
  const first = resultsIn(out);
  for (const name of ['forest', 'athletes-across-levels', 'week-to-week'])
    expect([name, made(name)]).toEqual([name, [true, true, true]]);
  // No stance among the predictors: never an empty plot, and the page says why.
  expect(made('stance-by-heel')).toEqual([false, false, false]);
  expect(page()).toMatch(/Not drawn:[^<]*stance/i);
  expect(page()).toMatch(/a lifter like these leans/);
  expect(readFileSync(join(out, 'figures', 'captions.txt'), 'utf8')).toMatch(
    /^forest\n[\s\S]*\nathletes-across-levels\n/,
  );
  expect(readFileSync(join(out, 'reliability.csv'), 'utf8')).toContain('each athlete has one recording');
  expect(JSON.parse(readFileSync(join(out, 'figures', 'forest.vl.json'), 'utf8')).$schema).toMatch(/vega-lite/);
  const svg = readFileSync(join(out, 'figures', 'forest.svg'), 'utf8');
  const millimetres = Number(/ width="([\d.]+)mm"/.exec(svg)![1]);
  const { width, density } = await sharp(join(out, 'figures', 'forest.png')).metadata();
  expect(density).toBe(300);
  expect(width! / (millimetres / 25.4)).toBeGreaterThan(298);

  await run(block);
  expect(resultsIn(out)).toEqual(first);

  await run(null);
  expect(made('forest')).toEqual([false, false, false]);
  expect(made('week-to-week')).toEqual([true, true, true]);
  expect(page()).not.toMatch(/a lifter like these leans/);
});
