import { expect, test } from '@jest/globals';
import { cameraFromDltCoefficients } from '../../src/cameras/dlt-coefficients.ts';
import { SampleStatus } from '../../src/capture/sample-status.ts';
import { pointProblem, triangulatePoint } from '../../src/reconstruction/triangulate-point.ts';
import { expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';

interface Corner {
  readonly point: number;
  readonly cornerCm: readonly number[];
  /** u, v of each of the four views. */
  readonly pixels: readonly number[];
  readonly reconstructedCm: readonly number[];
}

const cube = reference<Corner>('reconstruction-cube-dlt');
const parameters = cube.dltParameters as readonly (readonly number[])[];
const problem = pointProblem(
  parameters.map((coefficients, view) => {
    // The file's z is taken as up and its x as forward; Z of the world is then −y of the file.
    const convention = {
      imageWidth: 2048,
      imageHeight: 2048,
      pixelY: 'down',
      unit: 'cm',
      axes: { forward: '+x', up: '+z' },
      pointInView: [7, 6, 7],
    } as const;
    return cameraFromDltCoefficients({ name: `view ${view + 1}`, coefficients }, convention).camera;
  }),
);

function reconstructCm(corner: Corner): number[] {
  problem.pixel.set(corner.pixels);
  expect(triangulatePoint(problem)).toBe(SampleStatus.seen);
  const [x, y, z] = problem.position;
  return [100 * x, -100 * z, 100 * y];
}

/** Sum of squared reprojection distances by the published formula: u = (L1 X + L2 Y + L3 Z + L4) / (L9 X + L10 Y + L11 Z + 1). */
function squaredDistance(corner: Corner, [x, y, z]: readonly number[]): number {
  return parameters.reduce((sum, l, view) => {
    const depth = l[8] * x + l[9] * y + l[10] * z + 1;
    const u = (l[0] * x + l[1] * y + l[2] * z + l[3]) / depth;
    const v = (l[4] * x + l[5] * y + l[6] * z + l[7]) / depth;
    return sum + (u - corner.pixels[2 * view]) ** 2 + (v - corner.pixels[2 * view + 1]) ** 2;
  }, 0);
}

test.each(cube.cases)('corner $point from four views stands at the published place', (corner) => {
  reconstructCm(corner).forEach((value, axis) => {
    expectClose(value, corner.reconstructedCm[axis], cube.tolerance, `${'XYZ'[axis]}, cm`);
  });
});

test.each(cube.cases)(
  'corner $point has a smaller reprojection distance than the published linear estimate',
  (corner) => {
    const ours = squaredDistance(corner, reconstructCm(corner));
    expectClose(problem.summary[0], ours, 1e-5 * ours, 'sum of squares, px²'); // nine printed digits of the parameters
    expect(ours).toBeLessThan(squaredDistance(corner, corner.reconstructedCm));
  },
);

test('the mean error against the cube is the published one', () => {
  const errors = cube.cases.map((corner) => {
    const found = reconstructCm(corner);
    return Math.hypot(...found.map((value, axis) => value - corner.cornerCm[axis]));
  });
  const mean = errors.reduce((sum, error) => sum + error, 0) / errors.length;
  expectClose(mean, cube.meanErrorCm as number, cube.tolerance, 'mean error, cm');
});
