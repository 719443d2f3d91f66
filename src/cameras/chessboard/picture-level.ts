import type { GreyImage } from '../../capture/image-file.ts';

/** Taken out of the global object once: looked up per pixel it costs more than the arithmetic where globals are intercepted. */
const { floor, max, min } = Math;

/** A picture at one scale, lightly smoothed, to look for corners in. */
export interface PictureLevel {
  readonly width: number;
  readonly height: number;
  /** Pixels of the full picture per pixel of this level: 0.5, 1, 2, 4 … */
  readonly scale: number;
  /** Row-major grey values, smoothed by LEVEL_SIGMA_PX. */
  readonly smooth: Float32Array;
}

/** Standard deviation of the Gaussian that takes out noise before differentiating, px of the level. */
export const LEVEL_SIGMA_PX = 1.2;

interface Plain {
  readonly width: number;
  readonly height: number;
  readonly data: Float32Array | Uint8Array;
}

/**
 * Levels of one picture, made when asked for: scale 1 is the picture, 2 the means of 2 × 2 pixels, and so on; 0.5 is
 * interpolated between pixels, for squares of a few pixels.
 */
export function pictureLevels(image: GreyImage): (scale: number) => PictureLevel {
  const plain = new Map<number, Plain>();
  const plainAt = (scale: number): Plain => {
    const known = plain.get(scale);
    if (known !== undefined) return known;
    const made =
      scale === 1
        ? { width: image.width, height: image.height, data: image.pixels }
        : scale > 1
          ? halved(plainAt(scale / 2))
          : doubled(plainAt(2 * scale));
    plain.set(scale, made);
    return made;
  };
  return (scale) => {
    const { width, height, data } = plainAt(scale);
    return { width, height, scale, smooth: smoothed(data, width, height, LEVEL_SIGMA_PX) };
  };
}

/** A coordinate of a level in pixels of the full picture: pixel centres are whole numbers in both. */
export const fullFromLevel = (x: number, scale: number): number => (x + 0.5) * scale - 0.5;

function halved({ width, height, data }: Plain): Plain {
  const w = width >> 1;
  const h = height >> 1;
  const out = new Float32Array(w * h);
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      const o = 2 * y * width + 2 * x;
      out[y * w + x] = 0.25 * (data[o] + data[o + 1] + data[o + width] + data[o + width + 1]);
    }
  }
  return { width: w, height: h, data: out };
}

function doubled({ width, height, data }: Plain): Plain {
  const w = 2 * width;
  const h = 2 * height;
  const out = new Float32Array(w * h);
  for (let y = 0; y < h; y++) {
    const sy = min(height - 1, max(0, (y + 0.5) / 2 - 0.5));
    const y0 = min(height - 2, floor(sy));
    for (let x = 0; x < w; x++) {
      const sx = min(width - 1, max(0, (x + 0.5) / 2 - 0.5));
      const x0 = min(width - 2, floor(sx));
      const [fx, fy] = [sx - x0, sy - y0];
      const o = y0 * width + x0;
      out[y * w + x] =
        (1 - fy) * ((1 - fx) * data[o] + fx * data[o + 1]) +
        fy * ((1 - fx) * data[o + width] + fx * data[o + width + 1]);
    }
  }
  return { width: w, height: h, data: out };
}

/** Separable Gaussian, cut at 3 standard deviations; the border pixel is repeated outside. */
function smoothed(data: Plain['data'], width: number, height: number, sigma: number): Float32Array {
  const reach = Math.ceil(3 * sigma);
  const kernel = Float32Array.from({ length: 2 * reach + 1 }, (_, i) => Math.exp(-0.5 * ((i - reach) / sigma) ** 2));
  const sum = kernel.reduce((a, b) => a + b, 0);
  for (let i = 0; i < kernel.length; i++) kernel[i] /= sum;
  const along = new Float32Array(width * height);
  const padded = new Float32Array(width + 2 * reach);
  for (let y = 0; y < height; y++) {
    const row = y * width;
    for (let x = 0; x < width; x++) padded[x + reach] = data[row + x];
    padded.fill(data[row], 0, reach);
    padded.fill(data[row + width - 1], width + reach);
    for (let x = 0; x < width; x++) {
      let value = kernel[reach] * padded[x + reach];
      for (let k = 0; k < reach; k++) value += kernel[k] * (padded[x + k] + padded[x + 2 * reach - k]);
      along[row + x] = value;
    }
  }
  const out = new Float32Array(width * height);
  const rowAt = (y: number) => min(height - 1, max(0, y)) * width;
  for (let y = 0; y < height; y++) {
    const row = y * width;
    for (let x = 0; x < width; x++) out[row + x] = kernel[reach] * along[row + x];
    for (let k = 1; k <= reach; k++) {
      const weight = kernel[reach + k];
      const above = rowAt(y - k);
      const below = rowAt(y + k);
      for (let x = 0; x < width; x++) out[row + x] += weight * (along[above + x] + along[below + x]);
    }
  }
  return out;
}

/** Bilinear value at (x, y), which must lie inside the outermost pixel centres. */
export function valueAt({ width, height, smooth }: PictureLevel, x: number, y: number): number {
  const x0 = min(width - 2, floor(x));
  const y0 = min(height - 2, floor(y));
  const fx = x - x0;
  const fy = y - y0;
  const o = y0 * width + x0;
  return (
    (1 - fy) * ((1 - fx) * smooth[o] + fx * smooth[o + 1]) +
    fy * ((1 - fx) * smooth[o + width] + fx * smooth[o + width + 1])
  );
}
