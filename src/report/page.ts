import { type Content, type Html, html, Html as RawHtml } from './html.ts';
import { STYLE } from './style.ts';

/** What a page may carry beside its content. */
export interface PageExtras {
  /** Rules after those of every page. */
  readonly style?: string;
  /** What stands above the main part, over the whole width. */
  readonly band?: Content;
  /** Code that runs when the page is there; '' for none. */
  readonly script?: string;
}

/** A whole page around its content: style and code inside, nothing from elsewhere. */
export function page(
  title: string,
  content: Content,
  { style = '', band = null, script = '' }: PageExtras = {},
): string {
  const document = html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width,initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>${title}</title>
<style>${new RawHtml(STYLE + style)}</style>
</head>
<body>
${band}
<main>
${content}
</main>
${script === '' ? null : new RawHtml(`<script>${inScript(script)}</script>`)}
</body>
</html>
`;
  return document.text;
}

/** Code as it may stand inside a script element: no text in it ends the element or opens a comment. */
function inScript(code: string): string {
  return code.replaceAll('</script', '<\\/script').replaceAll('<!--', '<\\!--');
}

export interface Column {
  readonly title: string;
  /** Right-aligned, in one line. */
  readonly numeric: boolean;
}

/**
 * A table in a box that scrolls sideways where the screen is narrow; the first cell of a row is its head.
 *
 * @param stacked on a phone the cells of a row stand under each other, each with its title, so that nothing is out of sight
 */
export function dataTable(
  columns: readonly Column[],
  rows: readonly (readonly Content[])[],
  label: string,
  stacked = false,
): Html {
  const titled = ({ title }: Column) => (stacked ? html` data-label="${title}"` : null);
  const kind = ({ numeric }: Column) => new RawHtml(numeric ? ' class="n"' : '');
  return html`<div class="scroll small${stacked ? ' stacked' : ''}" tabindex="0" role="region" aria-label="${label}"><table>
<thead><tr>${columns.map((column) => html`<th scope="col"${kind(column)}>${column.title}</th>`)}</tr></thead>
<tbody>${rows.map(
    (row) =>
      html`<tr>${row.map((cell, i) =>
        i === 0 ? html`<th scope="row">${cell}</th>` : html`<td${kind(columns[i])}${titled(columns[i])}>${cell}</td>`,
      )}</tr>
`,
  )}</tbody></table></div>`;
}

export function list(items: readonly Content[]): Html {
  return html`<ul>${items.map(
    (item) => html`<li>${item}</li>
`,
  )}</ul>`;
}

export function figure(svg: Html, caption: string): Html {
  return html`<figure class="card">${svg}${caption === '' ? null : html`<figcaption>${caption}</figcaption>`}</figure>`;
}
