import { expect, test } from '@jest/globals';
import { projectWithPointJacobianInto, undistortInto } from '../../src/cameras/camera-model.ts';
import {
  addRayInto,
  depthInPacked,
  packCameras,
  rayDirectionInto,
  residualInto,
  undistortPackedInto,
} from '../../src/cameras/packed-cameras.ts';
import type { Camera } from '../../src/cameras/rig.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { cameraAt } from '../reconstruction/scene.ts';

/** Plain, barrel (pixels beyond its edge exist), pincushion with skew, and one whose lens has a second part. */
const CAMERAS: readonly Camera[] = [
  cameraAt('plain', [2.6, 1.2, 3], [0, 0.9, 0]),
  cameraAt('barrel', [-2.4, 1, 3.2], [0, 0.9, 0], { distortion: [-0.4, 0, 0.001, -0.002, 0] }),
  cameraAt('pincushion', [0.2, 2.1, 4.1], [0, 0.9, 0], { skew: 0.7, distortion: [0.3, -0.1, -0.002, 0.001, 0.02] }),
  cameraAt('two-part', [4, 1.4, -0.6], [0, 0.9, 0], {
    pixelLens: { fx: 1400, fy: 1400, cx: 540, cy: 960, distortion: [-0.1, 0.02, 0, 0, 0] },
  }),
];
const packed = packCameras(CAMERAS);

test('undistorted points are those of the camera model, as is their absence', () => {
  const random = seededRandom(51);
  const pixel = new Float64Array(8);
  const ray = new Float64Array(8);
  const expected = new Float64Array(2);
  let without = 0;
  for (let i = 0; i < 500; i++) {
    CAMERAS.forEach((camera, v) => {
      pixel[2 * v] = 3000 * random.uniform() - 1000;
      pixel[2 * v + 1] = 4000 * random.uniform() - 1000;
      const exists = undistortInto(expected, 0, camera, pixel[2 * v], pixel[2 * v + 1]);
      expect(undistortPackedInto(ray, packed, v, pixel)).toBe(exists);
      if (!exists) without++;
      // The square of the last step, 1e-7, times the bend of the lens, which grows tenfold towards the edge of the barrel's disc.
      else expectAllClose(ray.subarray(2 * v, 2 * v + 2), expected, 1e-6, `${camera.name} ${i}`);
    });
  }
  expect(without).toBeGreaterThan(20);
});

test('NaN pixels have no ray', () => {
  const ray = new Float64Array(8);
  for (let v = 0; v < CAMERAS.length; v++) {
    expect(undistortPackedInto(ray, packed, v, new Float64Array(8).fill(Number.NaN))).toBe(false);
  }
});

test('residuals, Jacobians and depths are those of the camera model', () => {
  const random = seededRandom(52);
  const pixel = Float64Array.from({ length: 8 }, () => 1000 * random.uniform());
  const residual = new Float64Array(8);
  const jacobian = new Float64Array(24);
  const image = new Float64Array(2);
  const slope = new Float64Array(6);
  for (let i = 0; i < 200; i++) {
    const position = Float64Array.of(random.uniform() - 0.5, 1.8 * random.uniform(), random.uniform() - 0.5);
    CAMERAS.forEach((camera, v) => {
      const [x, y, z] = position;
      const depth = projectWithPointJacobianInto(image, 0, slope, 0, camera, x, y, z);
      expect(residualInto(residual, jacobian, packed, v, position, pixel)).toBe(true);
      expectClose(depthInPacked(packed, v, position), depth, 1e-14, 'depth');
      // Rounding of pixels near 1,000 and slopes near 500 px/m.
      expectAllClose(
        residual.subarray(2 * v, 2 * v + 2),
        [pixel[2 * v] - image[0], pixel[2 * v + 1] - image[1]],
        1e-11,
        `${camera.name} residual`,
      );
      expectAllClose(jacobian.subarray(6 * v, 6 * v + 6), slope, 1e-11, `${camera.name} Jacobian`);
    });
  }
  for (let v = 0; v < CAMERAS.length; v++) {
    const behind = CAMERAS[v].rotation.subarray(6, 9).map((axis) => -20 * axis);
    expect(residualInto(residual, jacobian, packed, v, behind, pixel)).toBe(false);
  }
});

test('the point nearest to two rays at right angles lies midway between them', () => {
  // One ray along +Z through the origin, one along −X at the height of 0.2 m: nearest to both is (0, 0.1, 4).
  const plain = {
    fx: 1000,
    fy: 1000,
    cx: 0,
    cy: 0,
    skew: 0,
    distortion: [0, 0, 0, 0, 0],
    imageWidth: 1,
    imageHeight: 1,
  } as const;
  const two = packCameras([
    { name: 'A', ...plain, rotation: Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1), translation: new Float64Array(3) },
    {
      name: 'B',
      ...plain,
      rotation: Float64Array.of(0, 0, 1, 0, 1, 0, -1, 0, 0),
      translation: Float64Array.of(-4, -0.2, 5),
    },
  ]);
  const normal = new Float64Array(9);
  const direction = new Float64Array(8);
  const ray = new Float64Array(4);
  for (let v = 0; v < 2; v++) {
    rayDirectionInto(direction, two, v, ray);
    addRayInto(normal, two, v, direction, Float64Array.of(1, 1));
  }
  // x, y and z do not mix here: 1 − uuᵀ of the first ray leaves x and y, of the second y and z.
  expectAllClose(normal, [1, 0, 0, 2, 0, 1, 0, 0.2, 4], 1e-14, 'normal equations');
});
