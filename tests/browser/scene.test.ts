import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, test } from '@jest/globals';
import axe from 'axe-core';
import type { Browser, Page } from 'playwright-core';
import sharp from 'sharp';
import { makeRecord } from '../study/make-record.ts';
import { chromiumPath, launch, NO_CHROMIUM, pageFolder, watch } from './chromium.ts';
import { scenePage } from './scene-page.ts';

const executable = chromiumPath();
if (!executable) console.warn(NO_CHROMIUM);
const withBrowser = executable ? describe : describe.skip;

const record = makeRecord();
const first = record.repetitions[0];

withBrowser('the moving picture in a browser', () => {
  const folder = pageFolder();
  let browser: Browser;
  let alone: string;
  let two: string;

  beforeAll(async () => {
    browser = await launch(executable!);
    alone = folder.write('alone.html', await scenePage());
    two = folder.write('two.html', await scenePage({}, { recordingId: 'B07', repetitions: 2 }));
  });
  afterAll(async () => {
    await browser?.close();
    folder.remove();
  });

  async function open(address: string, width = 1400, colorScheme: 'light' | 'dark' = 'light') {
    const page = await browser.newPage({ viewport: { width, height: 900 }, colorScheme });
    const watched = watch(page, address);
    await page.goto(address);
    await page.waitForSelector('[data-ready]');
    return { page, watched };
  }
  const frameOf = (page: Page) => page.getAttribute('#scene', 'data-frame').then(Number);
  /** Waits until a frame is drawn: a picture comes when the browser has time for it. Fails where it does not come. */
  const drawn = (page: Page, frame: number) => page.waitForSelector(`#scene[data-frame="${frame}"]`);
  /** Until two more pictures were due. */
  const pictures = (page: Page) =>
    page.evaluate('new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))');
  /** Share of pixels of the picture that are not its ground, 0–1: whether anything is drawn. */
  async function drawnShare(page: Page): Promise<number> {
    const { data, info } = await sharp(await page.locator('[data-sc=stage]').screenshot())
      .removeAlpha()
      .raw()
      .toBuffer({ resolveWithObject: true });
    const ground = [...data.subarray(3 * (info.width * (info.height >> 1) + 12)).subarray(0, 3)];
    let other = 0;
    for (let i = 0; i < data.length; i += 3) if (ground.some((value, k) => Math.abs(data[i + k] - value) > 24)) other++;
    return other / (data.length / 3);
  }

  test.each([
    [1400, 'light'],
    [1400, 'dark'],
    [390, 'light'],
    [390, 'dark'],
  ] as const)(
    '%i px, %s: draws, complains of nothing, asks for nothing, and has no serious fault of access',
    async (width, scheme) => {
      const { page, watched } = await open(two, width, scheme);
      expect(await page.getAttribute('#scene', 'data-ready')).toBe('solid');
      for (const view of ['side', 'front', 'top', 'free']) {
        await page.click(`[data-view=${view}]`);
        await pictures(page);
        expect(await drawnShare(page)).toBeGreaterThan(0.03);
      }
      await page.click('.sc-more summary');
      await page.evaluate(axe.source);
      const faults = (await page.evaluate(
        'axe.run("#scene", { resultTypes: ["violations"] }).then(({ violations }) => violations.filter(({ impact }) => impact === "serious" || impact === "critical").map(({ id, nodes }) => id + " " + nodes.map((n) => n.html.slice(0, 120)).join(" | ")))',
      )) as string[];
      expect(faults).toEqual([]);
      expect(await page.evaluate('document.documentElement.scrollWidth <= innerWidth')).toBe(true);
      expect(watched).toEqual({ complaints: [], requests: [] });
      await page.close();
    },
  );

  test('never plays by itself; stands at the bottom of the first repetition', async () => {
    const { page } = await open(alone);
    expect(await frameOf(page)).toBe(first.bottomFrame);
    await page.waitForTimeout(400);
    expect(await frameOf(page)).toBe(first.bottomFrame);
    await page.close();
  });

  test('slider, buttons, keys and charts all move the same frame, and values follow', async () => {
    const { page, watched } = await open(alone);
    const slider = page.locator('[data-sc=slider]');
    await slider.fill('130');
    await drawn(page, 130);
    const text = await slider.getAttribute('aria-valuetext');
    expect(text).toContain((130 / 60).toFixed(2));
    const hip = record.quantities.find(({ quantity, side }) => quantity === 'hip_moment' && side === 'both')!;
    await expect(page.locator('[data-value=hip_moment]').textContent()).resolves.toContain(hip.values[130].toFixed(0));
    await page.click('[data-sc=forward]');
    await drawn(page, 131);
    await page.focus('[data-sc=stage]');
    for (const [key, frame] of [
      ['ArrowLeft', 130],
      ['ArrowRight', 131],
      ['Home', 0],
      ['End', record.loads.frames - 1],
    ] as const) {
      await page.keyboard.press(key);
      await drawn(page, frame);
    }
    await page.keyboard.press('2');
    expect(await page.getAttribute('[data-view=front]', 'aria-pressed')).toBe('true');
    const plot = page.locator('[data-sc=plot]').nth(1);
    const box = (await plot.boundingBox())!;
    await plot.click({ position: { x: box.width / 2, y: 20 } });
    await pictures(page);
    const middle = await frameOf(page);
    // Middle of the plot, which begins 34 px in and ends 8 px before the edge.
    const expected = ((box.width / 2 - 34) / (box.width - 42)) * (record.loads.frames - 1);
    expect(Math.abs(middle - expected)).toBeLessThan(4);
    await page.click('[data-moment=parallelDescent]');
    await drawn(
      page,
      record.repetitions.reduce(
        (best, { parallelDescentFrame: p }) => (Math.abs(p - middle) < Math.abs(best - middle) ? p : best),
        0,
      ),
    );
    expect(watched.complaints).toEqual([]);
    await page.close();
  });

  test('space plays and stops; a chosen repetition goes round within its own frames', async () => {
    const { page } = await open(alone);
    await page.selectOption('[data-sc=part]', '1');
    await page.locator('[data-speed="1"]').check({ force: true });
    await page.focus('[data-sc=stage]');
    await page.keyboard.press('Home');
    await page.keyboard.press(' ');
    await page.waitForFunction(
      'document.getElementById("scene").dataset.frame > document.querySelector("[data-sc=slider]").min',
    );
    expect(await page.getAttribute('[data-sc=play]', 'class')).toContain('sc-on');
    const playing = await frameOf(page);
    await page.keyboard.press(' ');
    await pictures(page);
    const stopped = await frameOf(page);
    const slider = page.locator('[data-sc=slider]');
    const [low, high] = [Number(await slider.getAttribute('min')), Number(await slider.getAttribute('max'))];
    const second = record.repetitions[1];
    expect(low).toBeLessThanOrEqual(second.descent!.from);
    expect(high).toBeGreaterThanOrEqual(second.ascent!.to - 1);
    expect(playing).toBeGreaterThan(low);
    expect(stopped).toBeGreaterThanOrEqual(playing);
    expect(stopped).toBeLessThanOrEqual(high);
    await pictures(page);
    expect(await frameOf(page)).toBe(stopped);
    expect(await page.textContent('[data-sc=live]')).toContain((stopped / 60).toFixed(2));
    await page.close();
  });

  test('whatever carries a frame brings the picture there, by click and by Enter', async () => {
    const { page } = await open(alone);
    await page.selectOption('[data-sc=part]', '2');
    await page.click('#jump');
    await drawn(page, 200);
    expect(await page.getAttribute('[data-view=front]', 'aria-pressed')).toBe('true');
    await page.focus('#plain-jump');
    await page.keyboard.press('Enter');
    await drawn(page, 120);
    await page.close();
  });

  test('dragging turns it, a double click puts it back; the wheel scrolls the page until the picture has the focus', async () => {
    const { page } = await open(alone);
    const stage = page.locator('[data-sc=stage]');
    const box = (await stage.boundingBox())!;
    const before = await stage.screenshot();
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    await page.mouse.move(x, y);
    await page.mouse.wheel(0, 60);
    await pictures(page);
    expect(await page.evaluate('scrollY')).toBeGreaterThan(0);
    await page.evaluate('scrollTo(0, 0)');
    await page.mouse.down();
    await page.mouse.move(x + 90, y + 20, { steps: 4 });
    await page.mouse.up();
    await pictures(page);
    expect(await page.getAttribute('[data-view=free]', 'aria-pressed')).toBe('true');
    expect((await stage.screenshot()).equals(before)).toBe(false);
    const turned = await drawnShare(page);
    await page.mouse.wheel(0, -300);
    await pictures(page);
    expect(await page.evaluate('scrollY')).toBe(0);
    expect(await drawnShare(page)).toBeGreaterThan(turned);
    await page.close();
  });

  test('turns light and dark while it is shown', async () => {
    const { page } = await open(alone);
    const corner = async () => {
      const { data } = await sharp(await page.locator('[data-sc=stage]').screenshot())
        .removeAlpha()
        .raw()
        .toBuffer({ resolveWithObject: true });
      return data.reduce((sum, value) => sum + value, 0) / data.length;
    };
    const light = await corner();
    await page.emulateMedia({ colorScheme: 'dark' });
    await pictures(page);
    expect(await corner()).toBeLessThan(0.5 * light);
    await page.close();
  });

  test('the second lift is drawn pale, by depth or by time, or not at all', async () => {
    const { page } = await open(two);
    await page.locator('[data-sc=slider]').fill(String(first.descent!.from + 30));
    const stage = page.locator('[data-sc=stage]');
    const taken: Buffer[] = [];
    for (const by of ['depth', 'time', '']) {
      await page.selectOption('[data-sc=align]', by);
      await pictures(page);
      taken.push(await stage.screenshot());
      expect(await page.locator('.sc-pale').count()).toBe(by === '' ? 0 : 5);
    }
    expect(taken[0].equals(taken[2])).toBe(false);
    await page.close();
  });

  test('a picture to keep: PNG at twice the size, with a caption, sensibly named', async () => {
    const { page } = await open(alone);
    const box = (await page.locator('[data-sc=stage]').boundingBox())!;
    const [download] = await Promise.all([page.waitForEvent('download'), page.click('[data-sc=save]')]);
    expect(download.suggestedFilename()).toBe(`A01-raised-1_${(first.bottomFrame / 60).toFixed(2)}s_side.png`);
    const picture = readFileSync((await download.path())!);
    const { width, height, format } = await sharp(picture).metadata();
    expect(format).toBe('png');
    // The border of the stage, 1 px each side, is not in it.
    expect(Math.abs(width - 2 * (box.width - 2))).toBeLessThanOrEqual(2);
    expect(height).toBeGreaterThan(2 * box.height + 60);
    const { channels } = await sharp(picture).stats();
    expect(Math.max(...channels.slice(0, 3).map(({ stdev }) => stdev))).toBeGreaterThan(10);
    await page.close();
  });

  test('without feet and bar: what is not known is not drawn, and nothing breaks', async () => {
    const address = folder.write('bare.html', await scenePage({ withFeet: false, withBar: false }));
    const { page, watched } = await open(address);
    await page.click('[data-view=free]');
    await page.locator('[data-sc=slider]').fill('90');
    expect(await page.textContent('[data-value=com_along_foot]')).not.toMatch(/\d/);
    expect(watched.complaints).toEqual([]);
    await page.close();
  });

  test('a file that was cut short says so instead of showing nothing', async () => {
    const whole = await scenePage();
    const cut = whole.replace(/(data-sc="data">)[A-Za-z0-9+/]{400}/, '$1');
    const page = await browser.newPage();
    await page.goto(folder.write('cut.html', cut));
    await page.waitForSelector('[data-sc=note]:not([hidden])');
    expect(await page.isHidden('[data-sc=body]')).toBe(true);
    await page.close();
  });

  test('a browser that cannot unpack says so', async () => {
    const page = await browser.newPage();
    await page.addInitScript('delete globalThis.DecompressionStream');
    await page.goto(alone);
    await page.waitForSelector('[data-sc=note]:not([hidden])');
    expect(await page.isHidden('[data-sc=body]')).toBe(true);
    await page.close();
  });

  test('without WebGL it is drawn with lines, says so, and works the same', async () => {
    const page = await browser.newPage({ viewport: { width: 1400, height: 900 } });
    const watched = watch(page, two);
    await page.addInitScript(
      'const get = HTMLCanvasElement.prototype.getContext; HTMLCanvasElement.prototype.getContext = function (kind, ...rest) { return /webgl/.test(kind) ? null : get.call(this, kind, ...rest); };',
    );
    await page.goto(two);
    await page.waitForSelector('[data-ready=lines]');
    expect(await page.isVisible('[data-sc=note]')).toBe(true);
    for (const view of ['side', 'front', 'top', 'free']) {
      await page.click(`[data-view=${view}]`);
      await pictures(page);
      expect(await drawnShare(page)).toBeGreaterThan(0.03);
    }
    await page.locator('[data-sc=slider]').fill('140');
    await drawn(page, 140);
    expect(watched).toEqual({ complaints: [], requests: [] });
    await page.close();
  });
});
