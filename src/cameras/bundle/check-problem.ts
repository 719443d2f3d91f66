import type { BundleCamera, BundleProblem, BundleTarget } from '../bundle-problem.ts';

/** Points that a target has. */
export function pointCount(target: BundleTarget): number {
  if (target.kind === 'point') return 1;
  return target.kind === 'rod' ? 2 : target.points.length / 3;
}

/**
 * RangeError for what a caller got wrong: indices outside their lists, values that are not finite, lengths that do not fit,
 * a lens fitted beside a `pixelLens`, 'f' beside 'fx' or 'fy', a prior that is not positive definite (found later).
 */
export function checkBundleProblem({ cameras, targets, observations }: BundleProblem): void {
  cameras.forEach(checkCamera);
  targets.forEach(checkTarget);
  const { camera, target, point, pixel, sdPx, velocity, timeS } = observations;
  const n = camera.length;
  if (n === 0) throw new RangeError('solveBundle: no observations');
  const lengths: [string, number, number][] = [
    ['target', target.length, n],
    ['point', point.length, n],
    ['pixel', pixel.length, 2 * n],
    ['sdPx', sdPx?.length ?? 2 * n, 2 * n],
    ['velocity', velocity?.length ?? 2 * n, 2 * n],
    ['timeS', timeS?.length ?? n, n],
  ];
  for (const [name, found, wanted] of lengths) {
    if (found !== wanted) throw new RangeError(`solveBundle: ${found} values of ${name}, ${wanted} wanted`);
  }
  for (let i = 0; i < n; i++) {
    const seen = targets[target[i]];
    if (cameras[camera[i]] === undefined || seen === undefined || !(point[i] >= 0 && point[i] < pointCount(seen))) {
      throw new RangeError(
        `solveBundle: observation ${i} names camera ${camera[i]} of ${cameras.length}, target ${target[i]} of ${targets.length}, point ${point[i]}`,
      );
    }
    const clock = cameras[camera[i]].clockFree ?? 'none';
    const needed = [pixel[2 * i], pixel[2 * i + 1]];
    if (clock !== 'none') needed.push(velocity?.[2 * i] ?? Number.NaN, velocity?.[2 * i + 1] ?? Number.NaN);
    if (clock === 'offset and drift') needed.push(timeS?.[i] ?? Number.NaN);
    if (!needed.every(Number.isFinite)) {
      throw new RangeError(`solveBundle: observation ${i}: pixel, velocity or time ${needed.join(' ')} is not finite`);
    }
    if (sdPx !== null && !(sdPx[2 * i] > 0 && sdPx[2 * i + 1] > 0)) {
      throw new RangeError(`solveBundle: observation ${i}: sd ${sdPx[2 * i]} ${sdPx[2 * i + 1]} px; above 0 wanted`);
    }
  }
}

function checkCamera({ camera, lensFree, lensPrior }: BundleCamera): void {
  if (camera.pixelLens !== undefined && lensFree.length > 0) {
    throw new RangeError(`solveBundle: camera ${camera.name} has a pixelLens; its lens cannot be fitted`);
  }
  const names = new Set<string>(lensFree);
  if (names.size < lensFree.length || (names.has('f') && (names.has('fx') || names.has('fy')))) {
    throw new RangeError(`solveBundle: camera ${camera.name}: free lens parameters ${lensFree.join(' ')} overlap`);
  }
  const k = lensFree.length;
  if (lensPrior !== undefined && (lensPrior.mean.length !== k || lensPrior.covariance.length !== k * k)) {
    throw new RangeError(`solveBundle: camera ${camera.name}: lens prior does not have the size of ${k} parameters`);
  }
}

function checkTarget(target: BundleTarget): void {
  const { kind, label } = target;
  const wrong = (what: string) => new RangeError(`solveBundle: target ${label} (${kind}): ${what}`);
  const numbers =
    kind === 'rigid'
      ? [...target.start.rotation, ...target.start.translation, ...target.points]
      : kind === 'known'
        ? [...target.points]
        : [...target.start];
  if (!numbers.every(Number.isFinite)) throw wrong('not finite');
  if (kind === 'point' && numbers.length !== 3) throw wrong(`${numbers.length} start values, 3 wanted`);
  if (kind === 'rod') {
    if (numbers.length !== 6) throw wrong(`${numbers.length} start values, 6 wanted`);
    if (!(target.lengthM > 0 && target.lengthSdM > 0)) {
      throw wrong(`length ${target.lengthM} m with sd ${target.lengthSdM} m; both above 0 wanted`);
    }
    if ([0, 1, 2].every((k) => numbers[k] === numbers[3 + k])) throw wrong('both ends start in one place');
  }
}
