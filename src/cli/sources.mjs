// Teaches Node to run the TypeScript sources. Read file by file they take seconds to start, so each entry is put into one file
// beside the packages (node_modules/.cache/kneeward), made anew when a source changes. Where nothing can be written there, they
// are read as they are.
import { createHash } from 'node:crypto';
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, statSync } from 'node:fs';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

const PACKAGE = fileURLToPath(new URL('../../', import.meta.url));
const SOURCES = join(PACKAGE, 'src');
const CACHE = join(PACKAGE, 'node_modules/.cache/kneeward');
/** Packages side by side may share one cache folder; more than these states are not kept. */
const STATES_KEPT = 4;

/** The module of an entry below src/cli, without its ending: `main`, `study/worker`. */
export async function load(entry) {
  // Faults are then told by source and line.
  if (process.env.KNEEWARD_DEBUG) process.setSourceMapsEnabled(true);
  const source = join(SOURCES, 'cli', `${entry}.ts`);
  const made = await compiled(source);
  if (made !== null) return import(pathToFileURL(made).href);
  const { register } = await import('tsx/esm/api');
  register();
  return import(pathToFileURL(source).href);
}

/** Path of the entry in one file; null where it cannot be made. */
async function compiled(source) {
  const folder = join(CACHE, stateOfSources());
  const name = `${relative(SOURCES, source).replaceAll(/[\\/]/g, '-').slice(0, -3)}.mjs`;
  const file = join(folder, name);
  if (existsSync(file)) return file;
  const own = join(CACHE, `making-${process.pid}-${name}`);
  try {
    const { build } = await import('esbuild');
    await build({
      entryPoints: [source],
      outfile: join(own, name),
      bundle: true,
      platform: 'node',
      format: 'esm',
      target: 'node20',
      packages: 'external',
      sourcemap: true,
      logLevel: 'silent',
      plugins: [{ name: 'own places', setup: ({ onLoad }) => onLoad({ filter: /\.ts$/ }, withOwnPlace) }],
    });
    mkdirSync(folder, { recursive: true });
    // The map first: whole or not there, whoever else makes the same.
    renameSync(join(own, `${name}.map`), join(folder, `${name}.map`));
    renameSync(join(own, name), file);
    forgetOthers(folder);
    return file;
  } catch {
    return null;
  } finally {
    forget(own);
  }
}

/** Left where it cannot be removed: the next state tries again. */
function forget(path) {
  try {
    rmSync(path, { recursive: true, force: true });
  } catch {
    // A folder that cannot be written.
  }
}

/** Sources find files of the package by their own place, which they keep. */
function withOwnPlace({ path }) {
  const text = readFileSync(path, 'utf8');
  return { contents: text.replaceAll('import.meta.url', JSON.stringify(pathToFileURL(path).href)), loader: 'ts' };
}

/** Digest of where the package stands, its version, and the sizes and times of its sources. */
function stateOfSources() {
  const hash = createHash('sha256')
    .update(PACKAGE)
    .update(readFileSync(join(PACKAGE, 'package.json')));
  hash.update(readFileSync(fileURLToPath(import.meta.url)));
  for (const name of readdirSync(SOURCES, { recursive: true, encoding: 'utf8' }).sort()) {
    if (!name.endsWith('.ts')) continue;
    const { size, mtimeMs } = statSync(join(SOURCES, name));
    hash.update(`${name} ${size} ${mtimeMs}\n`);
  }
  return hash.digest('hex').slice(0, 16);
}

function forgetOthers(folder) {
  const states = readdirSync(dirname(folder))
    .filter((name) => !name.startsWith('making-'))
    .map((name) => join(dirname(folder), name));
  const newest = states.sort((a, b) => statSync(b).mtimeMs - statSync(a).mtimeMs);
  for (const old of newest.slice(STATES_KEPT)) forget(old);
}
