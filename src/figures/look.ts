import type { Config, TopLevelSpec } from 'vega-lite';

/**
 * One look for all figures: explicit colours on a white card, so that an SVG file reads the same in a dark page, on
 * paper and in a slide. Tests hold the colours apart for normal sight and three simulated colour-vision deficiencies;
 * even so colour is never the only difference: joints also differ by mark, phases and sides by dash.
 */
export const COLOUR = {
  ink: '#1d2733',
  quiet: '#5c6773',
  line: '#d5dbe1',
  grid: '#eceff2',
  path: '#a7b0ba',
  hip: '#1b4f9c',
  knee: '#d97b0d',
  ankle: '#7a7a52',
  down: '#1b4f9c',
  up: '#c2571a',
  near: '#1b4f9c',
  far: '#7c8a99',
  mass: '#b3261e',
  foot: '#2f7d6b',
  bar: '#1d2733',
  // Fills that carry text.
  fillBlue: '#cfe0f5',
  fillSand: '#f3ddb8',
  fillGreen: '#cfe6d6',
  fillRose: '#f1d5d8',
  fillGrey: '#dfe3e8',
} as const;

export const FONT = 'system-ui, -apple-system, "Segoe UI", "DejaVu Sans", sans-serif';

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
  '#ffffff': '#1a2027',
  [COLOUR.ink]: '#e8edf2',
  [COLOUR.quiet]: '#a9b4bf',
  [COLOUR.line]: '#3d4854',
  [COLOUR.grid]: '#2a323b',
  [COLOUR.path]: '#76828e',
  [COLOUR.hip]: '#82b1f7',
  [COLOUR.knee]: '#f2ab52',
  [COLOUR.ankle]: '#a6c99c',
  [COLOUR.up]: '#f2926a',
  [COLOUR.far]: '#93a1af',
  [COLOUR.mass]: '#ff6b5e',
  [COLOUR.foot]: '#7fdcc3',
  [COLOUR.fillBlue]: '#264a73',
  [COLOUR.fillSand]: '#5c4418',
  [COLOUR.fillGreen]: '#235041',
  [COLOUR.fillRose]: '#65353d',
  [COLOUR.fillGrey]: '#434f5b',
};
