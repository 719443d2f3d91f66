import { describe, expect, test } from '@jest/globals';
import { projectInto } from '../../src/cameras/camera-model.ts';
import { lensValue, withLensValues } from '../../src/cameras/fit-camera.ts';
import { loadOpenCv } from '../../src/cameras/opencv.ts';
import {
  deriveProjectionInto,
  LENS_PARAMETERS,
  leftJacobian,
  projectionDerivatives,
  rotationVectorColumnsInto,
} from '../../src/cameras/projection-derivatives.ts';
import type { Camera } from '../../src/cameras/rig.ts';
import { rotationFromVector } from '../../src/numerics/rotation.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { camera, MODERATE_DISTORTION } from './synthetic-cameras.ts';

const POINT = [0.5, -0.35, 0.3] as const;
const VECTOR = [0.7, -0.4, 0.25];
const seeing = camera({
  distortion: MODERATE_DISTORTION,
  skew: 3,
  fy: 1460,
  rotation: rotationFromVector(VECTOR),
  translation: Float64Array.of(0.2, -0.1, 3.5),
});

function pixel(of: Camera): Float64Array {
  const uv = new Float64Array(2);
  projectInto(uv, 0, of, ...POINT);
  return uv;
}

/** Central difference of the pixel by a parameter that `change` moves. */
function difference(change: (h: number) => Camera, h: number): number[] {
  const ahead = pixel(change(h));
  const behind = pixel(change(-h));
  return [0, 1].map((k) => (ahead[k] - behind[k]) / (2 * h));
}

describe('derivatives of the projection', () => {
  const found = projectionDerivatives();
  deriveProjectionInto(found, seeing, ...POINT);

  test.each(LENS_PARAMETERS)('by %s: central differences', (name) => {
    const h = 1e-4 * Math.max(1, Math.abs(lensValue(seeing, name)));
    const expected = difference((step) => withLensValues(seeing, [name], [lensValue(seeing, name) + step], 0), h);
    const k = LENS_PARAMETERS.indexOf(name);
    // The projection is linear in every one of them: only rounding of 1000 px over h is left.
    expectAllClose([found.lens[k], found.lens[10 + k]], expected, 1e-7, name);
  });

  test('by the pose: central differences in rotation vector and translation', () => {
    const pose = found.pose.slice();
    rotationVectorColumnsInto(pose, leftJacobian(VECTOR));
    for (let k = 0; k < 3; k++) {
      const turned = difference((h) => {
        return { ...seeing, rotation: rotationFromVector(VECTOR.map((x, i) => (i === k ? x + h : x))) };
      }, 1e-5);
      const moved = difference((h) => {
        return { ...seeing, translation: seeing.translation.map((x, i) => (i === k ? x + h : x)) };
      }, 1e-5);
      expectAllClose([pose[k], pose[6 + k]], turned, 1e-5, `rotation ${k}`);
      expectAllClose([pose[3 + k], pose[9 + k]], moved, 1e-5, `translation ${k}`);
    }
  });

  test('the left Jacobian joins its series near 0 without a step, and is I at 0', () => {
    expectAllClose(leftJacobian([0, 0, 0]), [1, 0, 0, 0, 1, 0, 0, 0, 1], 0);
    const [below, above] = [0.99e-4, 1.01e-4].map((t) => leftJacobian([t, 0, 0]));
    expectAllClose(below, above, 1.1e-6);
  });

  test('beside a pixel lens the lens derivatives do not exist', () => {
    const both = projectionDerivatives();
    const lens = { fx: 526, fy: 526, cx: 320, cy: 256, distortion: MODERATE_DISTORTION };
    deriveProjectionInto(both, { ...seeing, pixelLens: lens }, ...POINT);
    expect(both.lens.every(Number.isNaN)).toBe(true);
  });
});

describe('against OpenCV 5.0 projectPoints, an independent program', () => {
  // Only here: the product itself projects with its own kernel.
  interface Projecting {
    Mat: new () => Mat;
    CV_64F: number;
    CV_64FC3: number;
    matFromArray(rows: number, columns: number, type: number, values: ArrayLike<number>): Mat;
    projectPoints(points: Mat, r: Mat, t: Mat, k: Mat, d: Mat, out: Mat, jacobian: Mat): void;
  }
  interface Mat {
    readonly data64F: Float64Array;
    readonly cols: number;
    delete(): void;
  }

  test('pixels agree to 1e-9 px and the Jacobian by pose and lens to 1e-6', async () => {
    const cv = (await loadOpenCv()) as unknown as Projecting;
    const plain = { ...seeing, skew: 0 };
    const { fx, fy, cx, cy, distortion, translation } = plain;
    const mats = [
      cv.matFromArray(1, 1, cv.CV_64FC3, POINT),
      cv.matFromArray(3, 1, cv.CV_64F, VECTOR),
      cv.matFromArray(3, 1, cv.CV_64F, translation),
      cv.matFromArray(3, 3, cv.CV_64F, [fx, 0, cx, 0, fy, cy, 0, 0, 1]),
      cv.matFromArray(5, 1, cv.CV_64F, distortion),
      new cv.Mat(),
      new cv.Mat(),
    ] as const;
    cv.projectPoints(...mats);
    const [out, jacobian] = [mats[5], mats[6]];
    const found = projectionDerivatives();
    deriveProjectionInto(found, plain, ...POINT);
    rotationVectorColumnsInto(found.pose, leftJacobian(VECTOR));
    expectAllClose(found.uv, out.data64F.subarray(0, 2), 1e-9, 'pixel');
    // OpenCV's columns: rotation vector 3, translation 3, fx, fy, cx, cy, k1, k2, p1, p2, k3.
    const ours = [0, 1].flatMap((row) => [
      ...found.pose.subarray(6 * row, 6 * row + 6),
      ...(['fx', 'fy', 'cx', 'cy', 'k1', 'k2', 'p1', 'p2', 'k3'] as const).map(
        (name) => found.lens[10 * row + LENS_PARAMETERS.indexOf(name)],
      ),
    ]);
    expect(jacobian.cols).toBe(15);
    ours.forEach((value, i) => {
      expectClose(value, jacobian.data64F[i], 1e-6, `column ${i % 15} of ${'uv'[Math.floor(i / 15)]}`);
    });
    for (const mat of mats) mat.delete();
  });
});
