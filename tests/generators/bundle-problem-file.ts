import type { BundleProblem } from '../../src/cameras/bundle-problem.ts';

const LENS = ['fx', 'fy', 'cx', 'cy', 'k1', 'k2', 'p1', 'p2', 'k3'] as const;

/**
 * A bundle problem as plain text, numbers parted by white space, for the independent solvers bundle_ceres.cc and
 * bundle_scipy.py. No clocks, skew or one common focal length: RangeError.
 *
 *   loss <none|huber|cauchy> <scale>
 *   cameras <count>, each: <pose free 0|1> R (9) t (3) fx fy cx cy k1 k2 p1 p2 k3 <free 0|1 of each>
 *                          <prior 0|1> then, with 1, mean and covariance of the free ones in that order
 *   targets <count>, each: rigid <n> points (3 n) R (9) t (3) | point x y z | rod (6) length sd | known <n> points (3 n)
 *   observations <count>, each: camera target point u v sd_u sd_v
 */
export function bundleProblemFile({ cameras, targets, observations, loss }: BundleProblem): string {
  const lines = [`loss ${loss.kind} ${loss.kind === 'none' ? 1 : loss.scale}`, `cameras ${cameras.length}`];
  for (const { camera, poseFree, lensFree, lensPrior, clockFree } of cameras) {
    const order = lensFree.map((name) => LENS.indexOf(name as (typeof LENS)[number]));
    const ascending = order.every((place, k) => place >= 0 && (k === 0 || place > order[k - 1]));
    if (!ascending || camera.skew !== 0 || (clockFree ?? 'none') !== 'none') {
      throw new RangeError(`bundleProblemFile: camera ${camera.name} has what the format does not know`);
    }
    const { fx, fy, cx, cy, distortion } = camera;
    const free = LENS.map((_, k) => (order.includes(k) ? 1 : 0));
    lines.push([poseFree ? 1 : 0, ...camera.rotation, ...camera.translation].join(' '));
    lines.push([fx, fy, cx, cy, ...distortion, ...free].join(' '));
    lines.push(lensPrior === undefined ? '0' : ['1', ...lensPrior.mean, ...lensPrior.covariance].join(' '));
  }
  lines.push(`targets ${targets.length}`);
  for (const target of targets) {
    if (target.kind === 'rigid') {
      const { points, start } = target;
      lines.push(['rigid', points.length / 3, ...points, ...start.rotation, ...start.translation].join(' '));
    } else if (target.kind === 'known') lines.push(['known', target.points.length / 3, ...target.points].join(' '));
    else if (target.kind === 'point') lines.push(['point', ...target.start].join(' '));
    else lines.push(['rod', ...target.start, target.lengthM, target.lengthSdM].join(' '));
  }
  const { camera, target, point, pixel, sdPx } = observations;
  lines.push(`observations ${camera.length}`);
  camera.forEach((c, i) => {
    const sd = sdPx === null ? [1, 1] : [sdPx[2 * i], sdPx[2 * i + 1]];
    lines.push([c, target[i], point[i], pixel[2 * i], pixel[2 * i + 1], ...sd].join(' '));
  });
  return `${lines.join('\n')}\n`;
}
