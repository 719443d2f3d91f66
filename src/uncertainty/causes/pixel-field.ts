import type { ViewEvidence } from '../../reconstruction/evidence.ts';
import type { Trajectories } from '../../reconstruction/trajectories.ts';
import { pointMapInto } from '../point-map.ts';

/** Where smoothed points lie and how they answer pixels. */
export interface ViewScene {
  readonly trajectories: Trajectories;
  readonly evidence: ViewEvidence;
  /** labFromWorld, row-major 3 × 3. */
  readonly turn: Float64Array;
}

/** Displacements (lab, metres) of the smoothed points for pixels shifted by what `shiftAt` says; 0 where there is no point. */
export function pixelField(
  { trajectories, evidence, turn }: ViewScene,
  shiftAt: (sample: number, worldX: number, worldY: number, worldZ: number) => Float64Array,
): Float64Array {
  const { position, landmarks } = trajectories;
  const { cameras, used, weight } = evidence;
  const views = cameras.length;
  const count = landmarks.length;
  const field = new Float64Array(position.length);
  const map = new Float64Array(6 * views);
  for (let s = 0; s < position.length / 3; s++) {
    const [x, y, z] = [position[3 * s], position[3 * s + 1], position[3 * s + 2]];
    if (Number.isNaN(x)) continue;
    // A filled sample has no views of its own: all are taken to have a part.
    const own = hasViews(used, s * views, views) ? used : null;
    if (!pointMapInto(map, 0, cameras, own, s * views, weight, (s % count) * views, turn, x, y, z)) continue;
    const shift = shiftAt(
      s,
      turn[0] * x + turn[3] * y + turn[6] * z,
      turn[1] * x + turn[4] * y + turn[7] * z,
      turn[2] * x + turn[5] * y + turn[8] * z,
    );
    applyMapInto(field, 3 * s, map, 0, shift);
  }
  for (let i = 0; i < field.length; i++) if (!Number.isFinite(field[i])) field[i] = 0;
  return field;
}

function hasViews(used: Uint8Array, from: number, views: number): boolean {
  for (let v = 0; v < views; v++) if (used[from + v] !== 0) return true;
  return false;
}

/** out[o … o + 2] = the point map at `m` times the pixel shifts. */
export function applyMapInto(
  out: Float64Array,
  o: number,
  map: ArrayLike<number>,
  m: number,
  shift: Float64Array,
): void {
  const width = shift.length;
  for (let row = 0; row < 3; row++) {
    let sum = 0;
    for (let c = 0; c < width; c++) sum += map[m + row * width + c] * shift[c];
    out[o + row] = sum;
  }
}
