import { describe, expect, test } from '@jest/globals';
import {
  cameraCentre,
  pointInCameraInto,
  projectInto,
  projectWithPointJacobianInto,
  undistortInto,
  undistortPixels,
} from '../../src/cameras/camera-model.ts';
import { invertibleRadius } from '../../src/cameras/distortion.ts';
import { coversImage } from '../../src/cameras/image-cover.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';
import { camera, MODERATE_DISTORTION } from './synthetic-cameras.ts';

const lens = { fx: 526, fy: 528, cx: 320, cy: 256, distortion: [-0.3069, 0.1134, 0.001, -0.002, 0] } as const;

const MODELS = [
  ['without distortion', camera()],
  ['with all five terms and skew', camera({ distortion: MODERATE_DISTORTION, skew: 2, fy: 1480 })],
  [
    'with a pixel lens',
    camera({ imageWidth: 640, imageHeight: 512, fx: 525, fy: 524, cx: 321, cy: 254, pixelLens: lens }),
  ],
] as const;

describe('one camera', () => {
  test.each(MODELS)('%s: undistorting a projected point gives back its normalised coordinates', (_, seeing) => {
    const random = seededRandom(3);
    const uv = new Float64Array(2);
    const xy = new Float64Array(2);
    const inCamera = new Float64Array(3);
    for (let i = 0; i < 200; i++) {
      const point = [2 * random.uniform() - 1, 1.2 * random.uniform() - 0.6, random.uniform() - 0.5];
      const depth = projectInto(uv, 0, seeing, point[0], point[1], point[2]);
      pointInCameraInto(inCamera, 0, seeing, point[0], point[1], point[2]);
      expect(depth).toBe(inCamera[2]);
      expect(undistortInto(xy, 0, seeing, uv[0], uv[1])).toBe(true);
      expectClose(xy[0], inCamera[0] / depth, 1e-11, 'x / z');
      expectClose(xy[1], inCamera[1] / depth, 1e-11, 'y / z');
    }
  });

  test.each(MODELS)('%s: the Jacobian by the point agrees with central differences', (_, seeing) => {
    const point = [0.4, -0.3, 0.2];
    const uv = new Float64Array(2);
    const jacobian = new Float64Array(6);
    projectWithPointJacobianInto(uv, 0, jacobian, 0, seeing, point[0], point[1], point[2]);
    const h = 1e-5;
    const ahead = new Float64Array(2);
    const behind = new Float64Array(2);
    for (let k = 0; k < 3; k++) {
      const [p, q] = [1, -1].map((sign) => point.map((x, i) => (i === k ? x + sign * h : x)));
      projectInto(ahead, 0, seeing, p[0], p[1], p[2]);
      projectInto(behind, 0, seeing, q[0], q[1], q[2]);
      for (let row = 0; row < 2; row++) {
        // Central differences: truncation h² f''' and rounding ε u / h are both near 1e-8 px/m here.
        expectClose(
          jacobian[3 * row + k],
          (ahead[row] - behind[row]) / (2 * h),
          1e-5,
          `d(${'uv'[row]})/d(${'xyz'[k]})`,
        );
      }
    }
    projectInto(ahead, 0, seeing, point[0], point[1], point[2]);
    expectAllClose(uv, ahead, 0, 'pixels of both kernels');
  });

  test('the centre is the point that lies at the origin of the camera frame', () => {
    const seeing = camera();
    const inCamera = new Float64Array(3);
    const centre = cameraCentre(seeing);
    pointInCameraInto(inCamera, 0, seeing, centre[0], centre[1], centre[2]);
    expectAllClose(inCamera, [0, 0, 0], 1e-14);
  });

  test('a point behind the camera has no pixel and says so by its depth', () => {
    const uv = new Float64Array(2);
    const jacobian = new Float64Array(6);
    expect(projectInto(uv, 0, camera(), 0, 0, -9)).toBeLessThan(0);
    expect([...uv]).toEqual([Number.NaN, Number.NaN]);
    expect(projectWithPointJacobianInto(uv, 0, jacobian, 0, camera(), 0, 0, -9)).toBeLessThan(0);
    expect([...jacobian].every(Number.isNaN)).toBe(true);
  });
});

describe('edge of the distortion model', () => {
  test('the invertible radius is where r (1 + k1 r²) stops growing: r = 1 / √(−3 k1)', () => {
    expectClose(invertibleRadius([-0.3, 0, 0, 0, 0]), 1 / Math.sqrt(0.9), 1e-12);
    expect(invertibleRadius([0.1, 0.2, 0, 0, 0.3])).toBe(Number.POSITIVE_INFINITY);
    // 1 − 1.2 s + 0.5 s² (k1 −0.4, k2 0.1): zeros of the slope at s = (1.2 ± √(1.44 − 2)) do not exist.
    expect(invertibleRadius([-0.4, 0.1, 0, 0, 0])).toBe(Number.POSITIVE_INFINITY);
    // 1 − 3 s + 2 s² = (1 − s)(1 − 2 s): k1 = −1, k2 = 0.4; the first zero is s = 0.5.
    expectClose(invertibleRadius([-1, 0.4, 0, 0, 0]), Math.sqrt(0.5), 1e-12);
  });

  test('pixels beyond it have no ray: NaN and false, never a ray of the folded branch', () => {
    const barrel = camera({ distortion: [-0.3, 0, 0, 0, 0] });
    const xy = new Float64Array(2);
    // Largest distorted radius: r (1 − 0.3 r²) at r = 1.0541, that is 0.7027 → 1054 px.
    expect(undistortInto(xy, 0, barrel, barrel.cx + 1500 * 0.7, barrel.cy)).toBe(true);
    expect(xy[0]).toBeLessThan(invertibleRadius(barrel.distortion));
    expect(undistortInto(xy, 0, barrel, barrel.cx + 1500 * 0.71, barrel.cy)).toBe(false);
    expect([...xy]).toEqual([Number.NaN, Number.NaN]);
    expect(coversImage(barrel)).toBe(false);
    expect(coversImage(camera({ distortion: [-0.2, 0.05, 0, 0, 0] }))).toBe(true);
  });

  test('a missing pixel stays missing', () => {
    const xy = new Float64Array(2);
    expect(undistortInto(xy, 0, camera(), Number.NaN, 3)).toBe(false);
    expect(undistortPixels(Float64Array.of(Number.NaN, 1), lens).every(Number.isNaN)).toBe(true);
  });

  test('a camera with a pixel lens sees in raw pixels what the ideal camera sees in undistorted ones', () => {
    const raw = camera({ pixelLens: lens });
    const ideal = camera();
    const uv = new Float64Array(2);
    const expected = new Float64Array(2);
    projectInto(uv, 0, raw, 0.1, -0.4, 0.2);
    projectInto(expected, 0, ideal, 0.1, -0.4, 0.2);
    expectAllClose(undistortPixels(uv, lens), expected, 1e-9);
  });
});

describe('published planar calibration (Zhang 1998)', () => {
  const published = reference<{ image: number; xy: [number, number]; uv: [number, number] }>('cameras-planar-zhang');
  const { fx, fy, cx, cy, skew, k1, k2 } = published.intrinsics as Record<string, number>;
  const poses = published.poses as { image: number; rotation: number[][]; translation: number[] }[];

  test('its parameters, with skew and radial distortion, reproject its points at the stated r.m.s.', () => {
    const uv = new Float64Array(2);
    const misses = published.cases.flatMap(({ image, xy, uv: measured }) => {
      const pose = poses.find((one) => one.image === image)!;
      const rotation = Float64Array.from(pose.rotation.flat());
      const translation = Float64Array.from(pose.translation);
      const seeing = camera({ fx, fy, cx, cy, skew, distortion: [k1, k2, 0, 0, 0], rotation, translation });
      projectInto(uv, 0, seeing, xy[0], xy[1], 0);
      return [uv[0] - measured[0], uv[1] - measured[1]];
    });
    expect(misses).toHaveLength(72);
    const rms = Math.sqrt(misses.reduce((sum, x) => sum + x * x, 0) / misses.length);
    expectClose(rms, published.rmsPerCoordinatePx as number, published.tolerance, 'r.m.s. per coordinate');
    expectClose(Math.max(...misses.map(Math.abs)), published.maximumPx as number, 0.005, 'largest');
  });
});
