import type { Config, TopLevelSpec } from 'vega-lite';

/**
 * One look for all figures: explicit colours on a white card, so that an SVG file reads the same in a dark page, on
 * paper and in a slide. Tests hold the colours apart for normal sight and three simulated colour-vision deficiencies;
 * even so colour is never the only difference: joints also differ by mark, phases and sides by dash.
 */
export const COLOUR = {
  ink: '#14211d',
  quiet: '#4f5e58',
  line: '#cbd5d0',
  grid: '#e7edea',
  path: '#9fada7',
  hip: '#5a2a82',
  knee: '#c46a12',
  ankle: '#3f8f86',
  down: '#5a2a82',
  up: '#b8501f',
  near: '#23395b',
  far: '#7d8a86',
  left: '#0f6f73',
  right: '#a3441f',
  mass: '#b3261e',
  foot: '#2a7a5c',
  bar: '#14211d',
  // Fills that carry text.
  fillBlue: '#d6def0',
  fillSand: '#f3ddb8',
  fillGreen: '#cde6d8',
  fillRose: '#f1d5d8',
  fillGrey: '#dde3e0',
} as const;

/** Faces that come with the common systems; nothing is loaded. */
export const FONT =
  '"Avenir Next", "Segoe UI Variable Text", "Segoe UI", Cantarell, "Noto Sans", "DejaVu Sans", sans-serif';

/**
 * Mean width of a character in em, of the sans-serif faces named in `FONT` (common practice, no source). Without a canvas
 * the drawing library would take 0.8 em and leave wide white margins; with one, the bytes would depend on the fonts of
 * the machine.
 */
export const CHARACTER_EM = 0.56;

/** Solid on the way down, dashed on the way up, everywhere. */
export const DASH = { descent: [1, 0], ascent: [6, 4] } as const;

export const CONFIG: Config = {
  background: '#ffffff',
  padding: 10,
  font: FONT,
  aria: false,
  axis: {
    labelColor: COLOUR.quiet,
    labelFontSize: 13,
    titleColor: COLOUR.ink,
    titleFontSize: 13,
    titleFontWeight: 'normal',
    titlePadding: 8,
    labelFlush: false,
    gridColor: COLOUR.grid,
    domainColor: COLOUR.line,
    tickColor: COLOUR.line,
  },
  legend: {
    labelColor: COLOUR.ink,
    labelFontSize: 13,
    title: null,
    orient: 'top',
    direction: 'horizontal',
    symbolStrokeWidth: 2.5,
    symbolSize: 130,
    symbolOpacity: 1,
    offset: 6,
    columnPadding: 10,
  },
  title: {
    anchor: 'start',
    color: COLOUR.ink,
    fontSize: 15,
    fontWeight: 600,
    subtitleColor: COLOUR.quiet,
    subtitleFontSize: 12.5,
    subtitlePadding: 4,
    subtitleLineHeight: 16,
    offset: 10,
  },
  view: { stroke: null },
};

/** Plot width and height, pixels: wide enough for a page, and readable when a phone shows it at four fifths. */
export const PLOT = { width: 330, height: 250 } as const;

/** A finished specification: what every figure function returns. */
export type Figure = TopLevelSpec;

/** What each colour becomes where a page shows the figure on a dark ground. */
export const DARK: Readonly<Record<string, string>> = {
  '#ffffff': '#18211e',
  [COLOUR.ink]: '#e9efec',
  [COLOUR.quiet]: '#a7b5af',
  [COLOUR.line]: '#3b4a44',
  [COLOUR.grid]: '#26312d',
  [COLOUR.path]: '#71807a',
  [COLOUR.hip]: '#c3a0f2',
  [COLOUR.knee]: '#f0a54a',
  [COLOUR.ankle]: '#6fc4b8',
  [COLOUR.up]: '#f2906a',
  [COLOUR.near]: '#9cc0f0',
  [COLOUR.far]: '#82948d',
  [COLOUR.left]: '#5cc9cd',
  [COLOUR.right]: '#f2a07c',
  [COLOUR.mass]: '#ff6b5e',
  [COLOUR.foot]: '#7fdcb4',
  [COLOUR.fillBlue]: '#2b4570',
  [COLOUR.fillSand]: '#5c4418',
  [COLOUR.fillGreen]: '#1f4f3d',
  [COLOUR.fillRose]: '#65353d',
  [COLOUR.fillGrey]: '#43504a',
};
