import { describe, expect, test } from '@jest/globals';
import { dltCoefficients, dltHomogeneous, dltLinear, dltPoint, dltProject } from '../../src/cameras/dlt.ts';
import { decomposeProjection, projectionMatrix } from '../../src/cameras/projection-matrix.ts';
import { seededRandom } from '../../src/numerics/random.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { reference } from '../reference.ts';
import { camera, pixelsOf } from './synthetic-cameras.ts';

interface Marked {
  readonly point: string;
  readonly xyz: readonly number[];
  readonly uv: readonly (readonly number[])[];
}

const pointsOf = (cases: readonly Marked[]) => Float64Array.from(cases.flatMap((one) => one.xyz));
const viewOf = (cases: readonly Marked[], view: number) => Float64Array.from(cases.flatMap((one) => one.uv[view]));

/** √(mean squared pixel distance), as the published cube states its errors. */
function errorPx(coefficients: ArrayLike<number>, points: Float64Array, pixels: Float64Array): number {
  const predicted = dltProject(coefficients, points);
  return Math.sqrt(predicted.reduce((sum, x, i) => sum + (x - pixels[i]) ** 2, 0) / (pixels.length / 2));
}

describe('the published cube, four views', () => {
  const cube = reference<Marked>('cameras-dlt-cube');
  const points = pointsOf(cube.cases);
  const views = [0, 1, 2, 3];
  const solved = views.map((view) => dltCoefficients(dltHomogeneous(points, viewOf(cube.cases, view)).matrix));

  test.each(views)('view %i: the normalised DLT has the printed coefficients and error', (view) => {
    const printed = (cube.coefficients as number[][])[view];
    for (let i = 0; i < 11; i++) expectClose(solved[view][i] / printed[i], 1, 1e-7, `L${i + 1}, relative`);
    const error = errorPx(solved[view], points, viewOf(cube.cases, view));
    expectClose(error, (cube.normalisedErrorPx as number[])[view], cube.tolerance, 'error px');
  });

  test.each(views)('view %i: plain least squares is another estimator, with its own error', (view) => {
    const pixels = viewOf(cube.cases, view);
    const error = errorPx(dltLinear(points, pixels), points, pixels);
    expectClose(error, (cube.plainErrorPx as number[])[view], cube.tolerance, 'error px');
  });

  test('the eight corners come back with the printed mean error', () => {
    let sum = 0;
    cube.cases.forEach((one, i) => {
      const found = dltPoint(solved, one.uv.flat());
      expectAllClose(found, (cube.reconstructed as number[][])[i], 5e-8, `corner ${one.point}, cm`);
      sum += Math.hypot(...found.map((x, k) => x - one.xyz[k]));
    });
    expectClose(sum / 8, cube.meanErrorCm as number, cube.tolerance, 'mean 3D error, cm');
  });
});

describe('the published room, two cameras, six points', () => {
  const room = reference<Marked>('cameras-dlt-room');

  test('the marked point comes back as printed', () => {
    const points = pointsOf(room.cases);
    const solved = [0, 1].map((view) => dltCoefficients(dltHomogeneous(points, viewOf(room.cases, view)).matrix));
    const { uv, xyz } = room.reconstruct as { uv: number[][]; xyz: number[] };
    expectAllClose(dltPoint(solved, uv.flat()), xyz, room.tolerance, 'mm');
  });
});

describe('exact views of an invented camera', () => {
  const seeing = camera({ fy: 1420, skew: 4 });
  const random = seededRandom(11);
  const points = Float64Array.from({ length: 30 }, () => 2 * random.uniform() - 1);
  const { matrix } = dltHomogeneous(points, pixelsOf(seeing, points));

  test('the decomposition returns K with skew, R and t', () => {
    const sign = matrix[8] * points[0] + matrix[9] * points[1] + matrix[10] * points[2] + matrix[11] > 0 ? 1 : -1;
    const found = decomposeProjection(matrix.map((x) => sign * x));
    const { fx, fy, skew, cx, cy } = found;
    expectAllClose([fx, fy, skew, cx, cy], [seeing.fx, seeing.fy, seeing.skew, seeing.cx, seeing.cy], 1e-7, 'K');
    expectAllClose(found.rotation, seeing.rotation, 1e-11, 'R');
    expectAllClose(found.translation, seeing.translation, 1e-9, 't');
    expect(found.handedness).toBe(1);
  });

  test('a mirrored picture shows as a determinant of −1', () => {
    const p = projectionMatrix(seeing);
    for (let c = 0; c < 4; c++) p[c] = (seeing.imageWidth - 1) * p[8 + c] - p[c];
    expect(decomposeProjection(p).handedness).toBe(-1);
  });
});
