import { describe, expect, test } from '@jest/globals';
import { refineBoardRig } from '../../src/cameras/board-bundle.ts';
import type { Pose } from '../../src/cameras/pose.ts';
import { leastSquares } from '../../src/numerics/least-squares.ts';
import { multiply3, rotationFromVector } from '../../src/numerics/rotation.ts';
import { expectAllClose, expectClose } from '../expect-close.ts';
import { boardRigProblem } from './dense-board-problem.ts';
import { boardImages, cameraLookingAt } from './synthetic-cameras.ts';

const BOARD = { columns: 6, rows: 4, squareSizeM: 0.12 };
const FREE = ['fx', 'fy', 'cx', 'cy', 'k1', 'k2'] as const;
const IDENTITY = Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1);
const CAMERAS = [
  { ...cameraLookingAt('a', [0, 0, 0], [0, 0, 1]), rotation: IDENTITY, translation: new Float64Array(3) },
  {
    ...cameraLookingAt('b', [0, 0, 0], [0, 0, 1]),
    rotation: rotationFromVector([0.1, 0.9, -0.05]),
    translation: Float64Array.of(-2.1, 0.2, 1.6),
  },
].map((camera) => ({ ...camera, distortion: [-0.12, 0.04, 0, 0, 0] as const }));
const POSES = new Map(
  Array.from({ length: 8 }, (_, i): [string, Pose] => {
    const turn = [0.5 * Math.sin(2.1 * i), -0.4 + 0.5 * Math.sin(3.3 * i + 1), 0.4 * Math.sin(1.3 * i + 2)];
    const place = [-0.4 + 0.1 * (i % 3), -0.3 + 0.1 * (i % 4), 2.8 + 0.15 * (i % 5)];
    return [`i${i}`, { rotation: rotationFromVector(turn), translation: Float64Array.from(place) }];
  }),
);

describe('joint refinement of boards against the dense solver on the whole problem', () => {
  const images = boardImages(CAMERAS, BOARD, POSES, 0.2);
  const cameras = CAMERAS.map((camera) => ({ ...camera, fx: 1480, fy: 1490 }));
  const boards = new Map(
    [...POSES].map(([name, pose]) => [
      name,
      {
        rotation: multiply3(rotationFromVector([0.01, -0.01, 0.02]), pose.rotation),
        translation: pose.translation.map((x) => x + 0.01),
      },
    ]),
  );
  const { problem, layout, names, corners } = boardRigProblem({ cameras, boards, free: FREE }, images, BOARD);
  const dense = leastSquares(problem, layout.start);
  const found = refineBoardRig({ cameras, boards, free: [FREE, FREE] }, images, BOARD);

  test('same minimum', () => {
    expect(found.corners).toBe(corners);
    expectClose((2 * found.solution.cost) / dense.residualSumOfSquares, 1, 1e-12, 'sum of squares');
    layout.cameras(dense.parameters).forEach((camera, c) => {
      expectAllClose(found.cameras[c].translation, camera.translation, 1e-8, 'translation');
      expectAllClose(found.cameras[c].rotation, camera.rotation, 1e-8, 'rotation');
      for (const key of ['fx', 'fy', 'cx', 'cy'] as const) expectClose(found.cameras[c][key], camera[key], 1e-4, key);
    });
    names.forEach((name, b) => {
      expectAllClose(found.boards.get(name)!.translation, layout.board(dense.parameters, b).translation, 1e-8, name);
    });
  });

  test('same standard deviations: rotation vectors, translations, lenses, turns of the boards', () => {
    // The dense one has them from the singular values of J. 1e-6: the estimates differ by 1e-7 standard deviations.
    const close = (actual: ArrayLike<number>, from: number, what: string) => {
      for (let k = 0; k < actual.length; k++)
        expectClose(actual[k] / dense.standardDeviations[from + k], 1, 1e-6, `${what} ${k}`);
    };
    close(found.poseSd[1], layout.poseAt(1), 'pose of b');
    expect([...found.poseSd[0]]).toEqual([0, 0, 0, 0, 0, 0]);
    [0, 1].forEach((c) => {
      close(found.lensSd[c], layout.lensAt(c), `lens ${c}`);
    });
    names.forEach((name, b) => {
      const turn = found.boardTurnCovariance.get(name)!;
      const own = found.solution.targetCovariance(b);
      expectAllClose([turn[0], turn[4], turn[8]], [own[0], own[7], own[14]], 0, 'part of the board’s own covariance');
      for (let k = 0; k < 3; k++) {
        const at = layout.boardAt(b) + 3 + k;
        expectClose(Math.sqrt(own[7 * (3 + k)]) / dense.standardDeviations[at], 1, 1e-6, `place of ${name}`);
      }
    });
  });
});
