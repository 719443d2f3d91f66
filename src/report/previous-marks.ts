import { type Content, type Html, html, Html as RawHtml } from './html.ts';

/** Places of a report that say something of the lifter's previous lift. */
export const PREVIOUS_PLACES = ['last-time', 'since', 'align', 'charts-note', 'pale'] as const;
export type PreviousPlace = (typeof PREVIOUS_PLACES)[number];

/**
 * Comments around such a place, so that it can be written anew without the rest of the page. No text, picture or code of a
 * page holds one: text has its `<` escaped, code its `<!--`.
 */
export const marksOf = (place: PreviousPlace): readonly [opening: string, closing: string] => [
  `<!--previous:${place}-->`,
  `<!--/previous:${place}-->`,
];

/** A place between its marks, also where there is nothing to say. */
export function marked(place: PreviousPlace, content: Content): Html {
  const [opening, closing] = marksOf(place);
  return html`${new RawHtml(opening)}${content}${new RawHtml(closing)}`;
}
