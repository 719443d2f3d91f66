import { COLOUR, FONT } from './look.ts';

/** Pieces of the small pictures that are drawn by hand rather than by the plotting library. */

const ENTITIES: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' };
const escaped = (text: string) => text.replace(/[&<>"]/g, (character) => ENTITIES[character]);

/** A picture of its own size, pixels, on the card's ground. */
export function drawing(width: number, height: number, parts: readonly string[]): string {
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" viewBox="0 0 ${width} ${height}"><g font-family='${FONT}'><rect width="${width}" height="${height}" fill="#ffffff"/>${parts.join('')}</g></svg>`;
}

export interface TextStyle {
  readonly anchor?: 'start' | 'middle' | 'end';
  readonly size?: number;
  readonly bold?: boolean;
  readonly fill?: string;
}

/** A line of text; (x, y) is where its base line begins, has its middle or ends. */
export function text(x: number, y: number, words: string, style: TextStyle = {}): string {
  const { anchor = 'start', size = 13, bold = false, fill = COLOUR.ink } = style;
  return `<text x="${short(x)}" y="${short(y)}" font-size="${size}"${anchor === 'start' ? '' : ` text-anchor="${anchor}"`}${bold ? ' font-weight="700"' : ''} fill="${fill}">${escaped(words)}</text>`;
}

/** A coordinate to a hundredth of a pixel. */
export const short = (value: number): string => String(Math.round(100 * value) / 100);
