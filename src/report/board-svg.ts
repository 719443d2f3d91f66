import type { BoardDrawing } from '../cameras/board-print.ts';
import { escapeHtml } from './html.ts';

/**
 * The page of a board as SVG: one user unit is one millimetre, and width and height say so, so that a viewer that prints
 * at 100 % keeps the size. The same text for the same drawing.
 */
export function boardSvg(drawing: BoardDrawing): string {
  const { widthMm, heightMm } = drawing;
  const parts = [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${n(widthMm)}mm" height="${n(heightMm)}mm" viewBox="0 0 ${n(widthMm)} ${n(heightMm)}">`,
    `<title>${escapeHtml(drawing.title)}</title>`,
    `<rect width="${n(widthMm)}" height="${n(heightMm)}" fill="#fff"/>`,
    '<g shape-rendering="crispEdges">',
    ...drawing.rectangles.map(
      ({ x, y, width, height, ink }) =>
        `<rect x="${n(x)}" y="${n(y)}" width="${n(width)}" height="${n(height)}" fill="${ink === 'black' ? '#000' : '#fff'}"/>`,
    ),
    '</g>',
    '<g stroke="#000">',
    ...drawing.lines.map(
      ({ x1, y1, x2, y2, widthMm: w }) =>
        `<line x1="${n(x1)}" y1="${n(y1)}" x2="${n(x2)}" y2="${n(y2)}" stroke-width="${n(w)}"/>`,
    ),
    '</g>',
    '<g font-family="Helvetica, Arial, sans-serif" fill="#000">',
    ...drawing.texts.map(
      ({ x, y, sizeMm, anchor, text }) =>
        `<text x="${n(x)}" y="${n(y)}" font-size="${n(sizeMm)}" text-anchor="${anchor}">${escapeHtml(text)}</text>`,
    ),
    '</g>',
    '</svg>',
  ];
  return `${parts.join('\n')}\n`;
}

/** Millimetres to a hundred-thousandth, without trailing zeros. */
const n = (value: number): string => String(Number(value.toFixed(5)));
