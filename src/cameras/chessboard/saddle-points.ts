import type { PictureLevel } from './picture-level.ts';

/** Where two dark and two bright quarters meet, the grey values form a saddle: −det of the Hessian is large there. */
export interface SaddleMap {
  readonly level: PictureLevel;
  /** max(0, Ixy² − Ixx Iyy), grey²/px⁴, row-major; 0 in the outermost pixels. */
  readonly response: Float32Array;
  readonly strongest: number;
}

/**
 * Hessian by central differences of the smoothed picture. The negative determinant does not depend on the direction of
 * the edges (Beaudet 1978, rotationally invariant image operators, uses the same determinant).
 */
export function saddleMap(level: PictureLevel): SaddleMap {
  const { width, height, smooth } = level;
  const response = new Float32Array(width * height);
  let strongest = 0;
  for (let y = 1; y < height - 1; y++) {
    for (let x = 1, o = y * width + 1; x < width - 1; x++, o++) {
      const twice = 2 * smooth[o];
      const xx = smooth[o - 1] + smooth[o + 1] - twice;
      const yy = smooth[o - width] + smooth[o + width] - twice;
      const xy = 0.25 * (smooth[o - width - 1] + smooth[o + width + 1] - smooth[o - width + 1] - smooth[o + width - 1]);
      const value = xy * xy - xx * yy;
      if (value <= 0) continue;
      response[o] = value;
      if (value > strongest) strongest = value;
    }
  }
  return { level, response, strongest };
}

/** Part of the strongest response below which a saddle is not looked at: a contrast 1/30 of the highest. */
const WEAKEST_PART = 1e-3;
/** Least response looked at at all: about 3 grey levels of contrast between sharp squares. */
const WEAKEST = 0.15;

/** Local maxima (within 2 px) of the response, strongest first, at most `most`: indices into `response`. */
export function strongestSaddles({ level, response, strongest }: SaddleMap, border: number, most: number): Int32Array {
  const { width, height } = level;
  const least = Math.max(WEAKEST, WEAKEST_PART * strongest);
  const found: number[] = [];
  for (let y = border; y < height - border; y++) {
    for (let x = border, o = y * width + border; x < width - border; x++, o++) {
      if (response[o] >= least && isPeak(response, width, o)) found.push(o);
    }
  }
  found.sort((a, b) => response[b] - response[a]);
  return Int32Array.from(found.slice(0, most));
}

function isPeak(response: Float32Array, width: number, at: number): boolean {
  const value = response[at];
  for (let dy = -2; dy <= 2; dy++) {
    for (let dx = -2; dx <= 2; dx++) {
      const other = response[at + dy * width + dx];
      // Of two equal neighbours the first one counts.
      if (other > value || (other === value && dy * width + dx < 0)) return false;
    }
  }
  return true;
}

const step = new Float64Array(2);

/** From a pixel to the flat point of the quadratic through its neighbours, at most 1 px away: (dx, dy). */
export function saddleOffset({ width, smooth }: PictureLevel, o: number): Float64Array {
  const gx = 0.5 * (smooth[o + 1] - smooth[o - 1]);
  const gy = 0.5 * (smooth[o + width] - smooth[o - width]);
  const xx = smooth[o - 1] + smooth[o + 1] - 2 * smooth[o];
  const yy = smooth[o - width] + smooth[o + width] - 2 * smooth[o];
  const xy = 0.25 * (smooth[o - width - 1] + smooth[o + width + 1] - smooth[o - width + 1] - smooth[o + width - 1]);
  const determinant = xx * yy - xy * xy;
  const inside = (d: number) => Math.max(-1, Math.min(1, d));
  step[0] = determinant === 0 ? 0 : inside((xy * gy - yy * gx) / determinant);
  step[1] = determinant === 0 ? 0 : inside((xy * gx - xx * gy) / determinant);
  return step;
}
