import { readFileSync } from 'node:fs';
import { describe, expect, test } from '@jest/globals';
import {
  boardJsonSchema,
  boardVariant,
  builtInBoards,
  markerCount,
  readBoard,
  readBoardFile,
  serialiseBoard,
} from '../../src/capture/board-file.ts';
import { DataError } from '../../src/errors.ts';
import { temporaryFolder, write } from './written-files.ts';

const folder = temporaryFolder();

const coded = {
  kneeward: 1,
  kind: 'board',
  name: 'mine',
  pattern: 'charuco',
  squares_across: 5,
  squares_down: 7,
  square_mm: 36,
  marker_mm: 27,
  dictionary: 'DICT_4X4_50',
};
const plain = {
  kneeward: 1,
  kind: 'board',
  name: 'mine',
  pattern: 'chessboard',
  squares_across: 7,
  squares_down: 10,
  square_mm: 25,
};

const read = (contents: object) => readBoardFile(write(folder, 'board.json', JSON.stringify(contents, null, 2)), null);

function refusal(contents: object): DataError {
  try {
    read(contents);
  } catch (error) {
    if (error instanceof DataError) return error;
  }
  throw new Error('was not refused');
}

describe('built-in boards', () => {
  test('there are ChArUco and chessboards for A4 and A3', () => {
    const boards = builtInBoards().map((name) => readBoard(name));
    expect(boards.map(({ name, pattern, paper }) => [name, pattern, paper])).toEqual([
      ['charuco-a3', 'charuco', 'A3'],
      ['charuco-a4', 'charuco', 'A4'],
      ['chessboard-a3', 'chessboard', 'A3'],
      ['chessboard-a4', 'chessboard', 'A4'],
    ]);
  });

  test('no marker is on two of them, so that two boards in one gym are never confused', () => {
    const ids = builtInBoards()
      .map((name) => readBoard(name))
      .flatMap(({ markers, squaresAcross, squaresDown }) =>
        markers === null
          ? []
          : Array.from({ length: markerCount(squaresAcross, squaresDown, 'black') }, (_, i) => markers.firstId + i),
      );
    expect(new Set(ids).size).toBe(ids.length);
  });

  test('chessboards have one even and one odd count of inner corners', () => {
    for (const board of builtInBoards().map((name) => readBoard(name))) {
      if (board.pattern === 'chessboard') expect((board.squaresAcross + board.squaresDown) % 2).toBe(1);
    }
  });

  test('a misspelt name is answered with the nearest', () => {
    expect(() => readBoard('charuko-a4')).toThrow(
      expect.objectContaining({ code: 'board-unknown', facts: { name: 'charuko-a4', suggestion: 'charuco-a4' } }),
    );
  });
});

describe('board files', () => {
  test('the schema is the one published in docs (npx tsx tests/generators/write-board-schema.ts)', () => {
    const published = JSON.parse(readFileSync(new URL('../../docs/board.schema.json', import.meta.url), 'utf8'));
    expect(published).toEqual(JSON.parse(JSON.stringify(boardJsonSchema())));
  });

  test('defaults: markers from 0, black at the top left, printed as drawn', () => {
    expect(read(coded)).toEqual({
      name: 'mine',
      pattern: 'charuco',
      squaresAcross: 5,
      squaresDown: 7,
      squareMm: 36,
      printedSquareMm: 36,
      markers: { dictionary: 'DICT_4X4_50', sideMm: 27, firstId: 0, topLeftSquare: 'black' },
      paper: null,
    });
    expect(read(plain).markers).toBeNull();
  });

  test('the measured rule, or the measured square, is the size that counts', () => {
    expect(read({ ...plain, measured_rule_mm: 98.4 }).printedSquareMm).toBeCloseTo(24.6, 12);
    expect(read({ ...plain, measured_square_mm: 24.6 }).printedSquareMm).toBe(24.6);
    expect(read({ ...plain, measured_square_mm: 24.6 }).squareMm).toBe(25);
  });

  test.each([
    ['misspelt field', { ...plain, square: 25 }, 'unknown-field'],
    ['other kind', { ...plain, kind: 'camera rig' }, 'board-kind-wrong'],
    ['no kind', { ...plain, kind: undefined }, 'missing-field'],
    ['size of 0', { ...plain, square_mm: 0 }, 'out-of-range'],
    ['dictionary that OpenCV does not have', { ...coded, dictionary: 'DICT_4X4_60' }, 'not-a-choice'],
    ['no marker size', { ...coded, marker_mm: undefined }, 'board-marker-field-missing'],
    ['no dictionary', { ...coded, dictionary: undefined }, 'board-marker-field-missing'],
    ['marker larger than its square', { ...coded, marker_mm: 36 }, 'board-marker-size-wrong'],
    ['marker on a chessboard', { ...plain, marker_mm: 15 }, 'board-marker-field-useless'],
    ['more markers than the dictionary has', { ...coded, first_marker_id: 34 }, 'board-markers-too-many'],
    ['rule measured in centimetres', { ...plain, measured_rule_mm: 10 }, 'board-print-off-scale'],
    ['print fitted to a page of half the size', { ...plain, measured_square_mm: 12.5 }, 'board-print-off-scale'],
    ['both measured', { ...plain, measured_rule_mm: 99, measured_square_mm: 24.75 }, 'board-measured-twice'],
  ])('%s is refused', (_, contents, code) => {
    expect(refusal(contents).code).toBe(code);
  });

  test('the last marker of a dictionary may be used, the one after it not', () => {
    expect(read({ ...coded, first_marker_id: 33 }).markers?.firstId).toBe(33);
    expect(refusal({ ...coded, first_marker_id: 34 }).facts).toMatchObject({ first: 34, needed: 17, size: 50 });
  });

  test.each([
    coded,
    plain,
    { ...coded, top_left_square: 'white', paper: 'A3' },
    { ...plain, measured_square_mm: 24.6 },
  ])('written and read again it is the same board', (contents) => {
    const board = read(contents);
    expect(readBoardFile(write(folder, 'again.json', serialiseBoard(board)), null)).toEqual(board);
  });

  test('a variant has its size in its name and markers in proportion', () => {
    const small = boardVariant(read(coded), 30, 'A4');
    expect(small).toMatchObject({ name: 'mine-30mm-a4', squareMm: 30, printedSquareMm: 30, paper: 'A4' });
    expect(small.markers?.sideMm).toBe(22.5);
  });
});
