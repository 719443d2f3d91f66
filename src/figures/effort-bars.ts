import type { Estimated } from '../study/shown.ts';
import { drawing, short, text } from './drawn-text.ts';
import { COLOUR } from './look.ts';
import { effortWords } from './words.ts';

/** The hips' part of the hip + knee effort at one place. */
export interface EffortBar {
  /** Where, for instance 'at parallel'. */
  readonly place: string;
  /** hip_share, 1; a NaN interval where there is none. */
  readonly share: Estimated;
  /** The two parts in words, for instance 'hips 63 %' and 'knees 37 %'. */
  readonly hips: string;
  readonly knees: string;
}

const WIDTH = 360;
const ROW = 66;
const BAR_TOP = 26;
const BAR = 18;

/**
 * Who carries how much: a bar a place, the hips' part from the left, the knees' from the right, with the 95 % interval of
 * the border between them underneath. A share outside 0–1 (one joint pulls the other way) has no bar.
 *
 * @returns null where nothing can be drawn
 */
export function effortBars(bars: readonly EffortBar[]): string | null {
  const drawable = bars.filter(({ share }) => share.value >= 0 && share.value <= 1);
  if (drawable.length === 0) return null;
  return drawing(
    WIDTH,
    ROW * drawable.length + 4,
    drawable.map((bar, i) => rowAt(bar, ROW * i)),
  );
}

function rowAt({ place, share, hips, knees }: EffortBar, top: number): string {
  const border = WIDTH * share.value;
  const y = top + BAR_TOP;
  return [
    text(0, top + 17, hips, { bold: true, size: 14 }),
    text(WIDTH / 2, top + 17, place, { anchor: 'middle', fill: COLOUR.quiet }),
    text(WIDTH, top + 17, knees, { bold: true, size: 14, anchor: 'end' }),
    `<rect x="0" y="${y}" width="${short(border)}" height="${BAR}" fill="${COLOUR.hip}"/>`,
    `<rect x="${short(border)}" y="${y}" width="${short(WIDTH - border)}" height="${BAR}" fill="${COLOUR.knee}"/>`,
    `<rect x="${short(border - 1.5)}" y="${y - 2}" width="3" height="${BAR + 4}" fill="${COLOUR.ink}"/>`,
    circleMark(10, y + BAR / 2),
    squareMark(WIDTH - 10, y + BAR / 2),
    intervalUnder(share, y + BAR + 8),
  ].join('');
}

/** Hips have round marks and knees square ones, as on the curves. */
const circleMark = (x: number, y: number) => `<circle cx="${x}" cy="${y}" r="4.5" fill="#ffffff"/>`;
const squareMark = (x: number, y: number) => `<rect x="${x - 4}" y="${y - 4}" width="8" height="8" fill="#ffffff"/>`;

/** The interval of the border, with its word on the side that has room. */
function intervalUnder({ lower, upper }: Estimated, y: number): string {
  if (!Number.isFinite(upper - lower)) return '';
  const [from, to] = [lower, upper].map((end) => WIDTH * Math.min(1, Math.max(0, end)));
  const toTheRight = to < WIDTH - from;
  return [
    `<path d="M${short(from)} ${y - 4}V${y + 4}M${short(from)} ${y}H${short(to)}M${short(to)} ${y - 4}V${y + 4}" stroke="${COLOUR.ink}" stroke-width="1.6" fill="none"/>`,
    text(toTheRight ? to + 7 : from - 7, y + 4, effortWords.sure, {
      size: 12,
      fill: COLOUR.quiet,
      anchor: toTheRight ? 'start' : 'end',
    }),
  ].join('');
}
