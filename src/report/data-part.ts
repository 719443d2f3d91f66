import { type Html, html, linkTo, Html as RawHtml } from './html.ts';
import { packedText } from './packed-text.ts';
import * as say from './wording-page.ts';
import { fileWords } from './wording-science.ts';

/** A table as it stands in its file. */
export interface TableText {
  readonly name: string;
  readonly rows: number;
  readonly csv: string;
}

/** All tables together may take this much of a page, bytes of packed text: a page stays under 3 MB with its code and figures. */
const MOST_BYTES = 1_400_000;
/** Lines of a table that are shown before it is unpacked, with its header. */
const PREVIEW_LINES = 9;

/**
 * Every table of a lift inside its page: packed (gzip, base64) for the buttons that download or copy it, the first rows as
 * plain text. Where all do not have room, the smallest come first, and the others are named with the file beside the page.
 */
export function dataPart(tables: readonly TableText[], files: readonly string[]): Html | null {
  if (tables.length === 0) return null;
  const packed = within(
    tables.map((table) => ({ table, text: packedText(table.csv) })),
    MOST_BYTES,
  );
  return html`<section id="data"><h2>${say.dataHeading()}</h2>
<p class="quiet">${say.dataNote()}</p>
<noscript><p>${say.dataNeedsCode()}</p></noscript>
${tables.map((table) => row(table, packed.get(table.name) ?? null, files))}
</section>`;
}

function row({ name, rows, csv }: TableText, packed: string | null, files: readonly string[]): Html {
  const link = files.includes(name) ? html`<a href="${linkTo(name)}">${name}</a>` : html`${name}`;
  const id = `data-${name.replace(/\W/g, '-')}`;
  return html`<div class="file-row"><p><strong>${link}</strong> <span class="quiet">${say.rowsWords(rows)}; ${fileWords(name)}</span></p>
${
  packed === null
    ? html`<p class="quiet">${say.tooLargeForPage(name)}</p>`
    : html`<div class="actions scripted-only"><button type="button" data-download="${id}">${say.downloadWords(name, rows)}</button><button type="button" data-copy="${id}" aria-label="${say.copyLabel(name)}">${say.copyWords()}</button><span class="quiet" role="status"></span></div>`
}
<details><summary>${say.previewWords()}</summary><pre class="preview" tabindex="0" role="region" aria-label="${say.previewLabel(name)}">${firstLines(csv)}</pre></details>
${packed === null ? null : html`<script type="application/octet-stream" id="${id}" data-name="${name}">${new RawHtml(packed)}</script>`}
</div>
`;
}

function firstLines(csv: string): string {
  const lines = csv.split('\n', PREVIEW_LINES + 1);
  return lines.slice(0, PREVIEW_LINES).join('\n');
}

/** Those that have room together, the smallest first: name → packed text. */
function within(
  all: readonly { readonly table: TableText; readonly text: string }[],
  bytes: number,
): ReadonlyMap<string, string> {
  const kept = new Map<string, string>();
  let left = bytes;
  for (const { table, text } of [...all].sort((a, b) => a.text.length - b.text.length)) {
    if (text.length > left) break;
    left -= text.length;
    kept.set(table.name, text);
  }
  return kept;
}
