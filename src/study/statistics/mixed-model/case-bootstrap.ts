import { choleskyInPlace } from '../../../numerics/block-cholesky.ts';
import { hashSeed, seededRandom } from '../../../numerics/random.ts';
import { type Bootstrap, type BootstrapOptions, summarised } from './bootstrap-summary.ts';
import type { GroupMoments } from './group-moments.ts';
import type { MixedFit } from './mixed-fit.ts';
import { solve } from './solve.ts';

/** A drawn design that keeps less than this of an effect's information cannot tell the effect apart. */
const DEPENDENCE = 1e-10;

/**
 * Intervals by drawing whole groups with replacement, all rows of a group together, as many as there are, and fitting each
 * draw anew (Davison & Hinkley 1997, sec. 3.8). It assumes groups alike and independent, and no shape of any distribution;
 * with few groups its intervals are too short: about √((m − 1)/m) of what they should be, and by the percentile's lack of
 * Student's t.
 */
export function caseBootstrap(fit: MixedFit, options: BootstrapOptions): Bootstrap {
  const { model, moments, solution } = fit.inner;
  const shares = sharesOfGroups(fit);
  const random = seededRandom(hashSeed('mixed model', 'case bootstrap', options.seed));
  const picked = new Int32Array(moments.groups);
  return summarised(fit, options, () => {
    for (let g = 0; g < picked.length; g++) picked[g] = random.integer(moments.groups);
    const drawn = momentsOfGroups(moments, shares, picked);
    if (choleskyInPlace(drawn.xx.slice(), 0, moments.p, DEPENDENCE) !== moments.p) return null;
    if (drawn.rows <= moments.p || !(drawn.ee > 0)) return null;
    const found = solve(drawn, model.criterion, model.random.correlated, solution.lambda);
    if (!found.converged || found.vanishes) return null;
    return { solution: found, gamma: found.evaluation.gamma.map((g, j) => g + moments.start[j]) };
  });
}

/** What each group adds to the sums over all rows. */
interface Shares {
  readonly rows: Int32Array;
  readonly xx: Float64Array;
  readonly xe: Float64Array;
  readonly ee: Float64Array;
}

function sharesOfGroups({ inner }: MixedFit): Shares {
  const { rows, effects: p, groups, groupOf, q } = inner.standardised;
  const { start } = inner.moments;
  const shares = {
    rows: new Int32Array(groups),
    xx: new Float64Array(groups * p * p),
    xe: new Float64Array(groups * p),
    ee: new Float64Array(groups),
  };
  for (let row = 0; row < rows; row++) {
    const g = groupOf[row];
    let e = inner.rows.response[row];
    for (let j = 0; j < p; j++) e -= q[row * p + j] * start[j];
    shares.rows[g]++;
    shares.ee[g] += e * e;
    for (let i = 0; i < p; i++) {
      shares.xe[g * p + i] += q[row * p + i] * e;
      for (let j = 0; j < p; j++) shares.xx[(g * p + i) * p + j] += q[row * p + i] * q[row * p + j];
    }
  }
  return shares;
}

/** Moments of a sample of groups, a group drawn twice being two. */
function momentsOfGroups(moments: GroupMoments, shares: Shares, picked: Int32Array): GroupMoments {
  const { k, p } = moments;
  const count = picked.length;
  const drawn = {
    zz: new Float64Array(count * k * k),
    zx: new Float64Array(count * k * p),
    ze: new Float64Array(count * k),
    xx: new Float64Array(p * p),
    xe: new Float64Array(p),
  };
  let rows = 0;
  let ee = 0;
  picked.forEach((g, at) => {
    for (const [name, size] of [
      ['zz', k * k],
      ['zx', k * p],
      ['ze', k],
    ] as const)
      drawn[name].set(moments[name].subarray(g * size, (g + 1) * size), at * size);
    for (let i = 0; i < p * p; i++) drawn.xx[i] += shares.xx[g * p * p + i];
    for (let i = 0; i < p; i++) drawn.xe[i] += shares.xe[g * p + i];
    ee += shares.ee[g];
    rows += shares.rows[g];
  });
  return { rows, groups: count, k, p, ...drawn, ee, start: moments.start };
}
