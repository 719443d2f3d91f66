import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const ENTRY = fileURLToPath(new URL('../web/report.ts', import.meta.url));

let made: Promise<string> | null = null;

/**
 * What runs inside a report as one classic script: src/web/report.ts with all it needs, minified. It loads nothing. Made
 * once in a process; safe inside a script element.
 */
export function browserCode(): Promise<string> {
  made ??= bundle();
  return made;
}

async function bundle(): Promise<string> {
  const { outputFiles } = await build({
    entryPoints: [ENTRY],
    bundle: true,
    minify: true,
    write: false,
    format: 'iife',
    platform: 'browser',
    target: 'es2020',
    charset: 'utf8',
    // Licences of what is inside stay with it.
    legalComments: 'eof',
    tsconfigRaw: {},
  });
  return scriptSafe(outputFiles[0].text);
}

/** Code without the two sequences that a page would read as an end of the script or as the start of a comment in it. */
export function scriptSafe(code: string): string {
  return code.replace(/<\/script/gi, '<\\/script').replaceAll('<!--', '<\\!--');
}
