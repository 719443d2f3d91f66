import { describe, expect, test } from '@jest/globals';
import { turnFilters, turnFromMatrix } from '../../../src/capture/video/display-turn.ts';
import { dataError } from '../written-files.ts';

/** As ffprobe prints a display matrix. */
const printed = (a: number, b: number, c: number, d: number) =>
  `\n00000000: ${a} ${b} 0\n00000001: ${c} ${d} 0\n00000002: 0 0 1073741824\n`;
const one = 65536;

/** What the filters do to a picture given as rows of letters. */
function filtered(rows: readonly string[], filters: readonly string[]): string[] {
  return filters.reduce<string[]>(
    (picture, filter) => {
      const columns = [...picture[0]].map((_, x) => picture.map((row) => row[x]));
      switch (filter) {
        case 'hflip':
          return picture.map((row) => [...row].reverse().join(''));
        case 'vflip':
          return picture.slice().reverse();
        case 'transpose=clock':
          return columns.map((column) => column.reverse().join(''));
        case 'transpose=cclock':
          return columns.map((column) => column.join('')).reverse();
        default:
          throw new Error(`unknown filter ${filter}`);
      }
    },
    [...rows],
  );
}

/** Where ISO/IEC 14496-12 puts each letter: x' = a x + c y, y' = b x + d y, y down, moved so that all are ≥ 0. */
function placed(rows: readonly string[], [a, b, c, d]: readonly number[]): string[] {
  const letters = rows.flatMap((row, y) =>
    [...row].map((letter, x) => ({ letter, x: a * x + c * y, y: b * x + d * y })),
  );
  const left = Math.min(...letters.map(({ x }) => x));
  const top = Math.min(...letters.map(({ y }) => y));
  const picture: string[][] = [];
  for (const { letter, x, y } of letters) {
    picture[y - top] ??= [];
    picture[y - top][x - left] = letter;
  }
  return picture.map((row) => row.join(''));
}

describe('from the display matrix to filters', () => {
  test.each([
    [[1, 0, 0, 1], { clockwiseDeg: 0, mirrored: false }],
    [[0, 1, -1, 0], { clockwiseDeg: 90, mirrored: false }],
    [[-1, 0, 0, -1], { clockwiseDeg: 180, mirrored: false }],
    [[0, -1, 1, 0], { clockwiseDeg: 270, mirrored: false }],
    [[-1, 0, 0, 1], { clockwiseDeg: 0, mirrored: true }],
    [[1, 0, 0, -1], { clockwiseDeg: 180, mirrored: true }],
    [[0, 1, 1, 0], { clockwiseDeg: 270, mirrored: true }],
    [[0, -1, -1, 0], { clockwiseDeg: 90, mirrored: true }],
  ] as const)('%j', (matrix, expected) => {
    const [a, b, c, d] = matrix.map((value) => value * one);
    const turn = turnFromMatrix('clip.mp4', printed(a, b, c, d));
    expect(turn).toEqual(expected);
    expect(filtered(['abc', 'def'], turnFilters(turn))).toEqual(placed(['abc', 'def'], matrix));
  });

  test('an eighth of a turn is refused', () => {
    const h = Math.round(one * Math.SQRT1_2);
    expect(dataError(() => turnFromMatrix('clip.mp4', printed(h, h, -h, h))).code).toBe('video-turned-oddly');
  });
});
