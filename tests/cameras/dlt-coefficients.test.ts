import { describe, expect, test } from '@jest/globals';
import { cameraCentre, projectInto, rawPixelInto } from '../../src/cameras/camera-model.ts';
import { dltCoefficients, dltProject } from '../../src/cameras/dlt.ts';
import {
  cameraFromDltCoefficients,
  type DltConvention,
  rigFromDltCoefficients,
} from '../../src/cameras/dlt-coefficients.ts';
import { projectionMatrix } from '../../src/cameras/projection-matrix.ts';
import { DataError } from '../../src/errors.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';
import { cameraLookingAt } from './synthetic-cameras.ts';

const truth = cameraLookingAt('one', [2, 1.4, 4], [0, 1, 0], { skew: 1.5, fy: 1490 });
const PLAIN: DltConvention = {
  imageWidth: 1920,
  imageHeight: 1080,
  pixelY: 'down',
  unit: 'm',
  axes: { forward: '+x', up: '+y' },
};
const coefficients = dltCoefficients(projectionMatrix(truth));
/** The same camera where rows count upward: v' = height − 1 − v. */
const upward = coefficients.map((l, i) => (i >= 4 && i < 8 ? 1079 * (i === 7 ? 1 : coefficients[i + 4]) - l : l));

const codeOf = (work: () => unknown): string => {
  try {
    work();
  } catch (error) {
    if (error instanceof DataError) return error.code;
    throw error;
  }
  return 'none';
};

describe('a camera from its eleven coefficients', () => {
  test.each([
    ['down', coefficients],
    ['up', upward],
  ] as const)('rows counted %s: K with skew, R and t come back', (pixelY, given) => {
    const { camera, inFront } = cameraFromDltCoefficients({ name: 'one', coefficients: given }, { ...PLAIN, pixelY });
    expect(inFront).toBe(true);
    for (const key of ['fx', 'fy', 'cx', 'cy', 'skew'] as const) expectClose(camera[key], truth[key], 1e-8, key);
    expectAllClose(camera.rotation, truth.rotation, 1e-12, 'R');
    expectAllClose(cameraCentre(camera), [2, 1.4, 4], 1e-11, 'centre');
  });

  test('the published cube: the exact projective camera is kept, in metres and rig axes', () => {
    const cube = reference<{ xyz: number[]; uv: number[][] }>('cameras-dlt-cube');
    const given = (cube.coefficients as number[][])[2].slice(0, 11);
    const { camera } = cameraFromDltCoefficients(
      { name: 'view 3', coefficients: given },
      { ...PLAIN, unit: 'cm', axes: { forward: '+x', up: '+y' }, floorHeight: -3 },
    );
    const uv = new Float64Array(2);
    for (const { xyz } of cube.cases) {
      projectInto(uv, 0, camera, xyz[0] / 100, (xyz[1] + 3) / 100, xyz[2] / 100);
      expectAllClose(uv, dltProject(given, Float64Array.from(xyz)), 1e-9, 'pixel');
    }
  });

  test('coefficients for undistorted pixels: the camera takes raw ones, through the lens turned over with the rows', () => {
    const lens = { fx: 1520, fy: 1510, cx: 955, cy: 500, distortion: [-0.25, 0.07, 0.003, -0.002, 0] as const };
    const { camera } = cameraFromDltCoefficients(
      { name: 'one', coefficients: upward },
      { ...PLAIN, pixelY: 'up', lens },
    );
    const point = Float64Array.of(0.6, 1.5, -0.4);
    const ideal = dltProject(upward, point);
    const raw = new Float64Array(2);
    rawPixelInto(raw, 0, lens, ideal[0], ideal[1]);
    const uv = new Float64Array(2);
    projectInto(uv, 0, camera, ...(point as unknown as [number, number, number]));
    expectAllClose(uv, [raw[0], 1079 - raw[1]], 1e-9, 'raw pixel, y down');
  });
});

describe('what is refused', () => {
  test('the wrong way of counting rows: the origin would lie behind every camera', () => {
    const given = [{ name: 'one', coefficients: upward }];
    expect(codeOf(() => rigFromDltCoefficients(given, PLAIN))).toBe('dlt-all-mirrored');
    expect(codeOf(() => rigFromDltCoefficients(given, { ...PLAIN, pixelY: 'up' }))).toBe('none');
  });

  test('an origin behind one of two cameras is a note; a point in view settles it', () => {
    const away = cameraLookingAt('two', [0.5, 1, 1], [3, 1, 5]);
    const given = [
      { name: 'one', coefficients },
      { name: 'two', coefficients: dltCoefficients(projectionMatrix(away)) },
    ];
    const { quality } = rigFromDltCoefficients(given, PLAIN);
    expect(quality.notes.filter((note) => note.startsWith('camera two'))).toHaveLength(1);
    const settled = rigFromDltCoefficients(given.slice(1), { ...PLAIN, pointInView: [3, 1, 5] });
    expectAllClose(cameraCentre(settled.cameras[0]), [0.5, 1, 1], 1e-11);
  });

  test('ten numbers, a missing one, none, and a singular set', () => {
    const one = (given: ArrayLike<number>) => () =>
      rigFromDltCoefficients([{ name: 'one', coefficients: given }], PLAIN);
    expect(codeOf(one(coefficients.slice(0, 10)))).toBe('dlt-count-wrong');
    expect(codeOf(one(coefficients.map((l, i) => (i === 6 ? Number.NaN : l))))).toBe('dlt-coefficient-missing');
    expect(codeOf(one(new Float64Array(11)))).toBe('dlt-singular');
    expect(codeOf(one(new Float64Array(11).fill(-1)))).toBe('dlt-singular');
    expect(codeOf(() => rigFromDltCoefficients([], PLAIN))).toBe('dlt-no-camera');
  });

  test('odd implied lenses are noted, not mended', () => {
    const odd = cameraLookingAt('odd', [2, 1.4, 4], [0, 1, 0], { fy: 1400, cx: 300 });
    const given = [{ name: 'odd', coefficients: dltCoefficients(projectionMatrix(odd)) }];
    const rig = rigFromDltCoefficients(given, PLAIN);
    expect(rig.quality.notes).toHaveLength(2);
    expectClose(rig.cameras[0].fy, 1400, 1e-8);
  });
});
