import { describe, expect, test } from '@jest/globals';
import { dltProject } from '../../src/cameras/dlt.ts';
import { projectionMatrix } from '../../src/cameras/projection-matrix.ts';
import { pointsToWorld, projectionToWorld, worldFromFile } from '../../src/cameras/world-axes.ts';
import { DataError } from '../../src/errors.ts';
import { expectAllClose } from '../expect-close.ts';
import { camera } from './synthetic-cameras.ts';

describe('file axes to the rig world', () => {
  test('z up, facing −y, millimetres: forward becomes X, up Y, the lifter’s right Z; the floor height becomes 0', () => {
    const world = worldFromFile({ forward: '-y', up: '+z' }, 'mm', 100);
    // Facing −y with z up, the right hand points to −x.
    expectAllClose(pointsToWorld(Float64Array.of(-3000, -2000, 1100), world), [2, 1, 3], 1e-12);
  });

  test('a projection matrix for file points, turned, projects the turned points alike', () => {
    const p = projectionMatrix(camera({ translation: Float64Array.of(100, -200, 4000) }));
    const points = Float64Array.of(120, -340, 260, -75, 33, 410);
    const world = worldFromFile({ forward: '-x', up: '-z' }, 'cm', -12);
    expectAllClose(dltProject(projectionToWorld(p, world), pointsToWorld(points, world)), dltProject(p, points), 1e-9);
  });

  test('forward and up along one axis are refused', () => {
    expect(() => worldFromFile({ forward: '+z', up: '-z' }, 'm')).toThrow(DataError);
  });
});
