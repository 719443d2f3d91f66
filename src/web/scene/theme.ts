import { THEME_ROLES, type Theme } from './theme-roles.ts';

export type { Theme };

/** The colours that the page's style gives at this moment: the variables `--sc-…` of an element, resolved. */
export function readTheme(element: HTMLElement): Theme {
  const probe = document.createElement('i');
  probe.hidden = true;
  element.append(probe);
  const theme = Object.fromEntries(
    THEME_ROLES.map((role) => {
      probe.style.color = `var(--sc-${role})`;
      return [role, plainColour(getComputedStyle(probe).color)];
    }),
  );
  probe.remove();
  return theme as Theme;
}

const swatch = document.createElement('canvas').getContext('2d', { willReadFrequently: true });

/** Any colour of CSS (a mixture too) as `rgb(r, g, b)`, by painting it. */
function plainColour(colour: string): string {
  if (!swatch) return colour;
  swatch.fillStyle = colour;
  swatch.fillRect(0, 0, 1, 1);
  const [r, g, b] = swatch.getImageData(0, 0, 1, 1).data;
  return `rgb(${r}, ${g}, ${b})`;
}

/** Calls back whenever the page turns light or dark, by the system or by a switch on the page's root. */
export function onThemeChange(changed: () => void): void {
  for (const query of ['(prefers-color-scheme: dark)', '(forced-colors: active)', 'print']) {
    matchMedia(query).addEventListener('change', changed);
  }
  const watcher = new MutationObserver(changed);
  for (const root of [document.documentElement, document.body]) {
    watcher.observe(root, {
      attributes: true,
      attributeFilter: ['class', 'style', 'data-theme', 'data-colour-scheme'],
    });
  }
}
