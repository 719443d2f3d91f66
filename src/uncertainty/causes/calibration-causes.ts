import { projectInto } from '../../cameras/camera-model.ts';
import { movedCameras } from '../../cameras/moving-points/scale-sd.ts';
import type { Camera, MeasuredQuality } from '../../cameras/rig.ts';
import { uncertaintyReasons } from '../../messages/uncertainty.ts';
import { eigenSymmetric } from '../../numerics/symmetric-eigen.ts';
import { pointMapInto } from '../point-map.ts';
import { type Cause, fieldCause, type GroupCauses } from './cause.ts';
import { applyMapInto, pixelField, type ViewScene } from './pixel-field.ts';

/** Directions of the camera covariance that together hold less than this share of the variance of points are left out. */
const NEGLIGIBLE_SHARE = 1e-6;

/** The volume in which directions are judged where the rig does not state its own, metres: the room of a squat about the origin. */
const SQUAT_VOLUME_M: readonly number[] = [-0.8, 0, -0.8, 0.8, 2, 0.8];

/**
 * Errors of the cameras, by the joint covariance that the rig states: its principal directions, as they move points of the
 * rig's volume. They depend on the rig alone, so recordings of one rig share them.
 */
export function calibrationCauses(
  scene: ViewScene,
  measured: MeasuredQuality | undefined,
  rigKey: string,
): GroupCauses {
  const group = 'calibration' as const;
  const covariance = measured?.covariance ?? null;
  if (covariance === null) return { group, causes: [], notIncluded: uncertaintyReasons.calibrationNotStated() };
  const { cameras } = scene.evidence;
  const parameters = covariance.parameters.map((name, i) => ({ name, i })).filter(({ name }) => moves(cameras, name));
  const causes = principalMoves(cameras, parameters, covariance.lowerTriangle, measured?.volumeM ?? SQUAT_VOLUME_M).map(
    (moved, k): Cause =>
      fieldCause(
        {
          group,
          key: `${rigKey}/cameras ${cameras.map(({ name }) => name).join(' ')}/${k + 1}`,
          label: `cameras, direction ${k + 1}`,
        },
        movedField(scene, moved),
      ),
  );
  return { group, causes, notIncluded: '' };
}

function moves(cameras: readonly Camera[], parameter: string): boolean {
  return movedCameras(cameras, parameter, 0) !== null;
}

/** Cameras moved by one standard deviation along each principal direction. */
function principalMoves(
  cameras: readonly Camera[],
  parameters: readonly { readonly name: string; readonly i: number }[],
  lowerTriangle: readonly number[],
  volumeM: readonly number[],
): Camera[][] {
  const n = parameters.length;
  const at = (a: number, b: number) => {
    const [row, column] = a >= b ? [a, b] : [b, a];
    return lowerTriangle[(row * (row + 1)) / 2 + column];
  };
  const full = Float64Array.from({ length: n * n }, (_, k) => at(parameters[Math.floor(k / n)].i, parameters[k % n].i));
  const sds = parameters.map((_, k) => Math.sqrt(full[k * n + k]));
  // Scaled to correlations, so that radians, pixels and metres count alike in the root.
  const correlation = full.map((value, k) => value / (sds[Math.floor(k / n)] * sds[k % n] || 1));
  const { values, vectors } = eigenSymmetric(correlation, n);
  const root = Float64Array.from({ length: n * n }, (_, k) => {
    const [row, column] = [Math.floor(k / n), k % n];
    return sds[row] * vectors[row * n + column] * Math.sqrt(Math.max(0, values[column]));
  });
  const fields = parameters.map((_, column) =>
    volumeField(
      cameras,
      movedBy(cameras, parameters, (row) => root[row * n + column]),
      volumeM,
    ),
  );
  const gram = Float64Array.from({ length: n * n }, (_, k) => dot(fields[Math.floor(k / n)], fields[k % n]));
  const principal = eigenSymmetric(gram, n);
  const total = principal.values.reduce((sum, value) => sum + Math.max(0, value), 0);
  const kept: Camera[][] = [];
  let rest = total;
  // Largest first; the sign of an eigenvector is settled by its largest component.
  for (let k = n - 1; k >= 0 && rest > NEGLIGIBLE_SHARE * total; k--) {
    rest -= principal.values[k];
    const direction = Float64Array.from({ length: n }, (_, row) => principal.vectors[row * n + k]);
    const largest = direction.reduce((best, value) => (Math.abs(value) > Math.abs(best) ? value : best), 0);
    kept.push(
      movedBy(cameras, parameters, (row) => {
        let sum = 0;
        for (let column = 0; column < n; column++) sum += root[row * n + column] * direction[column];
        return largest < 0 ? -sum : sum;
      }),
    );
  }
  return kept;
}

function movedBy(
  cameras: readonly Camera[],
  parameters: readonly { readonly name: string }[],
  stepOf: (row: number) => number,
): Camera[] {
  let moved: Camera[] = [...cameras];
  parameters.forEach(({ name }, row) => {
    moved = movedCameras(moved, name, stepOf(row)) ?? moved;
  });
  return moved;
}

const IDENTITY = Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1);

/** Displacements of 27 points of the rig's volume, world axes, metres; 0 where the cameras do not fix one. */
function volumeField(cameras: readonly Camera[], moved: readonly Camera[], volumeM: readonly number[]): Float64Array {
  const field = new Float64Array(81);
  const map = new Float64Array(6 * cameras.length);
  const weight = new Float64Array(cameras.length).fill(1);
  const shift = new Float64Array(2 * cameras.length);
  for (let k = 0; k < 27; k++) {
    const place = [k % 3, Math.floor(k / 3) % 3, Math.floor(k / 9)].map(
      (step, axis) => volumeM[axis] + (step / 2) * (volumeM[axis + 3] - volumeM[axis]),
    );
    const [x, y, z] = place;
    if (!pointMapInto(map, 0, cameras, null, 0, weight, 0, IDENTITY, x, y, z)) continue;
    pixelShiftInto(shift, cameras, moved, x, y, z);
    applyMapInto(field, 3 * k, map, 0, shift);
  }
  return field.map((value) => (Number.isFinite(value) ? value : 0));
}

/** Pixels of the moved cameras less those of the assumed ones: a point is misplaced by −A times it. */
function pixelShiftInto(
  out: Float64Array,
  cameras: readonly Camera[],
  moved: readonly Camera[],
  x: number,
  y: number,
  z: number,
): void {
  for (let v = 0; v < cameras.length; v++) {
    projectInto(before, 0, cameras[v], x, y, z);
    projectInto(after, 0, moved[v], x, y, z);
    out[2 * v] = before[0] - after[0];
    out[2 * v + 1] = before[1] - after[1];
  }
}

const before = new Float64Array(2);
const after = new Float64Array(2);

/** How the smoothed points move when the cameras are the moved ones and the pixels stay. */
function movedField(scene: ViewScene, moved: readonly Camera[]): Float64Array {
  const { cameras } = scene.evidence;
  const shift = new Float64Array(2 * cameras.length);
  return pixelField(scene, (_, x, y, z) => {
    pixelShiftInto(shift, cameras, moved, x, y, z);
    return shift;
  });
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i] * b[i];
  return sum;
}
