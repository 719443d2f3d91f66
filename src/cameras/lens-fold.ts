import { undistortInto } from './camera-model.ts';
import type { Camera } from './rig.ts';

/** Where the lens model of a camera stops being invertible before the border of its picture. */
export interface LensFold {
  /** Distance from the principal point at which it stops, px, in the direction in which it stops first. */
  readonly radiusPx: number;
  /** Distance of the border from the principal point in that direction, px. */
  readonly borderPx: number;
}

/** Border pixels looked at along each side: a fold between two of them reaches the picture by less than a fraction of a pixel. */
const STEPS = 64;
const HALVINGS = 40;
const seen = new Float64Array(2);

/**
 * The fold nearest to the principal point, or null where every pixel of the border can be undistorted (`pixelLens`
 * included). Radial terms fold at `invertibleRadius`; strong tangential ones fold too, which only the search finds.
 */
export function lensFold(camera: Camera): LensFold | null {
  const { imageWidth, imageHeight } = camera;
  const [cx, cy] = camera.pixelLens === undefined ? [camera.cx, camera.cy] : [camera.pixelLens.cx, camera.pixelLens.cy];
  let first: LensFold | null = null;
  const look = (u: number, v: number) => {
    if (undistortInto(seen, 0, camera, u, v)) return;
    let inside = 0;
    let outside = 1;
    for (let i = 0; i < HALVINGS; i++) {
      const middle = 0.5 * (inside + outside);
      if (undistortInto(seen, 0, camera, cx + middle * (u - cx), cy + middle * (v - cy))) inside = middle;
      else outside = middle;
    }
    const borderPx = Math.hypot(u - cx, v - cy);
    if (first === null || inside * borderPx < first.radiusPx) first = { radiusPx: inside * borderPx, borderPx };
  };
  for (let k = 0; k <= STEPS; k++) {
    const u = ((imageWidth - 1) * k) / STEPS;
    const v = ((imageHeight - 1) * k) / STEPS;
    look(u, 0);
    look(u, imageHeight - 1);
    look(0, v);
    look(imageWidth - 1, v);
  }
  return first;
}
