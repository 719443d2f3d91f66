import type { Camera } from '../../../src/cameras/rig.ts';
import { seededRandom } from '../../../src/numerics/random.ts';
import { rotationFromVector } from '../../../src/numerics/rotation.ts';
import { camera, MODERATE_DISTORTION } from '../synthetic-cameras.ts';

/** 9 × 6 inner corners, 30 mm. */
export const BOARD = { columns: 9, rows: 6, squareSizeM: 0.03 };

/** The lens of a small camera of 640 × 480 px with strong distortion. */
export const SMALL_LENS: Partial<Camera> = {
  imageWidth: 640,
  imageHeight: 480,
  fx: 535,
  fy: 535,
  cx: 330,
  cy: 235,
  distortion: MODERATE_DISTORTION,
};

/** Cameras that see the middle of BOARD from about `distanceM`, tilted up to 26° about each axis and turned any way round. */
export function camerasAroundBoard(count: number, seed: number, lens = SMALL_LENS, distanceM = 0.55): Camera[] {
  const random = seededRandom(seed);
  const around = (width: number) => width * (random.uniform() - 0.5);
  return Array.from({ length: count }, () => {
    const rotation = rotationFromVector([around(0.9), around(0.9), around(2 * Math.PI)]);
    const z = distanceM * (1.1 + around(0.5));
    const place = [around(0.04) * z, around(0.04) * z, z];
    const translation = Float64Array.from(place, (x, k) => x - 0.12 * rotation[3 * k] - 0.075 * rotation[3 * k + 1]);
    return camera({ ...lens, rotation, translation });
  });
}

/** A camera at `distanceM` whose board lies `asideM` from the middle, slightly tilted. */
export function cameraBefore(distanceM: number, asideM = 0, lens = SMALL_LENS): Camera {
  const translation = Float64Array.of(-0.12 + asideM, -0.075, distanceM);
  return camera({ ...lens, rotation: rotationFromVector([0.2, 0.1, 0.1]), translation });
}

/** Root mean square distance of the corners found from the true ones, px. */
export function cornerRms(found: Float64Array, truth: Float64Array): number {
  let [sum, count] = [0, 0];
  for (let k = 0; k < truth.length; k += 2) {
    if (!Number.isFinite(found[k])) continue;
    sum += (found[k] - truth[k]) ** 2 + (found[k + 1] - truth[k + 1]) ** 2;
    count++;
  }
  return Math.sqrt(sum / count);
}
