import { undistortInto } from './camera-model.ts';
import type { Camera } from './rig.ts';

const STEPS = 8;
const seen = new Float64Array(2);

/** True where every pixel of the image's border can be undistorted: the lens model holds over the whole picture. */
export function coversImage(camera: Camera): boolean {
  const right = camera.imageWidth - 1;
  const bottom = camera.imageHeight - 1;
  for (let k = 0; k <= STEPS; k++) {
    const u = (right * k) / STEPS;
    const v = (bottom * k) / STEPS;
    const border: readonly (readonly [number, number])[] = [
      [u, 0],
      [u, bottom],
      [0, v],
      [right, v],
    ];
    for (const [x, y] of border) if (!undistortInto(seen, 0, camera, x, y)) return false;
  }
  return true;
}
