import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { z } from 'zod';
import {
  boardKindWrong,
  boardMarkerFieldMissing,
  boardMarkerFieldUseless,
  boardMarkerSizeWrong,
  boardMarkersTooMany,
  boardMeasuredTwice,
  boardPrintOffScale,
  boardUnknown,
} from '../messages/boards.ts';
import type { InputLedger } from './input-file.ts';
import { checkManifest, type Manifest, readManifest } from './manifest.ts';
import { nearestName } from './nearest-name.ts';

export const BOARD_PATTERNS = ['charuco', 'chessboard'] as const;
export const PAPERS = ['A4', 'A3'] as const;
/** ArUco dictionaries by the name that OpenCV gives them: bits of a side, then number of markers. */
export const DICTIONARIES = [
  'DICT_4X4_50',
  'DICT_4X4_100',
  'DICT_4X4_250',
  'DICT_4X4_1000',
  'DICT_5X5_50',
  'DICT_5X5_100',
  'DICT_5X5_250',
  'DICT_5X5_1000',
  'DICT_6X6_50',
  'DICT_6X6_100',
  'DICT_6X6_250',
  'DICT_6X6_1000',
  'DICT_7X7_50',
  'DICT_7X7_100',
  'DICT_7X7_250',
  'DICT_7X7_1000',
] as const;

export type BoardPattern = (typeof BOARD_PATTERNS)[number];
export type Paper = (typeof PAPERS)[number];
export type DictionaryName = (typeof DICTIONARIES)[number];

/** A calibration board as its file describes it, lengths in millimetres. Across = along a row, as printed and read. */
export interface BoardDefinition {
  readonly name: string;
  readonly pattern: BoardPattern;
  readonly squaresAcross: number;
  readonly squaresDown: number;
  /** Side of a square as drawn. */
  readonly squareMm: number;
  /** Side of a square as it came out of the printer: measured, or as drawn. Calibration uses this one. */
  readonly printedSquareMm: number;
  /** Absent on a plain chessboard. */
  readonly markers: BoardMarkers | null;
  /** What it is printed on; null where it is not meant for printing. */
  readonly paper: Paper | null;
}

/** The coded markers in the white squares of a ChArUco board, numbered along the rows from the top left. */
export interface BoardMarkers {
  readonly dictionary: DictionaryName;
  /** Side of a marker with its black frame, as drawn, mm. */
  readonly sideMm: number;
  readonly firstId: number;
  /** Black, or white as on boards with an even number of rows made by old versions of OpenCV. */
  readonly topLeftSquare: 'black' | 'white';
}

/** Side of a marker over that of its square: below, modules get lost in the distance; above, the white frame does. Common practice, no source. */
export const MARKER_SHARE_FROM = 0.5;
export const MARKER_SHARE_TO = 0.9;
/** A print further off its scale than this was fitted to a page, or measured in the wrong unit. Common practice, no source. */
export const PRINT_SCALE_LIMIT = 0.1;
/** Length of the check rule on a printed page, mm. */
export const CHECK_RULE_MM = 100;

const squares = z.int().min(4).max(40);
const millimetres = z.number().min(1).max(2000);

/** Schema of a board file, published as docs/board.schema.json. */
export const boardSchema = z
  .strictObject({
    kneeward: z.literal(1).describe('Version of this format: 1'),
    kind: z.literal('board').describe('Says that this file describes a calibration board: "board"'),
    name: z
      .string()
      .regex(/^[a-z0-9][a-z0-9-]{0,59}$/)
      .describe('Name of the board: small letters, digits and "-"'),
    pattern: z
      .enum(BOARD_PATTERNS)
      .describe('charuco (chessboard with a coded marker in every white square) or chessboard'),
    squares_across: squares.describe('Squares in a row, 4 to 40; inner corners are one fewer'),
    squares_down: squares.describe('Squares in a column, 4 to 40; inner corners are one fewer'),
    square_mm: millimetres.describe('Side of a square as drawn, mm, 1 to 2000'),
    marker_mm: millimetres
      .optional()
      .describe('Of a charuco board: side of a marker with its black frame, as drawn, mm, 1 to 2000'),
    dictionary: z
      .enum(DICTIONARIES)
      .optional()
      .describe('Of a charuco board: ArUco dictionary by its name in OpenCV, for instance DICT_4X4_50'),
    first_marker_id: z
      .int()
      .min(0)
      .max(999)
      .optional()
      .describe('Of a charuco board: number of the marker nearest to the top left, 0 to 999; 0 when left out'),
    top_left_square: z
      .enum(['black', 'white'])
      .optional()
      .describe(
        'Of a charuco board: colour of the top-left square; black when left out, white for boards with an even number of rows made by OpenCV before 4.6',
      ),
    paper: z.enum(PAPERS).optional().describe('Paper it is printed on: A4 or A3'),
    measured_rule_mm: millimetres
      .optional()
      .describe('What the 100 mm check rule measures on the print, mm: printers scale'),
    measured_square_mm: millimetres
      .optional()
      .describe('What a square measures on the print, mm: measure ten and divide; instead of measured_rule_mm'),
  })
  .describe('A calibration board: what is printed and how large it came out');

type BoardFile = z.infer<typeof boardSchema>;

/** JSON Schema (draft 2020-12) of a board file, with the fields that only one pattern needs. */
export function boardJsonSchema(): Record<string, unknown> {
  return {
    title: 'Kneeward calibration board',
    ...z.toJSONSchema(boardSchema),
    oneOf: [
      { properties: { pattern: { const: 'charuco' } }, required: ['marker_mm', 'dictionary'] },
      { properties: { pattern: { const: 'chessboard' } } },
    ],
  };
}

const folder = fileURLToPath(new URL('../../calibration/boards/', import.meta.url));

/** Names of the boards that come with the package, in alphabetical order. */
export function builtInBoards(): string[] {
  return readdirSync(folder)
    .filter((file) => file.endsWith('.json'))
    .map((file) => file.slice(0, -'.json'.length))
    .sort();
}

/** A built-in board by its name, or the board in a file (a name with a dot or a slash). Throws a DataError. */
export function readBoard(nameOrFile: string, ledger: InputLedger | null = null): BoardDefinition {
  if (/[./\\]/.test(nameOrFile)) return readBoardFile(nameOrFile, ledger);
  const known = builtInBoards();
  if (!known.includes(nameOrFile)) throw boardUnknown(nameOrFile, nearestName(nameOrFile, known), known);
  return readBoardFile(`${folder}${nameOrFile}.json`, ledger);
}

/**
 * The board with squares of another size, markers in proportion, or for another paper; as drawn, nothing measured yet. Its
 * name says the size of its squares, so that it is not taken for the board it was made from.
 */
export function boardVariant(board: BoardDefinition, squareMm: number | null, paper: Paper | null): BoardDefinition {
  const size = squareMm ?? board.squareMm;
  const { markers } = board;
  const sideMm = (side: number) => Math.round((1000 * side * size) / board.squareMm) / 1000;
  return {
    ...board,
    name: `${board.name.slice(0, 40)}-${String(size).replace('.', '-')}mm${paper === null ? '' : `-${paper.toLowerCase()}`}`,
    squareMm: size,
    printedSquareMm: size,
    markers: markers === null ? null : { ...markers, sideMm: sideMm(markers.sideMm) },
    paper: paper ?? board.paper,
  };
}

/** The text of a board file, newline at the end. */
export function serialiseBoard(board: BoardDefinition): string {
  const { markers } = board;
  const contents: BoardFile = {
    kneeward: 1,
    kind: 'board',
    name: board.name,
    pattern: board.pattern,
    squares_across: board.squaresAcross,
    squares_down: board.squaresDown,
    square_mm: board.squareMm,
    ...(markers === null
      ? {}
      : {
          marker_mm: markers.sideMm,
          dictionary: markers.dictionary,
          first_marker_id: markers.firstId,
          ...(markers.topLeftSquare === 'white' ? { top_left_square: 'white' as const } : {}),
        }),
    ...(board.paper === null ? {} : { paper: board.paper }),
    ...(board.printedSquareMm === board.squareMm ? {} : { measured_square_mm: board.printedSquareMm }),
  };
  return `${JSON.stringify(contents, null, 2)}\n`;
}

/** Reads and checks one board file. Throws a DataError naming file, line and field. */
export function readBoardFile(file: string, ledger: InputLedger | null): BoardDefinition {
  const manifest = readManifest(file, ledger);
  const { kind } = manifest.contents;
  if (kind !== undefined && kind !== 'board') {
    throw boardKindWrong(file, manifest.lineOf(['kind']), JSON.stringify(kind));
  }
  const contents = checkManifest(manifest, boardSchema, boardJsonSchema);
  return {
    name: contents.name,
    pattern: contents.pattern,
    squaresAcross: contents.squares_across,
    squaresDown: contents.squares_down,
    squareMm: contents.square_mm,
    printedSquareMm: contents.square_mm * printScale(manifest, contents),
    markers: markersOf(manifest, contents),
    paper: contents.paper ?? null,
  };
}

function markersOf({ file, lineOf }: Manifest, contents: BoardFile): BoardMarkers | null {
  if (contents.pattern === 'chessboard') {
    const useless = (['marker_mm', 'dictionary', 'first_marker_id', 'top_left_square'] as const).find(
      (field) => contents[field] !== undefined,
    );
    if (useless !== undefined) throw boardMarkerFieldUseless(file, lineOf([useless]), useless);
    return null;
  }
  const { dictionary, marker_mm: sideMm, square_mm: squareMm } = contents;
  if (sideMm === undefined) throw boardMarkerFieldMissing(file, 'marker_mm');
  if (dictionary === undefined) throw boardMarkerFieldMissing(file, 'dictionary');
  if (sideMm < MARKER_SHARE_FROM * squareMm || sideMm > MARKER_SHARE_TO * squareMm) {
    throw boardMarkerSizeWrong(file, lineOf(['marker_mm']), sideMm, squareMm, MARKER_SHARE_FROM, MARKER_SHARE_TO);
  }
  const markers: BoardMarkers = {
    dictionary,
    sideMm,
    firstId: contents.first_marker_id ?? 0,
    topLeftSquare: contents.top_left_square ?? 'black',
  };
  const needed = markerCount(contents.squares_across, contents.squares_down, markers.topLeftSquare);
  const size = dictionarySize(dictionary);
  if (markers.firstId + needed > size) {
    throw boardMarkersTooMany(file, lineOf(['dictionary']), dictionary, markers.firstId, needed, size);
  }
  return markers;
}

/** Printed size over drawn size. */
function printScale({ file, lineOf }: Manifest, contents: BoardFile): number {
  const { measured_rule_mm: rule, measured_square_mm: square } = contents;
  if (rule !== undefined && square !== undefined) throw boardMeasuredTwice(file, lineOf(['measured_square_mm']));
  const field = rule === undefined ? 'measured_square_mm' : 'measured_rule_mm';
  const drawn = rule === undefined ? contents.square_mm : CHECK_RULE_MM;
  const measured = rule ?? square ?? drawn;
  if (Math.abs(measured / drawn - 1) > PRINT_SCALE_LIMIT) {
    throw boardPrintOffScale(file, lineOf([field]), field, measured, drawn, PRINT_SCALE_LIMIT);
  }
  return measured / drawn;
}

/** White squares of a board, each of which holds a marker. */
export function markerCount(squaresAcross: number, squaresDown: number, topLeft: 'black' | 'white'): number {
  const all = squaresAcross * squaresDown;
  return topLeft === 'black' ? Math.floor(all / 2) : Math.ceil(all / 2);
}

/** Bits along a side of a marker, without its frame. */
export const dictionaryBits = (name: DictionaryName): number => Number(name[5]);

/** Markers in the dictionary. */
export const dictionarySize = (name: DictionaryName): number => Number(name.slice('DICT_4X4_'.length));
