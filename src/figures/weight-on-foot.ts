import type { Estimated } from '../study/shown.ts';
import { drawing, short, text } from './drawn-text.ts';
import { COLOUR } from './look.ts';
import { footWords } from './words.ts';

const WIDTH = 230;
const HEIGHT = 74;
/** Where heel and big toe stand, and the floor. */
const HEEL = 34;
const TOE = 196;
const FLOOR = 50;
/** Beyond the foot by this part of it the mark stops: farther out nothing can be said but "beyond". */
const BEYOND = 0.17;

/**
 * Where the weight of lifter and bar hangs along the foot, seen from the right side: heel left, toes right, the mark at the
 * measured place, the band its 95 % interval.
 *
 * @param along com_along_foot: 0 heel, 1 big toe; the interval NaN where there is none
 */
export function weightOnFoot(along: Estimated): string {
  const x = (place: number) => HEEL + (TOE - HEEL) * Math.min(1 + BEYOND, Math.max(-BEYOND, place));
  const at = x(along.value);
  const [from, to] = [x(along.lower), x(along.upper)];
  const band = Number.isFinite(to - from)
    ? `<rect x="${short(from)}" y="6" width="${short(to - from)}" height="${FLOOR - 6}" fill="${COLOUR.mass}" opacity="0.22"/>`
    : '';
  return drawing(WIDTH, HEIGHT, [
    `<path d="M4 ${FLOOR + 1}H${WIDTH - 4}" stroke="${COLOUR.quiet}" stroke-width="1.5"/>`,
    `<path d="M${HEEL - 6} ${FLOOR}C${HEEL - 12} ${FLOOR - 12} ${HEEL - 8} ${FLOOR - 24} ${HEEL + 4} ${FLOOR - 26}L${HEEL + 34} ${FLOOR - 30}C${HEEL + 70} ${FLOOR - 22} ${TOE - 40} ${FLOOR - 20} ${TOE - 4} ${FLOOR - 13}C${TOE + 12} ${FLOOR - 10} ${TOE + 14} ${FLOOR - 3} ${TOE + 8} ${FLOOR}Z" fill="${COLOUR.fillGreen}" stroke="${COLOUR.foot}" stroke-width="2"/>`,
    band,
    `<path d="M${short(at)} 12V${FLOOR}" stroke="${COLOUR.mass}" stroke-width="2.4"/>`,
    `<path d="M${short(at)} 3l6 7-6 7-6-7z" fill="${COLOUR.mass}"/>`,
    text(HEEL, FLOOR + 18, footWords.heel, { anchor: 'middle', fill: COLOUR.quiet, size: 12 }),
    text(TOE, FLOOR + 18, footWords.toes, { anchor: 'middle', fill: COLOUR.quiet, size: 12 }),
  ]);
}
