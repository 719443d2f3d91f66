import type { Figure } from './look.ts';
import type { PhaseName } from './words.ts';

/** One point of the band about a mean line: the ends of its 95 % interval; null where it is unknown. */
export interface BandPoint {
  readonly word: string;
  readonly phase: PhaseName;
  readonly depth: number;
  readonly lower: number | null;
  readonly upper: number | null;
}

type Layers = Extract<Figure, { layer: unknown }>['layer'];

/** Light enough for the lines on top, and for two bands that overlap. */
const OPACITY = 0.15;

/**
 * A light area a line and phase, its ends held inside the frame; it ends where an end of the interval is unknown. Held here,
 * because the drawing library would cut by an element with an id of its own counting, which differs from run to run.
 */
export function bandLayers<X extends object, Y extends { readonly scale: { readonly domain: readonly number[] } }>(
  points: readonly BandPoint[],
  x: X,
  y: Y,
  colourOf: (word: string, phase: PhaseName) => string,
): Layers {
  const [least, most] = y.scale.domain;
  const held = (value: number | null) => (value === null ? null : Math.min(most, Math.max(least, value)));
  const known = points.filter(({ lower, upper }) => lower !== null && upper !== null);
  const bands = new Map(known.map(({ word, phase }) => [JSON.stringify([word, phase]), { word, phase }]));
  return [...bands.values()].map(({ word, phase }) => ({
    data: {
      values: points
        .filter((point) => point.word === word && point.phase === phase)
        .map(({ depth, lower, upper }) => ({ depth, lower: held(lower), upper: held(upper) })),
    },
    mark: { type: 'area', color: colourOf(word, phase), opacity: OPACITY },
    encoding: { x, y: { ...y, field: 'lower' }, y2: { field: 'upper' } },
  })) as unknown as Layers;
}

/** A band may reach this times the range of the lines beyond them before the frame cuts it. */
const BEYOND_LINES = 0.35;

/**
 * Domain of the value axis: all of the lines (and the level drawn across), and of the bands what lies near them. Where a
 * quantity is nearly undefined its interval may be many times the range of all lines, and would flatten them.
 */
export function valueDomain(
  lines: readonly (number | null)[],
  bands: readonly Pick<BandPoint, 'lower' | 'upper'>[],
  level: number | null,
): [number, number] {
  const numbers = (values: readonly (number | null)[]) => values.filter((value): value is number => value !== null);
  const drawn = [...numbers(lines), ...(level === null ? [] : [level])];
  if (drawn.length === 0) return [0, 1];
  const [low, high] = [Math.min(...drawn), Math.max(...drawn)];
  const reach = BEYOND_LINES * (high - low || Math.abs(high) || 1);
  const lowest = Math.min(low, ...numbers(bands.map(({ lower }) => lower)));
  const highest = Math.max(high, ...numbers(bands.map(({ upper }) => upper)));
  const margin = 0.03 * (high - low || 1);
  return [Math.max(lowest, low - reach) - margin, Math.min(highest, high + reach) + margin];
}
