import type { BundleProblem } from '../bundle-problem.ts';
import type { BundlePlaces } from './bundle-layout.ts';

/** Observations in the order of their groups (by target, then camera), one array a column. */
export interface SortedObservations {
  /** Original index. */
  readonly order: Int32Array;
  readonly camera: Int32Array;
  readonly target: Int32Array;
  readonly point: Int32Array;
  /** 3 × n: the point in its own frame ('rigid', 'known'). */
  readonly local: Float64Array;
  readonly pixel: Float64Array;
  /** 1 / sd, 2 × n. */
  readonly weight: Float64Array;
  readonly velocity: Float64Array;
  readonly timeS: Float64Array;
}

export function sortObservations({ observations, targets }: BundleProblem): SortedObservations {
  const { camera, target, point, pixel, sdPx, velocity, timeS } = observations;
  const n = camera.length;
  const order = Int32Array.from({ length: n }, (_, i) => i).sort(
    (a, b) => target[a] - target[b] || camera[a] - camera[b] || a - b,
  );
  const local = new Float64Array(3 * n);
  const pick = (width: number, from: Float64Array | null, missing: number) => {
    const out = new Float64Array(width * n).fill(missing);
    if (from === null) return out;
    for (let i = 0; i < n; i++) for (let k = 0; k < width; k++) out[width * i + k] = from[width * order[i] + k];
    return out;
  };
  order.forEach((from, i) => {
    const seen = targets[target[from]];
    if (seen.kind === 'rigid' || seen.kind === 'known') {
      for (let k = 0; k < 3; k++) local[3 * i + k] = seen.points[3 * point[from] + k];
    }
  });
  return {
    order,
    camera: order.map((from) => camera[from]),
    target: order.map((from) => target[from]),
    point: order.map((from) => point[from]),
    local,
    pixel: pick(2, pixel, Number.NaN),
    weight: pick(2, sdPx, 1).map((sd) => 1 / sd),
    velocity: pick(2, velocity, 0),
    timeS: pick(1, timeS, 0),
  };
}

/** Groups of the block problem: observations, rod lengths, priors of lens and clock camera by camera. */
export function groupsOf(places: BundlePlaces, seen: SortedObservations, rods: readonly number[]) {
  const rows: number[] = [];
  const block: number[] = [];
  const list: number[] = [];
  const robust: number[] = [];
  const add = (r: number, b: number, l: number, loss: number) => {
    rows.push(r);
    block.push(b);
    list.push(l);
    robust.push(loss);
  };
  for (let i = 0; i < seen.order.length; i++) {
    add(2, places.targets[seen.target[i]].block, places.cameras[seen.camera[i]].list, 1);
  }
  for (const t of rods) add(1, places.targets[t].block, -1, 0);
  for (const place of places.cameras) {
    if (place.prior !== null) add(place.lens.length, -1, place.priorList, 0);
    if (place.clockList >= 0) add(1, -1, place.clockList, 0);
  }
  return {
    groupRows: Int32Array.from(rows),
    groupBlock: Int32Array.from(block),
    groupList: Int32Array.from(list),
    groupRobust: Uint8Array.from(robust),
  };
}
