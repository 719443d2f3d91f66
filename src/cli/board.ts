import { extname } from 'node:path';
import { type Command, Option } from 'commander';
import { boardDrawing } from '../cameras/board-print.ts';
import { markerBits } from '../cameras/charuco/dictionary.ts';
import { isSymmetric, placedMarkers } from '../cameras/defined-board.ts';
import {
  type BoardDefinition,
  boardVariant,
  builtInBoards,
  PAPERS,
  type Paper,
  readBoard,
  serialiseBoard,
} from '../capture/board-file.ts';
import { boardLine, boardOutWrong, boardPaperMissing, boardWritten } from '../messages/boards.ts';
import { usage } from '../messages/cli.ts';
import { boardPdf } from '../report/board-pdf.ts';
import { boardSvg } from '../report/board-svg.ts';
import { placeOption } from './place-option.ts';

/** Writes one finished file. */
export type WriteBoardFile = (path: string, content: string | Uint8Array) => void;

/** Hooks `board` onto the command line. `say` gets what is for stdout. */
export function registerBoard(
  program: Command,
  write: WriteBoardFile,
  say: (text: string) => void = (text) => void process.stdout.write(`${text}\n`),
): void {
  program
    .command('board')
    .description('Draw a calibration board to print at exact size: PDF or SVG, with 100 mm check rules.')
    .argument('[board]', 'name of a built-in board, or a board file (.json); without it the built-in boards are listed')
    .option('--out <file>', 'page to write, .pdf or .svg (default: <board>.pdf)', placeOption)
    .option('--list', 'list the built-in boards', false)
    .option('--square-mm <mm>', 'draw it with squares of this size; markers grow or shrink with them', millimetres)
    .addOption(new Option('--paper <paper>', 'draw it on this paper').choices(PAPERS))
    .addHelpText(
      'after',
      '\nExamples:\n  kneeward board --list' +
        '\n  kneeward board charuco-a4 --out board.pdf' +
        '\n  kneeward board chessboard-a4 --square-mm 20 --out small.svg   (also writes small.json, its board file)',
    )
    .action(async (name: string | undefined, given) => {
      if (name === undefined || given.list) {
        say(boardList());
        return;
      }
      const made = await makeBoard({
        board: name,
        out: given.out ?? null,
        squareMm: given.squareMm ?? null,
        paper: given.paper ?? null,
      });
      for (const [path, content] of made.files) write(path, content);
      say(made.summary);
    });
}

export interface BoardOptions {
  /** Built-in name or board file. */
  readonly board: string;
  readonly out: string | null;
  /** Of a variant; null = as defined. */
  readonly squareMm: number | null;
  readonly paper: Paper | null;
}

/** The files to write (path → content) and what to say. A variant comes with its own board file beside the page. */
export async function makeBoard(
  options: BoardOptions,
): Promise<{ files: Map<string, string | Uint8Array>; summary: string }> {
  const defined = readBoard(options.board);
  const isVariant = options.squareMm !== null || (options.paper !== null && options.paper !== defined.paper);
  const board = isVariant ? boardVariant(defined, options.squareMm, options.paper) : defined;
  if (board.paper === null) throw boardPaperMissing(board.name);
  const out = options.out ?? `${board.name}.pdf`;
  const kind = extname(out).toLowerCase();
  if (kind !== '.pdf' && kind !== '.svg') throw boardOutWrong(out);

  const bits = await bitsOf(board);
  const drawing = boardDrawing(board, board.paper, bits);
  const files = new Map<string, string | Uint8Array>();
  files.set(out, kind === '.pdf' ? await boardPdf(drawing) : boardSvg(drawing));
  const boardFile = isVariant ? `${out.slice(0, -kind.length)}.json` : null;
  if (boardFile !== null) files.set(boardFile, serialiseBoard(board));
  return {
    files,
    summary: boardWritten(
      out,
      boardFile,
      boardFile ?? options.board,
      boardLine(board),
      drawing.widthMm < drawing.heightMm ? 'upright' : 'across',
      isSymmetric(board),
    ),
  };
}

function bitsOf(board: BoardDefinition) {
  if (board.markers === null) return () => new Uint8Array(0);
  return markerBits(
    board.markers.dictionary,
    placedMarkers(board).map(({ id }) => id),
  );
}

const boardList = (): string =>
  builtInBoards()
    .map((name) => boardLine(readBoard(name)))
    .join('\n');

function millimetres(text: string): number {
  const value = Number(text);
  if (text.trim() === '' || !(value >= 1 && value <= 2000)) {
    throw usage(`--square-mm ${text}: not a size in millimetres, 1 to 2000.`);
  }
  return value;
}
