import { describe, expect, test } from '@jest/globals';
import { seededRandom } from '../../src/numerics/random.ts';
import { solveWithoutWorstViews } from '../../src/reconstruction/robust-views.ts';
import { pointProblem, triangulatePoint } from '../../src/reconstruction/triangulate-point.ts';
import { cameraAt, project, type Vector } from './scene.ts';

const ring = [0, 50, 100, 170, 250].map((deg) => {
  const angle = (deg * Math.PI) / 180;
  return cameraAt(`at ${deg}`, [4 * Math.cos(angle), 1.2, 4 * Math.sin(angle)], [0, 0.9, 0]);
});
const point: Vector = [0.1, 0.7, -0.1];

function seen(count: number, noise: () => number) {
  const problem = pointProblem(ring.slice(0, count));
  problem.cameras.forEach((camera, v) => {
    const [u, w] = project(camera, point);
    problem.pixel[2 * v] = u + noise();
    problem.pixel[2 * v + 1] = w + noise();
  });
  return problem;
}

const distance = (position: Float64Array) =>
  Math.hypot(position[0] - point[0], position[1] - point[1], position[2] - point[2]);

describe('three views, one gross outlier of 60 px', () => {
  const random = seededRandom(7);
  test('the wrong view is the one left out, and the point is that of the other two', () => {
    let undecided = 0;
    for (let i = 0; i < 300; i++) {
      const wrong = i % 3;
      const problem = seen(3, () => random.normal());
      const direction = 2 * Math.PI * random.uniform();
      problem.pixel[2 * wrong] += 60 * Math.cos(direction);
      problem.pixel[2 * wrong + 1] += 60 * Math.sin(direction);
      if (!solveWithoutWorstViews(problem, 6, 1)) {
        undecided++;
        continue;
      }
      expect(Array.from(problem.use)).toEqual([0, 1, 2].map((v) => (v === wrong ? 0 : 1)));
      const others = pointProblem(problem.cameras);
      others.pixel.set(problem.pixel);
      others.use.set(problem.use);
      triangulatePoint(others);
      expect(problem.position).toEqual(others.position);
      expect(distance(problem.position)).toBeLessThan(0.03);
    }
    // Undecided where the error runs along the line that another camera draws in the image (within asin(4 / 60) of it).
    expect(undecided).toBeLessThan(60);
  });
});

test('five views, two gross outliers: both are left out', () => {
  const random = seededRandom(8);
  const problem = seen(5, () => random.normal());
  problem.pixel[2] += 70;
  problem.pixel[7] -= 90;
  expect(solveWithoutWorstViews(problem, 6, 1)).toBe(true);
  expect(Array.from(problem.use)).toEqual([1, 0, 1, 0, 1]);
});

test('three views of which two are wrong: no verdict', () => {
  const problem = seen(3, () => 0);
  problem.pixel[1] += 80;
  problem.pixel[3] -= 200;
  expect(solveWithoutWorstViews(problem, 6, 1)).toBe(false);
});

test('two views that miss each other: no verdict', () => {
  const problem = seen(2, () => 0);
  problem.pixel[1] += 80;
  expect(solveWithoutWorstViews(problem, 6, 1)).toBe(false);
});

test('residuals are standardised: 30 px are noise in a view of 10 px, an error in one of 1 px', () => {
  const errorIn = (wrong: number, noisy: number) => {
    const problem = seen(4, () => 0);
    problem.weight[noisy] = 0.01;
    problem.pixel[2 * wrong] += 30;
    problem.pixel[2 * wrong + 1] += 30;
    triangulatePoint(problem);
    return problem;
  };
  const asNoise = errorIn(3, 3);
  for (let v = 0; v < 4; v++) expect(Math.sqrt(asNoise.weight[v] * asNoise.squaredResidual[v])).toBeLessThan(6);
  expect(Math.sqrt(asNoise.squaredResidual[3])).toBeGreaterThan(35);
  const asError = errorIn(1, 3);
  expect(solveWithoutWorstViews(asError, 6, 1)).toBe(true);
  expect(Array.from(asError.use)).toEqual([1, 0, 1, 1]);
});
