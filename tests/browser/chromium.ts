import { accessSync, constants, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, chromium, type Page } from 'playwright-core';

const NAMES = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable'];

/** The browser for these tests: KNEEWARD_CHROMIUM, else the first of the usual names on the path; null where there is none. */
export function chromiumPath(): string | null {
  const named = process.env.KNEEWARD_CHROMIUM;
  const found = (process.env.PATH ?? '').split(delimiter).flatMap((folder) => NAMES.map((name) => join(folder, name)));
  return (named ? [named] : found).find(isExecutable) ?? null;
}

function isExecutable(file: string): boolean {
  try {
    accessSync(file, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}

export const NO_CHROMIUM =
  'no Chromium here: set KNEEWARD_CHROMIUM to one, or put `chromium` on the path; its tests are skipped';

/** Everything is drawn by software, so that every machine shows the same. */
export const SOFTWARE_DRAWING = ['--no-sandbox', '--disable-gpu', '--enable-unsafe-swiftshader'];

export function launch(executablePath: string): Promise<Browser> {
  return chromium.launch({ executablePath, args: SOFTWARE_DRAWING });
}

/** Pages written to a folder of their own and opened from there, as a reader opens a report. */
export function pageFolder() {
  const folder = mkdtempSync(join(tmpdir(), 'kneeward-page-'));
  return {
    write(name: string, html: string): string {
      const file = join(folder, name);
      writeFileSync(file, html);
      return pathToFileURL(file).href;
    },
    remove: () => rmSync(folder, { recursive: true, force: true }),
  };
}

/** Everything that a page complains of and every address it asks for, from now on. */
export function watch(page: Page, own: string): { readonly complaints: string[]; readonly requests: string[] } {
  const complaints: string[] = [];
  const requests: string[] = [];
  page.on('console', (message) => {
    // What the browser says about its own drawing by software is no complaint about the page.
    if (/GL Driver Message \(OpenGL, Performance/.test(message.text())) return;
    if (message.type() === 'error' || message.type() === 'warning') complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(error.message));
  page.on('request', (request) => {
    if (request.url() !== own && !/^(data|blob):/.test(request.url())) requests.push(request.url());
  });
  return { complaints, requests };
}
