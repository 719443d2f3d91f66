/**
 * How fast the moving picture scrubs in software rendering, with a recording of 1,500 frames and more.
 *
 *   npx tsx tests/benchmarks/scene.ts
 *
 * Every step moves the slider and waits for the next picture. Printed: pictures a second by the clock, and the time that
 * the browser's processes computed for one picture (which a busy machine does not stretch as much; Linux only). Numbers
 * for notes, no test.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { chromium } from 'playwright-core';
import { browserCode } from '../../src/cli/browser-code.ts';
import { scenePayload, sceneText } from '../../src/report/scene-data.ts';
import { chromiumPath, NO_CHROMIUM, pageFolder, SOFTWARE_DRAWING } from '../browser/chromium.ts';
import { scenePage } from '../browser/scene-page.ts';
import { makeRecord, makeRecording } from '../study/make-record.ts';

const STEPS = 240;
const OPTIONS = { repetitions: 7 };

/** Processor time of a process and all below it, ms; by the name of the browser's process type. NaN where /proc is not there. */
function processorTime(root: number): Map<string, number> {
  const children = new Map<number, number[]>();
  const own = new Map<number, { ms: number; type: string }>();
  for (const name of readdirSync('/proc').filter((entry) => /^\d+$/.test(entry))) {
    try {
      const stat = readFileSync(`/proc/${name}/stat`, 'utf8');
      const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
      const type = /--type=([\w-]+)/.exec(readFileSync(`/proc/${name}/cmdline`, 'utf8'))?.[1] ?? 'main';
      const parent = Number(fields[1]);
      children.set(parent, [...(children.get(parent) ?? []), Number(name)]);
      // Clock ticks of 10 ms: user and system time.
      own.set(Number(name), { ms: 10 * (Number(fields[11]) + Number(fields[12])), type });
    } catch {
      // The process ended while it was looked at.
    }
  }
  const sums = new Map<string, number>();
  const add = (pid: number): void => {
    const found = own.get(pid);
    if (found) sums.set(found.type, (sums.get(found.type) ?? 0) + found.ms);
    for (const child of children.get(pid) ?? []) add(child);
  };
  add(root);
  return sums;
}

async function main(executablePath: string): Promise<void> {
  const folder = pageFolder();
  const server = await chromium.launchServer({ executablePath, args: SOFTWARE_DRAWING });
  const browser = await chromium.connect(server.wsEndpoint());
  const payload = scenePayload(makeRecord(OPTIONS), makeRecording(OPTIONS));
  console.log(`recording: ${payload.frames} frames, ${payload.points.length} points`);
  console.log(
    `data in the page: ${(sceneText(payload).length / 1e3).toFixed(0)} kB; code: ${((await browserCode()).length / 1e3).toFixed(0)} kB`,
  );
  const root = server.process().pid ?? 0;
  for (const [words, second] of [
    ['one lift', null],
    ['with a second lift', { ...OPTIONS, recordingId: 'second' }],
  ] as const) {
    const address = folder.write('scene.html', await scenePage(OPTIONS, second));
    for (const width of [1400, 390]) {
      const page = await browser.newPage({ viewport: { width, height: 900 } });
      await page.goto(address);
      await page.waitForSelector('[data-ready]');
      const scrub = (steps: number) =>
        page.evaluate(`(async () => {
          const slider = document.querySelector('[data-sc=slider]');
          const picture = () => new Promise(requestAnimationFrame);
          const start = performance.now();
          for (let i = 0; i < ${steps}; i++) {
            slider.value = String((7 * i) % ${payload.frames});
            slider.dispatchEvent(new Event('input'));
            await picture();
          }
          return (performance.now() - start) / ${steps};
        })()`) as Promise<number>;
      await scrub(20);
      const before = processorTime(root);
      const ms = await scrub(STEPS);
      const spent = [...processorTime(root)]
        .map(([type, after]) => [type, (after - (before.get(type) ?? 0)) / STEPS] as const)
        .filter(([, each]) => each >= 0.1)
        .map(([type, each]) => `${type} ${each.toFixed(1)}`);
      console.log(
        `${words}, ${width} px: ${(1000 / ms).toFixed(0)} pictures/s; processor ms a picture: ${spent.join(', ')}`,
      );
      await page.close();
    }
  }
  await browser.close();
  await server.close();
  folder.remove();
}

const executable = chromiumPath();
if (executable) await main(executable);
else console.log(NO_CHROMIUM);
