import { Html } from './html.ts';

/** The project's mark: thigh and shin about a bent knee, the toe ahead. It names nothing: the word stands beside it. */
export const GLYPH = new Html(
  '<svg class="glyph" viewBox="0 0 24 24" aria-hidden="true" focusable="false"><path d="M4 6.5 16 10 10.5 19.5H17" fill="none" stroke="currentColor" stroke-width="3" stroke-linecap="round" stroke-linejoin="round"/><circle cx="16" cy="10" r="3.6" fill="currentColor"/></svg>',
);
