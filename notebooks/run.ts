import { readdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { parseArgs } from 'node:util';
import { differenceOf } from './runner/difference.ts';
import { noSuchNotebook } from './runner/messages.ts';
import { type Notebook, parseNotebook, serialiseNotebook } from './runner/notebook.ts';
import { type NotebookRun, runNotebook } from './runner/run-notebook.ts';

const USAGE = `Usage: npm run notebooks -- [--check] [--only NN …]

  Runs the notebooks of this folder, each in a process of its own, and writes their outputs into them: whole, or not at all.

  --check     write nothing; fail where an output is not the stored one
  --only NN   only notebooks whose name begins so; may be repeated
`;

const HERE = fileURLToPath(new URL('.', import.meta.url));

/** Runs notebooks of `folder`; 0 all well, 1 a notebook failed or differs, 2 called wrongly. say: one line about one notebook. */
export async function main(
  args: readonly string[],
  folder: string = HERE,
  say: (line: string) => void = (line) => process.stderr.write(`${line}\n`),
): Promise<number> {
  let wanted: { check: boolean; only: string[] };
  try {
    const options = { check: { type: 'boolean', default: false }, only: { type: 'string', multiple: true } } as const;
    const { values } = parseArgs({ args: [...args], options });
    wanted = { check: values.check, only: values.only ?? [] };
  } catch (error) {
    say(`${(error as Error).message}\n\n${USAGE}`);
    return 2;
  }
  let files: string[];
  try {
    files = filesOf(folder, wanted.only);
  } catch (error) {
    say((error as Error).message);
    return 2;
  }
  let failures = 0;
  try {
    for (const file of files) {
      const failure = await runFile(folder, file, wanted.check, say);
      if (!failure) continue;
      failures++;
      say(failure.message);
    }
  } catch (error) {
    say((error as Error).message);
    return 1;
  }
  return failures > 0 ? 1 : 0;
}

function filesOf(folder: string, only: readonly string[]): string[] {
  const files = readdirSync(folder)
    .filter((file) => file.endsWith('.ipynb'))
    .sort();
  for (const start of only) if (!files.some((file) => file.startsWith(start))) throw noSuchNotebook(start, files);
  return only.length === 0 ? files : files.filter((file) => only.some((start) => file.startsWith(start)));
}

async function runFile(
  folder: string,
  file: string,
  check: boolean,
  say: (line: string) => void,
): Promise<Error | null> {
  const path = join(folder, file);
  let stored: Notebook;
  try {
    stored = parseNotebook(file, readFileSync(path, 'utf8'));
  } catch (error) {
    return error as Error;
  }
  const missing = (stored.metadata.kneeward?.needs ?? []).filter((name) => !process.env[name]);
  if (missing.length > 0) {
    say(`${file}: left as it stands: it needs ${missing.join(', ')} (see its first cell)`);
    return null;
  }
  let run: NotebookRun;
  try {
    run = await runNotebook(path, stored);
  } catch (error) {
    return error as Error;
  }
  const { notebook, failed } = run;
  if (failed) return failed;
  if (check) {
    const difference = differenceOf(file, stored, notebook);
    if (!difference) say(`${file}: gives what it holds`);
    return difference;
  }
  writeFileSync(`${path}.part`, serialiseNotebook(notebook));
  renameSync(`${path}.part`, path);
  say(`${file}: run`);
  return null;
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  process.exitCode = await main(process.argv.slice(2));
}
