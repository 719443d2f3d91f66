import { describe, expect, test } from '@jest/globals';
import { cellsToModule } from '../../notebooks/runner/cells-to-module.ts';
import { made } from './made-notebook.ts';

const module = (...cells: string[]) => cellsToModule('made.ipynb', made(cells));

describe('code cells as one module', () => {
  test('lines lead back to their cells, markdown and empty cells count as cells', () => {
    const { source, placeOf } = module('# words', 'const a = 1;\nconst b = 2;', '', '\n\na + b');
    const lines = source.split('\n');
    expect(placeOf(lines.indexOf('const b = 2;') + 1)).toEqual({ cell: 2, line: 2 });
    expect(placeOf(lines.findIndex((line) => line.includes('a + b')) + 1)).toEqual({ cell: 4, line: 3 });
    expect(placeOf(1)).toBeNull();
    expect(placeOf(lines.length)).toBeNull();
  });

  test.each([
    ['an expression', 'let a = 1\na + 1', '((a + 1))'],
    ['with semicolon and remark', 'f(2); // two', '((f(2))); // two'],
    ['an object in brackets', '({ a: 1 })', '((({ a: 1 })))'],
    ['a comma', 'a, b', '((a, b))'],
    ['over lines', 'f(\n  1,\n)', '((f(\n  1,\n)))'],
    ['a template over lines', '`a\n}`', '((`a\n}`))'],
  ])('last expression: %s', (_, cell, wrapped) => {
    expect(module(cell).source).toContain(`await __notebook.value${wrapped}`);
  });

  test.each(['const a = 1;', 'a;\nif (a) b;', 'function f() { f(); }', 'for (const x of y) x;', '// only words'])(
    'no last expression: %s',
    (cell) => expect(module(cell).source).not.toContain('.value('),
  );

  test('a cell that is not whole is named with its line, though the next would close it', () => {
    expect(() => module('const ok = 1;', 'const a = {\n  b: 1,\n', '};')).toThrow(
      expect.objectContaining({ code: 'notebook-cell-failed', facts: { file: 'made.ipynb', cell: 2, line: 3 } }),
    );
  });

  test('imports are listed with the names they ask for', () => {
    const { imports } = module("import { a as b, c } from './x.ts';", "const z = 1;\nimport d from 'y';");
    expect(imports).toEqual([
      { cell: 1, line: 1, specifier: './x.ts', names: ['a', 'c'] },
      { cell: 2, line: 2, specifier: 'y', names: [] },
    ]);
  });
});
