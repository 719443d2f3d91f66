import type { FileAxes, LengthUnit, SignedAxis } from './recording.ts';

export const SIGNED_AXES: readonly SignedAxis[] = ['+x', '-x', '+y', '-y', '+z', '-z'];

/** Lab axes and rig-world axes: X forward, Y up. */
export const LAB_AXES: FileAxes = { forward: '+x', up: '+y' };

const METRES: Readonly<Record<LengthUnit, number>> = { m: 1, cm: 0.01, mm: 0.001 };

export function metresPer(unit: LengthUnit): number {
  return METRES[unit];
}

/** Index of a signed axis: 0 x, 1 y, 2 z. */
export function axisIndex(axis: SignedAxis): 0 | 1 | 2 {
  return 'xyz'.indexOf(axis[1]) as 0 | 1 | 2;
}

/** Unit vector of a signed axis, file coordinates. */
function axisVector(axis: SignedAxis): [number, number, number] {
  const vector: [number, number, number] = [0, 0, 0];
  vector[axisIndex(axis)] = axis[0] === '-' ? -1 : 1;
  return vector;
}

/**
 * `labFromFile`, row-major 3 × 3: rows are the file-axis vectors of lab X = forward, Y = up, Z = forward × up (to the
 * right). Determinant +1 for every allowed pair, so a right-handed file stays right-handed. `forward` and `up` must not
 * lie on one axis (checked where files are read).
 */
export function labFromFile(axes: FileAxes): Float64Array {
  const f = axisVector(axes.forward);
  const u = axisVector(axes.up);
  const right = [f[1] * u[2] - f[2] * u[1], f[2] * u[0] - f[0] * u[2], f[0] * u[1] - f[1] * u[0]];
  return Float64Array.from([...f, ...u, ...right]);
}

/** Turns `count` xyz triples by a row-major 3 × 3 matrix and multiplies by `scale`, in place. */
export function turnTriplesInPlace(xyz: Float64Array, turn: Float64Array, scale: number): void {
  for (let i = 0; i < xyz.length; i += 3) {
    const x = xyz[i];
    const y = xyz[i + 1];
    const z = xyz[i + 2];
    for (let row = 0; row < 3; row++) {
      xyz[i + row] = scale * (turn[3 * row] * x + turn[3 * row + 1] * y + turn[3 * row + 2] * z);
    }
  }
}
