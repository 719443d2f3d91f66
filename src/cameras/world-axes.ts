import { labFromFile, metresPer } from '../capture/axes.ts';
import type { FileAxes, LengthUnit } from '../capture/recording.ts';
import { axesNotPerpendicular } from '../messages/cameras.ts';

/**
 * How a file of points turns into the rig's world: X the file's forward, Y its up, Z to the right (forward × up),
 * metres. `rotation` is worldFromFile, row-major 3 × 3.
 */
export interface WorldFromFile {
  readonly rotation: Float64Array;
  readonly metresPerUnit: number;
  /** Height of the floor along the file's up axis, file units; it becomes Y = 0. */
  readonly floorHeight: number;
}

/** Throws `axesNotPerpendicular` where forward and up lie along the same axis. The file's axes are taken as right-handed. */
export function worldFromFile(axes: FileAxes, unit: LengthUnit, floorHeight = 0): WorldFromFile {
  if (axes.forward[1] === axes.up[1]) throw axesNotPerpendicular(axes.forward, axes.up);
  return { rotation: labFromFile(axes), metresPerUnit: metresPer(unit), floorHeight };
}

/** Points, 3 × n interleaved, from file axes and unit to the rig's world, metres. */
export function pointsToWorld(points: Float64Array, world: WorldFromFile): Float64Array {
  const { rotation: r, metresPerUnit: s, floorHeight } = world;
  const out = new Float64Array(points.length);
  for (let o = 0; o < points.length; o += 3) {
    for (let row = 0; row < 3; row++) {
      out[o + row] = s * (r[3 * row] * points[o] + r[3 * row + 1] * points[o + 1] + r[3 * row + 2] * points[o + 2]);
    }
    out[o + 1] -= s * floorHeight;
  }
  return out;
}

/** A 3 × 4 projection matrix for file coordinates, turned into one for the rig's world in metres. */
export function projectionToWorld(matrix: ArrayLike<number>, world: WorldFromFile): Float64Array {
  const { rotation: r, metresPerUnit: s, floorHeight } = world;
  const out = new Float64Array(12);
  for (let row = 0; row < 3; row++) {
    for (let c = 0; c < 3; c++) {
      for (let k = 0; k < 3; k++) out[4 * row + c] += (matrix[4 * row + k] * r[3 * c + k]) / s;
    }
    // file = Rᵀ (world + floor) / s, with the floor along the world's Y.
    out[4 * row + 3] = matrix[4 * row + 3] + out[4 * row + 1] * s * floorHeight;
  }
  return out;
}
