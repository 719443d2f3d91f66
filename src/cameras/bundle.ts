import { type BlockOptions, blockLeastSquares } from '../numerics/block-least-squares.ts';
import { type BundlePlaces, bundlePlaces, KNOWN, RIGID, stateLength } from './bundle/bundle-layout.ts';
import { bundleBlocks } from './bundle/bundle-residuals.ts';
import { checkBundleProblem } from './bundle/check-problem.ts';
import { camerasOf } from './bundle/moving-cameras.ts';
import type { BundleProblem, BundleSolution } from './bundle-problem.ts';
import type { Pose } from './pose.ts';

export type BundleOptions = BlockOptions;

/**
 * Bundle adjustment (Brown 1958; Triggs et al. 2000): cameras (poses, lenses, clocks) and everything they saw in one
 * least-squares problem on pixels, by `blockLeastSquares` with the targets as blocks.
 *
 * Minimises ½ Σ ρ(‖(predicted − measured) / sd‖²) + ½ Σ ((rod length − measured) / sd)² + priors, from the start values.
 * Clocks: the measured pixel moves by −velocity · (offset + drift · timeS); a positive offset means that the camera films
 * later than its time stamps say. Every point must start in front of the cameras that see it.
 *
 * The covariance holds for the weights of the loss at the solution (its scatter is not corrected for outliers). With rods or
 * priors give `sdPx`: without it the variance factor from the residuals scales their stated deviations, too.
 *
 * RangeError: a problem whose parts do not fit together, or an observation that starts behind its camera.
 */
export function solveBundle(problem: BundleProblem, options: BundleOptions = {}): BundleSolution {
  checkBundleProblem(problem);
  const places = bundlePlaces(problem);
  const { problem: blocks, order, rodCount, priorRows } = bundleBlocks(problem, places);
  requireInFront(problem, order, blocks.residualsInto, places.start, 2 * order.length + rodCount + priorRows);
  const found = blockLeastSquares(blocks, places.start, options);

  const { sdPx } = problem.observations;
  const n = order.length;
  const residuals = new Float64Array(2 * n);
  const weights = new Float64Array(n);
  let squares = 0;
  order.forEach((to, i) => {
    weights[to] = found.weights[i];
    for (let k = 0; k < 2; k++) {
      residuals[2 * to + k] = found.residuals[2 * i + k] * (sdPx?.[2 * to + k] ?? 1);
      squares += residuals[2 * to + k] ** 2;
    }
  });
  let varianceFactor = 1;
  if (sdPx === null) {
    let sum = 0;
    for (let i = 0; i < 2 * n; i++) sum += found.weights[i >> 1] * found.residuals[i] ** 2;
    for (let i = 2 * n; i < found.residuals.length; i++) sum += found.residuals[i] ** 2;
    const freedom = found.residuals.length - found.covariance().rank;
    varianceFactor = freedom > 0 ? sum / freedom : Number.NaN;
  }
  const times = (matrix: Float64Array) => matrix.map((x) => varianceFactor * x);
  let covariance: Float64Array | undefined;
  return {
    cameras: camerasOf(found.state, problem.cameras, places),
    targets: targetsOf(found.state, places),
    clocks: places.cameras.map(({ stateAt, lensState, lens, clocks }) => {
      const at = stateAt + lensState + lens.length;
      return { offsetS: clocks > 0 ? found.state[at] : 0, drift: clocks > 1 ? found.state[at + 1] : 0 };
    }),
    cost: found.cost,
    startCost: found.startCost,
    residuals,
    weights,
    rmsPx: Math.sqrt(squares / n),
    parameters: places.parameters,
    get covariance() {
      covariance ??= times(found.covariance().shared);
      return covariance;
    },
    varianceFactor,
    targetCovariance(index) {
      const { block } = places.targets[index];
      return block < 0 ? new Float64Array(0) : times(found.covariance().block(block));
    },
    targetCameraCovariance(index) {
      const { block } = places.targets[index];
      return block < 0 ? new Float64Array(0) : times(found.covariance().blockWithShared(block));
    },
    iterations: found.iterations,
    stopped: found.stopped,
  };
}

function targetsOf(state: Float64Array, places: BundlePlaces): (Pose | Float64Array | null)[] {
  return places.targets.map(({ kind, stateAt: at }) => {
    if (kind === KNOWN) return null;
    if (kind === RIGID) return { rotation: state.slice(at, at + 9), translation: state.slice(at + 9, at + 12) };
    return state.slice(at, at + stateLength(kind));
  });
}

function requireInFront(
  { cameras, targets, observations }: BundleProblem,
  order: Int32Array,
  residualsInto: (out: Float64Array, state: Float64Array) => void,
  start: Float64Array,
  rows: number,
): void {
  const residuals = new Float64Array(rows);
  residualsInto(residuals, start);
  const behind = order.findIndex((_, i) => !Number.isFinite(residuals[2 * i] + residuals[2 * i + 1]));
  if (behind < 0) return;
  const i = order[behind];
  throw new RangeError(
    `solveBundle: point ${observations.point[i]} of ${targets[observations.target[i]].label} starts behind camera ${cameras[observations.camera[i]].camera.name}`,
  );
}
