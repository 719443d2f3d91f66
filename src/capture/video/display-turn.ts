import { videoTurnedOddly } from '../../messages/video.ts';

/** What makes a stored picture upright: mirrored left to right first (if at all), then turned clockwise. */
export interface DisplayTurn {
  readonly clockwiseDeg: 0 | 90 | 180 | 270;
  readonly mirrored: boolean;
}

export const NO_TURN: DisplayTurn = { clockwiseDeg: 0, mirrored: false };

/**
 * The turn from a file's display matrix (ISO/IEC 14496-12:2015, 6.2.2 and 8.3.2): x' = a x + c y, y' = b x + d y with y down. So
 * b = 1, c = −1 turns clockwise by 90°. `text` is as ffprobe prints it: rows "a b u", "c d v", "x y w", each after an offset.
 * Throws video-turned-oddly for anything but quarter turns and mirrors.
 */
export function turnFromMatrix(file: string, text: string): DisplayTurn {
  const numbers = text.split(/\r?\n/).flatMap((line) => {
    const row = /:\s*(.*)$/.exec(line);
    return row ? row[1].trim().split(/\s+/).map(Number) : [];
  });
  const [a, b, , c, d] = numbers;
  const size = Math.sqrt(Math.abs(a * d - b * c));
  const unit = [a, b, c, d].map((value) => value / size);
  const whole = unit.map(Math.round);
  // An eighth of a degree: the file writes 16.16 fixed point, so honest quarter turns are exact.
  if (!unit.every((value, i) => Math.abs(value - whole[i]) < 0.002)) throw videoTurnedOddly(file, unit.join(' '));
  const mirrored = whole[0] * whole[3] - whole[1] * whole[2] < 0;
  // Image of the unit vector to the right, taken back through the mirror.
  const right = mirrored ? [-whole[0], -whole[1]] : [whole[0], whole[1]];
  const clockwiseDeg = right[0] === 1 ? 0 : right[1] === 1 ? 90 : right[0] === -1 ? 180 : 270;
  return { clockwiseDeg, mirrored };
}

/** Filters of ffmpeg that turn a stored picture upright, in their order; empty for one that is. */
export function turnFilters({ clockwiseDeg, mirrored }: DisplayTurn): string[] {
  const turn = { 0: [], 90: ['transpose=clock'], 180: ['hflip', 'vflip'], 270: ['transpose=cclock'] }[clockwiseDeg];
  return mirrored ? ['hflip', ...turn] : turn;
}

/** Whether width and height change places. */
export const swapsSides = ({ clockwiseDeg }: DisplayTurn): boolean => clockwiseDeg === 90 || clockwiseDeg === 270;
