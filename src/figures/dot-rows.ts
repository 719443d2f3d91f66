import { type Estimated, numberText, type Shown } from '../study/shown.ts';
import { drawing, short, text } from './drawn-text.ts';
import { COLOUR } from './look.ts';

/** A number of one lift, with its name. */
export interface DotRow {
  readonly name: string;
  readonly estimate: Estimated;
}

const WIDTH = 430;
const LEFT = 10;
const RIGHT = 420;
const ROW = 42;
const TOP = 26;
/** Steps of an axis, in the shown unit: of those the first that gives no more than this many. */
const STEPS = [1, 2, 5, 10, 20, 50, 100, 200, 500] as const;
const MOST_TICKS = 7;

/**
 * One number of several lifts under each other: a dot a lift, its 95 % interval as a line, on one axis. Names stand above
 * their lines, so that they may be long.
 *
 * @returns null where no lift has the number
 */
export function dotRows(title: string, rows: readonly DotRow[], { factor, unit }: Shown): string | null {
  const known = rows.filter(({ estimate }) => Number.isFinite(estimate.value));
  if (known.length === 0) return null;
  const ends = known.flatMap(({ estimate: { value, lower, upper } }) =>
    [value, lower, upper].filter(Number.isFinite).map((end) => factor * end),
  );
  const [low, high, step] = axis(Math.min(...ends), Math.max(...ends));
  const x = (value: number) => LEFT + 8 + ((RIGHT - LEFT - 16) * (value - low)) / (high - low);
  const bottom = TOP + ROW * known.length + 6;
  const ticks = Array.from({ length: Math.round((high - low) / step) + 1 }, (_, i) => low + step * i);
  return drawing(WIDTH, bottom + 26, [
    text(LEFT, 16, title, { bold: true, size: 14 }),
    ...ticks.map(
      (tick) =>
        `<path d="M${short(x(tick))} ${TOP}V${bottom}" stroke="${COLOUR.grid}"/>${text(x(tick), bottom + 17, `${numberText(tick, 0)}${unit === '°' ? '°' : unit === '' ? '' : ` ${unit}`}`, { anchor: 'middle', fill: COLOUR.quiet, size: 12 })}`,
    ),
    ...known.map(({ name, estimate }, i) => {
      const y = TOP + ROW * i + 28;
      const [from, to] = [estimate.lower, estimate.upper].map((end) => x(factor * end));
      const interval = Number.isFinite(to - from)
        ? `<path d="M${short(from)} ${y - 5}v10M${short(from)} ${y}H${short(to)}M${short(to)} ${y - 5}v10" stroke="${COLOUR.ink}" stroke-width="1.8" fill="none"/>`
        : '';
      return `${text(LEFT, y - 11, name, { size: 12.5 })}${interval}<circle cx="${short(x(factor * estimate.value))}" cy="${y}" r="5.5" fill="${COLOUR.hip}" stroke="#ffffff" stroke-width="1.5"/>`;
    }),
  ]);
}

/** Whole steps around all ends. */
function axis(lowest: number, highest: number): [low: number, high: number, step: number] {
  const step = STEPS.find((one) => (highest - lowest) / one <= MOST_TICKS - 2) ?? STEPS[STEPS.length - 1];
  const low = step * Math.floor(lowest / step);
  return [low, Math.max(low + step, step * Math.ceil(highest / step)), step];
}
