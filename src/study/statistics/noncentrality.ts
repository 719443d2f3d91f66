import { chiNodes, nonCentralStudentBelow, risingRoot } from '../../numerics/non-central-student.ts';

/** Above this |t| / √ν the series in ν / t² takes over: the nodes needed grow with |t|. */
const LARGEST_BY_NODES = 100;

/**
 * The noncentrality δ for which a non-central t with `freedom` ≥ 1 lies below `t` with probability `p`: with p = 0.975 and
 * 0.025 the ends of the exact 95 % interval of δ (Steiger & Fouladi 1997, in Harlow et al., What If There Were No Significance Tests?).
 *
 * P(T < t) falls with δ. The ends lie within about twice |t| for every freedom from 1 on, so that the nodes serve for all δ tried.
 *
 * For large t > 0, P(T < t) = E[1 − F((Z + δ) / t)] with F the distribution of s = √(χ²_ν / ν): Z matters less and less, and δ / t = r + k / t² + …
 * (even powers only, since E Z = E Z³ = 0). r and k are those of the two largest t by nodes. That leaves the probability right to
 * 1e-7; to 2e-4 with one degree of freedom, where δ is small for all t.
 */
export function noncentralityWith(p: number, freedom: number, t: number): number {
  if (t < 0) return -noncentralityWith(1 - p, freedom, -t);
  const largest = LARGEST_BY_NODES * Math.sqrt(freedom);
  if (t <= largest) return byNodes(p, freedom, t);
  const [half, whole] = [largest / 2, largest].map((at) => byNodes(p, freedom, at) / at);
  const limit = (4 * whole - half) / 3;
  return t * (limit + (whole - limit) * (largest / t) ** 2);
}

function byNodes(p: number, freedom: number, t: number): number {
  const nodes = chiNodes(freedom, 2 * t);
  return risingRoot((delta) => p - nonCentralStudentBelow(nodes, t, delta), t);
}
