import { DARK } from '../figures/look.ts';
import { escapeHtml, Html } from './html.ts';

/** A figure may grow to this times its own size on a wide page, 1. */
const LARGEST_SCALE = 1.25;

/**
 * A figure file as part of a page: it scales to its column, says what it shows to a screen reader, names no other
 * document, and takes the page's colours (`--f-…`, set in the style sheet) so that it follows light and dark.
 */
export function inlineSvg(svg: string, description: string): Html {
  const open = svg.indexOf('<svg');
  const text = svg
    .slice(open)
    .replace(/<svg[^>]*>/, (tag) => {
      const width = Number(/\bwidth="([\d.]+)"/.exec(tag)?.[1] ?? 480);
      const viewBox = /\bviewBox="[^"]*"/.exec(tag)?.[0] ?? '';
      return `<svg role="img" aria-label="${escapeHtml(description)}" ${viewBox} style="max-width:${Math.round(LARGEST_SCALE * width)}px">`;
    })
    .replace(/ xmlns(:\w+)?="[^"]*"/g, '');
  return new Html(
    text.replace(/="(#[0-9a-f]{6})"/g, (whole, hex: string) =>
      DARK[hex] ? `="var(${colourName(hex)},${hex})"` : whole,
    ),
  );
}

/** Name of the style variable that stands for a figure colour. */
export function colourName(hex: string): string {
  return `--f-${hex.slice(1)}`;
}
