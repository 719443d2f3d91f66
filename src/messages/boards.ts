import { DataError } from '../errors.ts';

// Board files

export const boardKindWrong = (file: string, line: number, found: string) =>
  new DataError(
    'board-kind-wrong',
    `${file}, line ${line}: "kind" is ${found}, and a board file has "kind": "board". Name a built-in board (kneeward board --list) or a file as in docs/method/boards.md.`,
    { file, line, found },
  );

export const boardUnknown = (name: string, suggestion: string | null, known: readonly string[]) =>
  new DataError(
    'board-unknown',
    `There is no built-in board "${name}"${suggestion === null ? '' : ` (did you mean ${suggestion}?)`}. Built in: ${known.join(', ')}. For a board of your own give its file, ending in .json.`,
    { name, suggestion: suggestion ?? '' },
  );

export const boardMarkerFieldMissing = (file: string, field: string) =>
  new DataError(
    'board-marker-field-missing',
    `${file}: ${field} is missing. A board of pattern "charuco" needs marker_mm (side of the black square of a marker) and dictionary (for instance "DICT_4X4_50").`,
    { file, field },
  );

export const boardMarkerFieldUseless = (file: string, line: number, field: string) =>
  new DataError(
    'board-marker-field-useless',
    `${file}, line ${line}: ${field} means nothing on a plain chessboard. Remove it, or write "pattern": "charuco".`,
    { file, line, field },
  );

export const boardMarkerSizeWrong = (
  file: string,
  line: number,
  markerMm: number,
  squareMm: number,
  from: number,
  to: number,
) =>
  new DataError(
    'board-marker-size-wrong',
    `${file}, line ${line}: marker_mm ${markerMm} in squares of ${squareMm} mm. A marker must be ${from} to ${to} of its square, here ${(from * squareMm).toFixed(1)} to ${(to * squareMm).toFixed(1)} mm: smaller ones cannot be read from afar, larger ones have no white around them.`,
    { file, line, markerMm, squareMm, from, to },
  );

export const boardMarkersTooMany = (
  file: string,
  line: number,
  dictionary: string,
  first: number,
  needed: number,
  size: number,
) =>
  new DataError(
    'board-markers-too-many',
    `${file}, line ${line}: the board needs markers ${first} to ${first + needed - 1}, and ${dictionary} ends at ${size - 1}. Use a larger dictionary, a smaller first_marker_id or fewer squares.`,
    { file, line, dictionary, first, needed, size },
  );

export const boardMeasuredTwice = (file: string, line: number) =>
  new DataError(
    'board-measured-twice',
    `${file}, line ${line}: measured_rule_mm and measured_square_mm both say how large the print came out. Keep the one that you measured.`,
    { file, line },
  );

export const boardPrintOffScale = (
  file: string,
  line: number,
  field: string,
  measuredMm: number,
  drawnMm: number,
  limit: number,
) =>
  new DataError(
    'board-print-off-scale',
    `${file}, line ${line}: ${field} ${measuredMm}, drawn as ${drawnMm} mm: ${percent(measuredMm / drawnMm - 1)} off (limit ${percent(limit)}). Measure again, in millimetres; if it is right, print again at 100 % without fitting to the page.`,
    { file, line, field, measuredMm, drawnMm, limit },
  );

export const boardSymmetric = (name: string, innerAcross: number, innerDown: number, cameras: number) =>
  new DataError(
    'board-symmetric',
    `${name}: ${innerAcross} × ${innerDown} inner corners look the same after half a turn, so ${cameras} cameras may count its corners from opposite ends and no picture tells. ` +
      `Use a chessboard with one even and one odd count, for instance ${innerAcross} × ${innerDown + 1}, or a ChArUco board. For the lens of a single camera it does.`,
    { name, innerAcross, innerDown, cameras },
  );

// Printing

export const boardPaperMissing = (name: string) =>
  new DataError(
    'board-paper-missing',
    `${name}: the board says no paper to print it on. Add --paper A4 or --paper A3, or "paper" in its file.`,
    { name },
  );

export const boardTooLargeForPaper = (
  name: string,
  paper: string,
  widthMm: number,
  heightMm: number,
  roomWidthMm: number,
  roomHeightMm: number,
  largestSquareMm: number,
) =>
  new DataError(
    'board-too-large-for-paper',
    `${name}: the board measures ${mm(widthMm)} × ${mm(heightMm)} mm, and ${paper} has room for ${mm(roomWidthMm)} × ${mm(roomHeightMm)} mm beside the white border, the rule and the text. ` +
      `Squares of at most ${mm(largestSquareMm)} mm fit; or take larger paper or fewer squares.`,
    { name, paper, widthMm, heightMm, roomWidthMm, roomHeightMm, largestSquareMm },
  );

export const boardOutWrong = (out: string) =>
  new DataError(
    'board-out-wrong',
    `--out ${out}: a board is written as .pdf or .svg. Give the file one of these endings.`,
    {
      out,
    },
  );

/** One line that says what a board is. */
export const boardLine = (board: {
  readonly name: string;
  readonly pattern: string;
  readonly squaresAcross: number;
  readonly squaresDown: number;
  readonly squareMm: number;
  readonly markers: { readonly sideMm: number; readonly dictionary: string; readonly firstId: number } | null;
  readonly paper: string | null;
}) => {
  const { name, pattern, squaresAcross, squaresDown, squareMm, markers, paper } = board;
  const coded =
    markers === null ? '' : `, markers of ${markers.sideMm} mm (${markers.dictionary} from ${markers.firstId})`;
  return `${name}: ${pattern}, ${squaresAcross} × ${squaresDown} squares of ${squareMm} mm${coded}${paper === null ? '' : `, ${paper}`}`;
};

/** `use`: how the board is named when calibrating. */
export const boardWritten = (
  page: string,
  boardFile: string | null,
  use: string,
  line: string,
  way: string,
  symmetric: boolean,
) =>
  [
    `${line}`,
    `Page written to ${page} (${way})${boardFile === null ? '' : `, its board file to ${boardFile}`}.`,
    'Next:',
    '  1. Print it at 100 % (actual size, no fit to page) on matt paper.',
    '  2. Measure both 100 mm rules with a steel rule. 0.3 mm off is 0.3 % of every length: print again, or write what they',
    boardFile === null
      ? '     measure into a board file as "measured_rule_mm" (the option --square-mm writes one). The two differ? Take another printer.'
      : `     measure into ${boardFile} as "measured_rule_mm". The two differ? Take another printer.`,
    '  3. Glue it flat, without bubbles, onto something stiff and matt.',
    `  4. Film it in the video mode of the lift, from every camera, at many places and tilts; calibrate with --board ${use}.`,
    '  Nobody goes near a loaded bar with a board: rack or unload it first.',
    ...(symmetric
      ? ['  This board looks the same after half a turn: it does for one lens, not for a rig of several cameras.']
      : []),
  ].join('\n');

// Finding a ChArUco board in a picture

/** What `charucoMissed` says; structurally the outcome of findCharuco. */
interface Miss {
  readonly reason:
    | 'no-board'
    | 'too-few-corners'
    | 'mirrored'
    | 'other-board'
    | 'too-blurred'
    | 'unreadable'
    | 'not-flat';
  readonly markersSeen: number;
  readonly cornersSeen: number;
  readonly edgeWidthPx: number;
  readonly surfaceRmsPx: number;
  readonly other:
    | { readonly what: 'dictionary' | 'ids'; readonly dictionary: string; readonly ids: readonly number[] }
    | { readonly what: 'arrangement' }
    | { readonly what: 'marker size'; readonly seen: number; readonly defined: number }
    | null;
}

/** Why board `name` was not found in the picture `image`; code charuco-<reason>. */
export const charucoMissed = (image: string, name: string, miss: Miss) => {
  const facts: Record<string, string | number> = {
    image,
    board: name,
    markersSeen: miss.markersSeen,
    cornersSeen: miss.cornersSeen,
  };
  if (Number.isFinite(miss.edgeWidthPx)) facts.edgeWidthPx = miss.edgeWidthPx;
  if (Number.isFinite(miss.surfaceRmsPx)) facts.surfaceRmsPx = miss.surfaceRmsPx;
  if (miss.other !== null) facts.other = miss.other.what;
  return new DataError(`charuco-${miss.reason}`, `${image}: ${charucoMissedReason(name, miss)}`, facts);
};

/** The reason of `charucoMissed` without the picture's name. */
export function charucoMissedReason(name: string, miss: Miss): string {
  const edges = Number.isFinite(miss.edgeWidthPx) ? ` (edges ${miss.edgeWidthPx.toFixed(1)} px wide)` : '';
  switch (miss.reason) {
    case 'mirrored':
      return `this picture is mirrored: board ${name} reads only when it is flipped left for right. A front camera? Switch mirroring off, or use the back camera, and film again: left and right would be exchanged in everything measured.`;
    case 'other-board':
      return `it shows another board than ${name}: ${otherText(miss)}. Name the board that was filmed, or leave this picture out.`;
    case 'too-blurred':
      return `too blurred${edges} to read board ${name}. Hold it still, lock the focus, use more light or a shorter shutter time.`;
    case 'unreadable':
      return `there are squares of a chessboard, but no marker of board ${name} can be read: it moved, is too far away, or is a plain chessboard. Hold it still, use more light or a shorter shutter time, come nearer; or name the chessboard that was filmed.`;
    case 'too-few-corners':
      return `only ${miss.cornersSeen} corners of board ${name} can be used; 8 are needed, not all in one line. Keep hands off its squares, keep it whole inside the picture, avoid glare, come nearer.`;
    case 'not-flat':
      return `the corners of board ${name} do not lie on a flat board (${miss.surfaceRmsPx.toFixed(1)} px r.m.s. off). Is the print bent, wavy, or cut and glued? Mount it on something stiff and flat.`;
    case 'no-board':
      return `no board ${name} in it. Was it in the picture, whole, lit evenly and near enough?`;
  }
}

function otherText({ other, markersSeen }: Miss): string {
  if (other === null) return 'its markers do not belong to it';
  switch (other.what) {
    case 'dictionary':
    case 'ids': {
      const few = other.ids.slice(0, 6).join(', ');
      return `its markers are ${few}${other.ids.length > 6 ? ' …' : ''} of ${other.dictionary}`;
    }
    case 'arrangement':
      return `it has the right markers (${markersSeen} read), but in other places`;
    case 'marker size':
      return `its markers measure ${other.seen.toFixed(2)} of their squares instead of ${other.defined.toFixed(2)}`;
  }
}

const percent = (part: number) => `${(100 * part).toPrecision(2)} %`;
const mm = (value: number) => String(Math.floor(10 * value + 1e-6) / 10);
