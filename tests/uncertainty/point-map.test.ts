import { expect, test } from '@jest/globals';
import { projectInto } from '../../src/cameras/camera-model.ts';
import type { Camera } from '../../src/cameras/rig.ts';
import { rotationAboutY } from '../../src/numerics/rotation.ts';
import { pointProblem, triangulatePoint } from '../../src/reconstruction/triangulate-point.ts';
import { pointMapInto } from '../../src/uncertainty/point-map.ts';
import { expectClose } from '../expect-close.ts';
import { demoCameras } from '../synthetic/camera.ts';
import { analyserCamera } from '../synthetic/in-memory.ts';

const cameras: Camera[] = demoCameras().map(analyserCamera);
/** A third view, so that weights and a view without a part can be told apart. */
const third: Camera = {
  ...cameras[0],
  name: 'third',
  translation: cameras[0].translation.map((t, i) => t + [0.9, 0.2, 0.3][i]),
};
const three = [...cameras, third];

/** The point of least weighted distance to the given pixels, world axes. */
function solved(views: readonly Camera[], pixels: Float64Array, weight: readonly number[], used: readonly number[]) {
  const problem = pointProblem(views);
  problem.pixel.set(pixels);
  problem.weight.set(weight);
  problem.use.set(used);
  triangulatePoint(problem);
  return problem.position.slice();
}

test.each([
  ['two views alike', cameras, [1, 1], [1, 1]],
  ['two views of unlike weight', cameras, [1, 0.2], [1, 1]],
  ['three views, one without a part', three, [1, 0.5, 2], [1, 1, 0]],
  ['three views of unlike weight', three, [1, 0.5, 2], [1, 1, 1]],
] as const)('%s: the map is the derivative of the triangulated point by its pixels', (_, views, weight, used) => {
  const turn = rotationAboutY(0.4);
  const world = [0.2, 0.9, -0.15];
  const lab = [0, 1, 2].map((r) => turn[3 * r] * world[0] + turn[3 * r + 1] * world[1] + turn[3 * r + 2] * world[2]);
  const map = new Float64Array(6 * views.length);
  expect(pointMapInto(map, 0, views, used, 0, weight, 0, turn, lab[0], lab[1], lab[2])).toBe(true);
  const pixels = new Float64Array(2 * views.length);
  views.forEach((camera, v) => {
    projectInto(pixels, 2 * v, camera, world[0], world[1], world[2]);
  });
  const step = 0.05;
  for (let column = 0; column < pixels.length; column++) {
    const [up, down] = [step, -step].map((h) => {
      const moved = pixels.slice();
      moved[column] += h;
      return solved(views, moved, weight, used);
    });
    const slope = [0, 1, 2].map((i) => (up[i] - down[i]) / (2 * step));
    for (let r = 0; r < 3; r++) {
      const expected = turn[3 * r] * slope[0] + turn[3 * r + 1] * slope[1] + turn[3 * r + 2] * slope[2];
      // Solver stops within 1e-10 m, over a step of 0.1 px; the map itself is some 3e-3 m/px.
      expectClose(map[r * pixels.length + column], expected, 2e-8, `row ${r} column ${column}`);
    }
  }
});

test('one view fixes no point', () => {
  const map = new Float64Array(12).fill(7);
  expect(pointMapInto(map, 0, cameras, [1, 0], 0, [1, 1], 0, rotationAboutY(0), 0.1, 1, 0)).toBe(false);
  expect(Array.from(map)).toEqual(new Array(12).fill(0));
});
