import { describe, expect, test } from '@jest/globals';
import { type Camera, NO_DISTORTION } from '../../src/cameras/rig.ts';
import {
  pointCovarianceInto,
  varianceAlong,
  variancePropagated,
  worstAxis,
} from '../../src/uncertainty/point-covariance.ts';
import { expectClose } from '../expect-close.ts';

/** Focal length 1000 px, 4 m away: one along Z looking at −Z, one along X looking at −X; both upright. */
const lens = {
  imageWidth: 1080,
  imageHeight: 1920,
  fx: 1000,
  fy: 1000,
  cx: 540,
  cy: 960,
  skew: 0,
  distortion: NO_DISTORTION,
};
const alongZ: Camera = {
  ...lens,
  name: 'z',
  rotation: Float64Array.of(1, 0, 0, 0, -1, 0, 0, 0, -1),
  translation: Float64Array.of(0, 0, 4),
};
const alongX: Camera = {
  ...lens,
  name: 'x',
  rotation: Float64Array.of(0, 0, -1, 0, -1, 0, -1, 0, 0),
  translation: Float64Array.of(0, 0, 4),
};

const covarianceOf = (cameras: readonly Camera[], variances: readonly number[]) => {
  const out = new Float64Array(6);
  pointCovarianceInto(out, 0, cameras, variances, 0, 0, 0);
  return out;
};

describe('covariance of a triangulated point, by hand', () => {
  // 1 px is 4 mm at 4 m. X is seen by the camera on Z only, Z by the one on X only, Y by both.
  const metresPerPx = 4 / 1000;

  test('two like views at right angles', () => {
    const c = covarianceOf([alongZ, alongX], [1, 1]);
    [1, 0, 0, 0.5, 0, 1].forEach((wanted, i) => {
      expectClose(c[i], wanted * metresPerPx ** 2, 1e-15, `element ${i}`);
    });
  });

  test('unlike noise with equal weights: the mean of two has a quarter of the sum of their variances', () => {
    const c = covarianceOf([alongZ, alongX], [1, 9]);
    expectClose(c[0], metresPerPx ** 2, 1e-15, 'x');
    expectClose(c[5], 9 * metresPerPx ** 2, 1e-15, 'z');
    expectClose(c[3], ((1 + 9) / 4) * metresPerPx ** 2, 1e-15, 'y');
  });

  test('the worst direction, and propagation along a direction', () => {
    const c = covarianceOf([alongZ, alongX], [1, 9]);
    const worst = worstAxis(c, 0);
    expectClose(worst.sdM, 3 * metresPerPx, 1e-12);
    expectClose(Math.abs(worst.axis[2]), 1, 1e-12);
    expectClose(variancePropagated(c, 0, 1, 0, 1), 10 * metresPerPx ** 2, 1e-15);
  });

  test('the short way to a variance along a direction is the long way', () => {
    const [point, gradient] = [
      [0.3, 0.2, -0.1],
      [1, -2, 0.5],
    ];
    const out = new Float64Array(6);
    pointCovarianceInto(out, 0, [alongZ, alongX], [1, 9], 0.3, 0.2, -0.1);
    const wanted = variancePropagated(out, 0, 1, -2, 0.5);
    expectClose(varianceAlong([alongZ, alongX], [0, 1, 9], 1, point, gradient, 0), wanted, 1e-12 * wanted);
    expect(Number.isNaN(varianceAlong([alongZ], [1], 0, point, gradient, 0))).toBe(true);
  });

  test('one view, or one that does not see it, determines nothing', () => {
    expect(Number.isNaN(covarianceOf([alongZ], [1])[0])).toBe(true);
    expect(Number.isNaN(covarianceOf([alongZ, alongX], [1, Number.NaN])[0])).toBe(true);
    expect(Number.isNaN(worstAxis(covarianceOf([alongZ], [1]), 0).sdM)).toBe(true);
  });
});
