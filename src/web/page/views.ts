/**
 * One view at a time. The address says which: `#athlete`, or any place inside a view. Links stay links, so that going back,
 * a new window and a copied address work as everywhere.
 */
export function startViews(): void {
  const views = [...document.querySelectorAll<HTMLElement>('.view')];
  if (views.length === 0) return;
  const show = (view: HTMLElement) => {
    for (const one of views) one.hidden = one !== view;
    for (const link of document.querySelectorAll('.views a')) {
      if (link.getAttribute('href') === `#${view.id}`) link.setAttribute('aria-current', 'page');
      else link.removeAttribute('aria-current');
    }
    document.dispatchEvent(new CustomEvent('view-shown', { detail: view.id }));
  };
  const viewOf = (place: Element | null) => place?.closest<HTMLElement>('.view') ?? null;
  const placeInAddress = () => document.getElementById(decoded(location.hash.slice(1)));

  /** Goes where the address says. A view by its own name is read from its top. */
  const follow = (moved: boolean) => {
    const place = placeInAddress();
    const view = viewOf(place);
    if (!view || !place) {
      // A place that is in no view changes nothing; an address without a place is the page as it opens.
      if (!moved || location.hash === '') show(views[0]);
      return;
    }
    show(view);
    if (!moved && place === view) return;
    if (place === view) {
      scrollTo({ top: 0 });
      document.getElementById(`${view.id}-title`)?.focus({ preventScroll: true });
    } else {
      open(place);
      place.scrollIntoView();
    }
  };
  addEventListener('hashchange', () => follow(true));
  follow(false);

  // Whatever jumps to a frame is shown by the scene: its view has to be there before the scene moves into sight.
  document.addEventListener(
    'click',
    (event) => {
      if (!(event.target instanceof Element) || !event.target.closest('[data-jump-frame]')) return;
      const view = viewOf(document.getElementById('scene'));
      if (!view?.hidden) return;
      history.pushState(null, '', `#${view.id}`);
      show(view);
    },
    true,
  );
}

/** Opens the folded parts around a place. */
function open(place: Element): void {
  for (let fold = place.closest('details'); fold; fold = fold.parentElement?.closest('details') ?? null)
    fold.open = true;
}

function decoded(hash: string): string {
  try {
    return decodeURIComponent(hash);
  } catch {
    return hash;
  }
}
