import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from '@jest/globals';
import { FOUNDATION, LAYERS, SURFACE } from '../src/architecture.ts';

const root = fileURLToPath(new URL('../src', import.meta.url));
const files = readdirSync(root, { recursive: true, encoding: 'utf8' })
  .filter((file) => /\.(ts|mjs)$/.test(file) && !file.endsWith('.d.ts'))
  .map((file) => file.split(sep).join('/'))
  .sort();

/** Paths (inside src) that a file imports or re-exports, statically or by `import()`. */
function importsOf(text: string, file: string): string[] {
  const code = text.replace(/\/\*[\s\S]*?\*\//g, '').replace(/^\s*\/\/.*$/gm, '');
  const found = [...code.matchAll(/(?:\bfrom|\bimport)\s*\(?\s*['"](\.[^'"]+)['"]/g)].map((match) => match[1]);
  return found.map((to) =>
    relative(root, resolve(root, dirname(file), to))
      .split(sep)
      .join('/'),
  );
}

const rank = (file: string): number => LAYERS.findIndex(({ folder }) => file.startsWith(`${folder}/`));
const isFoundation = (file: string) => FOUNDATION.some((f) => (f.endsWith('/') ? file.startsWith(f) : file === f));
const isSurface = (file: string) => SURFACE.some((f) => f === file);

/** Null where the arrow is allowed, else what is wrong with it. */
function fault(from: string, to: string): string | null {
  if (to.startsWith('..')) return to.endsWith('.json') || to.endsWith('.js') ? null : 'leaves src';
  if (isFoundation(to)) return null;
  if (isFoundation(from)) return 'the foundation imports only itself';
  if (isSurface(to)) return 'nothing imports the surface';
  if (isSurface(from)) return null;
  if (rank(to) < 0) return 'goes to a folder that the architecture does not name';
  return rank(to) <= rank(from) ? null : 'runs up the street';
}

describe('the order of the layers', () => {
  test('every source file belongs to a layer, the foundation or the surface', () => {
    expect(files.filter((file) => rank(file) < 0 && !isFoundation(file) && !isSurface(file))).toEqual([]);
  });

  test('the check itself notices an arrow that runs up, and one from the foundation', () => {
    expect(fault('capture/x.ts', 'lift/y.ts')).toBe('runs up the street');
    expect(fault('messages/capture.ts', 'capture/landmarks.ts')).toBe('the foundation imports only itself');
    expect(fault('lift/x.ts', 'capture/y.ts')).toBeNull();
    expect(
      importsOf("export * from './a.ts'; import type { B } from '../b.ts'; await import('./c.ts')", 'lift/x.ts'),
    ).toEqual(['lift/a.ts', 'b.ts', 'lift/c.ts']);
  });

  test.each(files)('%s imports only what its layer may', (file) => {
    const faults = importsOf(readFileSync(join(root, file), 'utf8'), file)
      .map((to) => [to, fault(file, to)])
      .filter(([, wrong]) => wrong !== null);
    expect(faults).toEqual([]);
  });

  test('no circle of imports', () => {
    const graph = new Map(files.map((file) => [file, importsOf(readFileSync(join(root, file), 'utf8'), file)]));
    const done = new Set<string>();
    const circles: string[] = [];
    const walk = (file: string, path: string[]): void => {
      if (path.includes(file)) circles.push([...path.slice(path.indexOf(file)), file].join(' → '));
      if (done.has(file) || path.includes(file)) return;
      for (const next of graph.get(file) ?? []) walk(next, [...path, file]);
      done.add(file);
    };
    for (const file of files) walk(file, []);
    expect(circles).toEqual([]);
  });

  test('no drawer for odds and ends', () => {
    expect(files.filter((file) => /(^|\/)(utils?|helpers?|common|core)(\.|\/)/.test(file))).toEqual([]);
  });
});
