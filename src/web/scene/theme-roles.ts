/** Colours of the scene by role, as `rgb(r, g, b)` text. */
export type Theme = Readonly<Record<ThemeRole, string>>;

export const THEME_ROLES = [
  'stage',
  'ink',
  'quiet',
  'line',
  'right',
  'left',
  'left-stripe',
  'trunk',
  'pale',
  'bar',
  'hip',
  'knee',
  'mass',
  'force',
  'foot',
] as const;
export type ThemeRole = (typeof THEME_ROLES)[number];
