import { fileURLToPath, pathToFileURL } from 'node:url';
import { describe, expect, test } from '@jest/globals';
import { run } from './made-notebook.ts';

const source = (path: string) => pathToFileURL(fileURLToPath(new URL(`../../src/${path}`, import.meta.url))).href;

test('types, imports, await, values, streams and pictures: cells run in order, in one scope', async () => {
  const { shown, code, failed } = await run([
    `import { mean } from '${source('numerics/statistics.ts')}';\nimport { basename } from 'node:path';`,
    'interface Pair { a: number }\nconst pair: Pair = { a: 2 };\nlet count = 0;\nconst more = (): number => ++count;',
    '# words',
    'more();\nmore();\nmean([pair.a, 4])',
    'console.log("one %d", count);\nconsole.error("two");\nconsole.log("three");\nconsole.log("four")',
    'const late = await new Promise<string>((done) => setTimeout(() => done("late"), 20));\nlate',
    '({ [Symbol.for("Jupyter.display")]: async () => ({ "image/svg+xml": "<svg>\\n</svg>", "text/plain": "a picture" }) })',
    'undefined',
    '[basename("/x/y.ts"), [1, null]]',
  ]);
  expect(failed).toBeNull();
  expect(shown).toEqual([
    [],
    [],
    ['3'],
    ['stdout: one 2\n', 'stderr: two\n', 'stdout: three\nfour\n'],
    ["'late'"],
    ['a picture'],
    [],
    ["[ 'y.ts', [ 1, null ] ]"],
  ]);
  expect(code.map(({ execution_count }) => execution_count)).toEqual([1, 2, 3, 4, 5, 6, 7, 8]);
  expect(code[5].outputs[0]).toMatchObject({ data: { 'image/svg+xml': ['<svg>\n', '</svg>'] } });
});

describe('what goes wrong names cell and line', () => {
  const failure = async (...cells: string[]) => {
    const { failed, shown, code } = await run(cells);
    return { error: failed as Error & { code: string; facts: unknown }, shown, code };
  };

  test('an error in the middle: what ran before is there, what comes after is not', async () => {
    const { error, shown, code } = await failure(
      'type A = { a: number };\nfunction f(x: A | null): number {\n  return (x as A).a;\n}',
      '# words',
      'console.log("before");\n\nf(null);',
      '1 + 1',
    );
    expect(error.code).toBe('notebook-cell-failed');
    expect(error.facts).toEqual({ file: 'made.ipynb', cell: 1, line: 3 });
    expect(shown[0]).toEqual([]);
    expect(shown[1][0]).toBe('stdout: before\n');
    expect(shown[1][1]).toMatch(/^error: TypeError: /);
    expect(code[2]).toMatchObject({ execution_count: null, outputs: [] });
  });

  test('a syntax error; a name declared twice', async () => {
    const facts = (cell: number, line: number) =>
      expect.objectContaining({ code: 'notebook-cell-failed', facts: { file: 'made.ipynb', cell, line } });
    await expect(run(['const a = 1;', 'const b = ;'])).rejects.toEqual(facts(2, 1));
    await expect(run(['const a = 1;', '\nconst a = 2;'])).rejects.toEqual(facts(2, 2));
  });

  test('an export that is not there', async () => {
    const { error } = await failure('1', `\nimport { noSuch } from '${source('numerics/statistics.ts')}';\nnoSuch`);
    expect(error.facts).toMatchObject({ cell: 2, line: 2 });
  });

  test('a promise nobody caught', async () => {
    const { error, shown } = await failure(
      '\nvoid Promise.reject(new RangeError("lost"));',
      'await new Promise((done) => setTimeout(done, 1000))',
    );
    expect(error.facts).toMatchObject({ cell: 1, line: 2 });
    expect(shown.flat()).toEqual(['error: RangeError: lost']);
  });

  test('a process that ends before the last cell', async () => {
    const { error } = await failure('process.exit(3)');
    expect(error).toMatchObject({ code: 'notebook-died', facts: { code: 3 } });
  });
});
