import { BAR } from './bar.ts';
import { DEPTH } from './depth.ts';
import type { Drawings } from './drawing.ts';
import { EFFORT } from './effort.ts';
import { FOOT } from './foot.ts';
import { INITIATION } from './initiation.ts';
import { LEFT_AND_RIGHT } from './left-and-right.ts';
import { LEGS } from './legs.ts';
import { ACCENT, PICTURE } from './marks.ts';
import { RACK } from './rack.ts';
import { SET } from './set.ts';
import { SHARED } from './shared.ts';
import { STANCE } from './stance.ts';
import { START } from './start.ts';
import { STICKING } from './sticking.ts';
import { TEMPO } from './tempo.ts';
import { TRUNK } from './trunk.ts';

/** In the order of the documentation. */
const DRAWINGS: Drawings = {
  ...EFFORT,
  ...SHARED,
  ...START,
  ...INITIATION,
  ...TRUNK,
  ...LEGS,
  ...FOOT,
  ...LEFT_AND_RIGHT,
  ...RACK,
  ...BAR,
  ...DEPTH,
  ...STANCE,
  ...TEMPO,
  ...STICKING,
  ...SET,
};

/** Names of the measures that have a picture. */
export const PICTURED: readonly string[] = Object.keys(DRAWINGS);

const FONT = 'system-ui,-apple-system,&quot;Segoe UI&quot;,&quot;DejaVu Sans&quot;,sans-serif';

/**
 * The picture of a measure as SVG text, to stand inline in a page: what is measured, where nought is, which way is plus.
 *
 * 160 × 120, sharp at 160 px. Lines take the colour of the text around them, what is measured the CSS variable
 * `--measure-accent` (or its fallback). No ids, styles or scripts. Side views look at the lifter's right side, solid; the
 * left is dashed.
 *
 * @returns null for a measure without a picture
 */
export function measurePicture(name: string): string | null {
  const drawing = Object.hasOwn(DRAWINGS, name) ? DRAWINGS[name] : null;
  return drawing && svg(drawing.shows, drawing.draw().join(''), '');
}

/** The same as a file of its own: dark lines on a white card, for pages that only show it as an image. */
export function measurePictureFile(name: string): string | null {
  const drawing = Object.hasOwn(DRAWINGS, name) ? DRAWINGS[name] : null;
  if (!drawing) return null;
  const { width, height } = PICTURE;
  const card = `<rect width="${width}" height="${height}" rx="6" fill="#ffffff"/>`;
  const fallback = /,(#[0-9a-f]{6})\)/.exec(ACCENT)?.[1] ?? ACCENT;
  const marks = drawing.draw().join('\n').replaceAll(ACCENT, fallback);
  return `${svg(drawing.shows, `${card}\n${marks}\n`, ' color="#1d2733"')}\n`;
}

const svg = (title: string, marks: string, more: string): string =>
  `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${PICTURE.width} ${PICTURE.height}" width="${PICTURE.width}" height="${PICTURE.height}" role="img" font-family="${FONT}" stroke-linecap="round" stroke-linejoin="round"${more}>` +
  `<title>${title}</title>${marks}</svg>`;
