/* What the page says about itself: its views, its buttons, its files. */

/** Who reads: each has a view of its own in the one page. */
export const VIEWS = ['coach', 'athlete', 'science'] as const;
export type ViewName = (typeof VIEWS)[number];

const NAMES: Readonly<Record<ViewName, string>> = { coach: 'Coach', athlete: 'Athlete', science: 'Science' };
const TITLES: Readonly<Record<ViewName, string>> = {
  coach: 'For the coach',
  athlete: 'For the athlete',
  science: 'For the scientist',
};
export const viewsLabel = () => 'Views of this report';
export const viewName = (name: ViewName) => NAMES[name];
export const viewTitle = (name: ViewName) => TITLES[name];

export const maker = () => 'Kneeward';
export const savePicture = () => 'Save one picture';
export const printView = () => 'Print this view';
export const printAll = () => 'Print all views';

// Files inside the page
export const dataHeading = () => 'All tables, from this page';
export const dataNote = () =>
  'Packed inside this page: they need no other file and no network. CSV with a header, empty where unknown; columns, units and definitions in docs/data-dictionary.md of the Kneeward package.';
export const rowsWords = (rows: number) =>
  `${String(rows).replace(/\B(?=(\d{3})+$)/g, '\u00a0')} row${rows === 1 ? '' : 's'}`;
export const downloadWords = (name: string, rows: number) => `Download ${name} (${rowsWords(rows)})`;
export const copyWords = () => 'Copy for a spreadsheet';
export const copyLabel = (name: string) => `Copy for a spreadsheet: ${name}`;
export const previewWords = () => 'First rows';
export const previewLabel = (name: string) => `First rows of ${name}`;
export const tooLargeForPage = (name: string) =>
  `${name} is too large to stand in one page with the others; it lies beside this page in its folder.`;
export const dataNeedsCode = () =>
  'Buttons to download need a browser that runs the code of this page; the files of the same names lie beside it.';
