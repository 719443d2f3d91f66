import PDFDocument from 'pdfkit';
import type { BoardDrawing } from '../cameras/board-print.ts';

/** Points a millimetre: a PDF counts in 1/72 inch. */
const POINTS_PER_MM = 72 / 25.4;
/** Stated instead of the clock, so that the same board gives the same bytes. */
const NO_DATE = new Date(0);

/**
 * The page of a board as PDF: vector shapes at exact size, standard Helvetica, one page; viewers that know the wish are
 * asked to print without scaling. The same bytes for the same drawing: no clock, no compression.
 */
export function boardPdf(drawing: BoardDrawing): Promise<Uint8Array> {
  const document = new PDFDocument({
    size: [drawing.widthMm * POINTS_PER_MM, drawing.heightMm * POINTS_PER_MM],
    margin: 0,
    compress: false,
    pdfVersion: '1.7',
    info: { Title: drawing.title, Producer: 'Kneeward', Creator: 'Kneeward', CreationDate: NO_DATE },
  });
  askForActualSize(document);
  const whole = collected(document);
  document.scale(POINTS_PER_MM);
  for (const { x, y, width, height, ink } of drawing.rectangles) document.rect(x, y, width, height).fill(ink);
  for (const { x1, y1, x2, y2, widthMm } of drawing.lines) {
    document.lineWidth(widthMm).moveTo(x1, y1).lineTo(x2, y2).stroke('black');
  }
  document.font('Helvetica').fillColor('black');
  for (const { x, y, sizeMm, anchor, text } of drawing.texts) {
    document.fontSize(sizeMm);
    const left = x - { start: 0, middle: 0.5, end: 1 }[anchor] * document.widthOfString(text);
    document.text(text, left, y, { baseline: 'alphabetic', lineBreak: false });
  }
  document.end();
  return whole;
}

/** Sets PrintScaling to None (ISO 32000-1, 12.2): print dialogues that honour it start at 100 %. */
function askForActualSize(document: PDFKit.PDFDocument): void {
  // pdfkit has no public way into the catalogue.
  const { _root: catalogue } = document as unknown as { _root: { data: Record<string, unknown> } };
  catalogue.data.ViewerPreferences = document.ref({ PrintScaling: 'None' });
}

function collected(document: PDFKit.PDFDocument): Promise<Uint8Array> {
  const pieces: Uint8Array[] = [];
  return new Promise((resolve, reject) => {
    document.on('data', (piece: Uint8Array) => pieces.push(piece));
    document.on('end', () => resolve(Uint8Array.from(Buffer.concat(pieces))));
    document.on('error', reject);
  });
}
