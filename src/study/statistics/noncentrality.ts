import { chiNodes, nonCentralStudentBelow, risingRoot } from '../../numerics/non-central-student.ts';

/**
 * The noncentrality δ for which a non-central t with `freedom` ≥ 1 lies below `t` with probability `p`: with p = 0.975 and
 * 0.025 the ends of the exact 95 % interval of δ (Steiger & Fouladi 1997, in Harlow et al., What If There Were No Significance Tests?).
 *
 * P(T < t) falls with δ. The ends lie within about twice |t| for every freedom from 1 on, so that the nodes serve for all δ tried.
 */
export function noncentralityWith(p: number, freedom: number, t: number): number {
  const nodes = chiNodes(freedom, 2 * Math.abs(t));
  return risingRoot((delta) => p - nonCentralStudentBelow(nodes, t, delta), t);
}
