/** Text that is already HTML. Everything else is escaped where it enters a page. */
export class Html {
  readonly text: string;

  constructor(text: string) {
    this.text = text;
  }
}

export type Content = Html | string | number | null | readonly Content[];

/** A piece of a page: every inserted value is escaped unless it is `Html`; lists are joined, null is nothing. */
export function html(parts: TemplateStringsArray, ...values: readonly Content[]): Html {
  return new Html(parts.map((part, i) => part + (i < values.length ? insert(values[i]) : '')).join(''));
}

function insert(value: Content): string {
  if (value === null) return '';
  if (value instanceof Html) return value.text;
  if (typeof value === 'object') return value.map(insert).join('');
  return escapeHtml(String(value));
}

const ENTITIES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

export function escapeHtml(text: string): string {
  return text.replace(/[&<>"']/g, (character) => ENTITIES[character]);
}

/** A path from the page's own folder as a link: every part encoded, so that no id can leave the folder's scheme. */
export function linkTo(path: string): string {
  return path.split('/').map(encodeURIComponent).join('/');
}
