import { expect, test } from '@jest/globals';
import { transposeInto } from '../../src/numerics/transpose.ts';

test.each([
  [1, 1],
  [3, 100],
  [32, 64],
  [33, 31],
  [70, 65],
])('%i × %i: every element in its place, and back', (rows, columns) => {
  const x = Float64Array.from({ length: rows * columns }, (_, i) => i);
  const turned = new Float64Array(x.length);
  transposeInto(turned, x, rows, columns);
  for (let r = 0; r < rows; r++) for (let c = 0; c < columns; c++) expect(turned[c * rows + r]).toBe(r * columns + c);
  const back = new Float64Array(x.length);
  transposeInto(back, turned, columns, rows);
  expect(back).toEqual(x);
});
