import type { BlockProblem } from '../../numerics/block-problem.ts';
import type { BundleProblem } from '../bundle-problem.ts';
import { projectInto } from '../camera-model.ts';
import { deriveProjectionInto, projectionDerivatives } from '../projection-derivatives.ts';
import type { Camera } from '../rig.ts';
import {
  BOTH_FOCAL_LENGTHS,
  type BundlePlaces,
  type CameraPlace,
  KNOWN,
  RIGID,
  ROD,
  STEP_LENGTH,
} from './bundle-layout.ts';
import { movable, moveCameras } from './moving-cameras.ts';
import { groupsOf, sortObservations } from './sorted-observations.ts';
import { turnInto } from './turn.ts';

export interface BundleBlocks {
  readonly problem: BlockProblem;
  /** Original index of each observation's group; those groups come first, then rod lengths, then priors. */
  readonly order: Int32Array;
  readonly rodCount: number;
  readonly priorRows: number;
}

/**
 * The bundle as a block problem. Groups: every observation ((predicted − measured) / sd, measured moved to the common clock;
 * 2 rows), every rod ((‖b − a‖ − length) / sd), every prior of a lens or a clock. Analytic derivatives.
 */
export function bundleBlocks(bundle: BundleProblem, places: BundlePlaces): BundleBlocks {
  const seen = sortObservations(bundle);
  const n = seen.order.length;
  const rods = bundle.targets.flatMap((target, t) => (target.kind === 'rod' ? [{ target, t }] : []));
  const rodAt = Int32Array.from(rods, ({ t }) => places.targets[t].stateAt);
  const rodLength = Float64Array.from(rods, ({ target }) => target.lengthM);
  const rodSd = Float64Array.from(rods, ({ target }) => target.lengthSdM);
  const groups = groupsOf(
    places,
    seen,
    rods.map(({ t }) => t),
  );
  const moving = bundle.cameras.map(({ camera }) => movable(camera));
  const kind = Int32Array.from(seen.target, (t) => places.targets[t].kind);
  const targetAt = Int32Array.from(seen.target, (t) => places.targets[t].stateAt);
  const derivatives = projectionDerivatives();
  const world = new Float64Array(3);
  const arm = new Float64Array(3);

  /** The observed point in the bundle's frame, and of a rigid target its arm R p. */
  function placePoint(i: number, state: Float64Array): void {
    const at = targetAt[i];
    if (kind[i] === RIGID) {
      const x = seen.local[3 * i];
      const y = seen.local[3 * i + 1];
      const z = seen.local[3 * i + 2];
      for (let k = 0; k < 3; k++) {
        arm[k] = state[at + 3 * k] * x + state[at + 3 * k + 1] * y + state[at + 3 * k + 2] * z;
        world[k] = arm[k] + state[at + 9 + k];
      }
    } else if (kind[i] === KNOWN) {
      for (let k = 0; k < 3; k++) world[k] = seen.local[3 * i + k];
    } else {
      const o = at + 3 * seen.point[i];
      for (let k = 0; k < 3; k++) world[k] = state[o + k];
    }
  }

  /** By how much observation i's camera films late, seconds. */
  function lateness(i: number, state: Float64Array): number {
    const place = places.cameras[seen.camera[i]];
    const at = place.stateAt + place.lensState + place.lens.length;
    if (place.clocks === 0) return 0;
    return place.clocks === 1 ? state[at] : state[at] + state[at + 1] * seen.timeS[i];
  }

  function residualInto(out: Float64Array, i: number, u: number, v: number, late: number): void {
    const o = 2 * i;
    const lateU = late === 0 ? 0 : seen.velocity[o] * late;
    const lateV = late === 0 ? 0 : seen.velocity[o + 1] * late;
    out[o] = (u - seen.pixel[o] + lateU) * seen.weight[o];
    out[o + 1] = (v - seen.pixel[o + 1] + lateV) * seen.weight[o + 1];
  }

  function rodInto(out: Float64Array, k: number, state: Float64Array): number {
    const a = rodAt[k];
    const x = state[a + 3] - state[a];
    const y = state[a + 4] - state[a + 1];
    const z = state[a + 5] - state[a + 2];
    const length = Math.sqrt(x * x + y * y + z * z);
    out[2 * n + k] = (length - rodLength[k]) / rodSd[k];
    return length;
  }

  function priorsInto(out: Float64Array, state: Float64Array): void {
    let o = 2 * n + rodAt.length;
    for (const place of places.cameras) {
      const at = place.stateAt + place.lensState;
      const count = place.lens.length;
      if (place.prior !== null) {
        const { whiten, mean } = place.prior;
        for (let i = 0; i < count; i++) {
          let sum = 0;
          for (let j = 0; j <= i; j++) sum += whiten[i * count + j] * (state[at + j] - mean[j]);
          out[o++] = sum;
        }
      }
      if (place.clockList >= 0) out[o++] = state[at + count] / place.clockSdS;
    }
  }

  const problem: BlockProblem = {
    sharedCount: places.sharedCount,
    blockSizes: places.blockSizes,
    sharedLists: places.lists,
    ...groups,
    loss: bundle.loss,
    sizes: places.sizes,
    retractInto: (out, state, step) => retractInto(out, state, step, places),
    residualsInto(out, state) {
      moveCameras(moving, places, state);
      for (let i = 0; i < n; i++) {
        placePoint(i, state);
        projectInto(out, 2 * i, moving[seen.camera[i]] as unknown as Camera, world[0], world[1], world[2]);
        residualInto(out, i, out[2 * i], out[2 * i + 1], lateness(i, state));
      }
      for (let k = 0; k < rodAt.length; k++) rodInto(out, k, state);
      priorsInto(out, state);
    },
    lineariseInto(out, jacobian, state) {
      moveCameras(moving, places, state);
      let o = 0;
      for (let i = 0; i < n; i++) {
        placePoint(i, state);
        const place = places.cameras[seen.camera[i]];
        deriveProjectionInto(derivatives, moving[seen.camera[i]] as unknown as Camera, world[0], world[1], world[2]);
        residualInto(out, i, derivatives.uv[0], derivatives.uv[1], lateness(i, state));
        for (let row = 0; row < 2; row++) {
          const weight = seen.weight[2 * i + row];
          o = pointColumnsInto(jacobian, o, kind[i], seen.point[i], derivatives.point, row, weight, arm);
          o = cameraColumnsInto(jacobian, o, place, derivatives.pose, derivatives.lens, row, weight);
          if (place.clocks > 0) jacobian[o++] = weight * seen.velocity[2 * i + row];
          if (place.clocks > 1) jacobian[o++] = weight * seen.velocity[2 * i + row] * seen.timeS[i];
        }
      }
      for (let k = 0; k < rodAt.length; k++) {
        const length = rodInto(out, k, state);
        for (let j = 0; j < 3; j++) {
          const slope = (state[rodAt[k] + 3 + j] - state[rodAt[k] + j]) / (length * rodSd[k]);
          jacobian[o + j] = -slope;
          jacobian[o + 3 + j] = slope;
        }
        o += 6;
      }
      priorsInto(out, state);
      for (const place of places.cameras) {
        const count = place.lens.length;
        if (place.prior !== null) {
          for (let k = 0; k < count * count; k++) jacobian[o++] = place.prior.whiten[k];
        }
        if (place.clockList >= 0) jacobian[o++] = 1 / place.clockSdS;
      }
    },
  };
  const priorRows = groups.groupRows.reduce((sum, rows) => sum + rows, 0) - 2 * n - rods.length;
  return { problem, order: seen.order, rodCount: rods.length, priorRows };
}

/** Derivatives by the target's own step; a rigid target's turn δ moves its point by δ × arm: arm × g, as for a camera. */
function pointColumnsInto(
  out: Float64Array,
  at: number,
  kind: number,
  point: number,
  byPoint: Float64Array,
  row: number,
  weight: number,
  arm: Float64Array,
): number {
  if (kind === KNOWN) return at;
  const g0 = weight * byPoint[3 * row];
  const g1 = weight * byPoint[3 * row + 1];
  const g2 = weight * byPoint[3 * row + 2];
  let o = at;
  if (kind === RIGID) {
    out[o] = arm[1] * g2 - arm[2] * g1;
    out[o + 1] = arm[2] * g0 - arm[0] * g2;
    out[o + 2] = arm[0] * g1 - arm[1] * g0;
    o += 3;
  } else if (kind === ROD) {
    const other = at + 3 * (1 - point);
    out[other] = 0;
    out[other + 1] = 0;
    out[other + 2] = 0;
    o += 3 * point;
  }
  out[o] = g0;
  out[o + 1] = g1;
  out[o + 2] = g2;
  return at + STEP_LENGTH[kind];
}

function cameraColumnsInto(
  out: Float64Array,
  at: number,
  { poseFree, lens }: CameraPlace,
  byPose: Float64Array,
  byLens: Float64Array,
  row: number,
  weight: number,
): number {
  let o = at;
  if (poseFree) for (let k = 0; k < 6; k++) out[o++] = weight * byPose[6 * row + k];
  for (let k = 0; k < lens.length; k++) {
    const code = lens[k];
    out[o++] =
      weight * (code === BOTH_FOCAL_LENGTHS ? byLens[10 * row] + byLens[10 * row + 1] : byLens[10 * row + code]);
  }
  return o;
}

function retractInto(out: Float64Array, state: Float64Array, step: Float64Array, places: BundlePlaces): void {
  for (const { poseFree, stateAt, stepAt, stepLength } of places.cameras) {
    let s = stateAt;
    let d = stepAt;
    if (poseFree) {
      turnInto(out, s, state, s, step, d);
      s += 9;
      d += 3;
    }
    for (; d < stepAt + stepLength; d++, s++) out[s] = state[s] + step[d];
  }
  let d = places.sharedCount;
  for (const { kind, stateAt } of places.targets) {
    if (kind === KNOWN) continue;
    let s = stateAt;
    const end = d + STEP_LENGTH[kind];
    if (kind === RIGID) {
      turnInto(out, s, state, s, step, d);
      s += 9;
      d += 3;
    }
    for (; d < end; d++, s++) out[s] = state[s] + step[d];
  }
}
