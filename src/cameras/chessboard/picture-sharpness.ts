import type { GreyImage } from '../../capture/image-file.ts';
import { median } from '../../numerics/statistics.ts';
import { PIXEL_VARIANCE, WIDTH_PER_SIGMA } from './corner-fit.ts';
import { LEVEL_SIGMA_PX, type PictureLevel } from './picture-level.ts';

/** Difference of the 95 % and 5 % quantiles of the grey levels. */
export function greySpread({ pixels }: GreyImage): number {
  const histogram = new Float64Array(256);
  for (let k = 0; k < pixels.length; k++) histogram[pixels[k]]++;
  const levelBelow = (part: number) => {
    let sum = 0;
    for (let grey = 0; grey < 256; grey++) {
      sum += histogram[grey];
      if (sum >= part * pixels.length) return grey;
    }
    return 255;
  };
  return levelBelow(0.95) - levelBelow(0.05);
}

/** Part of the pixels, those of the steepest grey, whose edges are measured. */
const STEEPEST = 0.002;
/** Pixels measured at most. */
const MOST_MEASURED = 400;
/** Half length of the line across an edge, px. */
const REACH = 60;

/**
 * 10 % to 90 % width of the picture's steepest edges, px (median): from each of the steepest pixels, along the gradient up
 * and down until the grey stops rising and falling; the step between those ends over the steepest slope gives the width
 * of a Gaussian edge. NaN for a picture without edges. Level pixels of 2 for large pictures, to save time.
 */
export function edgeWidthOfPicture(image: GreyImage, levelAt: (scale: number) => PictureLevel): number {
  const scale = Math.max(image.width, image.height) > 1500 ? 2 : 1;
  const level = levelAt(scale);
  const { width, height, smooth } = level;
  const slopes: { at: number; squared: number }[] = [];
  for (let y = 2; y < height - 2; y += 2) {
    for (let x = 2; x < width - 2; x += 2) {
      const o = y * width + x;
      slopes.push({
        at: o,
        squared: (smooth[o + 1] - smooth[o - 1]) ** 2 + (smooth[o + width] - smooth[o - width]) ** 2,
      });
    }
  }
  slopes.sort((a, b) => b.squared - a.squared);
  const steepest = slopes.slice(0, Math.max(20, Math.round(STEEPEST * slopes.length)));
  const stride = Math.max(1, Math.floor(steepest.length / MOST_MEASURED));
  const widths: number[] = [];
  for (let k = 0; k < steepest.length; k += stride) {
    const { at, squared } = steepest[k];
    if (squared <= 0) continue;
    widths.push(widthAcross(level, at));
  }
  return widths.length === 0 ? Number.NaN : scale * median(widths);
}

/** 2.563 σ of a Gaussian edge, whose steepest slope is step / (√(2π) σ), less the smoothing of the level. */
function widthAcross({ width, height, smooth }: PictureLevel, at: number): number {
  const [x, y] = [at % width, Math.floor(at / width)];
  const gx = smooth[at + 1] - smooth[at - 1];
  const gy = smooth[at + width] - smooth[at - width];
  const slope = 0.5 * Math.hypot(gx, gy);
  const [ux, uy] = [gx / (2 * slope), gy / (2 * slope)];
  const end = (sign: number) => {
    let value = smooth[at];
    for (let t = 1; t <= REACH; t++) {
      const [u, v] = [Math.round(x + sign * t * ux), Math.round(y + sign * t * uy)];
      if (u < 0 || v < 0 || u >= width || v >= height) return value;
      const next = smooth[v * width + u];
      // The edge ends where less than a twentieth of its steepest slope is left.
      if (sign * (next - value) < 0.05 * slope) return value;
      value = next;
    }
    return value;
  };
  const sigma2 = ((end(1) - end(-1)) / (Math.sqrt(2 * Math.PI) * slope)) ** 2;
  // No edge is sharper than the pixel's own area makes it.
  return WIDTH_PER_SIGMA * Math.sqrt(Math.max(PIXEL_VARIANCE, sigma2 - LEVEL_SIGMA_PX ** 2));
}
