import { type Content, type Html, html } from './html.ts';
import { VIEWS, type ViewName, viewName, viewsLabel, viewTitle } from './wording-page.ts';

/**
 * The way between the views: plain links to places of the page. Without code they lead down a long page; with it only the
 * chosen view is shown and its link is marked `aria-current`.
 */
export function viewsNavigation(): Html {
  return html`<nav class="views" aria-label="${viewsLabel()}"><div>
<ul>${VIEWS.map((name) => html`<li><a href="#${name}">${viewName(name)}</a></li>`)}</ul>
</div></nav>`;
}

/** A view: found by its name in the address; its title is read out, printed, and shown where no code runs. */
export function view(name: ViewName, content: Content): Html {
  return html`<article class="view" id="${name}" aria-labelledby="${name}-title">
<h2 class="view-title" id="${name}-title" tabindex="-1">${viewTitle(name)}</h2>
${content}
</article>`;
}
