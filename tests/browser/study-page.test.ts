import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { afterAll, beforeAll, describe, expect, test } from '@jest/globals';
import axe, { type AxeResults } from 'axe-core';
import type { Browser } from 'playwright-core';
import { madeStudyFolder } from '../cli/study/made-study-page.ts';
import { madeRecordings } from '../figures/cohort/made-tables.ts';
import { madeDepthStudy } from '../study/cohort/made-depth-study.ts';
import { chromiumPath, launch, NO_CHROMIUM, watch } from './chromium.ts';

const executable = chromiumPath();
if (!executable) console.warn(NO_CHROMIUM);
const withBrowser = executable ? describe : describe.skip;

/* The page of an invented study with its comparison, opened from its folder as a reader does. */

withBrowser('the page of a study in a browser', () => {
  const out = mkdtempSync(join(tmpdir(), 'kneeward-study-page-'));
  const address = pathToFileURL(join(out, 'index.html')).href;
  let browser: Browser;

  beforeAll(async () => {
    browser = await launch(executable!);
    const curves = new Map(
      madeDepthStudy({ athletes: 8, heelsMm: [0, 20], effect: -0.03 }).map((one) => [one.recording.id, one.curves]),
    );
    const recordings = madeRecordings({ athletes: 8 });
    const compare = madeStudyFolder(
      out,
      recordings.map((one) => ({ ...one, curves: curves.get(one.recording.id) ?? [] })),
    );
    await compare({
      outcomes: [
        { measure: 'trunk_lean', at: 'parallel' },
        { measure: 'hip_share', at: 'parallel', side: 'both' },
      ],
      predictors: ['heel_height_mm', 'femur_per_trunk', 'stance_per_hip_width'],
      curves: [{ quantity: 'hip_share', by: 'heel_height_mm', levels: [0, 20] }],
    });
  });
  afterAll(async () => {
    await browser?.close();
    rmSync(out, { recursive: true, force: true });
  });

  const looks = [390, 1400].flatMap((width) =>
    (['light', 'dark'] as const).map((colorScheme) => ({ width, colorScheme })),
  );
  test.each(looks)(
    '$width px, $colorScheme: no fault, nothing from outside, all figures, not cut off',
    async (look) => {
      const context = await browser.newContext({
        viewport: { width: look.width, height: 900 },
        colorScheme: look.colorScheme,
      });
      const page = await context.newPage();
      const { complaints, requests } = watch(page, address);
      await page.goto(address);
      await page.evaluate(axe.source);
      const { violations } = await page.evaluate<AxeResults>('axe.run({ resultTypes: ["violations"] })');
      expect(
        violations.map(({ id, nodes }) => `${id}: ${nodes.slice(0, 3).map(({ html }) => html.slice(0, 120))}`),
      ).toEqual([]);
      const pictures = await page.$$eval('figure', (figures) =>
        figures.map((figure) => {
          const drawn = figure.querySelector('svg, img');
          const { width, height } = drawn?.getBoundingClientRect() ?? { width: 0, height: 0 };
          // Of an image; a drawing in the page has none.
          const { naturalWidth = 1 } = (drawn ?? {}) as { readonly naturalWidth?: number };
          return {
            seen: naturalWidth > 0 && width > 100 && height > 100,
            words: figure.querySelector('figcaption')?.textContent ?? '',
          };
        }),
      );
      expect(pictures.length).toBeGreaterThanOrEqual(5);
      expect(pictures.some(({ words }) => words.includes('against depth'))).toBe(true);
      for (const { seen, words } of pictures) expect([words.slice(0, 60), seen]).toEqual([words.slice(0, 60), true]);
      expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(look.width);
      expect(complaints).toEqual([]);
      expect(requests.filter((url) => !url.startsWith(pathToFileURL(out).href))).toEqual([]);
      await context.close();
    },
  );

  test('every link to a file of the study leads to one that is there', async () => {
    const page = await browser.newPage();
    await page.goto(address);
    const links = await page.$$eval('a[href]', (all) => all.map((a) => (a as unknown as { href: string }).href));
    const files = links.filter((href) => href.startsWith(pathToFileURL(out).href) && !href.startsWith(`${address}#`));
    expect(files.length).toBeGreaterThan(5);
    for (const href of new Set(files)) expect([href, existsSync(fileURLToPath(href))]).toEqual([href, true]);
    await page.context().close();
  });
});
