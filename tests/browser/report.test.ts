import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, test } from '@jest/globals';
import axe, { type AxeResults } from 'axe-core';
import type { Browser, Page } from 'playwright-core';
import sharp from 'sharp';
import { browserCode } from '../../src/cli/browser-code.ts';
import type { PreviousLift } from '../../src/report/previous-lift.ts';
import { VIEWS } from '../../src/report/wording-page.ts';
import { shownAs } from '../../src/study/shown.ts';
import { makeReport } from '../report/make-report.ts';
import { chromiumPath, launch, NO_CHROMIUM, pageFolder, watch } from './chromium.ts';

const executable = chromiumPath();
if (!executable) console.warn(NO_CHROMIUM);
const withBrowser = executable ? describe : describe.skip;

const CSV = `measure,reason\n"a, b","two ""words"""\nÜbung,\n`;
const previous: PreviousLift = {
  recordingId: 'A01-0',
  date: '2026-02-25',
  loadKg: 75,
  condition: '',
  barPosition: 'front rack',
  heelHeightM: null,
  report: '../A01-0/report.html',
  scene: null,
  differences: [
    {
      measure: 'trunk_lean',
      title: 'Lean at parallel',
      difference: -4,
      lower: -6,
      upper: -2,
      unit: 'deg',
      verdict: 'different',
      shown: shownAs('deg'),
    },
    {
      measure: 'bottom_thigh_elevation',
      title: 'Thigh angle',
      difference: 1,
      lower: -2,
      upper: 4,
      unit: 'deg',
      verdict: 'cannot tell',
      shown: shownAs('deg'),
    },
  ],
};

withBrowser('the report in a browser', () => {
  const folder = pageFolder();
  let browser: Browser;
  let address: string;

  beforeAll(async () => {
    browser = await launch(executable!);
    const tables = [{ name: 'measures.csv', rows: 2, csv: CSV }];
    const { html } = await makeReport({}, {}, {}, { script: await browserCode(), tables, previous });
    address = folder.write('report.html', html);
  });
  afterAll(async () => {
    await browser?.close();
    folder.remove();
  });

  interface Opening {
    readonly width?: number;
    readonly colorScheme?: 'light' | 'dark';
    readonly hash?: string;
    readonly javaScriptEnabled?: boolean;
  }

  async function open({ width = 1400, colorScheme = 'light', hash = '', javaScriptEnabled = true }: Opening = {}) {
    const context = await browser.newContext({ viewport: { width, height: 900 }, colorScheme, javaScriptEnabled });
    const page = await context.newPage();
    const watched = watch(page, address);
    await page.goto(address + hash);
    return { page, ...watched };
  }
  const shown = (page: Page) =>
    page.$$eval('.view', (views) => views.filter((view) => view.checkVisibility()).map(({ id }) => id));

  const looks = [390, 1400].flatMap((width) =>
    (['light', 'dark'] as const).map((colorScheme) => ({ width, colorScheme })),
  );
  test.each(looks)(
    '$width px, $colorScheme: no view has a fault, a complaint, a request, or is cut off',
    async (look) => {
      const { page, complaints, requests } = await open(look);
      await page.evaluate(axe.source);
      for (const view of VIEWS) {
        await page.evaluate(`location.hash = '#${view}'`);
        await page.waitForFunction(`!document.getElementById('${view}').hidden`);
        expect(await shown(page)).toEqual([view]);
        const { violations } = await page.evaluate<AxeResults>('axe.run({ resultTypes: ["violations"] })');
        const faults = violations
          .filter(({ impact }) => impact === 'serious' || impact === 'critical')
          .map(({ id, nodes }) => `${view}, ${id}: ${nodes.slice(0, 3).map(({ html }) => html.slice(0, 120))}`);
        expect(faults).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(look.width);
      }
      expect(complaints).toEqual([]);
      expect(requests).toEqual([]);
      await page.context().close();
    },
  );

  test('the address chooses the view: by link, by key, by going back, and by a place inside it', async () => {
    const { page } = await open();
    expect(await shown(page)).toEqual(['coach']);
    await page.focus('a[href="#athlete"]');
    await page.keyboard.press('Enter');
    await page.waitForFunction('!document.getElementById("athlete").hidden');
    expect(await shown(page)).toEqual(['athlete']);
    expect(await page.getAttribute('.views a[aria-current]', 'href')).toBe('#athlete');
    expect(await page.evaluate('document.activeElement.id')).toBe('athlete-title');
    await page.goBack();
    await page.waitForFunction('!document.getElementById("coach").hidden');
    await page.click('.first a[href="#doubt"]');
    await page.waitForFunction('!document.getElementById("science").hidden');
    const top = await page.$eval('#doubt', (place) => place.getBoundingClientRect().top);
    expect(top).toBeGreaterThanOrEqual(0);
    expect(top).toBeLessThan(300);
    await page.context().close();
  });

  test('without code all three views can be read, and no button stands there that does nothing', async () => {
    const { page } = await open({ javaScriptEnabled: false });
    for (const view of VIEWS) expect(await page.isVisible(`#${view}-title`)).toBe(true);
    expect(await page.isVisible('.preview >> nth=0')).toBe(false);
    await page.click('#data summary');
    expect(await page.textContent('.preview')).toContain('Übung');
    for (const button of await page.$$('button')) expect(await button.isVisible()).toBe(false);
    await page.context().close();
  });

  test('a table is downloaded and copied as it was packed', async () => {
    const { page } = await open({ hash: '#science' });
    await page.context().grantPermissions(['clipboard-read', 'clipboard-write']);
    const [download] = await Promise.all([page.waitForEvent('download'), page.click('button[data-download]')]);
    expect(download.suggestedFilename()).toBe('measures.csv');
    expect(readFileSync(await download.path(), 'utf8')).toBe(CSV);
    await page.click('button[data-copy]');
    await page.waitForFunction('document.querySelector("#data [role=status]").textContent !== "Saved."');
    expect(await page.evaluate('navigator.clipboard.readText()')).toBe('measure\treason\na, b\ttwo "words"\nÜbung\t\n');
    await page.context().close();
  });

  test('one picture: a PNG of the first screen, the mark of invented data on top', async () => {
    const { page, requests, complaints } = await open({ width: 390, colorScheme: 'dark' });
    const [download] = await Promise.all([page.waitForEvent('download'), page.click('[data-save-picture]')]);
    expect(download.suggestedFilename()).toBe('A01-raised-1.png');
    const picture = sharp(readFileSync(await download.path()));
    const { width, height } = await picture.metadata();
    expect(width).toBe(1080);
    expect(height).toBeGreaterThan(900);
    const { data } = await picture
      .extract({ left: 4, top: 4, width: 1, height: 1 })
      .raw()
      .toBuffer({ resolveWithObject: true });
    // The ground of the mark, #ffe7a3.
    expect([...data.subarray(0, 3)]).toEqual([0xff, 0xe7, 0xa3]);
    expect(complaints).toEqual([]);
    expect(requests).toEqual([]);
    await page.context().close();
  });

  test('on paper: the chosen view alone, or all, each from a page of its own; no button, no navigation', async () => {
    const { page } = await open();
    await page.emulateMedia({ media: 'print' });
    expect(await shown(page)).toEqual(['coach']);
    expect(await page.isVisible('.views')).toBe(false);
    for (const button of await page.$$('#coach button')) expect(await button.isVisible()).toBe(false);
    await page.evaluate('document.documentElement.classList.add("print-all")');
    expect(await shown(page)).toEqual([...VIEWS]);
    expect(await page.evaluate('getComputedStyle(document.getElementById("athlete")).breakBefore')).toBe('page');
    await page.context().close();
  });
});
