import type { GreyImage } from '../../capture/image-file.ts';

/**
 * Sharpness of the board in a picture, about 1 / width of its edges in px: mean square difference of neighbouring pixels over
 * the variance of brightness, times the distance of neighbouring corners, within the rectangle around the corners. NaN
 * without corners. To be compared within one camera; contrast and size of the board drop out.
 */
export function boardSharpness({ width, height, pixels }: GreyImage, corners: Float64Array, columns: number): number {
  let [left, right, top, bottom] = [width, -1, height, -1];
  for (let o = 0; o < corners.length; o += 2) {
    if (!Number.isFinite(corners[o] + corners[o + 1])) continue;
    left = Math.min(left, Math.max(0, Math.floor(corners[o])));
    right = Math.max(right, Math.min(width - 1, Math.ceil(corners[o])));
    top = Math.min(top, Math.max(0, Math.floor(corners[o + 1])));
    bottom = Math.max(bottom, Math.min(height - 1, Math.ceil(corners[o + 1])));
  }
  if (right - left < 2 || bottom - top < 2) return Number.NaN;
  let sum = 0;
  let squares = 0;
  let steps = 0;
  let count = 0;
  for (let row = top; row < bottom; row++) {
    for (let at = row * width + left; at < row * width + right; at++) {
      const value = pixels[at];
      sum += value;
      squares += value * value;
      steps += (pixels[at + 1] - value) ** 2 + (pixels[at + width] - value) ** 2;
      count++;
    }
  }
  const variance = squares / count - (sum / count) ** 2;
  return variance > 0 ? (steps / count / variance) * spacing(corners, columns) : Number.NaN;
}

/** Mean distance of neighbouring corners in a row, px. */
function spacing(corners: Float64Array, columns: number): number {
  let sum = 0;
  let count = 0;
  for (let i = 0; 2 * i < corners.length; i++) {
    if (i % columns === columns - 1) continue;
    const distance = Math.hypot(corners[2 * i + 2] - corners[2 * i], corners[2 * i + 3] - corners[2 * i + 1]);
    if (!Number.isFinite(distance)) continue;
    sum += distance;
    count++;
  }
  return sum / count;
}
